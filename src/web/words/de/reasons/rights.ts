import type { RIGHTS_REASONS } from '../../../../domain/reasons/rights.ts';
import type { ReasonWords } from '../../reasons.ts';
import { tag } from '../wort.ts';

/** Refusals about what is kept, held, corrected, handed out and erased (R10), in German. */
export const RIGHTS: ReasonWords<typeof RIGHTS_REASONS> = {
  'record-on-hold': {
    title: 'Die Akte hat eine Löschsperre',
    words: (f) =>
      `${f.count === 1 ? 'Eine Löschsperre ist' : `${f.count} Löschsperren sind`} in Kraft (Zeichen ${f.reference}); es wird nichts gelöscht.`,
    wayOut: () =>
      'Die Verwaltung hebt die Löschsperre auf, wenn die Stelle es sagt, die sie verlangt hat.',
  },
  'retention-not-over': {
    title: 'Die Akte ist noch aufzubewahren',
    words: (f) =>
      f.keptUntil === null
        ? 'Für diese Person ist ein Auftrag in Arbeit; ihre Jahre haben noch nicht begonnen.'
        : `Wer die Person ist, muss bis zum ${tag(f.keptUntil)} aufbewahrt werden.`,
    wayOut: () =>
      'Warten Sie, bis die Jahre um sind. Telefon, Adresse und Notizen an den Empfang können vorher gelöscht werden.',
  },
  'erasure-needs-two': {
    title: 'Eine zweite Person bestätigt',
    words: () => 'Sie haben diese Löschung verlangt; wer verlangt, bestätigt nicht.',
    wayOut: () => 'Lassen Sie sie von einer anderen Orthopädietechnikerin bestätigen.',
  },
  'erasure-not-confirmed': {
    title: 'Die Löschung ist nicht bestätigt',
    words: () => 'Gelöscht wird durch die Unterschrift einer zweiten Person und nur durch sie.',
    wayOut: () => 'Lassen Sie sie lesen und bestätigen.',
  },
  'erasure-settled': {
    title: 'Die Löschung ist erledigt',
    words: (f) =>
      f.state === 'withdrawn' ? 'Sie wurde schon zurückgezogen.' : 'Sie wurde schon ausgeführt.',
    wayOut: () => 'Soll anderes gelöscht werden, verlangen Sie eine weitere Löschung.',
  },
  'erasure-open-already': {
    title: 'Eine Löschung wartet schon',
    words: () => 'Für diese Person ist eine Löschung verlangt und noch nicht erledigt.',
    wayOut: () => 'Lassen Sie sie bestätigen, oder ziehen Sie sie zurück.',
  },
  'erasure-of-nothing': {
    title: 'Davon ist nichts mehr da',
    words: () => 'Von dem, was gelöscht werden soll, steht nichts mehr in der Akte.',
    wayOut: () => 'Nichts zu tun.',
  },
  'answer-erased': {
    title: 'Die Antwort ist gelöscht',
    words: () =>
      'Diese Anfrage wurde schon ausgeführt; ihre Antwort nannte eine Person, von der seither etwas gelöscht wurde.',
    wayOut: () => 'Lesen Sie die Akte, wie sie jetzt ist.',
  },
  'result-erased': {
    title: 'Das Ergebnis ist gelöscht',
    words: () => 'Es nannte eine Person, von der seither etwas gelöscht wurde.',
    wayOut: () => 'Geben Sie die Arbeit noch einmal in Auftrag.',
  },
  'photo-erased': {
    title: 'Das Foto ist gelöscht',
    words: () =>
      'Es wurde gelöscht, als die Jahre seiner Akte um waren; sein SHA-256 ist aufbewahrt.',
    wayOut: () => 'Nichts zu tun.',
  },
  'hold-lifted-already': {
    title: 'Die Löschsperre ist aufgehoben',
    words: () => 'Diese Löschsperre wurde schon aufgehoben.',
    wayOut: () => 'Setzen Sie eine weitere, wenn wieder nichts gelöscht werden soll.',
  },
  'hold-placed-already': {
    title: 'Diese Löschsperre ist schon in Kraft',
    words: (f) => `Eine Löschsperre mit dem Zeichen ${f.reference} ist dafür in Kraft.`,
    wayOut: () => 'Nichts zu tun; eine mit anderem Zeichen kann daneben stehen.',
  },
  'lot-unknown': {
    title: 'Eine solche Charge dieses Teils gibt es nicht',
    words: (f) => `Kein Stück dieses Teils hat die Charge ${f.lot}.`,
    wayOut: () => 'Lesen Sie die Charge vom Etikett oder aus einem Rückruf.',
  },
  'correction-of-nothing': {
    title: 'Diesen Eintrag gibt es nicht',
    words: () => 'Der Eintrag, der berichtigt werden soll, gehört nicht zu dieser Person.',
    wayOut: () => 'Öffnen Sie den Eintrag noch einmal, und berichtigen Sie ihn von dort.',
  },
  'correction-not-yours': {
    title: 'Nicht von Ihnen zu berichtigen',
    words: () => 'Einen Eintrag berichtigt, wer ihn gemacht hat, oder eine Orthopädietechnikerin.',
    wayOut: () => 'Fragen Sie eine Orthopädietechnikerin.',
  },
  'correction-not-signed': {
    title: 'Die Berichtigung ist nicht unterschrieben',
    words: () => 'Eine Berichtigung gilt durch die Unterschrift dessen, der sie macht.',
    wayOut: () => 'Unterschreiben Sie sie.',
  },
  'correction-request-not-accepted': {
    title: 'Das Begehren ist nicht angenommen',
    words: () =>
      'Eine Berichtigung antwortet auf ein Begehren dieser Person, das angenommen wurde.',
    wayOut: () => 'Entscheiden Sie zuerst, oder berichtigen Sie, ohne es zu nennen.',
  },
  'correction-decided-already': {
    title: 'Über das Begehren ist entschieden',
    words: (f) =>
      `Dieses Begehren wurde schon ${f.decision === 'accepted' ? 'angenommen' : 'abgelehnt'}.`,
    wayOut: () => 'Nehmen Sie ein weiteres auf, wenn die Person etwas anderes verlangt.',
  },
  'denial-ground-of-nothing': {
    title: 'Es wird nichts abgelehnt',
    words: () => 'Ein Begehren, das angenommen wird, hat keinen Grund der Ablehnung.',
    wayOut: () => 'Lassen Sie den Grund weg, oder lehnen Sie ab.',
  },
  'disagreement-with-nothing': {
    title: 'Es wurde nichts abgelehnt',
    words: () => 'Eine Gegendarstellung antwortet auf ein Begehren, das abgelehnt wurde.',
    wayOut: () => 'Entscheiden Sie zuerst über das Begehren.',
  },
  'disagreement-stands': {
    title: 'Eine Gegendarstellung ist schon da',
    words: () => 'Die Gegendarstellung der Person steht schon neben diesem Begehren.',
    wayOut: () => 'Nehmen Sie ein weiteres Begehren auf, wenn die Person mehr zu sagen hat.',
  },
};
