import { z } from 'zod';
import { dayAt, isTimeZone, type Day } from '../domain/days.ts';
import { PLY_MEANS } from '../domain/limbVolume.ts';
import type { ByStage } from '../domain/orderTimeline.ts';
import { reason, type Reason } from '../domain/reasons/index.ts';
import { SECOND_FACTOR_FOR } from '../domain/secondFactor.ts';
import type { Act, Tx } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';

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
  minorsUntilAge: z.number().nullable(),
  firstRecheckDays: z.number(),
  plyMeans: z.enum(PLY_MEANS),
  perPly: z.number(),
  volumeLimitPercent: z.number(),
  bagLossG: z.number(),
  resinMarginPercent: z.number(),
  scaleResolutionG: z.number(),
  labourRatePerHourMinor: z.number().nullable(),
  currency: z.string().nullable(),
  reorderWindowDays: z.number(),
  reorderLeadDays: z.number(),
  reorderCoverDays: z.number(),
  wantedChance: z.number(),
  atRiskBelow: z.number(),
  usualCastingDays: z.number(),
  usualCheckFittingDays: z.number(),
  usualLaminationDays: z.number(),
  usualDeliveryDays: z.number(),
  figuresByPerson: z.boolean(),
  secondFactorFor: z.enum(SECOND_FACTOR_FOR),
  benchLockMinutes: z.number(),
  pinHours: z.number(),
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
        minors_until_age as "minorsUntilAge",
        first_recheck_days as "firstRecheckDays", ply_means as "plyMeans", per_ply as "perPly",
        volume_limit_percent as "volumeLimitPercent", bag_loss_g as "bagLossG",
        resin_margin_percent as "resinMarginPercent", scale_resolution_g as "scaleResolutionG",
        labour_rate_per_hour_minor as "labourRatePerHourMinor", currency,
        reorder_window_days as "reorderWindowDays", reorder_lead_days as "reorderLeadDays",
        reorder_cover_days as "reorderCoverDays", wanted_chance as "wantedChance", at_risk_below as "atRiskBelow",
        usual_casting_days as "usualCastingDays", usual_check_fitting_days as "usualCheckFittingDays",
        usual_lamination_days as "usualLaminationDays", usual_delivery_days as "usualDeliveryDays",
        figures_by_person as "figuresByPerson", second_factor_for as "secondFactorFor",
        bench_lock_minutes as "benchLockMinutes", pin_hours as "pinHours", version
      from clinic where id = ${clinicId}::uuid`,
  );
  if (row === undefined) throw new Error(`Clinic ${clinicId} has no row of its own.`);
  return row;
}

/** The clinic's usual working days by stage, as dates are reckoned with (C5). */
export const usualStageDays = (clinic: ClinicSettings): ByStage<number> => ({
  casting: clinic.usualCastingDays,
  check_fitting: clinic.usualCheckFittingDays,
  lamination: clinic.usualLaminationDays,
  delivery: clinic.usualDeliveryDays,
});

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

/**
 * 'time-zone-unknown' where PostgreSQL, which makes days of instants too, has no zone of
 * that name: its tables may be older or leaner than Node's.
 */
export async function againstTimeZone(tx: Tx, timeZone: string): Promise<Reason[]> {
  const rows: unknown[] =
    await tx.$queryRaw`select 1 from pg_timezone_names where name = ${timeZone}`;
  return isTimeZone(timeZone) && rows.length > 0
    ? []
    : [reason('time-zone-unknown', { timeZone }, '/timeZone')];
}

const CurrencyRow = z.object({ currency: z.string().nullable() });

/**
 * 'prices-without-currency' where a price comes and the clinic has no currency. The clinic
 * is held, so that its currency does not change before the price is in.
 */
export async function againstPrice(act: Act, priceMinor: number | null): Promise<Reason[]> {
  if (priceMinor === null) return [];
  const row = parseFirst(
    CurrencyRow,
    await act.tx.$queryRaw`select currency from clinic where id = ${act.clinicId}::uuid for share`,
  );
  return row?.currency == null ? [reason('prices-without-currency', {}, '/priceMinor')] : [];
}

const PricesRow = z.object({ batches: z.number(), items: z.number() });

/** How many batches and pieces have a price; the clinic is held, so that no more come. */
export async function pricesKept(act: Act): Promise<z.infer<typeof PricesRow>> {
  const { tx, clinicId } = act;
  await tx.$queryRaw`select 1 from clinic where id = ${clinicId}::uuid for no key update`;
  const [row] = parseRows(
    PricesRow,
    await tx.$queryRaw`
      select (select count(*)::int from batch where clinic_id = ${clinicId}::uuid and price_minor is not null) as batches,
        (select count(*)::int from item where clinic_id = ${clinicId}::uuid and price_minor is not null) as items`,
  );
  return row ?? { batches: 0, items: 0 };
}
