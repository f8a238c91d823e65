/**
 * Look-alikes: patients who may be one and the same, entered twice. They are
 * offered before a patient is saved; nobody is ever merged or refused for good.
 */
import { distance } from 'fastest-levenshtein';
import { parseDay, type Day } from './days.ts';

/** What two patients are compared by. */
export interface PatientTraits {
  readonly givenName: string;
  readonly familyName: string;
  readonly birthDate: Day;
  readonly phone: string | null;
}

/** Why two patients look like one. */
export const LIKENESSES = [
  'same_birth_date_similar_name',
  'same_name_and_phone',
  'same_name_day_and_month_swapped',
] as const;
export type Likeness = (typeof LIKENESSES)[number];

/** Letters that Unicode does not take apart into a plain letter and its mark. */
const PLAIN: Readonly<Record<string, string>> = {
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  đ: 'd',
  ð: 'd',
  þ: 'th',
  ł: 'l',
  ħ: 'h',
  ı: 'i',
};

/** A name as it is compared: lower case, without accents and apostrophes, single-spaced. */
export const plainName = (name: string): string =>
  name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/\P{ASCII}/gu, (letter) => PLAIN[letter] ?? letter)
    .replace(/['’ʼ`´.]/g, '')
    .replace(/[\s\-\u2010-\u2015]+/g, ' ')
    .trim();

/** "family given", both plain: what searches and look-alikes compare. */
export const nameKeyOf = (name: { readonly givenName: string; readonly familyName: string }) =>
  plainName(`${name.familyName} ${name.givenName}`);

/** The same with family and given name in each other's field. */
export const swappedNameKeyOf = (name: {
  readonly givenName: string;
  readonly familyName: string;
}) => plainName(`${name.givenName} ${name.familyName}`);

/** The day with day and month changed about; undefined where that is no day, or the same one. */
export function dayAndMonthSwapped(day: Day): Day | undefined {
  const swapped = `${day.slice(0, 4)}-${day.slice(8, 10)}-${day.slice(5, 7)}`;
  return swapped === day ? undefined : parseDay(swapped);
}

/** Typing slips that still leave the same name: one in five letters, two at most. Common practice, no source. */
const slipsAllowed = (a: string, b: string): number =>
  Math.min(2, Math.floor(Math.min(a.length, b.length) / 5));

const within = (a: string, b: string): boolean => distance(a, b) <= slipsAllowed(a, b);

/**
 * The last seven digits of a number, or all where it has fewer: "+43 1 555 0123"
 * and "01/5550123" are one number, whatever country and trunk prefix precede it.
 */
export const phoneKeyOf = (phone: string): string => phone.replace(/\D/g, '').slice(-7);

/** Why the two look like one patient; null where they do not. The same whichever is named first. */
export function likeness(a: PatientTraits, b: PatientTraits): Likeness | null {
  const [key, other] = [nameKeyOf(a), nameKeyOf(b)];
  const [turned, otherTurned] = [swappedNameKeyOf(a), swappedNameKeyOf(b)];
  if (
    a.birthDate === b.birthDate &&
    (within(key, other) || within(turned, other) || within(key, otherTurned))
  ) {
    return 'same_birth_date_similar_name';
  }
  if (key !== other && turned !== other && key !== otherTurned) return null;
  if (a.phone !== null && b.phone !== null && phoneKeyOf(a.phone) === phoneKeyOf(b.phone)) {
    return 'same_name_and_phone';
  }
  return dayAndMonthSwapped(a.birthDate) === b.birthDate ? 'same_name_day_and_month_swapped' : null;
}

/** First letters of given and family name, as the bench sees a patient: "A.B." */
export const initialsOf = (name: {
  readonly givenName: string;
  readonly familyName: string;
}): string =>
  [name.givenName, name.familyName]
    .map((part) => /^./su.exec(part.trim())?.[0].toUpperCase() ?? '')
    .filter((letter) => letter !== '')
    .map((letter) => `${letter}.`)
    .join('');
