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
