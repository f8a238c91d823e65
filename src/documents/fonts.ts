/**
 * The two typefaces of all printed papers. Atkinson Hyperlegible Next was drawn so
 * that 0 and O, 1, l and I cannot be taken for each other: serials and lots are
 * read through dust. DejaVu Sans Condensed lends the letters it lacks (Greek,
 * Cyrillic, signs). Both are free to embed (SIL OFL 1.1; Bitstream Vera licence).
 */
import fs from 'node:fs';
import { createRequire } from 'node:module';

export type Weight = 'regular' | 'bold';
export type Face = 'text' | 'lent';

const require = createRequire(import.meta.url);

const FILES = {
  text: {
    regular:
      require.resolve('@expo-google-fonts/atkinson-hyperlegible-next/400Regular/AtkinsonHyperlegibleNext_400Regular.ttf'),
    bold: require.resolve('@expo-google-fonts/atkinson-hyperlegible-next/700Bold/AtkinsonHyperlegibleNext_700Bold.ttf'),
  },
  lent: {
    regular: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf'),
    bold: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf'),
  },
} as const satisfies Record<Face, Record<Weight, string>>;

const loaded = new Map<string, Buffer>();

/** The bytes of a font file, read once for the life of the process. */
export function fontBytes(face: Face, weight: Weight): Buffer {
  const file = FILES[face][weight];
  const bytes = loaded.get(file) ?? fs.readFileSync(file);
  loaded.set(file, bytes);
  return bytes;
}
