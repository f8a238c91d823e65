/**
 * Setting text in any script: what the text face lacks is set in the lent face,
 * and what neither has is written out as its code (`[U+4E2D]`), so that nothing
 * that stands in the record is silently missing on paper.
 */
import { fontBytes, type Face, type Weight } from './fonts.ts';

export interface TextStyle {
  readonly sizePt: number;
  readonly weight: Weight;
}

/** A stretch of text that one face can set. */
interface Run {
  readonly text: string;
  readonly face: Face;
}

/** Distance from baseline to baseline, as a share of the type size. */
const LEADING = 1.26;
/** Where the baseline lies under the top of a line, as a share of the type size. */
const BASELINE = 0.98;

export const lineHeightPt = (style: TextStyle): number => style.sizePt * LEADING;

/** Controls and formatting characters: they would be invisible, or turn the text round. */
const INVISIBLE = /^\p{C}$/u;

const codeOf = (character: string): string =>
  `[U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}]`;

/** Measures and draws text on one PDF. */
export interface Typesetter {
  /** Width of one line of text in points. */
  widthPt(text: string, style: TextStyle): number;
  /** Breaks text into lines at blanks and line feeds, inside a word only where it is wider than the line. */
  wrap(text: string, style: TextStyle, widthPt: number): string[];
  /** Draws one line with its top at `yPt`. */
  line(text: string, xPt: number, yPt: number, style: TextStyle, ink?: 'black' | 'white'): void;
}

/** pdfkit's open font; its glyph table is not among pdfkit's published types. */
interface OpenFont {
  readonly _font: { readonly font: { hasGlyphForCodePoint(codePoint: number): boolean } };
}

/** Both faces have all of these: most text, quickly known. */
const PLAIN = /^[\x20-\x7e]*$/;

/** Adds a run, joined to the one before where that has the same face. */
function append(runs: Run[], next: Run): void {
  const last = runs.at(-1);
  if (last?.face === next.face) {
    runs[runs.length - 1] = { text: last.text + next.text, face: last.face };
  } else runs.push(next);
}

const fontName = (face: Face, weight: Weight): string => `${face}-${weight}`;

export function typesetter(pdf: PDFKit.PDFDocument): Typesetter {
  for (const face of ['text', 'lent'] as const) {
    for (const weight of ['regular', 'bold'] as const) {
      pdf.registerFont(fontName(face, weight), fontBytes(face, weight));
    }
  }
  const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });
  const known = new Map<string, boolean>();
  const words = new Map<string, readonly Run[]>();

  const has = (character: string, face: Face, weight: Weight): boolean => {
    const key = `${face}${weight}${character}`;
    const before = known.get(key);
    if (before !== undefined) return before;
    pdf.font(fontName(face, weight));
    const { font } = (pdf as unknown as OpenFont)._font;
    const all = Array.from(character).every(
      (each) => !INVISIBLE.test(each) && font.hasGlyphForCodePoint(each.codePointAt(0) ?? 0),
    );
    known.set(key, all);
    return all;
  };

  const segmentsOf = (text: string): string[] =>
    [...graphemes.segment(text)].map(({ segment }) => segment);

  /** A word in one face where one has all of it; else character by character, codes for what neither has. */
  const runsOfWord = (word: string, weight: Weight): readonly Run[] => {
    if (PLAIN.test(word)) return [{ text: word, face: 'text' }];
    const key = `${weight} ${word}`;
    const before = words.get(key);
    if (before !== undefined) return before;
    const runs = makeRuns(word, weight);
    words.set(key, runs);
    return runs;
  };

  const makeRuns = (word: string, weight: Weight): Run[] => {
    const characters = segmentsOf(word);
    for (const face of ['text', 'lent'] as const) {
      if (characters.every((each) => has(each, face, weight))) return [{ text: word, face }];
    }
    return characters.map((each): Run => {
      if (has(each, 'text', weight)) return { text: each, face: 'text' };
      if (has(each, 'lent', weight)) return { text: each, face: 'lent' };
      return { text: Array.from(each, codeOf).join(''), face: 'text' };
    });
  };

  const runsOf = (text: string, weight: Weight): Run[] => {
    if (PLAIN.test(text)) return [{ text, face: 'text' }];
    const runs: Run[] = [];
    for (const word of text
      .normalize('NFC')
      .replaceAll('\t', ' ')
      .split(/(?<= )/)) {
      const letters = word.endsWith(' ') ? word.slice(0, -1) : word;
      const blank = word.slice(letters.length);
      for (const next of letters === '' ? [] : runsOfWord(letters, weight)) append(runs, next);
      if (blank !== '') append(runs, { text: blank, face: runs.at(-1)?.face ?? 'text' });
    }
    return runs;
  };

  const select = (face: Face, style: TextStyle): PDFKit.PDFDocument =>
    pdf.font(fontName(face, style.weight)).fontSize(style.sizePt);

  const widthPt = (text: string, style: TextStyle): number =>
    runsOf(text, style.weight).reduce(
      (width, run) => width + select(run.face, style).widthOfString(run.text),
      0,
    );

  /** Cuts a word that is wider than the line, between characters as people see them. */
  const cut = (word: string, style: TextStyle, limitPt: number): string[] => {
    const pieces: string[] = [];
    let piece = '';
    for (const segment of segmentsOf(word)) {
      if (piece !== '' && widthPt(piece + segment, style) > limitPt) {
        pieces.push(piece);
        piece = '';
      }
      piece += segment;
    }
    return [...pieces, piece];
  };

  const wrapParagraph = (paragraph: string, style: TextStyle, limitPt: number): string[] => {
    const lines: string[] = [];
    const blankPt = widthPt(' ', style);
    let line = '';
    let usedPt = 0;
    for (const word of paragraph.split(' ').filter((each) => each !== '')) {
      const wordPt = widthPt(word, style);
      if (line !== '' && usedPt + blankPt + wordPt <= limitPt) {
        line = `${line} ${word}`;
        usedPt += blankPt + wordPt;
        continue;
      }
      if (line !== '') lines.push(line);
      const pieces = wordPt <= limitPt ? [word] : cut(word, style, limitPt);
      lines.push(...pieces.slice(0, -1));
      line = pieces.at(-1) ?? '';
      usedPt = pieces.length === 1 ? wordPt : widthPt(line, style);
    }
    return [...lines, line];
  };

  return {
    widthPt,
    wrap: (text, style, limitPt) =>
      text
        .normalize('NFC')
        .split(/\r\n|[\n\r\u2028\u2029]/)
        .flatMap((paragraph) => wrapParagraph(paragraph, style, limitPt)),
    line: (text, xPt, yPt, style, ink = 'black') => {
      let x = xPt;
      for (const run of runsOf(text, style.weight)) {
        select(run.face, style)
          .fillColor(ink)
          .text(run.text, x, yPt + style.sizePt * BASELINE, {
            lineBreak: false,
            baseline: 'alphabetic',
          });
        x += pdf.widthOfString(run.text);
      }
    },
  };
}
