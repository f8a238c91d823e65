/**
 * The second factor: codes of an authenticator app by the time (TOTP, RFC 6238), who must
 * have one, and what a sign-in may then do.
 *
 * A code belongs to a step of thirty seconds. It counts in its own step and in the one before
 * and after (a clock that is wrong, a slow thumb; RFC 6238 § 5.2 recommends one step), and
 * once only: a step at or before the last one that was used is refused, so that a code seen
 * over a shoulder opens nothing.
 */
import type { Role } from './words.ts';

/** What authenticator apps read; other values are ignored by some of them (common practice, no source). */
export const CODE = { algorithm: 'SHA1', digits: 6, stepS: 30, window: 1 } as const;

/** Whom a clinic asks for a second factor. Signers are the prosthetists. */
export const SECOND_FACTOR_FOR = ['nobody', 'administrators_and_signers', 'everybody'] as const;
export type SecondFactorFor = (typeof SECOND_FACTOR_FOR)[number];

/** Roles that sign records or keep the clinic's people and rules. */
const GUARDED: readonly Role[] = ['administrator', 'prosthetist'];

export function mustHaveSecondFactor(asked: SecondFactorFor, roles: readonly Role[]): boolean {
  switch (asked) {
    case 'nobody':
      return false;
    case 'administrators_and_signers':
      return roles.some((role) => GUARDED.includes(role));
    case 'everybody':
      return true;
  }
}

/** The time step that an instant lies in (RFC 6238 § 4.2, T0 = 0). */
export const stepAt = (at: Date): number => Math.floor(at.getTime() / 1000 / CODE.stepS);

/**
 * The steps whose codes count at an instant, nearest first; none that was used, nor any before it.
 * @param lastStep of the last code that was taken; null where none was
 */
export function stepsThatCount(at: Date, lastStep: number | null): readonly number[] {
  const now = stepAt(at);
  const near = [now];
  for (let off = 1; off <= CODE.window; off += 1) near.push(now - off, now + off);
  return near.filter((step) => step >= 0 && (lastStep === null || step > lastStep));
}

/** How many codes are given for the day on which the phone is lost. */
export const RECOVERY_CODES = 10;
const GROUPS = 5;
const GROUP = 5;
/** Crockford's base 32: no I, L, O, U, so that nothing is mistaken in handwriting. */
const LETTERS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

/**
 * A recovery code of 125 bits out of 25 random bytes: enough that its hash may be a fast one
 * (NIST SP 800-63B-4 § 3.1.2.2 draws that line at 112 bits; from memory).
 */
export function recoveryCode(random: Uint8Array): string {
  if (random.length !== GROUPS * GROUP) throw new RangeError('a recovery code takes 25 bytes');
  const letters = Array.from(random, (byte) => LETTERS.charAt(byte % LETTERS.length)).join('');
  return inGroups(letters);
}

const inGroups = (letters: string): string => letters.replaceAll(/.{5}(?=.)/g, '$&-');

/**
 * What was typed as a recovery code, as it was given: capitals, the letters that are mistaken
 * for figures put right, groups of five. Undefined where it cannot be one.
 */
export function readRecoveryCode(typed: string): string | undefined {
  const letters = typed
    .toUpperCase()
    .replaceAll(/[\s-]/g, '')
    .replaceAll('O', '0')
    .replaceAll(/[IL]/g, '1');
  if (!/^[0-9A-HJKMNP-TV-Z]{25}$/.test(letters)) return undefined;
  return inGroups(letters);
}

/** What was typed as a code of an app: six figures, gaps left out. Undefined where it cannot be one. */
export function readCode(typed: string): string | undefined {
  const figures = typed.replaceAll(/\s/g, '');
  return /^\d{6}$/.test(figures) ? figures : undefined;
}

/** How a sign-in was begun, as far as it decides what it may do. */
export interface Strength {
  /** By the short PIN of a bench phone. */
  readonly byPin: boolean;
  /** Begun, or made so, with a code; by PIN: the full sign-in that the PIN came from. */
  readonly withSecondFactor: boolean;
}

/**
 * What a sign-in reaches: `whole` all that its roles may, `bench` the bench's work (by PIN),
 * `enrolment` nothing but adding the second factor that the clinic asks for.
 */
export const REACHES = ['whole', 'bench', 'enrolment'] as const;
export type Reach = (typeof REACHES)[number];

export function reachOf(
  { byPin, withSecondFactor }: Strength,
  asked: SecondFactorFor,
  roles: readonly Role[],
): Reach {
  if (mustHaveSecondFactor(asked, roles) && !withSecondFactor) return 'enrolment';
  return byPin ? 'bench' : 'whole';
}

/** By PIN a person works at the bench, and is nothing else. */
const BENCH_ROLES: readonly Role[] = ['technician', 'prosthetist'];

export const rolesWithin = (reach: Reach, roles: readonly Role[]): readonly Role[] =>
  reach === 'bench' ? roles.filter((role) => BENCH_ROLES.includes(role)) : roles;
