import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { WORK_STAGES, type OrderTimeline } from '../domain/orderTimeline.ts';
import { STAGES } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Tx } from './act.ts';
import { parseRows } from './rows.ts';

/** Of which orders the timelines are wanted, and in which days they are told. */
export interface TimelinesAsked {
  readonly clinicId: string;
  /** IANA name. */
  readonly timeZone: string;
  /** Orders under way and those whose stage changed from this day on; null: all there ever were. */
  readonly since: Day | null;
}

const TimelineRow = z.object({
  order: z.string(),
  changes: z.array(
    z.object({ stage: z.enum(STAGES), on: z.string().transform((text) => text as Day) }),
  ),
});

/**
 * How the clinic's orders (by their ids) went through their stages, in one statement. Whoever
 * was in the shop on a day from `since` on is among them, so a census of those days is whole.
 */
export async function loadTimelines(tx: Tx, asked: TimelinesAsked): Promise<OrderTimeline[]> {
  const { clinicId, timeZone, since } = asked;
  const among =
    since === null
      ? Prisma.empty
      : Prisma.sql`and c.order_id in (
          select order_id from stage_change
          where clinic_id = ${clinicId}::uuid and changed_at >= ${since}::date::timestamp at time zone ${timeZone}
          union
          select id from fabrication_order
          where clinic_id = ${clinicId}::uuid and stage in (${Prisma.join([...WORK_STAGES])}))`;
  return parseRows(
    TimelineRow,
    // Sorted, so that the same draw finds the same order.
    await tx.$queryRaw`
      select c.order_id as "order", json_agg(json_build_object('stage', c.to_stage,
          'on', (c.changed_at at time zone ${timeZone})::date::text) order by c.seq) as changes
      from stage_change c
      where c.clinic_id = ${clinicId}::uuid ${among}
      group by c.order_id order by min(c.changed_at), c.order_id`,
  );
}
