/** The texts of the history, and of the chain that proves it, in German: part of the auditor's. */
import type { Words } from '../en.ts';
import { EVENTS, SUBJECTS } from './events.ts';
import { feld } from './fields.ts';

/** Records run into millions: a mark between the thousands, and nobody types them back. */
const zahlen = (count: number): string => count.toLocaleString('de-DE');

export const record = {
  // Signed heads
  signedHeads: 'Unterschriebene Stände',
  signedHeadsIntro:
    'Einmal am Tag unterschreibt der Dienst, wie viele Einträge es gibt, die Wurzel des Baums darüber und den Wert ihrer Kette, mit einem Schlüssel, der nicht in der Datenbank liegt. Wer einen Stand auf Papier oder als Datei hat, kann später zeigen, dass davor nichts geändert wurde.',
  noHead: 'Noch ist kein Stand unterschrieben.',
  notSigning:
    'Der Dienst wurde ohne Signaturschlüssel gestartet: Er unterschreibt keinen Stand. Sagen Sie es denen, die ihn betreiben.',
  newestHead: (number) => `Stand ${number}`,
  headOver: 'Umfasst',
  headSigned: 'Unterschrieben',
  headRoot: 'Wurzel des Baums',
  headKey: 'Schlüssel',
  headSave: 'Diesen Stand als Datei sichern',
  headPrint: 'Zum Weglegen drucken',
  headSignNow: 'Den jetzigen Stand unterschreiben',
  savedHead: 'Ein Stand, den Sie früher gesichert haben',
  savedHeadHint:
    'Die Datei wird in diesem Browser gelesen. Der Dienst muss beweisen, dass der neueste Stand alles enthält, was Ihrer enthielt.',
  savedHeadWrong: 'Diese Datei enthält keinen unterschriebenen Stand.',
  savedHeadHolds: (from, to) =>
    `Bewiesen: Stand ${to} enthält unverändert und in derselben Folge alles, was Ihr Stand ${from} enthielt.`,
  savedHeadFails: (from) =>
    `NICHT BEWIESEN: Die Aufzeichnung, wie sie jetzt ist, enthält nicht, was Ihr Stand ${from} enthielt. Sie wurde neu geschrieben.`,
  headWell: (number, count) =>
    `Der unterschriebene Stand ${number} passt: Die Wurzel über die ersten ${zahlen(count)} Einträge wurde hier neu errechnet, und die Unterschrift ist gut.`,
  headUnsigned: (number) =>
    `Die Wurzel über die Einträge unter Stand ${number} passt; seine Unterschrift kann dieser Browser nicht prüfen. Der Befehl castbook-verify kann es.`,
  headBad: (number) =>
    `Der unterschriebene Stand ${number} passt NICHT zu den Einträgen: Sie wurden seit der Unterschrift geändert und neu verkettet, oder die Unterschrift ist nicht gut.`,
  headNotChecked:
    'Der unterschriebene Stand wird an den Einträgen geprüft, wenn alle ohne Halt geprüft werden.',

  // History
  history: 'Verlauf',
  historyOf: (of) => `Verlauf: ${of}`,
  readHistory: 'Zeigen, was getan wurde, von wem, und die Werte zuvor',
  historyPage: 'Der Verlauf auf einer eigenen Seite',
  eventKinds: EVENTS,
  subjectKinds: SUBJECTS,
  field: feld,
  values: {
    occasion: {
      sign_in: 'Anmeldung',
      second_factor: 'zweiter Schritt',
      pin: 'PIN',
      'signature-not-verified': 'Unterschrift',
      'password-not-verified': 'Passwort noch einmal verlangt',
      'second-factor-missing': 'zweiter Faktor noch einmal verlangt',
      'code-not-verified': 'zweiter Faktor noch einmal verlangt',
    },
    how: {
      invited: 'durch Einladung',
      self: 'selbst',
      tries: 'zu viele Fehlversuche',
      taken_off: 'weggenommen',
    },
    purpose: { invitation: 'erstes Passwort', reset: 'neues Passwort' },
    found: {
      good: 'passt',
      unsigned: 'passt, Unterschrift ungeprüft',
      bad: 'passt nicht',
    },
    cause: { daily: 'einmal am Tag', asked: 'verlangt' },
    entry: {
      first: 'der erste',
      rotation: 'vom Schlüssel davor eingeführt',
      lost: 'der Schlüssel davor ging verloren',
    },
  },
  theService: 'der Dienst',
  recordNumber: (seq) => `Eintrag ${seq}`,
  valueBefore: 'vorher',
  valueAfter: 'nachher',
  nothing: 'nichts',
  erased: 'gelöscht',
  yes: 'ja',
  no: 'nein',
  withheld: (fields) => `Geändert, aber Ihrer Rolle nicht gezeigt: ${fields}.`,
  older: 'Frühere Einträge',
  entriesSoFar: (count) => `${count} Einträge bis hier; es gibt frühere.`,
  entriesAll: (count) =>
    count === 1 ? 'Ein Eintrag; mehr nicht.' : `${count} Einträge; mehr nicht.`,
  noEntries: 'Seit der Einrichtung wurde dazu nichts festgehalten.',
  looks: 'auch wer nachgesehen hat',

  // The chain
  recordIntro:
    'Jeder Eintrag trägt einen Hash seines Inhalts und ist mit dem vorigen verkettet. Ihr eigener Browser holt sie und rechnet alles nach; was der Dienst über sich selbst sagt, wird nicht geglaubt.',
  recordLimit:
    'Wer die ganze Aufzeichnung mit jedem Hash danach neu schreibt, wird nur durch eines entdeckt: eine Nummer und ihre Gruppen, die anderswo notiert wurden. Notieren Sie sie auf Papier, mit dem Tag.',
  recordNow: 'Die Aufzeichnung jetzt',
  recordsCount: (count) => (count === 1 ? '1 Eintrag' : `${zahlen(count)} Einträge`),
  noteThis: 'Auf Papier zu notieren',
  noted: 'Was Sie früher notiert haben',
  notedHint: 'Nummer, Doppelpunkt, acht Gruppen: 3012: 9f3a 22c1 … Leer lassen, um ohne zu prüfen.',
  notedWrong: 'Das ist keine Nummer mit acht Gruppen zu vier Zeichen, 0 bis 9 und a bis f.',
  from: 'Prüfen',
  froms: { all: 'alle Einträge', noted: 'nur was nach dem notierten kam' },
  fromNotedHint:
    'Schnell, bei Millionen Einträgen. Was davor kam, wird nicht noch einmal nachgerechnet: das wurde es, als Sie notierten.',
  verifyTitle: 'Hier prüfen',
  verify: 'In diesem Browser prüfen',
  verifying: (done, of) => `${zahlen(done)} von ${zahlen(of)} Einträgen geprüft`,
  stop: 'Anhalten',
  goOn: 'Weiter',
  stopped: (seq) => `Nach Eintrag ${seq} angehalten. Bis dahin ist alles in Ordnung.`,
  whole: 'Die Aufzeichnung ist unversehrt',
  wholeWords: (count, seconds) =>
    `${count === 1 ? '1 Eintrag wurde' : `${zahlen(count)} Einträge wurden`} in ${seconds} s nachgerechnet: Inhalt, Platz und der Eintrag davor stimmen.`,
  notedFound: (seq) => `Sie enthält Eintrag ${seq} noch so, wie Sie ihn notiert haben.`,
  broken: (seq) => `Eintrag ${seq} ist nicht so, wie er geschrieben wurde`,
  faults: {
    missing: 'Der Eintrag fehlt: er wurde herausgenommen oder abgeschnitten.',
    out_of_order: 'An seiner Stelle steht ein anderer Eintrag.',
    content_changed: 'Sein Inhalt ist nicht der, aus dem beim Schreiben der Hash gebildet wurde.',
    seal_broken: 'Eine Angabe zur Person darin ist nicht die, die versiegelt wurde.',
    chain_broken: 'Er folgt nicht auf den Eintrag davor.',
    noted_head_differs:
      'Es ist nicht der Eintrag, den Sie notiert haben: die Aufzeichnung wurde neu geschrieben.',
  },
  expected: 'Sollte sein',
  found: 'Ist',
  allWellBefore: (seq) =>
    seq === 0 ? 'Kein Eintrag davor ließ sich prüfen.' : `Bis Eintrag ${seq} ist alles in Ordnung.`,
  toTell:
    'Schreiben Sie das auf, fassen Sie nichts an, und sagen Sie es der Person, die für die Aufzeichnungen der Werkstatt verantwortlich ist. Der Dienst arbeitet weiter; was er ab hier sagt, ist nicht bewiesen.',
  whatItSays: 'Was jetzt dort steht',
  unseen: (count) =>
    `Einträge, die älter sind als die Siegel und Angaben enthalten, die Ihre Rolle nicht sieht: ${count}. Ihr Platz ist geprüft, ihr Inhalt nicht.`,
  unopened: (count) =>
    count === 1
      ? 'Eine versiegelte Angabe wird Ihrer Rolle nicht gezeigt; der Dienst selbst fand, dass sie zu ihrem Siegel passt.'
      : `${count} versiegelte Angaben werden Ihrer Rolle nicht gezeigt; der Dienst selbst fand, dass sie zu ihren Siegeln passen.`,
  unopenedBroken: (seq) =>
    `In Eintrag ${seq} passt eine versiegelte Angabe, die Ihrer Rolle nicht gezeigt wird, nicht zu ihrem Siegel, wie der Dienst selbst fand.`,
  outcomeNoted: 'Was Sie gefunden haben, steht jetzt in der Aufzeichnung.',
  clinicHistory: 'Die Einstellungen der Werkstatt',
} satisfies Partial<Words['audit']>;
