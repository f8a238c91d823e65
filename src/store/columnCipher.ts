/**
 * Values of single columns, encrypted: AES-256-GCM (NIST SP 800-38D) with a random 96-bit nonce.
 * What is authenticated besides the value is where it stands (table, column, clinic, row), so a
 * ciphertext that was copied to another row, column or clinic does not open. The form that is
 * kept names its version and its key:
 *
 *   enc1.<key id>.<nonce>.<ciphertext and tag>      (the last two in base64url)
 *
 * Whoever has the database without the keys learns of a value whether it is there, how long it
 * is, and when it was written. With random nonces one key may encrypt 2^32 values (SP 800-38D
 * §8.3), which a clinic does not reach; keys are still to be changed now and then.
 */
import { createCipheriv, createDecipheriv, createHmac, hkdfSync, randomBytes } from 'node:crypto';
import { canonicalJson } from '../domain/canonical.ts';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from './refused.ts';

/** A key as the operator gives it: a name of up to 32 letters, digits, _ and -, and 32 random bytes. */
export interface ColumnKey {
  readonly id: string;
  readonly bytes: Uint8Array;
}

/** Where a value stands. */
export interface Cell {
  readonly table: string;
  readonly column: string;
  readonly clinicId: string;
  /** The row's id; where its key has several parts, all of them in one text. */
  readonly rowId: string;
}

/** Encrypts with the first key, decrypts with each. */
export interface ColumnCipher {
  /** The first comes first; none where the program was given no keys. */
  readonly keyIds: readonly string[];
  /** @returns the value as it is to be kept; another each time @throws Refused 'column-key-missing' where there is no key */
  encryptFor(cell: Cell, text: string): string;
  /** @throws Refused 'column-key-missing', 'column-value-broken' */
  decryptFor(cell: Cell, kept: string): string;
  /**
   * Keyed digests of a value that is sought, 16 hexadecimal digits under each key, the first
   * key's first: equal texts of one clinic and use have equal digests, and nobody without the
   * key can try which text it is.
   * @param use what it is sought as, such as 'patient.phone'
   */
  digestsOf(use: string, clinicId: string, text: string): readonly string[];
  /** 16 hexadecimal digits that tell two keys apart, by the key's id: kept to notice a key given under another's name. */
  checkOf(keyId: string): string | undefined;
}

const CIPHER = 'aes-256-gcm';
const NONCE_BYTES = 12;
const TAG_BYTES = 16;
const KEY_BYTES = 32;

export const KEY_ID = /^[A-Za-z0-9_-]{1,32}$/;
const KEPT = /^enc1\.([A-Za-z0-9_-]{1,32})\.([A-Za-z0-9_-]{16})\.([A-Za-z0-9_-]{22,})$/;

/** Under which key a value is kept; undefined where it is no ciphertext. */
export const keyIdOf = (kept: string): string | undefined => KEPT.exec(kept)?.[1];

/** AES-256-GCM as the standard has it. @returns ciphertext and 16 bytes of tag */
export function gcmEncrypt(
  key: Uint8Array,
  nonce: Uint8Array,
  authenticated: Uint8Array,
  plain: Uint8Array,
): Buffer {
  const cipher = createCipheriv(CIPHER, key, nonce, { authTagLength: TAG_BYTES });
  cipher.setAAD(authenticated);
  return Buffer.concat([cipher.update(plain), cipher.final(), cipher.getAuthTag()]);
}

/** @returns undefined where the tag does not fit */
export function gcmDecrypt(
  key: Uint8Array,
  nonce: Uint8Array,
  authenticated: Uint8Array,
  body: Uint8Array,
): Buffer | undefined {
  const end = body.length - TAG_BYTES;
  if (end < 0) return undefined;
  const decipher = createDecipheriv(CIPHER, key, nonce, { authTagLength: TAG_BYTES });
  decipher.setAAD(authenticated);
  decipher.setAuthTag(body.subarray(end));
  try {
    return Buffer.concat([decipher.update(body.subarray(0, end)), decipher.final()]);
  } catch {
    return undefined;
  }
}

/** What is authenticated besides the value: unambiguous, whatever the names hold. */
export const authenticatedText = (keyId: string, cell: Cell): string =>
  canonicalJson(['enc1', keyId, cell.table, cell.column, cell.clinicId, cell.rowId]);

/** One use of a key is one key of its own (HKDF, RFC 5869): what leaks of one says nothing of the other. */
export const keyFor = (use: string, { bytes }: ColumnKey): Buffer =>
  Buffer.from(hkdfSync('sha256', bytes, new Uint8Array(), `castbook ${use} 1`, KEY_BYTES));

interface Usable {
  readonly id: string;
  readonly cipher: Buffer;
  readonly digest: Buffer;
}

/** @param keys the first is the one that encrypts; without any, nothing is encrypted nor read */
export function columnCipher(keys: readonly ColumnKey[]): ColumnCipher {
  const usable = keys.map((key): Usable => {
    if (!KEY_ID.test(key.id)) throw new TypeError('not the name of a key');
    if (key.bytes.length !== KEY_BYTES) throw new TypeError(`key ${key.id} has not 32 bytes`);
    return { id: key.id, cipher: keyFor('column', key), digest: keyFor('digest', key) };
  });
  const byId = new Map(usable.map((key) => [key.id, key]));
  const [current] = usable;
  const digest = (key: Usable, text: string): string =>
    createHmac('sha256', key.digest).update(text, 'utf8').digest('hex').slice(0, 16);

  return {
    keyIds: usable.map(({ id }) => id),
    encryptFor: (cell, text) => {
      if (current === undefined) throw keyMissing('', cell);
      const nonce = randomBytes(NONCE_BYTES);
      const authenticated = Buffer.from(authenticatedText(current.id, cell), 'utf8');
      const body = gcmEncrypt(current.cipher, nonce, authenticated, Buffer.from(text, 'utf8'));
      return `enc1.${current.id}.${nonce.toString('base64url')}.${body.toString('base64url')}`;
    },
    decryptFor: (cell, kept) => {
      const [, keyId, nonce, body] = KEPT.exec(kept) ?? [];
      if (keyId === undefined || nonce === undefined || body === undefined) throw broken(cell);
      const key = byId.get(keyId);
      if (key === undefined) throw keyMissing(keyId, cell);
      const plain = gcmDecrypt(
        key.cipher,
        Buffer.from(nonce, 'base64url'),
        Buffer.from(authenticatedText(keyId, cell), 'utf8'),
        Buffer.from(body, 'base64url'),
      );
      if (plain === undefined) throw broken(cell);
      return plain.toString('utf8');
    },
    digestsOf: (use, clinicId, text) =>
      usable.map((key) => digest(key, canonicalJson([use, clinicId, text]))),
    checkOf: (keyId) => {
      const key = byId.get(keyId);
      return key === undefined ? undefined : digest(key, canonicalJson(['check', keyId]));
    },
  };
}

/** For the log: where it stands, never what. */
const placeOf = ({ table, column, clinicId, rowId }: Cell): string =>
  `${table}.${column} of row ${rowId} of clinic ${clinicId}`;

const keyMissing = (keyId: string, cell: Cell): Refused =>
  new Refused([reason('column-key-missing', { keyId })], {
    cause: new Error(
      `${placeOf(cell)} needs the column key ${keyId === '' ? '(none given)' : keyId}`,
    ),
  });

const broken = (cell: Cell): Refused =>
  new Refused([reason('column-value-broken', {})], {
    cause: new Error(`${placeOf(cell)} does not open: it was changed, or belongs elsewhere`),
  });
