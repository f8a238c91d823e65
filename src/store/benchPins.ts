/** Statements on the short PINs of bench devices. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { PIN_TRIES } from '../domain/benchPin.ts';
import type { Act, Tx } from './act.ts';
import { parseFirst } from './rows.ts';

/** Whose PIN on which device; the device by the hash of its secret. */
export interface PinOf {
  readonly clinicId: string;
  readonly personId: string;
  readonly deviceSha256: string;
}

export async function writeBenchPin(
  act: Act,
  pin: {
    readonly sessionId: string;
    readonly deviceSha256: string;
    readonly pinHash: string;
    readonly goodUntil: Date;
  },
): Promise<void> {
  const { clinicId, at, by } = act;
  await act.tx.benchPin.create({
    data: { clinicId, id: uuidv7(), personId: by.personId, setAt: at, ...pin },
    select: { id: true },
  });
}

/** @returns 0 where there was none */
export const endBenchPin = (
  tx: Tx,
  { clinicId, personId, deviceSha256 }: PinOf,
  how: 'set_anew' | 'taken_off',
  at: Date,
): Promise<number> => tx.$executeRaw`
  update bench_pin set ended_at = ${at}, ended_how = ${how}, pin_hash = null
  where clinic_id = ${clinicId}::uuid and person_id = ${personId}::uuid and device_sha256 = ${deviceSha256} and ended_at is null`;

const tried = z.object({
  id: z.string(),
  pinHash: z.string(),
  tries: z.int(),
  /** Whether the full sign-in that it came from was begun with the second factor. */
  withSecondFactor: z.boolean(),
  goodUntil: z.date(),
});
export type TriedPin = z.infer<typeof tried>;

/**
 * Counts a try before it is looked at, so that many at once are no more than five.
 * @returns undefined where no PIN counts there
 */
export async function countPinTry(
  tx: Tx,
  { clinicId, personId, deviceSha256 }: PinOf,
  at: Date,
): Promise<TriedPin | undefined> {
  const rows = await tx.$queryRaw`
    update bench_pin set tries = tries + 1
    where clinic_id = ${clinicId}::uuid and person_id = ${personId}::uuid and device_sha256 = ${deviceSha256}
      and ended_at is null and tries < ${PIN_TRIES} and good_until > ${at}
    returning id, pin_hash as "pinHash", tries, good_until as "goodUntil",
      (select s.with_second_factor from session s where s.clinic_id = bench_pin.clinic_id and s.id = bench_pin.session_id) as "withSecondFactor"`;
  return parseFirst(tried, rows);
}

/** Ends a PIN whose tries are used up. @returns 0 where they are not, or it had ended */
export const endTriedPin = (tx: Tx, clinicId: string, id: string, at: Date): Promise<number> =>
  tx.$executeRaw`
    update bench_pin set ended_at = ${at}, ended_how = 'tries', pin_hash = null
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and ended_at is null and tries >= ${PIN_TRIES}`;

/** The right PIN ends the count. @returns 0 where the PIN has ended meanwhile */
export const pinWasRight = (tx: Tx, clinicId: string, id: string, at: Date): Promise<number> =>
  tx.$executeRaw`
    update bench_pin set tries = 0
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and ended_at is null and good_until > ${at}`;
