/** What the quality figures are counted from (C8): orders by their first delivery, findings, fits, attempts. */
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import {
  FINDING_KINDS,
  FIT_OUTCOMES,
  FIT_REASONS,
  STAGES,
  type FindingKind,
  type FitReason,
} from '../domain/words.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';

/** Days of the clinic's zone, both included. */
export interface QualityWindow {
  readonly from: Day;
  readonly to: Day;
  readonly timeZone: string;
}

const storedDay = z.string().transform((text) => text as Day);

const OrderRow = z.object({
  order: z.string(),
  firstPromisedOn: storedDay.nullable(),
  deliveredOn: storedDay,
  checkSockets: z.number(),
  fittings: z.array(z.enum(FIT_OUTCOMES)),
  changes: z.array(z.object({ stage: z.enum(STAGES), on: storedDay })),
});
/** A delivered order with its fittings and its changes of stage, as they came; check sockets until its first delivery. */
export type DeliveredOrder = z.infer<typeof OrderRow>;

/** Orders whose first delivery fell into the window, in the order of their delivery. */
export const deliveredOrders = async (
  act: Act,
  { from, to, timeZone }: QualityWindow,
): Promise<DeliveredOrder[]> =>
  parseRows(
    OrderRow,
    await act.tx.$queryRaw`
      select o.number as "order", o.first_promised_on::text as "firstPromisedOn", f.delivered_on::text as "deliveredOn",
        (select count(*)::int from socket s where s.clinic_id = o.clinic_id and s.order_id = o.id and s.kind = 'check'
          and s.started_at <= f.at) as "checkSockets",
        coalesce((select json_agg(g.outcome order by g.judged_at, g.id) from fitting g
          join socket s on s.clinic_id = g.clinic_id and s.id = g.socket_id
          where s.clinic_id = o.clinic_id and s.order_id = o.id), '[]'::json) as fittings,
        (select json_agg(json_build_object('stage', c.to_stage, 'on', (c.changed_at at time zone ${timeZone})::date)
            order by c.seq)
          from stage_change c where c.clinic_id = o.clinic_id and c.order_id = o.id) as changes
      from fabrication_order o
      join (select d.order_id, min(d.delivered_at) as at, (min(d.delivered_at) at time zone ${timeZone})::date as delivered_on
        from delivery d where d.clinic_id = ${act.clinicId}::uuid group by d.order_id) f on f.order_id = o.id
      where o.clinic_id = ${act.clinicId}::uuid and f.delivered_on between ${from}::date and ${to}::date
      order by f.at, o.id`,
  );

/** Why a definitive socket was made in the place of another: its finding, a change of the worn limb, or not said. */
export const REMAKE_CAUSES = [...FINDING_KINDS, 'after_delivery', 'not_stated'] as const;
export type RemakeCause = (typeof REMAKE_CAUSES)[number];

/** What went wrong in the window, one entry for each event. */
export interface Causes {
  readonly findings: readonly FindingKind[];
  readonly refusedFits: readonly FitReason[];
  readonly remakes: readonly RemakeCause[];
}

/** Findings opened, reasons of refused fits, and remakes begun in the window. */
export async function causesIn(act: Act, { from, to, timeZone }: QualityWindow): Promise<Causes> {
  const { clinicId, tx } = act;
  const findings = parseRows(
    z.object({ cause: z.enum(FINDING_KINDS) }),
    await tx.$queryRaw`
      select kind as cause from finding where clinic_id = ${clinicId}::uuid
        and (opened_at at time zone ${timeZone})::date between ${from}::date and ${to}::date`,
  );
  const refusedFits = parseRows(
    z.object({ cause: z.enum(FIT_REASONS) }),
    await tx.$queryRaw`
      select unnest(reasons) as cause from fitting where clinic_id = ${clinicId}::uuid and outcome = 'rejected'
        and (judged_at at time zone ${timeZone})::date between ${from}::date and ${to}::date`,
  );
  const remakes = parseRows(
    z.object({ cause: z.enum(REMAKE_CAUSES) }),
    await tx.$queryRaw`
      select coalesce(
        (select f.kind from finding f where f.clinic_id = r.clinic_id and f.socket_id = r.id
          and f.disposition in ('remake', 'scrap') order by f.disposed_at desc, f.id desc limit 1),
        case when r.delivered_at is not null then 'after_delivery' else 'not_stated' end) as cause
      from socket s join socket r on r.clinic_id = s.clinic_id and r.id = s.replaces_socket_id
      where s.clinic_id = ${clinicId}::uuid and s.kind = 'definitive' and r.kind = 'definitive'
        and (s.started_at at time zone ${timeZone})::date between ${from}::date and ${to}::date`,
  );
  const causesOf = <T>(rows: readonly { readonly cause: T }[]): T[] =>
    rows.map(({ cause }) => cause);
  return {
    findings: causesOf(findings),
    refusedFits: causesOf(refusedFits),
    remakes: causesOf(remakes),
  };
}

const AttemptRow = z.object({ person: z.string(), attempts: z.number(), stopped: z.number() });

/** Attempts at operations by who recorded them, and how many of them stopped; by printed name. */
export const attemptsByPerson = async (
  act: Act,
  { from, to, timeZone }: QualityWindow,
): Promise<z.infer<typeof AttemptRow>[]> =>
  parseRows(
    AttemptRow,
    await act.tx.$queryRaw`
      select p.printed_name as person, count(*)::int as attempts,
        count(*) filter (where r.outcome = 'stopped')::int as stopped
      from operation_record r join person p on p.clinic_id = r.clinic_id and p.id = r.recorded_by_id
      where r.clinic_id = ${act.clinicId}::uuid
        and (r.recorded_at at time zone ${timeZone})::date between ${from}::date and ${to}::date
      group by p.id, p.printed_name order by p.printed_name`,
  );
