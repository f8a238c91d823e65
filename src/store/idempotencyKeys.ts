/** Statements on requests already answered (R13). */
import { z } from 'zod';
import type { Act, Caller, Tx } from './act.ts';
import type { ColumnCipher } from './columnCipher.ts';
import { parseFirst } from './rows.ts';

export interface StoredAnswer {
  readonly fingerprint: string;
  readonly status: number;
  readonly answer: unknown;
}

const KeptAnswer = z.object({
  fingerprint: z.string(),
  status: z.int(),
  answer: z.string(),
});

/**
 * The answer may be a whole patient, and the fingerprint is a fast hash of the body, of which
 * little but a telephone number may be unknown: both are kept encrypted.
 */
const cell = (
  column: 'fingerprint' | 'answer',
  clinicId: string,
  personId: string,
  key: string,
) => ({
  table: 'idempotency_key',
  column,
  clinicId,
  rowId: `${personId} ${key}`,
});

/** @param answer JSON text; fails on the unique key where the key was used before */
export function writeAnswer(
  { tx, clinicId, by: { personId }, at, cipher }: Act,
  key: string,
  fingerprint: string,
  status: number,
  answer: string,
): Promise<number> {
  const kept = {
    fingerprint: cipher.encryptFor(cell('fingerprint', clinicId, personId, key), fingerprint),
    answer: cipher.encryptFor(cell('answer', clinicId, personId, key), answer),
  };
  return tx.$executeRaw`
    insert into idempotency_key (clinic_id, person_id, key, fingerprint, status, answer, created_at)
    values (${clinicId}::uuid, ${personId}::uuid, ${key}, ${kept.fingerprint}, ${status}, to_jsonb(${kept.answer}::text), ${at})`;
}

/** The answers kept under those of the keys that the person has used; what was erased is left out. */
export async function answersTo(
  tx: Tx,
  cipher: ColumnCipher,
  caller: Pick<Caller, 'clinicId' | 'personId'>,
  keys: readonly string[],
): Promise<unknown[]> {
  const answers: unknown[] = [];
  for (const key of keys) {
    const kept = await answerTo(tx, cipher, caller, key);
    if (kept !== undefined && kept !== 'erased') answers.push(kept.answer);
  }
  return answers;
}

/** The status under which an erasure leaves an answer that named the patient (410: it was here). */
const ERASED = 410;

/** The answer kept under the person's key; 'erased' where an erasure took it, undefined where there is none. */
export async function answerTo(
  tx: Tx,
  cipher: ColumnCipher,
  { clinicId, personId }: Pick<Caller, 'clinicId' | 'personId'>,
  key: string,
): Promise<StoredAnswer | 'erased' | undefined> {
  const kept = parseFirst(
    KeptAnswer,
    await tx.$queryRaw`
      select fingerprint, status, answer #>> '{}' as answer from idempotency_key
      where clinic_id = ${clinicId}::uuid and person_id = ${personId}::uuid and key = ${key}`,
  );
  if (kept === undefined) return undefined;
  // No ciphertext is left to open.
  if (kept.status === ERASED) return 'erased';
  const answer = cipher.decryptFor(cell('answer', clinicId, personId, key), kept.answer);
  return {
    fingerprint: cipher.decryptFor(cell('fingerprint', clinicId, personId, key), kept.fingerprint),
    status: kept.status,
    answer: JSON.parse(answer) as unknown,
  };
}
