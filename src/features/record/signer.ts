/** The service's own Ed25519 key (RFC 8032), with which it signs heads of the record (R11). */
import { createHash, createPublicKey, sign, type KeyObject } from 'node:crypto';
import { spkiOf, thumbprintText } from '../../domain/signedHeads.ts';

export interface HeadSigner {
  /** RFC 7638 thumbprint, base64url. */
  readonly keyId: string;
  /** The raw 32 bytes, base64url. */
  readonly publicKey: string;
  /** Ed25519 over a text's UTF-8, base64. */
  readonly sign: (text: string) => string;
}

/** @param key a private Ed25519 key, as config.ts has checked it */
export function headSigner(key: KeyObject): HeadSigner {
  const { x: publicKey } = createPublicKey(key).export({ format: 'jwk' });
  if (publicKey === undefined) throw new TypeError('not an Ed25519 key');
  return {
    publicKey,
    keyId: keyIdOf(publicKey),
    sign: (text) => sign(null, Buffer.from(text, 'utf8'), key).toString('base64'),
  };
}

/** The id of a public key (base64url). */
export const keyIdOf = (publicKey: string): string =>
  createHash('sha256').update(thumbprintText(publicKey), 'utf8').digest('base64url');

/** A public key (base64url) as PEM, for a file. */
export function publicKeyPem(publicKey: string): string {
  const body = Buffer.from(spkiOf(Buffer.from(publicKey, 'base64url'))).toString('base64');
  return `-----BEGIN PUBLIC KEY-----\n${body}\n-----END PUBLIC KEY-----\n`;
}
