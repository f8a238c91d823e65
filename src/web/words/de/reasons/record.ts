import type { RECORD_REASONS } from '../../../../domain/reasons/record.ts';
import type { ReasonWords } from '../../reasons.ts';

/** Refusals about the signed heads of the record, and proofs under them, in German. */
export const RECORD: ReasonWords<typeof RECORD_REASONS> = {
  'signed-head-unfit': {
    title: 'Der Stand schließt nicht an',
    words: (f) =>
      `Ein unterschriebener Stand sagt von den Aufzeichnungen, was nicht stimmt: ${f.field}.`,
    wayOut: () =>
      'Versuchen Sie es noch einmal: Inzwischen kann ein anderer unterschrieben worden sein. Bleibt es dabei, sagen Sie es denen, die den Dienst betreiben.',
  },
  'signing-key-unfit': {
    title: 'Der Schlüssel schließt nicht an',
    words: (f) => `Ein Signaturschlüssel folgt nicht auf den neuesten des Hauses: ${f.field}.`,
    wayOut: () =>
      'Wechseln Sie vom neuesten Schlüssel aus, wie es am Anfang von scripts/rotate-signing-key.ts steht.',
  },
  'signing-key-replaced': {
    title: 'Der Dienst unterschreibt nicht mit dem neuesten Schlüssel',
    words: (f) =>
      `Der Dienst hat den Schlüssel ${f.keyId}; der neueste der Aufzeichnungen ist ${f.newest}.`,
    wayOut: () =>
      'Wer den Dienst betreibt, gibt ihm den neuesten Schlüssel oder führt den seinen durch einen Wechsel ein.',
  },
  'head-signing-off': {
    title: 'Der Dienst hat keinen Signaturschlüssel',
    words: () =>
      'Es lässt sich kein Stand der Aufzeichnungen unterschreiben: Der Dienst wurde ohne Schlüssel gestartet.',
    wayOut: () => 'Wer den Dienst betreibt, gibt ihm HEAD_SIGNING_KEY, wie es im README steht.',
  },
  'record-empty': {
    title: 'Es ist noch nichts aufgezeichnet',
    words: () =>
      'Die Aufzeichnungen enthalten noch kein Ereignis; es gibt nichts zu unterschreiben.',
    wayOut: () => 'Unterschreiben Sie nach der ersten Handlung.',
  },
  'record-tree-behind': {
    title: 'Der Baum der Aufzeichnungen entsteht noch',
    words: (f) => `Der Baum enthält bisher ${f.events} Ereignisse; die übrigen kommen noch hinein.`,
    wayOut: () =>
      'Versuchen Sie es in einigen Minuten noch einmal: Das tägliche Unterschreiben baut den Baum.',
  },
  'record-tree-damaged': {
    title: 'Die Aufzeichnungen passen nicht zu einem unterschriebenen Stand',
    words: (f) =>
      `Die ersten ${f.treeSize} Ereignisse, oder die Knoten darüber, sind nicht die, die unterschrieben wurden.`,
    wayOut: () =>
      'Sichern Sie einen Auszug und prüfen Sie ihn fern vom Dienst. Ist er in Ordnung, werden die Knoten mit scripts/merkle-nodes.ts neu gemacht.',
  },
  'event-not-under-head': {
    title: 'So weit reicht der Stand nicht',
    words: (f) => `Ereignis ${f.seq} kam nach diesem Stand, der ${f.treeSize} Ereignisse umfasst.`,
    wayOut: () => 'Nehmen Sie einen späteren Stand, oder lassen Sie jetzt einen unterschreiben.',
  },
  'head-is-no-earlier-one': {
    title: 'Von einem späteren Stand zu einem früheren gefragt',
    words: (f) => `Stand ${f.from} kam nach Stand ${f.number}: Ein Stand enthält, was vor ihm war.`,
    wayOut: () => 'Fragen Sie beim späteren Stand nach, vom früheren aus.',
  },
};
