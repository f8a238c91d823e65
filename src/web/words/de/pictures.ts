/** The texts about pictures, in German. */
import type { Words } from '../en.ts';

export const pictures: Words['pictures'] = {
  take: 'Foto aufnehmen',
  another: 'Noch ein Foto',
  hint: (most) =>
    `Höchstens ${most}. Sie werden verkleinert; wo sie aufgenommen wurden, wird nicht behalten.`,
  taken: (n) => `Foto ${n}`,
  remove: 'Entfernen',
  unread:
    'Diese Datei ist kein Bild, das dieses Telefon lesen kann. Nehmen Sie es noch einmal auf.',
  count: (count) => (count === 1 ? '1 Foto' : `${count} Fotos`),
};
