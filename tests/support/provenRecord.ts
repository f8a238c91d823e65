/** A record as an export holds it, made by the rules of the domain with keys of its own: to be tampered with. */
import { createHash } from 'node:crypto';
import { CHAIN_START, chainText, leafText, type Leaf } from '../../src/domain/eventChain.ts';
import { bytesOf, hexOf, leafHash, treeHash, type HashBytes } from '../../src/domain/merkle.ts';
import type { ExportedEvent } from '../../src/domain/recordProof.ts';
import { sealedText, sealOf } from '../../src/domain/seals.ts';
import {
  HEAD_PURPOSE,
  KEY_PURPOSE,
  signedHeadText,
  statementText,
  type HeadStatement,
  type KeyEntry,
  type KeyStatement,
  type SignedHead,
  type SigningKey,
} from '../../src/domain/signedHeads.ts';
import type { HeadSigner } from '../../src/features/record/signer.ts';

export const sha256 = (text: string): string =>
  createHash('sha256').update(text, 'utf8').digest('hex');
export const hash: HashBytes = (bytes) => createHash('sha256').update(bytes).digest();

export const CLINIC = '0190a000-0000-7000-8000-000000000001';

export interface Record {
  keys: SigningKey[];
  heads: SignedHead[];
  events: ExportedEvent[];
}

export const leafOf = (n: number, over: Partial<Leaf> = {}): Leaf => ({
  at: '2026-03-02T09:00:00.000Z',
  clinicId: CLINIC,
  data: { n },
  id: `0190a000-0000-7000-8000-${String(n).padStart(12, '0')}`,
  kind: 'order.changed',
  orderId: null,
  personId: null,
  subjectId: '0190a000-0000-7000-8000-0000000000ff',
  subjectKind: 'order',
  ...over,
});

const SALT = 'ab'.repeat(16);
/** A patient entered, the name under a seal that the export opens. */
export function sealedLeaf(n: number, value: string): [Leaf, ExportedEvent['opened']] {
  const kept = { salt: SALT, value };
  const data = { familyName: sealOf(sha256(sealedText(kept))) };
  return [leafOf(n, { kind: 'patient.added', subjectKind: 'patient', data }), { familyName: kept }];
}

/** Chains events anew from their leaves, as whoever can write the whole table can. */
export function chained(events: readonly ExportedEvent[]): ExportedEvent[] {
  let { chainSha256 } = CHAIN_START;
  return events.map((event, at) => {
    const leafSha256 = event.leaf === null ? event.leafSha256 : sha256(leafText(event.leaf));
    chainSha256 = sha256(chainText(chainSha256, leafSha256));
    return { ...event, seq: at + 1, leafSha256, chainSha256 };
  });
}

export const rootOfEvents = (events: readonly ExportedEvent[]): string =>
  hexOf(
    treeHash(
      hash,
      events.map(({ leafSha256 }) => leafHash(hash, bytesOf(leafSha256))),
    ),
  );

export function keyBy(
  signer: HeadSigner,
  before: { key: SigningKey; signer: HeadSigner } | null,
  over: Partial<KeyStatement> = {},
): SigningKey {
  const entry: KeyEntry = over.entry ?? (before === null ? 'first' : 'rotation');
  const statement: KeyStatement = {
    purpose: KEY_PURPOSE,
    clinicId: CLINIC,
    number: (before?.key.statement.number ?? 0) + 1,
    keyId: signer.keyId,
    publicKey: signer.publicKey,
    validFrom: '2026-03-01T00:00:00.000Z',
    afterHead: 0,
    previousKeyId: before?.key.statement.keyId ?? null,
    ...over,
    entry,
  };
  const text = statementText(statement);
  return {
    statement,
    ownSignature: signer.sign(text),
    previousSignature: entry === 'rotation' ? (before?.signer.sign(text) ?? null) : null,
  };
}

export function headBy(
  signer: HeadSigner,
  events: readonly ExportedEvent[],
  size: number,
  before: SignedHead | undefined,
  over: Partial<HeadStatement> = {},
): SignedHead {
  const statement: HeadStatement = {
    purpose: HEAD_PURPOSE,
    clinicId: CLINIC,
    number: (before?.statement.number ?? 0) + 1,
    treeSize: size,
    rootSha256: rootOfEvents(events.slice(0, size)),
    chainSha256: events[size - 1]!.chainSha256,
    signedAt: '2026-03-02T22:00:00.000Z',
    day: '2026-03-02',
    cause: 'daily',
    keyId: signer.keyId,
    previousHeadSha256: before === undefined ? null : sha256(signedHeadText(before)),
    ...over,
  };
  return { statement, signature: signer.sign(statementText(statement)) };
}

export const eventOf = (leaf: Leaf, opened: ExportedEvent['opened'] = {}): ExportedEvent => ({
  seq: 0,
  leaf,
  leafSha256: '',
  chainSha256: '',
  opened,
  withheldFits: true,
});

/** What the event of a signing tells. */
const tellsHead = (n: number, head: SignedHead): ExportedEvent =>
  eventOf(
    leafOf(n, {
      kind: 'record.head_signed',
      subjectKind: 'clinic',
      data: { number: head.statement.number, headSha256: sha256(signedHeadText(head)) },
    }),
  );

/**
 * A record of `size` events and some: heads are signed where `headsAt` says, each told by the
 * event after it, and the second key comes in after `rotateAfter` heads.
 */
export function provenRecord(
  size: number,
  headsAt: readonly number[],
  signers: readonly HeadSigner[],
  { rotateAfter = 1, entry = 'rotation' }: { rotateAfter?: number; entry?: KeyEntry } = {},
): Record {
  let events: ExportedEvent[] = [];
  const heads: SignedHead[] = [];
  const [first, second] = signers;
  const keys = [keyBy(first!, null)];
  if (second !== undefined) {
    const before = { key: keys[0]!, signer: first! };
    keys.push(keyBy(second, before, { afterHead: rotateAfter, entry }));
  }
  for (let n = 1; n <= size; n += 1) {
    const last = heads.at(-1);
    const told = last?.statement.treeSize === n - 1;
    const next = told
      ? tellsHead(n, last)
      : n % 4 === 2
        ? eventOf(...sealedLeaf(n, `Invented ${n}`))
        : eventOf(leafOf(n));
    events = chained([...events, next]);
    if (headsAt.includes(n)) {
      const signer = heads.length < rotateAfter ? first! : (second ?? first!);
      heads.push(headBy(signer, events, n, last));
    }
  }
  return { keys, heads, events };
}
