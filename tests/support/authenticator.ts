/**
 * An authenticator app for tests, after RFC 4226 § 5.3 and by Node's own HMAC: another
 * program than the one that the service reads codes with.
 */
import { createHmac } from 'node:crypto';

/** The code of a step. @param digits of the code */
export function codeAtStep(secret: Uint8Array, step: number, digits = 6): string {
  const counter = Buffer.alloc(8);
  counter.writeBigUInt64BE(BigInt(step));
  const mac = createHmac('sha1', secret).update(counter).digest();
  const offset = (mac.at(-1) ?? 0) & 0xf;
  const number = mac.readUInt32BE(offset) & 0x7fff_ffff;
  return String(number % 10 ** digits).padStart(digits, '0');
}

/** The code that an app shows at an instant. @param secret in base 32 */
export const codeAt = (secret: string, at: Date): string =>
  codeAtStep(fromBase32(secret), Math.floor(at.getTime() / 30_000));

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ234567';

/** RFC 4648 § 6. */
export function fromBase32(text: string): Uint8Array {
  const letters = text.replaceAll(/[\s=]/g, '');
  const bits = Array.from(letters, (letter) =>
    LETTERS.indexOf(letter).toString(2).padStart(5, '0'),
  );
  return Uint8Array.from(bits.join('').match(/.{8}/g) ?? [], (byte) => Number.parseInt(byte, 2));
}
