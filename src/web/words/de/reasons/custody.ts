import type { CUSTODY_REASONS } from '../../../../domain/reasons/custody.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, wort, zeit } from '../wort.ts';

/** Refusals about where things are and what fits where, in German. */
export const CUSTODY: ReasonWords<typeof CUSTODY_REASONS> = {
  'item-is-elsewhere': {
    title: 'Das Stück ist nicht, wo die Bewegung es annimmt',
    words: (f) =>
      f.place === null
        ? `${f.item} ist nie eingegangen.`
        : `${f.item} ist nicht am Ort „${f.expected === null ? 'nirgends' : satz(f.expected)}“: es ist am Ort „${satz(f.place)}“ (${f.movedBy ?? 'unbekannt'}, ${f.movedAt === null ? 'Zeit unbekannt' : zeit(f.movedAt)}).`,
    wayOut: () =>
      'Lesen Sie das Stück noch einmal; haben Sie es in der Hand, zeichnen Sie die Bewegung von dort auf, wo das Buch es hat.',
  },
  'position-is-occupied': {
    title: 'An der Stelle sitzt schon etwas',
    words: (f) => `${satz(f.place)}: dort sitzt schon ${f.holds}.`,
    wayOut: () => 'Bauen Sie zuerst aus, was dort sitzt; gehört es anderswohin, im selben Umbau.',
  },
  'single-use-again': {
    title: 'Einmalteil in einem zweiten Schaft',
    words: (f) => `${f.item} ist für den Einmalgebrauch und war schon in einem anderen Schaft.`,
    wayOut: () => 'Lassen Sie es zurück und geben Sie ein neues aus; sondern Sie das alte aus.',
  },
  'thing-unknown': {
    title: 'Kein solches Stück oder Werkzeug',
    words: (f) => `In dieser Werkstatt gibt es kein Stück oder Werkzeug ${f.thing}.`,
    wayOut: () => 'Scannen Sie es noch einmal, oder nehmen Sie es zuerst in ein Lagerfach auf.',
  },
  'scrap-stays-scrap': {
    title: 'Ausgesondertes wird nicht wieder verwendet',
    words: (f) => `${f.item} wurde ausgesondert.`,
    wayOut: () => 'Nehmen Sie ein anderes.',
  },
  'position-takes-another-kind': {
    title: 'Die Stelle nimmt etwas anderes auf',
    words: (f) =>
      `Die Stelle „${wort(f.position)}“ nimmt auf: ${wort(f.takes)}; nicht: ${wort(f.kind)}.`,
    wayOut: () => 'Wählen Sie die Stelle, für die das Passteil gemacht ist.',
  },
  'hole-pattern-differs': {
    title: 'Lochbilder passen nicht zusammen',
    words: (f) => `${f.part} hat ${f.pattern}; ${f.other} hat ${f.otherPattern}.`,
    wayOut: () => 'Wählen Sie ein Passteil mit demselben Lochbild.',
  },
  'thread-differs': {
    title: 'Gewinde passen nicht zusammen',
    words: (f) => `${f.part} hat Gewinde ${f.thread}; ${f.other} hat ${f.otherThread}.`,
    wayOut: () =>
      'Wählen Sie Schrauben oder ein Passteil mit demselben Gewinde; erzwingen Sie nie ein Gewinde.',
  },
  'pin-does-not-fit-lock': {
    title: 'Pin und Arretierung gehören nicht zusammen',
    words: (f) => `${f.part} ist für ${f.fit} gemacht; ${f.other} nimmt ${f.otherFit} auf.`,
    wayOut: () => 'Verwenden Sie den Pin, den der Hersteller der Arretierung nennt.',
  },
  'side-differs': {
    title: 'Passteil für die andere Seite',
    words: (f) =>
      `${f.part} ist für die Seite ${wort(f.side)}; der Auftrag ist für ${wort(f.orderSide)}.`,
    wayOut: () => 'Prüfen Sie die Seite auf dem Laufzettel und nehmen Sie das passende Teil.',
  },
  'body-mass-missing': {
    title: 'Kein Körpergewicht aufgezeichnet',
    words: (f) =>
      `Für ${f.patient} ist kein Körpergewicht aufgezeichnet; das zulässige lässt sich darum nicht prüfen.`,
    wayOut: () => 'Wiegen Sie und zeichnen Sie das Körpergewicht mit dem Tag auf.',
  },
  'part-withdrawn': {
    title: 'Passteil aus dem Katalog genommen',
    words: (f) => `${f.part} ist aus dem Katalog dieser Werkstatt genommen.`,
    wayOut: () =>
      'Wählen Sie ein Passteil in Gebrauch, oder fragen Sie die Administration nach dem Grund.',
  },
  'item-expired': {
    title: 'Das Stück ist über seinen letzten Verwendungstag hinaus',
    words: (f) =>
      `${f.item} war bis ${tag(f.expiresOn)} zu verwenden; die Bewegung ist vom ${tag(f.on)}.`,
    wayOut: () => 'Nehmen Sie ein neues, und sperren Sie dieses oder sondern Sie es aus.',
  },
  'definitive-not-ready': {
    title: 'Der Definitivschaft nimmt noch keine Passteile auf',
    words: (f) =>
      `In Schaft ${f.socket} sitzt noch der Dummy, oder er ist nicht ausgehärtet, oder seine Arretierungskammer ist nicht geprüft.`,
    wayOut: () => 'Aushärten lassen, Dummy ziehen, Kammer prüfen, in dieser Reihenfolge.',
  },
  'socket-is-retired': {
    title: 'Der Schaft wird nicht mehr gebraucht',
    words: (f) => `Schaft ${f.socket} ist ${wort(f.state)}.`,
    wayOut: () => 'Wählen Sie den Schaft, der ihn ersetzt hat.',
  },
  'worn-hardware-still-in': {
    title: 'Der getragene Schaft enthält noch seine Passteile',
    words: (f) => `Schaft ${f.socket} wird getragen und enthält noch wiederverwendbare Passteile.`,
    wayOut: () => 'Bauen Sie die Passteile in einem Service um, und schließen Sie ihn dann ab.',
  },
  'worn-moves-in-service-only': {
    title: 'Dieser Schaft wird getragen',
    words: (f) =>
      `Schaft ${f.socket} ist abgegeben; seine Passteile bewegen sich nur in einem offenen Service.`,
    wayOut: () => 'Eröffnen Sie für den Auftrag einen Service, und nennen Sie ihn in der Bewegung.',
  },
  'shop-tool-stays-here': {
    title: 'Ein Werkzeug ist noch im Schaft',
    words: (f) =>
      `In Schaft ${f.socket} sitzt noch ein Werkzeug; Werkzeuge verlassen die Werkstatt nie mit der Prothese.`,
    wayOut: () => 'Nehmen Sie Dummy oder Laminierplatte heraus und zeichnen Sie die Bewegung auf.',
  },
  'bin-only-from-here': {
    title: 'Gesperrtes geht zurück in ein Lagerfach oder wird ausgesondert',
    words: (f) => `${f.item} ist gesperrt und kann nicht nach „${satz(f.place)}“.`,
    wayOut: () => 'Geben Sie es mit Grund in ein Lagerfach frei, oder sondern Sie es aus.',
  },
  'nothing-to-transfer': {
    title: 'Der Umbau nennt ein Stück, das der Schaft nicht enthält',
    words: (f) => `Schaft ${f.socket} enthält eines der genannten Stücke nicht.`,
    wayOut: () => 'Lesen Sie, was der alte Schaft enthält, und nennen Sie diese Stücke.',
  },
  'place-name-taken': {
    title: 'Einen Ort dieses Namens gibt es',
    words: (f) => `Es gibt schon einen Ort ${f.name}.`,
    wayOut: () => 'Wählen Sie einen anderen Namen.',
  },
  'serial-differs-in-case': {
    title: 'Seriennummern, die sich nur in der Großschreibung unterscheiden',
    words: (f) =>
      `${f.part}, Seriennummer ${f.serial}, unterscheidet sich von ${f.other} nur in Groß- und Kleinbuchstaben; beide sind aufgezeichnet.`,
    wayOut: () =>
      'Vergleichen Sie beide Stücke mit ihren Etiketten. Ist es ein Stück, zweimal eingegangen, sondern Sie den zweiten Eintrag mit einer Bemerkung aus.',
  },
  'serial-already-received': {
    title: 'Seriennummer schon eingegangen',
    words: (f) =>
      `${f.part} mit einer dieser Seriennummern steht schon im Buch: ${f.serials.join(', ')}.`,
    wayOut: () => 'Lesen Sie das Etikett noch einmal; jedes Stück geht einmal ein.',
  },
};
