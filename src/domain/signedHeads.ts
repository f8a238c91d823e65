/**
 * Signed heads of the record (R11): what the service says, under its own Ed25519 key (RFC 8032),
 * of where a clinic's events stood: how many there were, the root of their tree, the value of their
 * chain. Each names the one before by its hash, so that none can be left out in between.
 *
 * What is signed is the RFC 8785 canonical JSON of a statement. Its `purpose` keeps a signature of
 * one kind from standing under a statement of another.
 *
 * A key is said in a statement too, under the key itself (whoever says it has it) and, where it
 * follows another, under the one before: that is what lets a reader with an old key trust a new
 * one. Where the old key is lost nobody can sign the new one in; the statement says so, and a
 * verifier has to be given the new key from elsewhere. A key's heads are told by their numbers,
 * never by a clock: those after `afterHead`, up to the next key's.
 */
import { canonicalJson } from './canonical.ts';

export const HEAD_PURPOSE = 'castbook signed head v1';
export const KEY_PURPOSE = 'castbook signing key v1';

/** Why a head was signed: once a clinic's day, or because somebody asked. */
export const HEAD_CAUSES = ['daily', 'asked'] as const;
export type HeadCause = (typeof HEAD_CAUSES)[number];

/** What a reader found of a signed head: `unsigned` where its signature could not be checked there. */
export const HEAD_FINDINGS = ['good', 'unsigned', 'bad'] as const;
export type HeadFinding = (typeof HEAD_FINDINGS)[number];

/** How a key came in. */
export const KEY_ENTRIES = [
  /** The clinic's first. */
  'first',
  /** Signed in by the key before it. */
  'rotation',
  /** The key before it was lost, and signed nothing. */
  'lost',
] as const;
export type KeyEntry = (typeof KEY_ENTRIES)[number];

export interface HeadStatement {
  readonly purpose: typeof HEAD_PURPOSE;
  readonly clinicId: string;
  /** 1, 2, 3 … in the clinic. */
  readonly number: number;
  /** Events: the head covers events 1 to this. */
  readonly treeSize: number;
  readonly rootSha256: string;
  /** The chain value of the last of them. */
  readonly chainSha256: string;
  /** RFC 3339, in UTC with milliseconds. */
  readonly signedAt: string;
  /** The clinic's day. */
  readonly day: string;
  readonly cause: HeadCause;
  readonly keyId: string;
  /** `signedHeadText`'s SHA-256 of the head before; null before the first. */
  readonly previousHeadSha256: string | null;
}

/** A statement with the signature on it, base64 of 64 bytes. */
export interface SignedHead {
  readonly statement: HeadStatement;
  readonly signature: string;
}

export interface KeyStatement {
  readonly purpose: typeof KEY_PURPOSE;
  readonly clinicId: string;
  /** 1, 2, 3 … in the clinic. */
  readonly number: number;
  readonly keyId: string;
  /** The raw 32 bytes, base64url without padding: `x` of its JWK (RFC 8037). */
  readonly publicKey: string;
  readonly validFrom: string;
  /** It signs the heads after this number. */
  readonly afterHead: number;
  readonly entry: KeyEntry;
  readonly previousKeyId: string | null;
}

export interface SigningKey {
  readonly statement: KeyStatement;
  /** By the key itself, base64. */
  readonly ownSignature: string;
  /** By the key before it, base64; null unless it was signed in. */
  readonly previousSignature: string | null;
}

/** The text that is signed. */
export const statementText = (statement: HeadStatement | KeyStatement): string =>
  canonicalJson({ ...statement });

/** The text whose SHA-256 the next head names. */
export const signedHeadText = ({ statement, signature }: SignedHead): string =>
  canonicalJson({ signature, statement: { ...statement } });

/** The text whose SHA-256 is a key's id: RFC 7638 over the members of an OKP key (RFC 8037). */
export const thumbprintText = (publicKey: string): string =>
  canonicalJson({ crv: 'Ed25519', kty: 'OKP', x: publicKey });

const BEFORE_KEY = Uint8Array.from([
  0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00,
]);

/** An Ed25519 public key as SubjectPublicKeyInfo in DER (RFC 8410): always these 12 bytes, then the key. */
export function spkiOf(key: Uint8Array): Uint8Array {
  const made = new Uint8Array(BEFORE_KEY.length + key.length);
  made.set(BEFORE_KEY);
  made.set(key, BEFORE_KEY.length);
  return made;
}
