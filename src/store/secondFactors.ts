/** Statements on second factors: authenticator apps and recovery codes. Secrets lie there encrypted. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { SECOND_FACTOR_FOR, type SecondFactorFor } from '../domain/secondFactor.ts';
import type { Act, Tx } from './act.ts';
import type { Cell, ColumnCipher } from './columnCipher.ts';
import { parseFirst } from './rows.ts';
import type { Ending } from './sessions.ts';

export interface SecondFactorRow {
  readonly id: string;
  /** The app's, 20 bytes. */
  readonly secret: Uint8Array;
  readonly begunAt: Date;
  /** Null until a first code confirmed it; it counts for nothing before. */
  readonly confirmedAt: Date | null;
  readonly lastStep: number | null;
}

/** The one that has not ended, confirmed or only begun. */
export async function secondFactorOf(
  tx: Tx,
  cipher: ColumnCipher,
  clinicId: string,
  personId: string,
): Promise<SecondFactorRow | undefined> {
  const row = await tx.secondFactor.findFirst({
    where: { clinicId, personId, endedAt: null },
    select: { id: true, secret: true, begunAt: true, confirmedAt: true, lastStep: true },
  });
  if (row?.secret == null) return undefined;
  const secret = cipher.decryptFor(secretOf(clinicId, personId, row.id), row.secret);
  return { ...row, secret: Buffer.from(secret, 'base64url') };
}

/** Bound to that very row of that very person. */
const secretOf = (clinicId: string, personId: string, id: string): Cell => ({
  table: 'second_factor',
  column: 'secret',
  clinicId,
  rowId: `${personId} ${id}`,
});

/** One that counts; undefined where the person has none. */
export async function confirmedFactorOf(
  tx: Tx,
  cipher: ColumnCipher,
  clinicId: string,
  personId: string,
): Promise<SecondFactorRow | undefined> {
  const factor = await secondFactorOf(tx, cipher, clinicId, personId);
  return factor?.confirmedAt == null ? undefined : factor;
}

export async function writeSecondFactor(act: Act, id: string, secret: Uint8Array): Promise<void> {
  const { clinicId, at, by, cipher } = act;
  const kept = cipher.encryptFor(
    secretOf(clinicId, by.personId, id),
    Buffer.from(secret).toString('base64url'),
  );
  await act.tx.secondFactor.create({
    data: { clinicId, id, personId: by.personId, secret: kept, begunAt: at },
    select: { id: true },
  });
}

/** @returns 0 where it was confirmed or ended meanwhile */
export const confirmSecondFactor = (act: Act, id: string, step: number): Promise<number> =>
  act.tx.$executeRaw`
    update second_factor set confirmed_at = ${act.at}, last_step = ${step}
    where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid and confirmed_at is null and ended_at is null`;

/** Takes the code of a step, once: of two at once one finds the step taken. @returns 0 where it was */
export const takeStep = (tx: Tx, clinicId: string, id: string, step: number): Promise<number> =>
  tx.$executeRaw`
    update second_factor set last_step = ${step}
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and ended_at is null and last_step < ${step}`;

export const endSecondFactor = (
  tx: Tx,
  personId: string,
  { clinicId, at, byId }: Ending,
  how: 'begun_anew' | 'turned_off' | 'reset',
): Promise<number> => tx.$executeRaw`
    update second_factor set ended_at = ${at}, ended_by_id = ${byId}::uuid, ended_how = ${how}, secret = null
    where clinic_id = ${clinicId}::uuid and person_id = ${personId}::uuid and ended_at is null`;

/** Replaces the codes that were not used. */
export async function writeRecoveryCodes(
  act: Act,
  secondFactorId: string,
  sha256: readonly string[],
): Promise<void> {
  const { clinicId, at } = act;
  await act.tx.recoveryCode.updateMany({
    where: { clinicId, secondFactorId, usedAt: null, replacedAt: null },
    data: { replacedAt: at },
  });
  await act.tx.recoveryCode.createMany({
    data: sha256.map((codeSha256) => ({
      clinicId,
      id: uuidv7(),
      secondFactorId,
      codeSha256,
      madeAt: at,
    })),
  });
}

/** Uses a recovery code up. @returns 0 where there is none such that was not used */
export const takeRecoveryCode = (
  tx: Tx,
  clinicId: string,
  secondFactorId: string,
  sha256: string,
  at: Date,
): Promise<number> => tx.$executeRaw`
  update recovery_code set used_at = ${at}
  where clinic_id = ${clinicId}::uuid and second_factor_id = ${secondFactorId}::uuid and code_sha256 = ${sha256}
    and used_at is null and replaced_at is null`;

export const recoveryCodesLeft = (tx: Tx, clinicId: string, secondFactorId: string) =>
  tx.recoveryCode.count({ where: { clinicId, secondFactorId, usedAt: null, replacedAt: null } });

const asked = z.object({ asked: z.enum(SECOND_FACTOR_FOR) });

/** Whom the clinic asks for a second factor. */
export async function secondFactorAskedBy(tx: Tx, clinicId: string): Promise<SecondFactorFor> {
  const rows = await tx.$queryRaw`
    select second_factor_for as asked from clinic where id = ${clinicId}::uuid`;
  return parseFirst(asked, rows)?.asked ?? 'nobody';
}
