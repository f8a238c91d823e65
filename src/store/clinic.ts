import { z } from 'zod';
import { dayAt, type Day } from '../domain/days.ts';
import type { Act, Tx } from './act.ts';
import { parseFirst } from './rows.ts';

export const PAPERS = ['A4', 'Letter'] as const;

const ClinicRow = z.object({
  id: z.string(),
  name: z.string(),
  numberPrefix: z.string(),
  timeZone: z.string(),
  paper: z.enum(PAPERS),
  alignmentToleranceDeg: z.number(),
  alignmentToleranceMm: z.number(),
  releaserMayBeSoleWorker: z.boolean(),
  retentionYears: z.number(),
  firstRecheckDays: z.number(),
  version: z.number(),
});

/** The clinic and what it may set for itself. */
export type ClinicSettings = z.infer<typeof ClinicRow>;

/** The clinic in whose scope the transaction runs. */
export async function loadClinic(tx: Tx, clinicId: string): Promise<ClinicSettings> {
  const row = parseFirst(
    ClinicRow,
    await tx.$queryRaw`
      select id, name, number_prefix as "numberPrefix", time_zone as "timeZone", paper,
        alignment_tolerance_deg as "alignmentToleranceDeg", alignment_tolerance_mm as "alignmentToleranceMm",
        releaser_may_be_sole_worker as "releaserMayBeSoleWorker", retention_years as "retentionYears",
        first_recheck_days as "firstRecheckDays", version
      from clinic where id = ${clinicId}::uuid`,
  );
  if (row === undefined) throw new Error(`Clinic ${clinicId} has no row of its own.`);
  return row;
}

/** The calendar day at the clinic at the time of the act (R16). */
export async function todayAtClinic(act: Act): Promise<Day> {
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  return dayAt(act.at, timeZone);
}

const CounterRow = z.object({ last: z.number() });

/**
 * Takes the next running number, from 1, of what is counted in a year. The
 * counter is held until commit: two at once get two numbers, and none is lost.
 */
export async function nextNumber(act: Act, counts: 'order', year: number): Promise<number> {
  const row = parseFirst(
    CounterRow,
    await act.tx.$queryRaw`
      insert into number_counter (clinic_id, counts, year, last)
      values (${act.clinicId}::uuid, ${counts}, ${year}::int, 1)
      on conflict (clinic_id, counts, year) do update set last = number_counter.last + 1
      returning last`,
  );
  if (row === undefined) throw new Error(`No number was counted for ${counts} ${year}.`);
  return row.last;
}
