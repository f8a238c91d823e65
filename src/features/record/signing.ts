/**
 * Signing where a clinic's record stands (R11). Before it signs, the service holds the events
 * against the head that it signed before: it puts its name under no record that was changed since.
 */
import { dayAt } from '../../domain/days.ts';
import { hexOf } from '../../domain/merkle.ts';
import { reason } from '../../domain/reasons/index.ts';
import {
  HEAD_PURPOSE,
  KEY_PURPOSE,
  signedHeadText,
  statementText,
  type HeadCause,
  type HeadStatement,
  type KeyEntry,
  type KeyStatement,
  type SigningKey,
} from '../../domain/signedHeads.ts';
import type { Tx } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { textSha256, type NewEvent } from '../../store/events.ts';
import { areNodesKept, keepNodes, rootAt, TreeIncomplete } from '../../store/merkleNodes.ts';
import { Refused } from '../../store/refused.ts';
import {
  chainValueAt,
  holdSigning,
  insertHead,
  insertKey,
  isDaySigned,
  newestEvent,
  newestHead,
  signingKeys,
} from '../../store/signedHeads.ts';
import type { HeadSigner } from './signer.ts';

/** Blocks of 64 events whose nodes one transaction makes: 16,384 events, a fraction of a second. */
export const BLOCKS_AT_ONCE = 256;

/** Who signs what, when. */
export interface Signing {
  readonly clinicId: string;
  readonly at: Date;
  readonly signer: HeadSigner;
  readonly cause: HeadCause;
  readonly askedById: string | null;
  /** Blocks of 64 events whose nodes may still be made here. */
  readonly mostBlocks?: number;
}

export interface HeadSigned {
  readonly statement: HeadStatement;
  readonly signature: string;
  readonly headSha256: string;
  /** To be written last in the transaction. */
  readonly events: readonly NewEvent[];
}

/**
 * Signs a head over all events that there are, and brings the signer's key in where the clinic has none.
 * @returns undefined where there is nothing to sign, or the day's head is signed already
 * @throws Refused 'signing-key-replaced', 'record-tree-behind', 'record-tree-damaged'
 */
export async function signHead(tx: Tx, signing: Signing): Promise<HeadSigned | undefined> {
  const { clinicId, at, signer, cause } = signing;
  await holdSigning(tx, clinicId);
  const { timeZone } = await loadClinic(tx, clinicId);
  const day = dayAt(at, timeZone);
  if (cause === 'daily' && (await isDaySigned(tx, clinicId, day))) return undefined;
  const newest = await newestEvent(tx, clinicId);
  if (newest === undefined || newest.seq === 0) return undefined;
  const events: NewEvent[] = [];
  const [key] = (await signingKeys(tx, clinicId)).slice(-1);
  if (key === undefined) {
    events.push(await introduceKey(tx, { clinicId, at, signer, entry: 'first', before: null }));
  } else if (key.statement.keyId !== signer.keyId) {
    const facts = { keyId: signer.keyId, newest: key.statement.keyId };
    throw new Refused([reason('signing-key-replaced', facts)]);
  }
  const { root, before } = await grownTree(
    tx,
    clinicId,
    newest.seq,
    signing.mostBlocks ?? BLOCKS_AT_ONCE,
  );
  const statement: HeadStatement = {
    purpose: HEAD_PURPOSE,
    clinicId,
    number: (before?.statement.number ?? 0) + 1,
    treeSize: newest.seq,
    rootSha256: root,
    chainSha256: newest.chainSha256,
    signedAt: at.toISOString(),
    day,
    cause,
    keyId: signer.keyId,
    previousHeadSha256: before?.headSha256 ?? null,
  };
  const text = statementText(statement);
  const signature = signer.sign(text);
  const headSha256 = textSha256(signedHeadText({ statement, signature }));
  const { askedById } = signing;
  await insertHead(tx, { statement, signature }, { text, headSha256, askedById });
  const { number, treeSize, rootSha256, keyId } = statement;
  events.push({
    kind: 'record.head_signed',
    subjectKind: 'clinic',
    subjectId: clinicId,
    data: { number, treeSize, rootSha256, headSha256, keyId, day, cause },
  });
  return { statement, signature, headSha256, events };
}

/** The root over so many events, made only where what was signed before is still so. */
async function grownTree(tx: Tx, clinicId: string, size: number, mostBlocks: number) {
  const covered = await keepNodes(tx, clinicId, size, mostBlocks).catch(damaged(size));
  if (!areNodesKept(covered, size)) {
    throw new Refused([reason('record-tree-behind', { events: covered })]);
  }
  const before = await newestHead(tx, clinicId);
  if (before !== undefined) {
    const { treeSize, rootSha256, chainSha256 } = before.statement;
    const root = await rootAt(tx, clinicId, treeSize).catch(damaged(treeSize));
    const chain = await chainValueAt(tx, clinicId, treeSize);
    if (hexOf(root) !== rootSha256 || chain !== chainSha256) {
      throw new Refused([reason('record-tree-damaged', { treeSize })]);
    }
  }
  const root = await rootAt(tx, clinicId, size).catch(damaged(size));
  return { before, root: hexOf(root) };
}

/** A tree that cannot be made up is a refusal, not a fault of the program. */
export const damaged =
  (treeSize: number) =>
  (failure: unknown): never => {
    if (!(failure instanceof TreeIncomplete)) throw failure;
    throw new Refused([reason('record-tree-damaged', { treeSize })], { cause: failure });
  };

interface Introduced {
  readonly clinicId: string;
  readonly at: Date;
  readonly signer: HeadSigner;
  readonly entry: KeyEntry;
  /** Null for the first; the one before signs the new one in, unless it is lost. */
  readonly before: { readonly key: SigningKey; readonly signer: HeadSigner | null } | null;
}

/**
 * Brings a key in that signs the clinic's heads from now on.
 * @returns its event, to be written last in the transaction
 */
export async function introduceKey(
  tx: Tx,
  { clinicId, at, signer, entry, before }: Introduced,
): Promise<NewEvent> {
  const newest = await newestHead(tx, clinicId);
  const statement: KeyStatement = {
    purpose: KEY_PURPOSE,
    clinicId,
    number: (before?.key.statement.number ?? 0) + 1,
    keyId: signer.keyId,
    publicKey: signer.publicKey,
    validFrom: at.toISOString(),
    afterHead: newest?.statement.number ?? 0,
    entry,
    previousKeyId: before?.key.statement.keyId ?? null,
  };
  const text = statementText(statement);
  const key: SigningKey = {
    statement,
    ownSignature: signer.sign(text),
    previousSignature: before?.signer?.sign(text) ?? null,
  };
  await insertKey(tx, key, text);
  const { number, keyId, afterHead, previousKeyId } = statement;
  return {
    kind: 'record.signing_key_introduced',
    subjectKind: 'clinic',
    subjectId: clinicId,
    data: { number, keyId, entry, afterHead, previousKeyId },
  };
}
