/** Signed heads of the record, the keys, and proofs under them (R11). */
import { z } from 'zod';
import type { HeadNotice } from '../../documents/headNotice.ts';
import type { Paper } from '../../documents/page.ts';
import { bytesOf, hexOf, leafHash } from '../../domain/merkle.ts';
import {
  consistencyPath,
  inclusionPath,
  provesConsistency,
  provesInclusion,
} from '../../domain/merkleProofs.ts';
import { reason } from '../../domain/reasons/index.ts';
import { statementText } from '../../domain/signedHeads.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { chainedEvents } from '../../store/history.ts';
import { runHash, sha256Bytes } from '../../store/merkleNodes.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { headByNumber, headsBefore, signingKeys, type HeadKept } from '../../store/signedHeads.ts';
import type {
  ConsistencyProof,
  HeadQuery,
  InclusionProof,
  SignedHeadView,
  SigningKeyList,
} from './headSchemas.ts';
import { publicKeyPem, type HeadSigner } from './signer.ts';
import { damaged, signHead } from './signing.ts';

const viewOf = ({
  statement,
  statementText: text,
  signature,
  headSha256,
  askedBy,
}: HeadKept): SignedHeadView => {
  const { number, treeSize, rootSha256, chainSha256, day, cause, keyId } = statement;
  return {
    number,
    treeSize,
    rootSha256,
    chainSha256,
    signedAt: new Date(statement.signedAt),
    day,
    cause,
    askedBy,
    keyId,
    previousHeadSha256: statement.previousHeadSha256,
    headSha256,
    statement: text,
    signature,
  };
};

const cursor = z.tuple([z.int()]);

/** Heads, the newest first. */
export async function readHeads(
  act: Act,
  { limit, after }: HeadQuery,
  signing: boolean,
): Promise<Page<SignedHeadView> & { readonly signing: boolean }> {
  const [before = null] = readCursor(cursor, after) ?? [];
  const rows = await headsBefore(act.tx, act.clinicId, before, limit + 1);
  const page = pageFrom(rows, limit, ({ statement }) => [statement.number], viewOf);
  return { ...page, signing };
}

/** @throws Refused 'head-signing-off', 'record-empty', and what signing refuses */
export async function signNow(act: Act, signer: HeadSigner | undefined): Promise<SignedHeadView> {
  if (signer === undefined) throw new Refused([reason('head-signing-off', {})]);
  const { clinicId, at, by } = act;
  const cause = 'asked';
  const signed = await signHead(act.tx, { clinicId, at, signer, cause, askedById: by.personId });
  if (signed === undefined) throw new Refused([reason('record-empty', {})]);
  signed.events.forEach(act.record);
  const { statement } = signed;
  return viewOf({ ...signed, statementText: statementText(statement), askedBy: by.printedName });
}

export async function readKeys(act: Act): Promise<SigningKeyList> {
  const keys = await signingKeys(act.tx, act.clinicId);
  return {
    items: keys.map(({ statement, ownSignature, previousSignature }) => {
      const { number, keyId, publicKey: x, validFrom, afterHead, entry, previousKeyId } = statement;
      return {
        number,
        keyId,
        jwk: { kty: 'OKP', crv: 'Ed25519', x, kid: keyId, use: 'sig', alg: 'EdDSA' },
        pem: publicKeyPem(x),
        validFrom: new Date(validFrom),
        afterHead,
        entry,
        previousKeyId,
        statement: statementText(statement),
        ownSignature,
        previousSignature,
      };
    }),
  };
}

const headOf = async (act: Act, number: number): Promise<HeadKept> =>
  found(await headByNumber(act.tx, act.clinicId, number), () =>
    reason('not-found', { what: 'signed head', id: String(number) }),
  );

/**
 * That an event is under a head. What is handed out was verified against the signed root first.
 * @throws Refused 'not-found', 'event-not-under-head', 'record-tree-damaged'
 */
export async function proveInclusion(
  act: Act,
  number: number,
  event: number,
): Promise<InclusionProof> {
  const head = await headOf(act, number);
  const { treeSize: size, rootSha256 } = head.statement;
  if (event > size) {
    refuseIfAny([reason('event-not-under-head', { seq: event, treeSize: size }, '/event')]);
  }
  const [row] = await chainedEvents(act, event - 1, 1);
  const hashes = await hashesOf(act, size, inclusionPath(event - 1, size));
  const leafSha256 = row?.seq === event ? row.leafSha256 : '0'.repeat(64);
  const of = { leaf: leafHash(sha256Bytes, bytesOf(leafSha256)), index: event - 1, size };
  if (!provesInclusion(sha256Bytes, of, hashes, bytesOf(rootSha256))) {
    throw new Refused([reason('record-tree-damaged', { treeSize: size })]);
  }
  return { head: viewOf(head), event, leafSha256, proof: hashes.map(hexOf) };
}

/**
 * That a head holds all that an earlier one held.
 * @throws Refused 'head-is-no-earlier-one', 'not-found', 'record-tree-damaged'
 */
export async function proveConsistency(
  act: Act,
  to: number,
  from: number,
): Promise<ConsistencyProof> {
  if (from > to) throw new Refused([reason('head-is-no-earlier-one', { number: to, from })]);
  const [first, second] = [await headOf(act, from), await headOf(act, to)];
  const tree = ({ statement }: HeadKept) => ({
    size: statement.treeSize,
    root: bytesOf(statement.rootSha256),
  });
  const { size } = tree(second);
  const hashes = await hashesOf(act, size, consistencyPath(tree(first).size, size));
  if (!provesConsistency(sha256Bytes, tree(first), tree(second), hashes)) {
    throw new Refused([reason('record-tree-damaged', { treeSize: size })]);
  }
  return { from: viewOf(first), to: viewOf(second), proof: hashes.map(hexOf) };
}

async function hashesOf(
  { tx, clinicId }: Act,
  size: number,
  path: ReturnType<typeof inclusionPath>,
): Promise<Uint8Array[]> {
  const hashes: Uint8Array[] = [];
  for (const run of path) hashes.push(await runHash(tx, clinicId, run).catch(damaged(size)));
  return hashes;
}

/** The head on paper, to be kept away from the service. */
export async function readNotice(
  act: Act,
  number: number,
): Promise<{ readonly record: HeadNotice; readonly paper: Paper; readonly madeAt: Date }> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  const { statement, statementText: text, signature } = await headOf(act, number);
  const keys = await signingKeys(act.tx, act.clinicId);
  const key = keys.find((each) => each.statement.keyId === statement.keyId);
  return {
    paper: clinic.paper,
    madeAt: act.at,
    record: {
      clinic: { name: clinic.name, timeZone: clinic.timeZone },
      statement,
      text,
      signature,
      publicKey: key?.statement.publicKey ?? '',
    },
  };
}
