/**
 * One-time codes: what an administrator hands to a person, on paper or by telephone, and the
 * person types once to set a password. Sixteen characters of an alphabet of thirty-two are 80
 * bits: nobody guesses that in ten tries, nor from the kept hash.
 *
 * The alphabet is Crockford's Base32: without I, L, O and U, so that no two characters are
 * taken for each other; what is typed for them all the same is read as meant.
 */
const ALPHABET = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const GROUP = 4;
/** Each gives one character: its lowest five bits. */
export const CODE_BYTES = 16;
/** As long as somebody may wait for a shift of their own after a weekend; common practice, no source. */
export const CODE_LASTS_HOURS = 72;
/** Common practice, no source; at 80 bits it is there against noise, not against luck. */
export const MOST_CODE_TRIES = 10;

/** @param bytes random, `CODE_BYTES` of them; all 256 values alike give all characters alike */
export const codeFrom = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => ALPHABET.charAt(byte % ALPHABET.length)).join('');

/** In groups that can be read out: `7K3F-9XQP-2MTV-8HRB`. */
export const grouped = (code: string): string =>
  code.replaceAll(new RegExp(`(.{${GROUP}})(?=.)`, 'g'), '$1-');

/** The code as it was given, however it was typed. What is no code at all stays what it is. */
export const codeAsMeant = (typed: string): string =>
  typed
    .normalize('NFKC')
    .toUpperCase()
    .replaceAll(/[\s\p{Pd}]/gu, '')
    .replaceAll('O', '0')
    .replaceAll(/[IL]/g, '1');
