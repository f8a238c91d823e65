/** Keys to sign heads with, and the rows of a signed head by plain SQL. */
import { createHash, generateKeyPairSync } from 'node:crypto';
import {
  HEAD_PURPOSE,
  KEY_PURPOSE,
  signedHeadText,
  statementText,
  type HeadStatement,
  type KeyStatement,
} from '../../src/domain/signedHeads.ts';
import { headSigner, type HeadSigner } from '../../src/features/record/signer.ts';
import { NOW, type ClinicRows } from './rows.ts';
import type { Values } from './plainSql.ts';

export const aKey = () => generateKeyPairSync('ed25519').privateKey;
export const aSigner = (): HeadSigner => headSigner(aKey());

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/** The row of a key; `over` changes the statement. */
export function keyRow(
  rows: ClinicRows,
  signer: HeadSigner,
  over: Partial<KeyStatement> = {},
): Values {
  const statement: KeyStatement = {
    purpose: KEY_PURPOSE,
    clinicId: rows.clinicId,
    number: 1,
    keyId: signer.keyId,
    publicKey: signer.publicKey,
    validFrom: NOW,
    afterHead: 0,
    entry: 'first',
    previousKeyId: null,
    ...over,
  };
  const text = statementText(statement);
  return {
    clinic_id: statement.clinicId,
    number: statement.number,
    key_id: statement.keyId,
    public_key: statement.publicKey,
    statement: text,
    own_signature: signer.sign(text),
    previous_signature: statement.entry === 'rotation' ? signer.sign(text) : null,
    valid_from: statement.validFrom,
    after_head: statement.afterHead,
    entry: statement.entry,
    previous_key_id: statement.previousKeyId,
  };
}

/** The row of a head over all events that there are; `over` changes the statement. */
export async function headRow(
  rows: ClinicRows,
  signer: HeadSigner,
  over: Partial<HeadStatement> = {},
): Promise<Values> {
  const [last] = await rows.store.raw<{ seq: number; chain: string }>(
    'select seq::int as seq, chain_sha256 as chain from event_head where clinic_id = $1',
    [rows.clinicId],
  );
  const statement: HeadStatement = {
    purpose: HEAD_PURPOSE,
    clinicId: rows.clinicId,
    number: 1,
    treeSize: last?.seq ?? 0,
    rootSha256: sha256('a root'),
    chainSha256: last?.chain ?? '',
    signedAt: NOW,
    day: NOW.slice(0, 10),
    cause: 'asked',
    keyId: signer.keyId,
    previousHeadSha256: null,
    ...over,
  };
  const text = statementText(statement);
  const signature = signer.sign(text);
  return {
    clinic_id: statement.clinicId,
    number: statement.number,
    tree_size: statement.treeSize,
    root_sha256: statement.rootSha256,
    chain_sha256: statement.chainSha256,
    signed_at: statement.signedAt,
    day: statement.day,
    cause: statement.cause,
    asked_by_id: statement.cause === 'asked' ? rows.technicianId : null,
    key_id: statement.keyId,
    previous_head_sha256: statement.previousHeadSha256,
    statement: text,
    signature,
    head_sha256: sha256(signedHeadText({ statement, signature })),
  };
}
