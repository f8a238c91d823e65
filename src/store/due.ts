import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import type { Tx } from './act.ts';
import { parseRows } from './rows.ts';

const DueRow = z.object({
  orderId: z.string(),
  orderNumber: z.string(),
  socketId: z.string(),
  socketNumber: z.string(),
  chartNumber: z.string(),
  dueOn: z.string().transform((day) => day as Day),
  because: z.enum(['first_recheck', 'service_interval']),
  lastSeenOn: z.string().transform((day) => day as Day),
});
/** A delivered socket whose joints are due. */
export type DueRow = z.infer<typeof DueRow>;

/**
 * R15: until a visit was closed after delivery, the first re-check is due some
 * days after delivery; from then on the shortest service interval of the parts
 * worn, counted from the last closed visit.
 */
export const dueJoints = async (
  tx: Tx,
  clinicId: string,
  facts: { readonly by: Day; readonly timeZone: string; readonly firstRecheckDays: number },
): Promise<DueRow[]> =>
  parseRows(
    DueRow,
    await tx.$queryRaw`
      select * from (
        select o.id as "orderId", o.number as "orderNumber", s.id as "socketId", s.number as "socketNumber",
          t.chart_number as "chartNumber",
          case when v.closed_at is null
            then (s.delivered_at at time zone ${facts.timeZone})::date + ${facts.firstRecheckDays}::int
            else (v.closed_at at time zone ${facts.timeZone})::date + i.days end::text as "dueOn",
          case when v.closed_at is null then 'first_recheck' else 'service_interval' end as because,
          (coalesce(v.closed_at, s.delivered_at) at time zone ${facts.timeZone})::date::text as "lastSeenOn"
        from socket s
        join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
        join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
        left join lateral (
          select max(closed_at) as closed_at from service_visit v
          where v.clinic_id = s.clinic_id and v.socket_id = s.id) v on true
        left join lateral (
          select min(pt.service_interval_days) as days
          from place p
          join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
          join item it on it.clinic_id = c.clinic_id and it.id = c.item_id
          join part pt on pt.clinic_id = it.clinic_id and pt.id = it.part_id
          where p.clinic_id = s.clinic_id and p.socket_id = s.id) i on true
        where s.clinic_id = ${clinicId}::uuid and s.state = 'delivered') due
      where "dueOn" is not null and "dueOn" <= ${facts.by}::text
      order by "dueOn", "socketNumber"`,
  );
