/**
 * GS1 carriers (C9): element strings as a scanner hands them on (with or without
 * symbology identifier and FNC1), element strings typed with brackets as they
 * are printed under the code, and GS1 Digital Link addresses.
 *
 * Other dates that end a part's use (15, 16, 7003) are not read: a code that carries
 * one is refused rather than taken for one without expiry. So is a code whose last
 * value may hide another element, read or not, because a separator was lost.
 */
import { carrierDate, yearMeant, type CarrierDate } from './carrierDates.ts';
import type { Day } from './days.ts';
import { FORMS, NOT_READ, type Forms } from './gs1Forms.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, unless, type Verdict } from './verdict.ts';

/** One element: its application identifier and its value. */
export interface Gs1Element {
  readonly ai: string;
  readonly value: string;
}

/** How much of a scan is repeated in a refusal. */
const SHOWN = 60;

/** FNC1 as scanners hand it on: character 29. */
const SEPARATOR = '\u001d';
const AROUND = new RegExp(`^${SEPARATOR}+|${SEPARATOR}+$`, 'g');

/**
 * Other ways of writing FNC1: `^` by GS1's own tools, `{GS}` by readers that
 * show control characters. Neither `^` nor `{` can stand in a value.
 */
const WRITTEN_SEPARATOR = /\^|\{GS\}/g;

/** The 82 characters of GS1 General Specifications, figure 7.11-1. */
const SET_82 = /^[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]*$/;

/** An hour of the day, with minutes and seconds or without. */
const HOUR = /^(?:[01]\d|2[0-3])(?:[0-5]\d){0,2}$/;

/** Symbology identifiers of carriers with FNC1 in front: GS1-128, DataMatrix, QR, DataBar, DotCode. */
const WITH_FNC1 = /^\](?:C1|d2|Q3|e0|J1)/;

/** Symbology identifiers of the plain codes in which an address may stand: QR, Data Matrix. */
const PLAIN = /^\](?:Q[012]|d[01])(?=https?:\/\/)/i;

/**
 * The check digit of a GS1 number: weights 3 and 1 from the right (GS1 General
 * Specifications, section 7.9).
 * @param digits the number without its check digit
 * @returns undefined where there are none, or something else than figures
 */
export function gs1CheckDigit(digits: string): string | undefined {
  if (!/^\d+$/.test(digits)) return undefined;
  let sum = 0;
  for (let at = 0; at < digits.length; at += 1) {
    sum += Number(digits.charAt(at)) * ((digits.length - at) % 2 === 1 ? 3 : 1);
  }
  return String((10 - (sum % 10)) % 10);
}

/** Whether a GS1 number ends in the check digit of what stands before it. */
export const hasGs1CheckDigit = (digits: string): boolean =>
  digits.length >= 2 && gs1CheckDigit(digits.slice(0, -1)) === digits.slice(-1);

/** Read or not: what may hide in a value that swallowed its separator. */
const HIDEABLE: Forms = new Map([...FORMS, ...NOT_READ]);

/** The words for an element; its number where it is not known. */
export const elementWords = (ai: string): string => FORMS.get(ai)?.words ?? `(${ai})`;

/** A date element's day; undefined where there is none. */
export const elementDate = (value: string, today: Day): CarrierDate | undefined =>
  carrierDate(
    yearMeant(Number(value.slice(0, 2)), today),
    Number(value.slice(2, 4)),
    Number(value.slice(4, 6)),
  );

/** Everything that is wrong with one element. */
function againstElement({ ai, value }: Gs1Element, today: Day, forms: Forms = FORMS): Reason[] {
  const form = forms.get(ai);
  if (form === undefined) return [reason('udi-element-unknown', { element: ai, issuer: 'GS1' })];
  const element = form.words;
  const malformed = (why: string) => [reason('udi-element-malformed', { element, value, why })];
  if (value.length < form.least || value.length > form.most) {
    const length = form.least === form.most ? `${form.most}` : `${form.least} to ${form.most}`;
    return malformed(`has ${value.length} characters; ${length} are allowed`);
  }
  if (!(form.characters === 'N' ? /^\d*$/ : SET_82).test(value)) {
    return malformed('has a character that cannot stand there');
  }
  switch (form.holds) {
    case 'check digit':
      return hasGs1CheckDigit(value)
        ? []
        : [
            reason('udi-check-wrong', {
              of: `${element} ${value}`,
              found: value.slice(-1),
              expected: String(gs1CheckDigit(value.slice(0, -1))),
            }),
          ];
    case 'date':
      return elementDate(value, today) === undefined
        ? [reason('udi-date-impossible', { element, value })]
        : [];
    case 'date and hour':
      return elementDate(value, today) === undefined || !HOUR.test(value.slice(6))
        ? [reason('udi-date-impossible', { element, value })]
        : [];
    case 'count':
      return Number(value) === 0 ? malformed('counts nothing') : [];
    case 'text':
      return [];
  }
}

/** Splits an element string; each element that needs a separator ends at one, or at the end. */
function splitPlain(text: string, forms: Forms = FORMS): Verdict<readonly Gs1Element[]> {
  const elements: Gs1Element[] = [];
  let rest = text;
  while (rest !== '') {
    const from = rest;
    // Identifiers are free of prefixes: at most one of the three is known.
    const ai = [2, 3, 4].map((length) => from.slice(0, length)).find((head) => forms.has(head));
    const form = ai === undefined ? undefined : forms.get(ai);
    if (ai === undefined || form === undefined) {
      return refused([reason('udi-element-unknown', { element: from.slice(0, 4), issuer: 'GS1' })]);
    }
    const after = from.slice(ai.length);
    const separatorAt = after.indexOf(SEPARATOR);
    const end = form.predefined ? form.most : separatorAt < 0 ? after.length : separatorAt;
    elements.push({ ai, value: after.slice(0, end) });
    rest = after.slice(end);
    // One separator behind any element is tolerated, needed or not (General Specifications, 7.8.6.3).
    if (rest.startsWith(SEPARATOR)) rest = rest.slice(1);
  }
  return granted(elements);
}

/**
 * Other ways to read the last element, had a separator been lost in it. What is on the label
 * already cannot hide again: an element stands on a label once.
 */
function otherReadings(elements: readonly Gs1Element[], today: Day): string[] {
  const last = elements.at(-1);
  if (last === undefined || FORMS.get(last.ai)?.predefined !== false) return [];
  const readings: string[] = [];
  for (let at = 1; at < last.value.length; at += 1) {
    const head = { ai: last.ai, value: last.value.slice(0, at) };
    const hidden = splitPlain(last.value.slice(at), HIDEABLE);
    if (!hidden.ok || againstElement(head, today).length > 0) continue;
    const identifiers = [...elements, ...hidden.value].map(({ ai }) => ai);
    if (
      new Set(identifiers).size === identifiers.length &&
      hidden.value.every((element) => againstElement(element, today, HIDEABLE).length === 0)
    ) {
      readings.push(writeBracketed([head, ...hidden.value]));
    }
  }
  return readings;
}

function readPlain(
  text: string,
  today: Day,
  separatorsKept: boolean,
): Verdict<readonly Gs1Element[]> {
  const split = splitPlain(text.startsWith(SEPARATOR) ? text.slice(1) : text);
  // Only one between elements shows that the reader hands separators on: one in front is the
  // mark of GS1 itself, one behind what some readers add to any code.
  const kept = separatorsKept || text.replace(AROUND, '').includes(SEPARATOR);
  if (!split.ok || kept) return split;
  const readings = otherReadings(split.value, today);
  if (readings.length === 0) return split;
  const whole = split.value.slice(-1);
  return refused([
    reason('udi-cannot-be-told-apart', {
      value: writeBracketed(whole),
      readings: [writeBracketed(whole), ...readings.slice(0, 3)],
    }),
  ]);
}

/** Elements as printed: `(01)…(10)…`. A bracket inside a value is written `\(`. */
function readBracketed(text: string): Verdict<readonly Gs1Element[]> {
  const element = /\((\d{2,4})\)((?:\\\(|[^(\\])*)/y;
  const elements: Gs1Element[] = [];
  while (element.lastIndex < text.length) {
    const from = element.lastIndex;
    const [, ai, value] = element.exec(text) ?? [];
    if (ai === undefined || value === undefined) {
      return refused([
        reason('udi-element-malformed', {
          element: 'element with brackets',
          value: text.slice(from, from + SHOWN),
          why: 'does not begin with an identifier in brackets; a bracket in a value is written \\(',
        }),
      ]);
    }
    elements.push({ ai, value: value.replaceAll('\\(', '(').trim() });
  }
  return granted(elements);
}

const LINK = /^https?:\/\/[^/?#\s]+(\/[^?#]*)?(?:\?([^#]*))?(?:#.*)?$/i;

/** The qualifiers of a GTIN in the order in which an address may name them. */
const QUALIFIERS = ['22', '10', '21'];

/** Whether path segments are a GTIN and its qualifiers in order. */
function isDevicePath(segments: readonly string[]): boolean {
  const keys = segments.filter((_, at) => at % 2 === 0);
  const ranks = keys.slice(1).map((key) => QUALIFIERS.indexOf(key));
  return (
    keys[0] === '01' &&
    segments.length % 2 === 0 &&
    ranks.every((rank, at) => rank > (ranks[at - 1] ?? -1))
  );
}

function decoded(text: string): string | undefined {
  try {
    return decodeURIComponent(text);
  } catch {
    return undefined;
  }
}

/** Elements of a GS1 Digital Link address (GS1 Digital Link URI Syntax 1.6), uncompressed. */
function readLink(text: string): Verdict<readonly Gs1Element[]> {
  const [, path = '', query = ''] = LINK.exec(text) ?? [];
  const segments = path.replace(/\/$/, '').split('/').slice(1);
  const start = segments.findIndex((_, at) => isDevicePath(segments.slice(at)));
  if (start < 0) {
    return refused([
      reason('udi-not-recognised', {
        scanned: text.slice(0, SHOWN),
        why: 'the address names no device (/01/ and its 14 figures, then 22, 10, 21 in this order)',
      }),
    ]);
  }
  const told = segments.slice(start);
  const pairs: [string, string][] = [];
  for (let at = 0; at < told.length; at += 2) {
    pairs.push([String(told[at]), String(told[at + 1])]);
  }
  for (const part of query.split(/[&;]/)) {
    const [key = '', ...value] = part.split('=');
    // Keys that are not figures are for the resolver, not about the device. A plus means a blank.
    if (/^\d+$/.test(key)) pairs.push([key, value.join('=').replaceAll('+', ' ')]);
  }
  const elements: Gs1Element[] = [];
  for (const [ai, written] of pairs) {
    const value = decoded(written);
    if (value === undefined) {
      return refused([
        reason('udi-element-malformed', {
          element: elementWords(ai),
          value: written.slice(0, SHOWN),
          why: 'has a % that stands for no character',
        }),
      ]);
    }
    elements.push({ ai, value });
  }
  return granted(elements);
}

/** The code without symbology identifier and what a keyboard scanner types around it. */
const bare = (scan: string): string => scan.trim().replace(WITH_FNC1, '').replace(PLAIN, '');

/** Whether a scan looks like GS1: by symbology identifier, FNC1, brackets, address or figures. */
export const looksLikeGs1 = (scan: string): boolean =>
  WITH_FNC1.test(scan.trim()) ||
  bare(scan).startsWith(SEPARATOR) ||
  /^(?:\^|\{GS\}|\(\d|https?:\/\/|\d{2})/i.test(bare(scan));

/**
 * Reads the elements of one GS1 carrier.
 *
 * Where the scan holds no separator between elements, a last element of open length
 * may have swallowed another (a keyboard scanner that drops FNC1). If it can be read
 * so, it is refused, unless the caller knows that separators are handed on.
 * @param scan as scanned or typed
 * @param today the day of the reading, for the century of two-figure years
 * @param separatorsKept true where the reader is known to hand on FNC1
 * @returns the elements in the order of the code, each once, or every reason against them
 */
export function readGs1Elements(
  scan: string,
  today: Day,
  separatorsKept: boolean,
): Verdict<readonly Gs1Element[]> {
  const text = bare(scan);
  const read = /^https?:\/\//i.test(text)
    ? readLink(text)
    : text.startsWith('(')
      ? readBracketed(text)
      : readPlain(text.replace(WRITTEN_SEPARATOR, SEPARATOR), today, separatorsKept);
  if (!read.ok) return read;
  return unless(
    read.value.flatMap((element) => againstElement(element, today)),
    read.value,
  );
}

/** Writes elements as they are printed under a code: `(01)…(10)…`. */
export const writeBracketed = (elements: readonly Gs1Element[]): string =>
  elements.map(({ ai, value }) => `(${ai})${value.replaceAll('(', '\\(')}`).join('');

/**
 * Writes elements as a scanner hands them on, without FNC1 in front: a separator
 * behind each element of open length but the last.
 */
export const writeElementString = (elements: readonly Gs1Element[]): string =>
  elements
    .map(({ ai, value }, at) =>
      at < elements.length - 1 && FORMS.get(ai)?.predefined !== true
        ? `${ai}${value}${SEPARATOR}`
        : `${ai}${value}`,
    )
    .join('');
