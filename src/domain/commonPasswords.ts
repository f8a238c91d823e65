/**
 * Passwords that are among the first to be guessed (NIST SP 800-63B-4 § 3.1.1.2, which has
 * them compared with a list of common and expected ones: those of former breaches, and words
 * of the service, of the person and of the place).
 *
 * At fifteen characters hardly any listed password is long enough to stand for itself. What
 * people do to one is repeat it, put a year behind it, or the clinic before it. So a password
 * is refused where next to nothing is left of it once these are taken out:
 *
 * - one word of the list, however often (two different ones are the beginning of a sentence),
 * - words of the context: the service, the clinic, the person's name and address,
 * - runs of one character, rows of the keyboard, the alphabet and the numbers, either way.
 *
 * Capitals, accents, blanks, dashes and the usual figures for letters change nothing. That
 * the list's entry itself is refused is the standard's; the rest is ours.
 */

export interface Expected {
  /** Common passwords, in lower case. */
  readonly list: ReadonlySet<string>;
  /** Names and addresses as they are written; taken apart here. */
  readonly context: readonly string[];
}

/** So much may be left over: a year, or a sign and a figure. */
const MOST_LEFT_OVER = 4;
/** A shorter word stands in too many others. */
const SHORTEST_LISTED = 4;
const SHORTEST_CONTEXT = 3;
const SHORTEST_ROW = 3;
/** The same few characters over and over are no password, whichever they are. */
const LONGEST_REPEATED = 6;

/** Rows of the keyboard (US, German, French), its slants, and what is counted and recited. */
const ROWS = [
  '1234567890',
  '0123456789',
  'abcdefghijklmnopqrstuvwxyz',
  'qwertyuiop',
  'asdfghjkl',
  'zxcvbnm',
  'qwertzuiop',
  'yxcvbnm',
  'azertyuiop',
  'qsdfghjklm',
  'wxcvbn',
  ...['1qaz', '2wsx', '3edc', '4rfv', '5tgb', '6yhn', '7ujm', '1qay', '3edc', '6zhn'],
].flatMap((row) => [row, Array.from(row).reverse().join('')]);

/** Letters and figures alone, in lower case. */
const folded = (text: string): string =>
  text
    .normalize('NFKD')
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]/gu, '');

/** The usual figures and signs for letters; from memory. */
const SPELT: Readonly<Record<string, string>> = {
  '0': 'o',
  '1': 'i',
  '3': 'e',
  '4': 'a',
  '5': 's',
  '7': 't',
  '@': 'a',
  $: 's',
  '!': 'i',
};
const spelt = (text: string): string => Array.from(text, (c) => SPELT[c] ?? c).join('');

/** Whether a password is among the first that somebody would try. */
export function isCommonPassword(password: string, { list, context }: Expected): boolean {
  const words = new Set(context.flatMap(wordsOf));
  const typed = password.toLowerCase();
  // Signs count as characters where nothing else is left, and as letters where they stand for some.
  return [folded(typed), folded(spelt(typed)), typed].some((text) => isExpected(text, list, words));
}

/** The words of a name or an address, and all of it as one. */
function wordsOf(text: string): string[] {
  const apart = text.split(/[^\p{L}\p{N}\p{M}]+/u).map(folded);
  return [...apart, folded(text)].filter((word) => word.length >= SHORTEST_CONTEXT);
}

function isExpected(
  text: string,
  list: ReadonlySet<string>,
  context: ReadonlySet<string>,
): boolean {
  if (text === '') return false;
  if (list.has(text) || isRepeated(text)) return true;
  const steps = stepsThrough(text, context);
  if (leftOver(text.length, steps) <= MOST_LEFT_OVER) return true;
  return listedIn(text, list).some(
    (word) => leftOver(text.length, [...steps, ...placesOf(word, text)]) <= MOST_LEFT_OVER,
  );
}

/** Whether it is a few characters over and over, perhaps broken off. */
function isRepeated(text: string): boolean {
  for (let length = 1; length <= LONGEST_REPEATED && 2 * length <= text.length; length += 1) {
    if (text.slice(length) === text.slice(0, -length)) return true;
  }
  return false;
}

/** From where to where something that is expected stands. */
type Step = readonly [from: number, to: number];

function stepsThrough(text: string, context: ReadonlySet<string>): Step[] {
  const steps: Step[] = [...context].flatMap((word) => placesOf(word, text));
  for (let from = 0; from < text.length; from += 1) {
    const reach = Math.max(runFrom(text, from), ...ROWS.map((row) => rowFrom(row, text, from)));
    // A shorter piece of a row is one as well, where a word begins within it.
    for (let length = SHORTEST_ROW; length <= reach; length += 1) steps.push([from, from + length]);
  }
  return steps;
}

function placesOf(word: string, text: string): Step[] {
  const places: Step[] = [];
  for (let at = text.indexOf(word); at >= 0; at = text.indexOf(word, at + 1)) {
    places.push([at, at + word.length]);
  }
  return places;
}

function runFrom(text: string, from: number): number {
  let length = 1;
  while (text[from + length] === text[from]) length += 1;
  return length;
}

function rowFrom(row: string, text: string, from: number): number {
  const start = row.indexOf(text.charAt(from));
  if (start < 0) return 0;
  let length = 1;
  while (start + length < row.length && row[start + length] === text[from + length]) length += 1;
  return length;
}

/** The listed words that stand anywhere in it, each once. */
function listedIn(text: string, list: ReadonlySet<string>): string[] {
  const found = new Set<string>();
  for (let from = 0; from < text.length; from += 1) {
    for (let to = from + SHORTEST_LISTED; to <= Math.min(text.length, from + 24); to += 1) {
      const piece = text.slice(from, to);
      if (list.has(piece)) found.add(piece);
    }
  }
  return [...found];
}

/** The fewest characters that no step covers, over all ways through. */
function leftOver(length: number, steps: readonly Step[]): number {
  const endingAt = new Map<number, number[]>();
  for (const [from, to] of steps) endingAt.set(to, [...(endingAt.get(to) ?? []), from]);
  const least = [0];
  const at = (place: number): number => Number(least[place]);
  for (let to = 1; to <= length; to += 1) {
    least.push(Math.min(at(to - 1) + 1, ...(endingAt.get(to) ?? []).map(at)));
  }
  return at(length);
}
