/** Statements on requests already answered (R13). */
import { z } from 'zod';
import type { Act, Caller, Tx } from './act.ts';

export interface StoredAnswer {
  readonly fingerprint: string;
  readonly status: number;
  readonly answer: unknown;
}

const storedAnswer = z.object({
  fingerprint: z.string(),
  status: z.int(),
  answer: z.unknown(),
});

/** @param answer JSON text; fails on the unique key where the key was used before */
export const writeAnswer = (
  act: Act,
  key: string,
  fingerprint: string,
  status: number,
  answer: string,
): Promise<number> => act.tx.$executeRaw`
  insert into idempotency_key (clinic_id, person_id, key, fingerprint, status, answer, created_at)
  values (${act.clinicId}::uuid, ${act.by.personId}::uuid, ${key}, ${fingerprint}, ${status}, ${answer}::jsonb, ${act.at})`;

export async function answerTo(
  tx: Tx,
  caller: Caller,
  key: string,
): Promise<StoredAnswer | undefined> {
  const rows = await tx.$queryRaw`
    select fingerprint, status, answer from idempotency_key
    where clinic_id = ${caller.clinicId}::uuid and person_id = ${caller.personId}::uuid and key = ${key}`;
  return z.array(storedAnswer).parse(rows)[0];
}
