import type { PAPERS_REASONS } from '../../../../domain/reasons/papers.ts';
import type { ReasonWords } from '../../reasons.ts';

/** Refusals about labels and papers, in German. */
export const PAPERS: ReasonWords<typeof PAPERS_REASONS> = {
  'label-size-impossible': {
    title: 'So groß ist kein Etikett',
    words: (f, m) =>
      `Es ist ${m.figure(f.value)} mm; möglich sind ${m.figure(f.least)} bis ${m.figure(f.greatest)} mm.`,
    wayOut: () =>
      'Messen Sie die Etiketten nach. Auf einem kleineren lässt sich der Code an der Werkbank nicht lesen: nehmen Sie größere.',
  },
  'socket-not-delivered': {
    title: 'Noch nicht abgegeben',
    words: (f) =>
      `Schaft ${f.socket} hat keine unterschriebene Abgabe: auf dieses Papier gehört noch nichts.`,
    wayOut: () => 'Geben Sie ihn zuerst ab; bei der Abgabe steht, was fehlt.',
  },
  'scan-not-ours': {
    title: 'Kein Code dieses Hauses',
    words: (f) =>
      `„${f.scanned}“ ist kein Code eines Auftrags, eines Schafts oder eines Lagerfachs.`,
    wayOut: () =>
      'Scannen Sie Etikett oder Laufzettel noch einmal, oder geben Sie die Nummer ein, die darauf steht.',
  },
};
