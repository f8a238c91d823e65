/** Lists of orders: what is asked, in which sorting, a page at a time. */
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { WORK_STAGES } from '../domain/orderTimeline.ts';
import type { Stage } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { LISTED, ListedRow, type ListedOrder } from './orders.ts';
import { parseRows } from './rows.ts';

/** Where a page of orders ended, in either sorting. */
export const OrderCursor = z.discriminatedUnion('sort', [
  z.object({ sort: z.literal('promised'), promisedOn: z.iso.date().nullable(), id: z.uuid() }),
  z.object({ sort: z.literal('opened'), openedAt: z.iso.datetime(), id: z.uuid() }),
  z.object({
    sort: z.literal('pressing'),
    /** From 1 among those that press; null past them. */
    rank: z.int().positive().nullable(),
    promisedOn: z.iso.date().nullable(),
    id: z.uuid(),
  }),
]);
export type OrderCursor = z.infer<typeof OrderCursor>;

/** What a list of orders asks for; what is left null is not asked. */
export interface OrderQuery {
  /** One stage; or neither delivered nor cancelled. */
  readonly stage: Stage | 'under_way' | null;
  readonly held: boolean | null;
  /** Promised before this day and neither delivered nor cancelled. */
  readonly lateOn: Day | null;
  readonly notLateOn: Day | null;
  /** Only these, or all but these. */
  readonly among: readonly string[] | null;
  readonly notAmong: readonly string[] | null;
  /** In sort `pressing`: those that press, the most pressing first. */
  readonly pressing: readonly string[];
  readonly number: string | null;
  readonly chartNumber: string | null;
  readonly patientId: string | null;
  readonly prosthetistId: string | null;
  readonly sort: OrderCursor['sort'];
  readonly after: OrderCursor | null;
  readonly take: number;
}

function stageAsked(stage: OrderQuery['stage']): Prisma.Sql | null {
  if (stage === null) return null;
  return stage === 'under_way'
    ? Prisma.sql`o.stage not in ('delivered', 'cancelled')`
    : Prisma.sql`o.stage = ${stage}`;
}

/** Orders by promised day (those without one last) or newest first, in one statement. */
export async function listOrders(act: Act, query: OrderQuery): Promise<ListedOrder[]> {
  const asked: (Prisma.Sql | null)[] = [
    Prisma.sql`o.clinic_id = ${act.clinicId}::uuid`,
    stageAsked(query.stage),
    query.held === null ? null : Prisma.sql`(o.hold_reason is not null) = ${query.held}::boolean`,
    query.lateOn &&
      Prisma.sql`o.promised_on < ${query.lateOn}::date and o.stage not in ('delivered', 'cancelled')`,
    query.notLateOn &&
      Prisma.sql`(o.promised_on is null or o.promised_on >= ${query.notLateOn}::date or o.stage in ('delivered', 'cancelled'))`,
    query.among && Prisma.sql`o.id = any(${query.among}::uuid[])`,
    query.notAmong && Prisma.sql`o.id <> all(${query.notAmong}::uuid[])`,
    query.number === null ? null : Prisma.sql`o.number = ${query.number}`,
    query.chartNumber === null
      ? null
      : Prisma.sql`upper(t.chart_number) = upper(${query.chartNumber})`,
    query.patientId === null ? null : Prisma.sql`o.patient_id = ${query.patientId}::uuid`,
    query.prosthetistId === null
      ? null
      : Prisma.sql`o.prosthetist_id = ${query.prosthetistId}::uuid`,
    query.after && afterCursor(query.after, query.pressing),
  ];
  const conditions = asked.filter((condition) => condition !== null);
  const order = {
    promised: Prisma.sql`o.promised_on, o.id`,
    opened: Prisma.sql`o.opened_at desc, o.id desc`,
    pressing: Prisma.sql`${rankIn(query.pressing)}, o.promised_on, o.id`,
  }[query.sort];
  return parseRows(
    ListedRow,
    await act.tx.$queryRaw`
      ${LISTED} where ${Prisma.join(conditions, ' and ')} order by ${order} limit ${query.take}::int`,
  );
}

/** Every order under way that has a promised day. */
export const listPromised = async (act: Act): Promise<ListedOrder[]> =>
  parseRows(
    ListedRow,
    await act.tx.$queryRaw`
      ${LISTED} where o.clinic_id = ${act.clinicId}::uuid and o.stage in (${Prisma.join([...WORK_STAGES])})
        and o.promised_on is not null`,
  );

/** The place of an order among those that press, from 1; null for the others, which come last. */
const rankIn = (pressing: readonly string[]): Prisma.Sql =>
  Prisma.sql`array_position(${pressing}::uuid[], o.id)`;

/** Ascending order puts the days that are null last; so does this. */
function afterCursor(after: OrderCursor, pressing: readonly string[]): Prisma.Sql {
  if (after.sort === 'pressing') {
    const rank = rankIn(pressing);
    if (after.rank !== null) {
      // Those that press stand in an order of their own, each at another place.
      return Prisma.sql`(${rank} > ${after.rank}::int or ${rank} is null)`;
    }
    return Prisma.sql`${rank} is null and ${afterCursor({ ...after, sort: 'promised' }, [])}`;
  }
  if (after.sort === 'opened') {
    return Prisma.sql`(o.opened_at, o.id) < (${after.openedAt}::timestamptz, ${after.id}::uuid)`;
  }
  if (after.promisedOn === null) {
    return Prisma.sql`o.promised_on is null and o.id > ${after.id}::uuid`;
  }
  return Prisma.sql`((o.promised_on, o.id) > (${after.promisedOn}::date, ${after.id}::uuid) or o.promised_on is null)`;
}
