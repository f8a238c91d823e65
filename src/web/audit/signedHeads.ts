/** Signed heads as this browser checks them: nothing that the service says of a signature is believed. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesOf } from '../../domain/merkle.ts';
import { provesConsistency } from '../../domain/merkleProofs.ts';
import type { HeadFinding } from '../../domain/signedHeads.ts';
import { answered, api, type Schemas } from '../api.ts';

export type SignedHead = Schemas['SignedHead'];
/** `unsigned`: all fits, but this browser knows no Ed25519. */
export type HeadFound = HeadFinding;

export async function newestSignedHead(): Promise<SignedHead | null> {
  const params = { query: { limit: 1 } };
  const { items } = await answered(api.GET('/api/v1/record/heads', { params }));
  return items[0] ?? null;
}

/** Whether what stands beside a statement is what the signed text says. */
export function saysSo({ statement, ...head }: SignedHead): boolean {
  const said = jsonOf(statement) as Partial<Record<string, unknown>>;
  const fields = ['number', 'treeSize', 'rootSha256', 'chainSha256', 'keyId'] as const;
  return fields.every((field) => said[field] === head[field]);
}

const binary = (base64: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(base64), (each) => each.charCodeAt(0));

/** Whether the signature is under the key that the head names, as the service lists it. */
export async function signatureOf(head: SignedHead): Promise<HeadFound> {
  const { items } = await answered(api.GET('/api/v1/record/keys'));
  const key = items.find(({ keyId }) => keyId === head.keyId);
  if (key === undefined) return 'bad';
  const { kty, crv, x } = key.jwk;
  let imported: CryptoKey;
  try {
    imported = await crypto.subtle.importKey('jwk', { kty, crv, x }, 'Ed25519', false, ['verify']);
  } catch {
    return 'unsigned';
  }
  const text = new TextEncoder().encode(head.statement);
  const isGood = await crypto.subtle.verify('Ed25519', imported, binary(head.signature), text);
  return isGood ? 'good' : 'bad';
}

/** What a saved head says, as far as it is needed to go on from it. */
export interface SavedHead {
  readonly number: number;
  readonly treeSize: number;
  readonly rootSha256: string;
}

/** Reads a saved head; null where the file holds none. */
export function readSavedHead(text: string): SavedHead | null {
  const { statement } = Object(jsonOf(text)) as { statement?: unknown };
  const said = Object(typeof statement === 'string' ? jsonOf(statement) : statement) as Readonly<
    Record<string, unknown>
  >;
  const { number, treeSize, rootSha256 } = said;
  return typeof number === 'number' &&
    typeof treeSize === 'number' &&
    typeof rootSha256 === 'string' &&
    /^[0-9a-f]{64}$/.test(rootSha256)
    ? { number, treeSize, rootSha256 }
    : null;
}

/** Whether the newest head is proven to hold all that a saved one held. */
export async function holdsSaved(newest: SignedHead, saved: SavedHead): Promise<boolean> {
  const params = { path: { number: newest.number }, query: { from: saved.number } };
  const { proof } = await answered(
    api.GET('/api/v1/record/heads/{number}/consistency', { params }),
  );
  return provesConsistency(
    sha256,
    { size: saved.treeSize, root: bytesOf(saved.rootSha256) },
    { size: newest.treeSize, root: bytesOf(newest.rootSha256) },
    proof.map(bytesOf),
  );
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
