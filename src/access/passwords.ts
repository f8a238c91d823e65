/**
 * Passwords: argon2id with the parameters of the OWASP Password Storage Cheat Sheet
 * (m = 19 MiB, t = 2, p = 1), which stand in each hash, so that they can be raised. Length
 * and normalisation after NIST SP 800-63B-4: at least 15 characters where the password is
 * all there is, no rules of composition, NFKC. (Both from memory.)
 */
import { hash, parseOptions, verify } from '@node-rs/argon2';
import { dictionary } from '@zxcvbn-ts/language-common';
import { isCommonPassword } from '../domain/commonPasswords.ts';
import { reason, type Reason } from '../domain/reasons/index.ts';

const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 };
const SHORTEST = 15;
const LONGEST = 200;

/** The same characters typed on another keyboard are the same password. */
const normalised = (password: string): string => password.normalize('NFKC');

/** Some 49,000, most of them from breaches, as the package has them. */
const COMMON: ReadonlySet<string> = new Set(dictionary['passwords-common']);
/** What anybody expects here. */
const SERVICE = 'castbook';

/**
 * What is against a new password. Counted in characters, not in UTF-16 units.
 * @param context names and addresses that somebody would try first: the person's, the clinic's
 */
export function againstPassword(
  password: string,
  field: string,
  context: readonly string[],
): readonly Reason[] {
  const length = Array.from(normalised(password)).length;
  if (length < SHORTEST || length > LONGEST) {
    return [reason('password-unfit', { shortest: SHORTEST, longest: LONGEST }, field)];
  }
  const expected = { list: COMMON, context: [SERVICE, ...context] };
  return isCommonPassword(password, expected) ? [reason('password-common', {}, field)] : [];
}

/** Takes tens of milliseconds on purpose: never inside a transaction. */
export const hashPassword = (password: string): Promise<string> => hash(normalised(password), COST);

/**
 * Whether a password belongs to a hash. Without a hash (nobody has that name, or no password yet) the same work
 * is done against a dummy, and the answer is no.
 */
export async function passwordFits(
  storedHash: string | null | undefined,
  password: string,
): Promise<boolean> {
  const fits = await verify(storedHash ?? (await dummyHash()), normalised(password));
  return fits && storedHash != null;
}

/** True where the parameters have been raised since the hash was made. */
export function isOutdated(storedHash: string): boolean {
  const { memoryCost, timeCost, parallelism } = parseOptions(storedHash);
  return memoryCost < COST.memoryCost || timeCost < COST.timeCost || parallelism < COST.parallelism;
}

let dummy: Promise<string> | undefined;
const dummyHash = (): Promise<string> => (dummy ??= hashPassword('nobody signs in with this'));

/** Makes the dummy before the first sign-in, so that the first unknown name costs no more than others. */
export async function warmUp(): Promise<void> {
  await dummyHash();
}
