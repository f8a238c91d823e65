import type { DELIVERY_REASONS } from '../../../../domain/reasons/delivery.ts';
import { ofSmall } from '../../../../domain/reasons/measures.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { wort } from '../wort.ts';

/** What stands between a socket and its delivery, in German. */
export const DELIVERY: ReasonWords<typeof DELIVERY_REASONS> = {
  'operation-not-done': {
    title: 'Ein Arbeitsgang ist nicht erledigt',
    words: (f) => `„${f.operation}“ von ${f.socket}: ${wort(f.state)}.`,
    wayOut: (f) => `Führen Sie „${f.operation}“ aus und zeichnen Sie es auf.`,
  },
  'joint-open': {
    title: 'Eine Verschraubung ist offen',
    words: (f) => `Verschraubung „${wort(f.joint)}“ von ${f.socket}: ${satz(f.why)}.`,
    wayOut: () =>
      'Ziehen Sie jede Schraube der Verschraubung der Reihe nach an und zeichnen Sie die Werte auf.',
  },
  'joint-in-doubt': {
    title: 'Eine Verschraubung ist im Zweifel',
    words: (f) =>
      `Verschraubung „${wort(f.joint)}“ von ${f.socket}: ${satz(f.why)}. Ihre Werte beweisen nichts.`,
    wayOut: () =>
      'Ziehen Sie jede Schraube mit einem Schlüssel neu an, dessen Kalibrierung gilt; nehmen Sie neue Schrauben, wo die Schraubensicherung ausgehärtet ist.',
  },
  'joint-without-setting': {
    title: 'Kein Drehmoment für die Verschraubung',
    words: (f) =>
      `Nichts in der Verschraubung „${wort(f.joint)}“ von ${f.socket} hat ein hinterlegtes Drehmoment (${f.part}).`,
    wayOut: () =>
      'Die Administration trägt die Vorgabe des Herstellers mit Dokument und Ausgabe ein.',
  },
  'hardware-missing': {
    title: 'Ein Passteil fehlt',
    words: (f) => `In Schaft ${f.socket} ist die Stelle „${wort(f.position)}“ leer.`,
    wayOut: () => 'Bauen Sie das Passteil an seiner Stelle ein.',
  },
  'lock-check-not-valid': {
    title: 'Die Prüfung der Arretierung ist offen',
    words: (f) => `Arretierung von ${f.socket}: ${satz(f.why)}.`,
    wayOut: () =>
      'Prüfen Sie die Arretierung mit ihrem Pin: Klicks zählen, ziehen, lösen, wiederholen; aufzeichnen.',
  },
  'finding-open': {
    title: 'Ein Befund ist offen',
    words: (f) => `Befund an ${f.socket}: ${satz(f.finding)}.`,
    wayOut: () =>
      'Erledigen Sie ihn: Nacharbeit, Neuanfertigung, so annehmen mit Grund und Unterschrift, oder aussondern.',
  },
  'batch-not-good': {
    title: 'Eine verwendete Charge ist nicht gut',
    words: (f) => `Charge ${f.lot} in ${f.socket} ${satz(f.why)}.`,
    wayOut: () =>
      'Melden Sie am Schaft einen Befund, der die Charge nennt, und erledigen Sie ihn; es entscheidet die OT-Meisterin oder der OT-Meister.',
  },
  'fit-not-accepted': {
    title: 'Keine angenommene Passform',
    words: (f) => `Für Auftrag ${f.order} hat niemand eine Passform angenommen.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister beurteilt den Testschaft, oder lässt die Anprobe mit Unterschrift aus.',
  },
  'releaser-did-the-work': {
    title: 'Wer freigibt, hat die ganze Werkbankarbeit gemacht',
    words: (f) =>
      `${f.person} hat allein an der Werkbank gearbeitet und kann nicht allein freigeben.`,
    wayOut: () =>
      'Eine andere OT-Meisterin oder ein anderer OT-Meister gibt frei, oder die Werkstatt ändert ihre Regel.',
  },
  'alignment-missing': {
    title: 'Der Aufbau ist nicht gemessen',
    words: (f) => `Aufbau von ${f.socket}: ${satz(f.why)}.`,
    wayOut: () =>
      'Messen Sie ihn mit den Passteilen, wie sie jetzt sitzen, und zeichnen Sie ihn auf.',
  },
  'alignment-out-of-tolerance': {
    title: 'Der Aufbau weicht vom angenommenen ab',
    words: (f, m) =>
      `${f.socket}: ${f.differences.map((each) => satz(each, ofSmall(m))).join('; ')}.`,
    wayOut: () =>
      'Stellen Sie nach und messen Sie noch einmal, oder die OT-Meisterin oder der OT-Meister nimmt die Abweichung mit Unterschrift an.',
  },
  'no-definitive-socket': {
    title: 'Noch ist kein Definitivschaft begonnen',
    words: (f) => `Auftrag ${f.order} hat keinen Definitivschaft in Arbeit.`,
    wayOut: () => 'Beginnen Sie ihn an der Werkbank, sobald die Passform angenommen ist.',
  },
  'not-the-socket-to-deliver': {
    title: 'Dieser Schaft kann nicht abgegeben werden',
    words: (f) => `${f.socket}: ${wort(f.kind)}, ${wort(f.state)}.`,
    wayOut: () => 'Geben Sie den Definitivschaft in Arbeit ab.',
  },
  'delivery-not-signed': {
    title: 'Keine unterschriebene Abgabe',
    words: (f) => `Schaft ${f.socket} hat keine unterschriebene Abgabe.`,
    wayOut: () => 'Geben Sie ihn über seinen Auftrag ab, mit Unterschrift.',
  },
  'delivery-has-open-findings': {
    title: 'Offene Befunde',
    words: (f) => `Schaft ${f.socket} hat offene Befunde.`,
    wayOut: () => 'Erledigen Sie diese zuerst.',
  },
  'visit-already-open': {
    title: 'Ein Service ist schon offen',
    words: (f) => `Schaft ${f.socket} hat einen offenen Service.`,
    wayOut: () => 'Arbeiten Sie in diesem weiter, oder schließen Sie ihn zuerst ab.',
  },
  'visit-closed': {
    title: 'Der Service ist abgeschlossen',
    words: (f) => `Der Service für ${f.socket} ist abgeschlossen.`,
    wayOut: () => 'Eröffnen Sie einen neuen.',
  },
  'receiver-works-here': {
    title: 'Mitarbeitende dürfen nicht für die Patientin oder den Patienten entgegennehmen',
    words: (f) =>
      `${f.name} arbeitet für die Werkstatt; die Patientin, der Patient oder eine bevollmächtigte Person nimmt die Prothese entgegen (CMS Program Integrity Manual Kap. 4 § 4.7.3).`,
    wayOut: () => 'Tragen Sie ein, wer sie entgegengenommen hat, und die Beziehung.',
  },
};
