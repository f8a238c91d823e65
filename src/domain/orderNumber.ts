/**
 * Our own numbers (C9). A fabrication order is called `KB-26-00417-X`: the
 * clinic's letters, the year, a running number, and a check character over all
 * of these, so that a number with one wrong character is refused rather than
 * found to be somebody else's order.
 *
 * The check character is ISO/IEC 7064 MOD 37,36 (clauses 9 and 10, hybrid
 * systems). It finds every single wrong character; it does not find every swap
 * of two neighbours.
 */
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import { SOCKET_KINDS, type SocketKind } from './words.ts';

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/**
 * The MOD 37,36 check character of `text`.
 * @param text characters 0–9 and A–Z without separators
 * @returns one of 0–9 A–Z; undefined where `text` is empty or has another character
 */
export function mod3736CheckCharacter(text: string): string | undefined {
  if (!/^[0-9A-Z]+$/.test(text)) return undefined;
  let product = 36;
  for (const character of text) {
    const sum = (product + ALPHABET.indexOf(character)) % 36;
    product = ((sum === 0 ? 36 : sum) * 2) % 37;
  }
  return ALPHABET.charAt((37 - product) % 36);
}

/** Whether `text` ends in the check character of what stands before it. */
export const isValidMod3736 = (text: string): boolean =>
  text.length >= 2 && mod3736CheckCharacter(text.slice(0, -1)) === text.slice(-1);

/** Whether a clinic can have these letters before its numbers: two to four of A–Z. */
export const isOrderPrefix = (text: string): boolean => /^[A-Z]{2,4}$/.test(text);

/**
 * Writes an order number.
 * @param parts.prefix the clinic's letters (`isOrderPrefix`)
 * @param parts.year the year of the order, 26 or 2026; its last two digits are written
 * @param parts.running 1 to 99 999 within the year
 * @throws RangeError where a part is outside these: a fault of the program, not of a person
 */
export function makeOrderNumber(parts: { prefix: string; year: number; running: number }): string {
  const { prefix } = parts;
  const year = String(parts.year % 100).padStart(2, '0');
  const running = String(parts.running).padStart(5, '0');
  const check = /^[A-Z]{2,4}\d{2}(?!0{5})\d{5}$/.test(prefix + year + running)
    ? mod3736CheckCharacter(prefix + year + running)
    : undefined;
  if (check === undefined) {
    throw new RangeError(`no order number from ${prefix}, ${parts.year}, ${parts.running}`);
  }
  return `${prefix}-${year}-${running}-${check}`;
}

/** What people put between the characters of a number: blanks, and dashes of any length. */
const SEPARATORS = /[\s\-\u2010-\u2015\u2212]/g;

/** How much of a mistyped number is repeated to the person who typed it. */
const TYPED_SHOWN = 40;

/**
 * Reads an order number as people type it: lower case, with blanks, without dashes.
 * Letters and digits are never guessed (an O stays an O).
 * @returns the number as it is printed, or 'order-number-mistyped'
 */
export function parseOrderNumber(text: string): Verdict<string> {
  const typed = text.slice(0, TYPED_SHOWN);
  const bare = typed.replace(SEPARATORS, '').toUpperCase();
  const found =
    text.length > TYPED_SHOWN ? null : /^([A-Z]{2,4})(\d{2})(\d{5})([0-9A-Z])$/.exec(bare);
  if (found === null)
    return refused([reason('order-number-mistyped', { typed, problem: 'shape' })]);
  if (!isValidMod3736(bare)) {
    return refused([reason('order-number-mistyped', { typed, problem: 'check_character' })]);
  }
  return granted(found.slice(1).join('-'));
}

const KIND_LETTERS = { check: 'C', definitive: 'D' } as const satisfies Record<SocketKind, string>;

/**
 * Writes a socket's number: its order's number and `/C1`, `/C2` for check
 * sockets, `/D1` for definitive ones. The part after the stroke has no check
 * character: the order's page shows which sockets there are.
 * @param n 1 to 99, counted within the order and the kind
 * @throws RangeError where `n` is outside these: a fault of the program
 */
export function makeSocketNumber(orderNumber: string, kind: SocketKind, n: number): string {
  if (!Number.isInteger(n) || n < 1 || n > 99) throw new RangeError(`no socket number from ${n}`);
  return `${orderNumber}/${KIND_LETTERS[kind]}${n}`;
}

/** A socket's number taken apart. */
export interface SocketNumber {
  readonly orderNumber: string;
  readonly kind: SocketKind;
  readonly n: number;
}

/**
 * Reads a socket's number as people type or scan it; the stroke must be there.
 * @returns its parts, or 'socket-number-mistyped', or 'order-number-mistyped'
 *   where the order's part is wrong
 */
export function parseSocketNumber(text: string): Verdict<SocketNumber> {
  const typed = text.slice(0, TYPED_SHOWN);
  const found = /^([^/]+)\/\s*([CD])\s*([1-9]\d?)\s*$/i.exec(typed);
  const letter = found?.[2]?.toUpperCase();
  const kind = SOCKET_KINDS.find((each) => KIND_LETTERS[each] === letter);
  if (text.length > TYPED_SHOWN || kind === undefined) {
    return refused([reason('socket-number-mistyped', { typed })]);
  }
  const order = parseOrderNumber(String(found?.[1]));
  return order.ok ? granted({ orderNumber: order.value, kind, n: Number(found?.[3]) }) : order;
}
