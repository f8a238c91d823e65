/**
 * Secrets that the service must read again (those of authenticator apps) as they lie in the
 * database: AES-256-GCM, with whose they are as associated data, so that one moved into
 * another person's row opens nothing. A copy of the database alone gives none away.
 */
import { createCipheriv, createDecipheriv, hkdfSync, randomBytes } from 'node:crypto';

export interface SecretSeal {
  /** @param of whose it is and what, the same when it is opened */
  seal(secret: Uint8Array, of: string): Uint8Array<ArrayBuffer>;
  /** Undefined where the key was another or something was changed. */
  open(sealed: Uint8Array, of: string): Uint8Array | undefined;
}

const CIPHER = 'aes-256-gcm';
const NONCE_BYTES = 12;
const TAG_BYTES = 16;

/**
 * A key of its own derived from the one secret that the service is configured with (HKDF,
 * RFC 5869). Whoever replaces that secret makes the sealed ones unreadable: people then sign
 * in by a recovery code, or an administrator resets their second factor.
 */
export function secretSeal(configured: string): SecretSeal {
  const key = new Uint8Array(
    hkdfSync('sha256', configured, 'castbook', 'second factor secrets at rest, 1', 32),
  );
  return {
    seal: (secret, of) => {
      const nonce = randomBytes(NONCE_BYTES);
      const cipher = createCipheriv(CIPHER, key, nonce).setAAD(Buffer.from(of));
      return new Uint8Array(
        Buffer.concat([nonce, cipher.update(secret), cipher.final(), cipher.getAuthTag()]),
      );
    },
    open: (sealed, of) => {
      const bytes = Buffer.from(sealed);
      const decipher = createDecipheriv(CIPHER, key, bytes.subarray(0, NONCE_BYTES), {
        authTagLength: TAG_BYTES,
      }).setAAD(Buffer.from(of));
      decipher.setAuthTag(bytes.subarray(-TAG_BYTES));
      try {
        const opened = decipher.update(bytes.subarray(NONCE_BYTES, -TAG_BYTES));
        return new Uint8Array(Buffer.concat([opened, decipher.final()]));
      } catch {
        return undefined;
      }
    },
  };
}
