import { Prisma } from '../generated/prisma/client.ts';

/**
 * Readings with the tool `t` from the day of its calibration `k` on, at the clinic. They count
 * from the calibration's own day, that day's included: entered late it forgets no use, and
 * which of that day's readings came before it nobody knows.
 */
export const USES_SINCE = Prisma.sql`
  (select count(*)::int from torque_confirmation c
    join torque_reading r on r.clinic_id = c.clinic_id and r.confirmation_id = c.id
    where c.clinic_id = t.clinic_id and c.tool_id = t.id and c.recorded_at >= k.calibrated_on::timestamp
      at time zone (select time_zone from clinic where id = t.clinic_id))`;

/**
 * The calibrations of the tool `t`, each from the day of the one before to the day of the one
 * after: what was torqued meanwhile, not under this certificate, hangs on what it found. What
 * was torqued after its day but before its entry hangs on it too.
 */
export const CALIBRATIONS = Prisma.sql`(
  select x.*,
    coalesce(lag(x.calibrated_on) over by_day::timestamp at time zone z.time_zone, '-infinity') as since,
    coalesce(lead(x.calibrated_on) over by_day::timestamp at time zone z.time_zone, 'infinity') as until
  from calibration x join clinic z on z.id = x.clinic_id
  where x.clinic_id = t.clinic_id and x.tool_id = t.id
  window by_day as (order by x.calibrated_on, x.id))`;
