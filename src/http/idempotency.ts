/**
 * The same request sent twice does its work once (R13).
 *
 * The answer is kept by the transaction that did the work, under the caller's key, as its
 * last write before the events. A second one with the same key therefore cannot commit: it
 * waits on the unique key, or is refused by what the first one changed; either way it is
 * rolled back and given the first one's answer. A refusal leaves nothing, so a request that
 * was refused may be sent again under its key.
 */
import { createHash } from 'node:crypto';
import type { FastifyRequest } from 'fastify';
import { canonicalJson, type JsonValue } from '../domain/canonical.ts';
import { reason } from '../domain/reasons/index.ts';
import { inSession, type Caller } from '../store/act.ts';
import { isBusy } from '../store/busy.ts';
import { answerTo, type StoredAnswer } from '../store/idempotencyKeys.ts';
import type { Store } from '../store/open.ts';
import { Refused } from '../store/refused.ts';

export interface Keyed {
  readonly key: string;
  readonly fingerprint: string;
}

/** @throws Refused 'idempotency-key-missing' */
export function keyFrom({ headers }: FastifyRequest): string {
  const key = headers['idempotency-key'];
  if (typeof key !== 'string' || !/^[\x21-\x7e]{8,100}$/.test(key)) {
    throw new Refused([reason('idempotency-key-missing', {})]);
  }
  return key;
}

/** The answer kept under this key, if there is one. @throws Refused 'idempotency-key-reused', 'answer-erased' */
export async function answerBefore(
  store: Store,
  caller: Caller,
  { key, fingerprint }: Keyed,
): Promise<StoredAnswer | undefined> {
  const stored = await inSession(store, caller, (tx) => answerTo(tx, store.cipher, caller, key));
  if (stored === 'erased') throw new Refused([reason('answer-erased', {})]);
  if (stored !== undefined && stored.fingerprint !== fingerprint) {
    throw new Refused([reason('idempotency-key-reused', {})]);
  }
  return stored;
}

/** Whatever stopped the work, the reason may be that it was done before: then that answer is given. */
export async function answerBeforeOr(
  failure: unknown,
  store: Store,
  caller: Caller,
  keyed: Keyed | undefined,
): Promise<StoredAnswer> {
  const stored =
    keyed === undefined || isBusy(failure) ? undefined : await answerBefore(store, caller, keyed);
  if (stored === undefined) throw failure;
  return stored;
}

/** What makes two requests the same: method, address and canonical body. */
export function fingerprintOf({ method, url, body }: FastifyRequest): string {
  const content = canonicalJson(withoutPasswords((body ?? null) as JsonValue));
  return createHash('sha256').update(`${method} ${url}\n${content}`, 'utf8').digest('hex');
}

/** A fast hash over a password, a PIN or a code would let it be guessed from the stored fingerprint. */
function withoutPasswords(value: JsonValue): JsonValue {
  if (Array.isArray(value)) return value.map(withoutPasswords);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([name]) => !/(password|secret)$|^pin$|^oneTimeCode$/i.test(name))
      .map(([name, member]) => [name, withoutPasswords(member)]),
  );
}
