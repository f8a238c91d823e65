/**
 * HIBC carriers (C9), ANSI/HIBC 2.6 supplier labelling: a primary code says
 * which device it is, a secondary one says lot, serial, expiry and quantity; both
 * may be joined in one code by a stroke.
 *
 * A secondary code that stands alone ends in a link character, which is the
 * check character of its primary, and its own check character.
 */
import { carrierDate, dayOfYear, yearMeant, type CarrierDate } from './carrierDates.ts';
import type { Day } from './days.ts';
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** The characters of Code 39; the place of each is its value. */
const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%';

/**
 * The check character of an HIBC code: the sum of all its characters' values,
 * the plus in front included, modulo 43 (ANSI/HIBC 2.6, appendix B).
 * @returns undefined where a character has no value
 */
export function hibcCheckCharacter(text: string): string | undefined {
  let sum = 0;
  for (const character of text) {
    const value = ALPHABET.indexOf(character);
    if (value < 0) return undefined;
    sum += value;
  }
  return ALPHABET.charAt(sum % 43);
}

/** What a secondary code, or the second part of a joined one, says. */
export interface HibcDetails {
  readonly lot: string | null;
  readonly serial: string | null;
  readonly expires: CarrierDate | null;
  readonly made: CarrierDate | null;
  readonly quantity: number | null;
}

/** One HIBC code taken apart. */
export interface HibcCode {
  /** Labeler, product and unit of measure without plus and check character; null in a secondary code. */
  readonly deviceIdentifier: string | null;
  /** Null in a primary code that stands alone. */
  readonly details: HibcDetails | null;
  readonly check: string;
  /** The check character of the primary that a secondary code belongs to; null in all others. */
  readonly link: string | null;
}

/** How much of a scan is repeated in a refusal. */
const SHOWN = 60;

/** Symbology identifiers of the carriers that HIBC uses: Code 39, Code 128, Data Matrix, QR, Aztec. */
const SYMBOLOGY = /^\](?:A\d|C0|d[01]|Q[01]|z0)/;

/** Labeler code, product number, unit of measure. */
const PRIMARY = /^[A-Z][A-Z0-9]{3}[A-Z0-9]{1,18}\d$/;

/** Whether it is a device identifier as a primary code carries it, without plus and check character. */
export const isHibcDevice = (text: string): boolean => PRIMARY.test(text);

const NAME = /^[A-Z0-9.-]{1,18}$/;

/**
 * The code without what stands around it: blanks and line ends, symbology identifier, the
 * asterisks that are printed only, and the underline that stands for a blank as check
 * character. HIBC has no small letters, so they are read as capitals.
 *
 * Blanks behind may be the reader's, or one of them the check character: unless asterisks
 * close the code, both readings are given, that without the blank first.
 */
function bare(scan: string): readonly [string, ...string[]] {
  const text = scan
    .trimStart()
    .replace(SYMBOLOGY, '')
    .replace(/[a-z]/g, (letter) => letter.toUpperCase());
  const trimmed = text.trimEnd();
  const inside = /^\*(.*)\*$/.exec(trimmed)?.[1];
  if (inside !== undefined) return [inside.replace(/_$/, ' ')];
  const blankBehind = text.startsWith(`${trimmed} `);
  return blankBehind ? [trimmed, `${trimmed} `] : [trimmed.replace(/_$/, ' ')];
}

/** Whether a scan looks like HIBC: a plus in front. */
export const looksLikeHibc = (scan: string): boolean => bare(scan)[0].startsWith('+');

const malformed = (element: string, value: string, why: string) =>
  refused([reason('udi-element-malformed', { element, value, why })]);
const noSuchDay = (element: string, value: string) =>
  refused([reason('udi-date-impossible', { element, value })]);

/** The date formats behind `$$` by their flag; month and year have none, they begin with the month's 0 or 1. */
const DATE_FORMATS: ReadonlyMap<string, string> = new Map([
  ['2', 'MMDDYY'],
  ['3', 'YYMMDD'],
  ['4', 'YYMMDDHH'],
  ['5', 'YYJJJ'],
  ['6', 'YYJJJHH'],
]);

/** The date that figures stand for; the hour (of Greenwich) is checked and left out. */
function dateIn(figures: string, format: string, today: Day): CarrierDate | undefined {
  const part = (field: string): number => {
    const at = format.indexOf(field);
    return Number(figures.slice(at, at + field.length));
  };
  if (format.includes('HH') && part('HH') > 23) return undefined;
  const year = yearMeant(part('YY'), today);
  if (format.includes('JJJ')) return dayOfYear(year, part('JJJ'));
  if (!format.includes('DD')) return carrierDate(year, part('MM'), 0);
  // A day that is written is a day: only month and year leave it open.
  return part('DD') === 0 ? undefined : carrierDate(year, part('MM'), part('DD'));
}

/** A date at the beginning of `text`, and what follows it. */
function takeDate(
  text: string,
  format: string,
  today: Day,
): Verdict<{ readonly expires: CarrierDate | null; readonly rest: string }> {
  const figures = text.slice(0, format.length);
  const expires =
    /^\d+$/.test(figures) && figures.length === format.length
      ? dateIn(figures, format, today)
      : undefined;
  return expires === undefined
    ? noSuchDay(`expiry date (${format})`, figures)
    : granted({ expires, rest: text.slice(format.length) });
}

/** What follows `$$` or `$$+`: a date by its flag, and the rest. */
function takeFlaggedDate(
  text: string,
  today: Day,
): Verdict<{ readonly expires: CarrierDate | null; readonly rest: string }> {
  const flag = text.slice(0, 1);
  if (flag === '7') return granted({ expires: null, rest: text.slice(1) });
  if (flag === '0' || flag === '1') return takeDate(text, 'MMYY', today);
  const format = DATE_FORMATS.get(flag);
  return format === undefined
    ? refused([reason('udi-element-unknown', { element: `$$${flag}`, issuer: 'HIBC' })])
    : takeDate(text.slice(1), format, today);
}

const NOTHING: HibcDetails = { lot: null, serial: null, expires: null, made: null, quantity: null };

const named = (element: 'lot' | 'serial', value: string): Verdict<Partial<HibcDetails>> =>
  NAME.test(value)
    ? granted({ [element]: value })
    : malformed(element, value, 'must be 1 to 18 capitals, figures, dots or hyphens');

const lotOrNone = (value: string): Verdict<Partial<HibcDetails>> =>
  value === '' ? granted({}) : named('lot', value);

/** What follows `$$`: a quantity (two figures behind 8, five behind 9), a date, a lot. */
function readDatedLot(text: string, today: Day): Verdict<Partial<HibcDetails>> {
  const counted = /^(?:8\d{2}|9\d{5})/.exec(text)?.[0] ?? '';
  if (counted === '' && /^[89]/.test(text)) {
    return malformed('quantity', text.slice(1), 'must be 2 figures behind 8, 5 behind 9');
  }
  const quantity = counted === '' ? {} : { quantity: Number(counted.slice(1)) };
  const rest = text.slice(counted.length);
  if (counted !== '' && rest === '') return granted(quantity);
  const dated = takeFlaggedDate(rest, today);
  if (!dated.ok) return dated;
  const lot = lotOrNone(dated.value.rest);
  return lot.ok ? granted({ ...quantity, ...lot.value, expires: dated.value.expires }) : lot;
}

/** The first field of a secondary code, by its flag. */
function readFlagged(field: string, today: Day): Verdict<Partial<HibcDetails>> {
  if (field.startsWith('$$+')) {
    const dated = takeFlaggedDate(field.slice(3), today);
    if (!dated.ok) return dated;
    const serial = named('serial', dated.value.rest);
    return serial.ok ? granted({ ...serial.value, expires: dated.value.expires }) : serial;
  }
  if (field.startsWith('$$')) return readDatedLot(field.slice(2), today);
  if (field.startsWith('$+')) return named('serial', field.slice(2));
  if (field.startsWith('$')) return named('lot', field.slice(1));
  // Without a flag: day of the year, then the lot.
  const dated = takeDate(field, 'YYJJJ', today);
  if (!dated.ok) return dated;
  const lot = lotOrNone(dated.value.rest);
  return lot.ok ? granted({ ...lot.value, expires: dated.value.expires }) : lot;
}

/** A supplementary field: `S` serial, `14D` expiry, `16D` production, `Q` quantity. */
function readSupplement(field: string): Verdict<Partial<HibcDetails>> {
  const dated = /^(14|16)D(.*)$/.exec(field);
  if (dated !== null) {
    const [, which, value = ''] = dated;
    const element = which === '14' ? 'expiry date (14D)' : 'production date (16D)';
    const figures = /^(\d{4})(\d{2})(?!00)(\d{2})$/.exec(value);
    const date = figures && carrierDate(Number(figures[1]), Number(figures[2]), Number(figures[3]));
    if (!date) return noSuchDay(element, value);
    return granted(which === '14' ? { expires: date } : { made: date });
  }
  if (field.startsWith('S')) return named('serial', field.slice(1));
  if (field.startsWith('Q')) {
    return /^Q\d{1,5}$/.test(field)
      ? granted({ quantity: Number(field.slice(1)) })
      : malformed('quantity', field.slice(1), 'must be 1 to 5 figures');
  }
  return refused([
    reason('udi-element-unknown', { element: `/${field.slice(0, 4)}`, issuer: 'HIBC' }),
  ]);
}

const DETAIL_WORDS = {
  lot: 'lot',
  serial: 'serial number',
  expires: 'expiry date',
  made: 'production date',
  quantity: 'quantity',
} as const satisfies Record<keyof HibcDetails, string>;
const DETAILS = Object.keys(DETAIL_WORDS) as (keyof HibcDetails)[];

const written = (detail: string | number | CarrierDate): string =>
  typeof detail === 'object' ? detail.on : String(detail);

function readDetails(fields: readonly string[], today: Day): Verdict<HibcDetails> {
  let details = NOTHING;
  for (const [at, field] of fields.entries()) {
    const flagged = at === 0 && /^(?:\$|\d{5})/.test(field);
    const read = flagged ? readFlagged(field, today) : readSupplement(field);
    if (!read.ok) return read;
    for (const key of DETAILS) {
      const [had, says] = [details[key], read.value[key] ?? null];
      if (had !== null && says !== null && written(had) !== written(says)) {
        return refused([
          reason('udi-says-two-things', {
            element: DETAIL_WORDS[key],
            values: [written(had), written(says)],
          }),
        ]);
      }
      if (says !== null) details = { ...details, [key]: says };
    }
  }
  return details.quantity === 0 ? malformed('quantity', '0', 'counts nothing') : granted(details);
}

/**
 * Reads one HIBC code.
 * @param scan as scanned or typed, with or without symbology identifier and asterisks
 * @param today the day of the reading, for the century of two-figure years
 * @returns what it says, or the first reason against it
 */
export function readHibcCode(scan: string, today: Day): Verdict<HibcCode> {
  const [text, withBlank] = bare(scan);
  const read = readText(text, today);
  // A blank that is not the check character asked for is the reader's.
  if (withBlank === undefined || hibcCheckCharacter(text) !== ' ') return read;
  const other = readText(withBlank, today);
  if (!read.ok || !other.ok) return read.ok ? read : other;
  return refused([reason('udi-blank-may-be-check', { scanned: withBlank })]);
}

/** Reads a code that is bare of what stood around it. */
function readText(text: string, today: Day): Verdict<HibcCode> {
  const notRecognised = (why: string) =>
    refused([reason('udi-not-recognised', { scanned: text.slice(0, SHOWN), why })]);
  const [check, body] = [text.slice(-1), text.slice(0, -1)];
  const expected = hibcCheckCharacter(body);
  if (expected === undefined || hibcCheckCharacter(check) === undefined) {
    return notRecognised('it has a character that HIBC does not have');
  }
  if (check !== expected) {
    return refused([
      reason('udi-check-wrong', {
        of: `HIBC code ${text.slice(0, SHOWN)}`,
        found: check,
        expected,
      }),
    ]);
  }
  const said = body.slice(1);
  if (/^[$\d]/.test(said)) {
    const details = readDetails(said.slice(0, -1).split('/'), today);
    return details.ok
      ? granted({ deviceIdentifier: null, details: details.value, check, link: said.slice(-1) })
      : details;
  }
  const deviceIdentifier = said.replace(/\/.*$/, '');
  const fields = said.split('/').slice(1);
  if (!isHibcDevice(deviceIdentifier)) {
    return notRecognised(
      'behind the plus stands neither a primary code (labeler, product, unit) nor a secondary one',
    );
  }
  if (fields.length === 0) return granted({ deviceIdentifier, details: null, check, link: null });
  const details = readDetails(fields, today);
  return details.ok
    ? granted({ deviceIdentifier, details: details.value, check, link: null })
    : details;
}
