import type { WORK_REASONS } from '../../../../domain/reasons/work.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, wort } from '../wort.ts';

/** Refusals about orders, casts, sockets, operations, findings and fittings, in German. */
export const WORK: ReasonWords<typeof WORK_REASONS> = {
  'stage-does-not-allow': {
    title: 'Nicht in diesem Schritt des Auftrags',
    words: (f) =>
      `Auftrag ${f.order} ist im Schritt „${wort(f.stage)}“; jetzt nicht möglich: ${satz(f.attempt)}.`,
    wayOut: (f) =>
      `Schließen Sie zuerst ab, was der Schritt „${wort(f.stage)}“ verlangt; der Auftrag zeigt, was als Nächstes kommt.`,
  },
  'order-on-hold': {
    title: 'Der Auftrag ist zurückgestellt',
    words: (f) => `Auftrag ${f.order} ist zurückgestellt: ${wort(f.holdReason)}.`,
    wayOut: () => 'Nehmen Sie den Auftrag zuerst wieder auf, wenn der Grund weg ist.',
  },
  'order-not-on-hold': {
    title: 'Der Auftrag ist nicht zurückgestellt',
    words: (f) => `Auftrag ${f.order} ist nicht zurückgestellt.`,
    wayOut: () => 'Nichts zu tun: es kann weitergehen.',
  },
  'possible-duplicate': {
    title: 'Diese Person steht vielleicht schon im Buch',
    words: (f) => `Sieht aus wie: ${f.candidates.join('; ')}.`,
    wayOut: () =>
      'Öffnen Sie die gemeinte Person, oder sagen Sie von jeder ähnlichen, dass es jemand anderes ist.',
  },
  'chart-number-taken': {
    title: 'Patientennummer schon vergeben',
    words: (f) => `Patientennummer ${f.chartNumber} gehört schon jemand anderem hier.`,
    wayOut: () => 'Prüfen Sie die Akte; jede Person hat eine Nummer.',
  },
  'cast-not-accepted': {
    title: 'Der Abdruck ist nicht angenommen',
    words: (f) => `Abdruck ${f.cast}: ${wort(f.state)}.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister nimmt den Abdruck an, bevor danach ein Schaft gefertigt wird.',
  },
  'cast-already-decided': {
    title: 'Der Abdruck ist schon beurteilt',
    words: (f) => `Abdruck ${f.cast}: ${wort(f.state)}.`,
    wayOut: () => 'Nehmen Sie einen neuen Abdruck, wenn dieser nicht genügt.',
  },
  'model-still-needed': {
    title: 'Das Modell wird noch gebraucht',
    words: (f) =>
      `Das Modell von Abdruck ${f.cast} wird noch gebraucht für ${f.sockets.join(', ')}.`,
    wayOut: () =>
      'Schlagen Sie das Modell heraus, wenn kein anderer Schaft mehr darüber zu formen ist.',
  },
  'model-is-gone': {
    title: 'Das Modell ist herausgeschlagen',
    words: (f) => `Das Modell von Abdruck ${f.cast} ist herausgeschlagen.`,
    wayOut: () =>
      'Nehmen Sie einen neuen Abdruck, oder gießen Sie aus dem angenommenen Schaft ein neues Modell als neuen Abdruck.',
  },
  'measures-implausible': {
    title: 'Maße, die kein Stumpf hat',
    words: (f, m) =>
      `${m.length.of(f.circumferenceMm)} ${m.length.unit} auf Höhe ${m.length.of(f.heightMm)} ${m.length.unit}: ${satz(f.why, m)}.`,
    wayOut: (_f, m) =>
      `Höhen steigen vom distalen Ende aus; beide sind in ${m.length.unit}. Messen Sie noch einmal.`,
  },
  'no-route': {
    title: 'Kein Arbeitsplan für diesen Schaft',
    words: (f) =>
      `Die Werkstatt hat keinen Arbeitsplan für ${wort(f.socketKind)} mit ${wort(f.suspension)}.`,
    wayOut: () => 'Die Administration legt einen Arbeitsplan dafür an.',
  },
  'socket-state-does-not-allow': {
    title: 'Nicht mit diesem Schaft, wie er ist',
    words: (f) => `Schaft ${f.socket}: ${wort(f.state)}; nicht möglich: ${satz(f.attempt)}.`,
    wayOut: () => 'Lesen Sie den Schaft noch einmal; wählen Sie den, der jetzt in Arbeit ist.',
  },
  'replaces-foreign-socket': {
    title: 'Ein Schaft ersetzt einen seines eigenen Auftrags und seiner Art',
    words: (f) => `Schaft ${f.socket} gehört zu einem anderen Auftrag oder ist von anderer Art.`,
    wayOut: () => 'Nennen Sie einen Schaft dieses Auftrags und dieser Art, oder keinen.',
  },
  'earlier-operation-open': {
    title: 'Ein früherer Arbeitsgang ist nicht erledigt',
    words: (f) => `„${f.operation}“ kommt nach „${f.earlier}“; dieser: ${wort(f.state)}.`,
    wayOut: (f) => `Führen Sie zuerst „${f.earlier}“ aus.`,
  },
  'operation-already-done': {
    title: 'Der Arbeitsgang ist schon erledigt',
    words: (f) => `„${f.operation}“ ist erledigt.`,
    wayOut: () =>
      'Fahren Sie mit dem nächsten fort; eine Berichtigung ist ein Befund mit Nacharbeit.',
  },
  'operation-left-out': {
    title: 'Der Arbeitsgang wurde ausgelassen',
    words: (f) =>
      `„${f.operation}“ wurde auf Entscheid der OT-Meisterin oder des OT-Meisters ausgelassen.`,
    wayOut: () =>
      'Fahren Sie mit dem nächsten fort; was doch zu tun ist, wird als Befund gemeldet.',
  },
  'operation-is-needed': {
    title: 'Der Arbeitsgang kann nicht ausgelassen werden',
    words: (f) => `„${f.operation}“ wird von einer Regel verlangt.`,
    wayOut: () => 'Führen Sie ihn aus und zeichnen Sie ihn auf.',
  },
  'prosthetist-decides': {
    title: 'Das entscheidet die OT-Meisterin oder der OT-Meister',
    words: (f) => `${satz(f.attempt)}: das entscheidet die OT-Meisterin oder der OT-Meister.`,
    wayOut: () =>
      'Bitten Sie eine OT-Meisterin oder einen OT-Meister der Werkstatt, es zu entscheiden.',
  },
  'operation-stopped': {
    title: 'Der Arbeitsgang ist durch einen Befund gestoppt',
    words: (f) => `„${f.operation}“ ist gestoppt.`,
    wayOut: () => 'Erledigen Sie den Befund; Nacharbeit öffnet den Arbeitsgang wieder.',
  },
  'check-unanswered': {
    title: 'Ein Prüfpunkt hat keine Antwort',
    words: (f) => `„${f.operation}“ fragt: ${f.check}`,
    wayOut: () => 'Antworten Sie und senden Sie noch einmal.',
  },
  'check-answer-misfits': {
    title: 'Eine Antwort der falschen Art',
    words: (f) => `„${f.check}“ erwartet ${satz(f.expects)}.`,
    wayOut: () => 'Geben Sie die Antwort in dieser Form.',
  },
  'check-unknown': {
    title: 'Eine Antwort auf einen Prüfpunkt, der nicht gefragt ist',
    words: (f) => `„${f.operation}“ hat keinen Prüfpunkt ${f.key}.`,
    wayOut: () => 'Lesen Sie den Arbeitsgang noch einmal; seine Prüfpunkte stehen dabei.',
  },
  'scan-of-another-order': {
    title: 'Der Code gehört nicht zu diesem Auftrag',
    words: (f) =>
      `„${f.check}“ erwartet den Laufzettel von ${f.order}; gelesen wurde ${f.scanned}.`,
    wayOut: () =>
      'Sehen Sie nach, ob das Blatt in der Hand zu diesem Schaft gehört, und scannen Sie das richtige.',
  },
  'check-out-of-limits': {
    title: 'Ein Messwert außerhalb seiner Grenzen',
    words: (f, m) =>
      `„${f.check}“ ergibt ${m.figure(f.value)}; die Grenzen sind ${satz(f.limits)}.`,
    wayOut: () =>
      'Der Wert ist festgehalten und der Arbeitsgang gestoppt; erledigen Sie den Befund.',
  },
  'check-answered-no': {
    title: 'Ein Prüfpunkt mit Nein beantwortet',
    words: (f) => `„${f.check}“ wurde mit Nein beantwortet.`,
    wayOut: () =>
      'Die Antwort ist festgehalten und der Arbeitsgang gestoppt; erledigen Sie den Befund.',
  },
  'second-person-is-the-same': {
    title: 'Die zweite Person ist die erste',
    words: (f) => `„${f.operation}“ verlangt eine zweite Person.`,
    wayOut: () =>
      'Lassen Sie eine Kollegin oder einen Kollegen nachsehen, und nennen Sie die Person.',
  },
  'batch-wrong-kind': {
    title: 'Charge anderer Art',
    words: (f) => `Charge ${f.lot} ist ${wort(f.kind)}, nicht ${wort(f.expected)}.`,
    wayOut: () => 'Scannen Sie die richtige Charge.',
  },
  'batch-expired': {
    title: 'Die Charge ist abgelaufen',
    words: (f) => `Charge ${f.lot} ist am ${tag(f.expiredOn)} abgelaufen.`,
    wayOut: () => 'Nehmen Sie eine andere Charge und sperren Sie diese.',
  },
  'batch-quarantined': {
    title: 'Die Charge ist gesperrt',
    words: (f) => `Charge ${f.lot} ist gesperrt.`,
    wayOut: () => 'Nehmen Sie eine andere Charge.',
  },
  'batch-empty': {
    title: 'Von der Charge ist nicht genug übrig',
    words: (f, m) =>
      `Charge ${f.lot} hat noch ${m.figure(f.left)} ${wort(f.unit)}; verlangt sind ${m.figure(f.wanted)} ${wort(f.unit)}.`,
    wayOut: () => 'Nehmen Sie für den Rest eine andere Charge.',
  },
  'facts-do-not-bear-it-out': {
    title: 'Die Aufzeichnung gibt das noch nicht her',
    words: (f) => `„${f.operation}“ ist noch nicht möglich: ${satz(f.missing)}.`,
    wayOut: () => 'Zeichnen Sie zuerst auf, was fehlt, und melden Sie dann „erledigt“.',
  },
  'finding-already-closed': {
    title: 'Der Befund ist erledigt',
    words: (f) => `Er wurde erledigt mit: ${wort(f.disposition)}.`,
    wayOut: () => 'Melden Sie einen neuen Befund, wenn es mehr gibt.',
  },
  'record-is-kept': {
    title: 'Aufzeichnungen bleiben',
    words: (f) =>
      `„${f.attempt}“ auf ${f.table} wurde verweigert: nichts wird gelöscht oder umgeschrieben.`,
    wayOut: () => 'Fügen Sie einen Eintrag hinzu, der den anderen berichtigt und den Grund nennt.',
  },
  'record-is-final': {
    title: 'Der Eintrag ist abgeschlossen',
    words: (f) => `Dieser Eintrag (${f.table}) ist abgeschlossen und bleibt, wie er ist.`,
    wayOut: () => 'Fügen Sie einen neuen Eintrag hinzu.',
  },
  'not-found': {
    title: 'Kein solcher Eintrag hier',
    words: (f) => `In dieser Werkstatt gibt es nicht: ${satz(f.what)} ${f.id}.`,
    wayOut: () => 'Prüfen Sie die Nummer, oder suchen Sie danach.',
  },
};
