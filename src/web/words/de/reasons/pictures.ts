import type { PICTURE_REASONS } from '../../../../domain/reasons/pictures.ts';
import type { ReasonWords } from '../../reasons.ts';

const NOCH_EINMAL = 'Nehmen Sie das Bild noch einmal auf, oder lassen Sie es weg.';
const KLEINER = 'Verkleinern Sie es vor dem Senden: 1600 Bildpunkte an der längeren Seite genügen.';

/** Refusals about pictures that are to be kept with the record, in German. */
export const PICTURES: ReasonWords<typeof PICTURE_REASONS> = {
  'picture-too-large': {
    title: 'Ein Bild ist zu groß',
    words: (f) => `Das Bild hat ${f.bytes} Bytes; aufbewahrt werden höchstens ${f.limitBytes}.`,
    wayOut: () => KLEINER,
  },
  'picture-edge-too-long': {
    title: 'Ein Bild hat zu viele Bildpunkte',
    words: (f) =>
      `Die längere Seite des Bildes hat ${f.edgePx} Bildpunkte; aufbewahrt werden höchstens ${f.limitPx}.`,
    wayOut: () => KLEINER,
  },
  'picture-unreadable': {
    title: 'Kein Bild, das sich aufbewahren lässt',
    words: () => 'Die Datei ist kein Bild in JPEG, PNG oder WebP, wie auch immer sie heißt.',
    wayOut: () => `Aufbewahrt werden Bilder in JPEG, PNG oder WebP. ${NOCH_EINMAL}`,
  },
  'picture-truncated': {
    title: 'Ein Bild ist abgeschnitten',
    words: (f) =>
      `Das Bild (${f.mediaType}) hört vor seinem Ende auf: ein Teil ging unterwegs verloren.`,
    wayOut: () => NOCH_EINMAL,
  },
  'picture-tells-more': {
    title: 'Ein Bild verrät mehr, als es zeigt',
    words: () =>
      'Die Datei enthält, was Kamera oder Programm neben das Bild geschrieben haben (Exif, XMP, Kommentare), vielleicht auch den Aufnahmeort.',
    wayOut: () => 'Senden Sie es ohne; die Seiten dieses Dienstes entfernen das selbst.',
  },
};
