/**
 * Codes of authenticator apps: HOTP by the time (RFC 4226, RFC 6238) as otpauth computes
 * them; which steps count, the domain says.
 */
import { randomBytes, timingSafeEqual } from 'node:crypto';
import { HOTP, Secret, TOTP } from 'otpauth';
import { CODE, stepsThatCount } from '../domain/secondFactor.ts';

/** 160 bits, as RFC 4226 § 4 (R6) recommends. */
const SECRET_BYTES = 20;

export const newSecret = (): Uint8Array => randomBytes(SECRET_BYTES);

/** As it is typed into an app that reads no QR code (RFC 4648 base 32). */
export const base32Of = (secret: Uint8Array): string => asSecret(secret).base32;

/**
 * The step whose code was typed; undefined where it is of none that counts.
 * @param code six figures
 * @param lastStep of the last code that was taken
 */
export function stepOfCode(
  secret: Uint8Array,
  code: string,
  at: Date,
  lastStep: number | null,
): number | undefined {
  const { algorithm, digits } = CODE;
  return stepsThatCount(at, lastStep).find((counter) =>
    isSame(HOTP.generate({ secret: asSecret(secret), algorithm, digits, counter }), code),
  );
}

/** What an authenticator app reads from the QR code (the key URI format of such apps; no standard). */
export function keyUri(secret: Uint8Array, clinic: string, account: string): string {
  const { algorithm, digits, stepS: period } = CODE;
  return new TOTP({
    issuer: withoutColon(`Castbook ${clinic}`),
    label: withoutColon(account),
    secret: asSecret(secret),
    algorithm,
    digits,
    period,
  }).toString();
}

/** A colon parts issuer and account. */
const withoutColon = (text: string): string => text.replaceAll(':', ' ');

const asSecret = (secret: Uint8Array): Secret =>
  new Secret({ buffer: new Uint8Array(secret).buffer });

const isSame = (one: string, other: string): boolean =>
  one.length === other.length && timingSafeEqual(Buffer.from(one), Buffer.from(other));
