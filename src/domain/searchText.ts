/**
 * What somebody types into the one field that finds patients and orders: a name, a
 * chart number, an order number or its running part, a phone number; whole or only
 * its beginning.
 */
import { plainName } from './lookAlikes.ts';
import { parseOrderNumber } from './orderNumber.ts';
import type { Reason } from './reasons/index.ts';

/** What a typed text may mean; null where it cannot mean that. */
export interface Sought {
  /** Plain words, each the beginning of a part of a name. */
  readonly nameWords: readonly string[] | null;
  /** The beginning of a chart number. */
  readonly chartStart: string | null;
  /** The beginning of an order number, as printed but without its dashes. */
  readonly orderStart: string | null;
  /** The running number of an order, of whatever year. */
  readonly running: number | null;
  /** The last digits of a phone number, without the nought that is dialled within a country. */
  readonly phoneDigits: string | null;
  /** Why it is no order number though it is as long as one: 'order-number-mistyped'. */
  readonly mistyped: readonly Reason[];
}

/** Below it, digits are in too many phone numbers. Common practice, no source. */
const PHONE_DIGITS_LEAST = 4;
/** Digits of an order number after the clinic's letters: year and running number. */
const NUMBER_DIGITS = 7;

/**
 * Reads a typed text.
 * @param prefix the clinic's own letters, with which its order numbers begin
 */
export function readSearch(text: string, prefix: string): Sought {
  const typed = text.trim();
  const bare = typed.replace(/[\s\-\u2010-\u2015\u2212]/g, '').toUpperCase();
  const hasDigit = /\d/.test(typed);
  const ofOrder = bare.startsWith(prefix) && hasDigit;
  const whole = ofOrder && bare.length > prefix.length + NUMBER_DIGITS;
  const number = whole ? parseOrderNumber(typed) : null;
  const mistyped = number?.ok === false ? number.reasons : [];
  const digits = typed.replace(/\D/g, '');
  const isPhone = /^[\d\s()+/.-]+$/.test(typed) && digits.length >= PHONE_DIGITS_LEAST;
  return {
    nameWords: hasDigit ? null : wordsOf(typed),
    chartStart: hasDigit ? typed : null,
    // A number with a wrong character is refused, not found to be somebody else's.
    orderStart: ofOrder && mistyped.length === 0 ? bare : null,
    running: /^[0-9]{1,5}$/.test(typed) && Number(typed) > 0 ? Number(typed) : null,
    phoneDigits: isPhone ? phoneEnding(digits) : null,
    mistyped,
  };
}

/** Noughts at the front are dialled within a country; of four digits alone they are the number's own. */
function phoneEnding(digits: string): string {
  const withoutNoughts = digits.replace(/^0+/, '');
  return withoutNoughts.length < PHONE_DIGITS_LEAST ? digits : withoutNoughts;
}

function wordsOf(typed: string): string[] | null {
  const words = plainName(typed.replace(/,/g, ' '))
    .split(' ')
    .filter((word) => word !== '');
  return words.length === 0 ? null : words;
}
