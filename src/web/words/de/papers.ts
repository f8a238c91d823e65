/** The texts of labels and papers, in German. */
import type { Words } from '../en.ts';

export const papers: Words['papers'] = {
  title: 'Papiere',
  labelsTitle: 'Etiketten',
  print: 'Drucken',
  openPrinted: 'Noch einmal öffnen',
  socketLabel: (socket) => `Etikett von ${socket}`,
  modelLabel: (cast) => `Etikett des Modells von Abdruck ${cast}`,
  binLabel: (bin) => `Etikett von ${bin}`,
  moveSlip: (socket) => `Umbauzettel der Passteile von ${socket}`,
  deliveryRecord: (socket) => `Abgabeprotokoll von ${socket}`,
  wearerSheet: (socket) => `Merkblatt für die Person, die ${socket} trägt`,
  noPapers: 'Etiketten gibt es, sobald es Abdruck und Schäfte gibt.',

  // Sizes
  sizesTitle: 'Größe der Etiketten',
  sizesHint:
    'Messen Sie die Etiketten in Ihrem Drucker. Der Code bleibt lesbar: was zu klein ist, wird abgelehnt.',
  kinds: { socket: 'Schaft', model: 'Modell (Form)', bin: 'Lagerfach' },
  widthOf: (kind) => `${kind}: Breite, mm`,
  heightOf: (kind) => `${kind}: Höhe, mm`,
  margin: 'Rand ringsum, mm',
  write: 'Größen aufzeichnen',
  written: (version) => `Fassung ${version} der Etikettengrößen gilt.`,
  inForce: (version, by, at) => `Es gilt Fassung ${version}, von ${by}, ${at}.`,
  starting: 'Das sind Anfangswerte; noch hat niemand Größen eingetragen.',
  bins: 'Lagerfächer',
  noBins: 'Noch gibt es keine Lagerfächer.',

  // What a scanned label opens
  bin: 'Lagerfach',
  lies: 'Liegt hier',
  nothingLies: 'Hier liegt nichts.',
  noSuchSocket: (number) => `Dieser Auftrag hat keinen Schaft ${number}.`,
  noSuchBin: 'Das ist kein Lagerfach dieser Werkstatt.',

  // Where a piece goes
  whereTo: 'Wohin',
  theBench: 'die Werkbank',
  scanBin: 'Etikett des Lagerfachs einlesen',
  scanBinHint: 'Lesen Sie es ein, oder wählen Sie das Lagerfach oben.',
  notABin: 'Das ist kein Etikett eines unserer Lagerfächer.',
};
