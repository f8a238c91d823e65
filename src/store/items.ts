import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import { PLACE_KINDS, POSITIONS, SOCKET_STATES, type PartKind } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act, Tx } from './act.ts';
import { PartRow } from './assembly.ts';
import { found } from './refused.ts';
import { parseRows } from './rows.ts';

/** A `date` as text. */
const day = z.string().transform((text) => text as Day);

const ItemRow = z.object({
  id: z.string(),
  label: z.string(),
  serial: z.string().nullable(),
  lot: z.string().nullable(),
  udi: z.string().nullable(),
  /** The last day of use by its label; null where it has none. */
  expiresOn: day.nullable(),
  madeOn: day.nullable(),
  receivedAt: z.date(),
  /** Whole minor units of the clinic's currency. */
  priceMinor: z.number().nullable(),
  version: z.number(),
  part: PartRow,
  placeId: z.string(),
  placeKind: z.enum(PLACE_KINDS),
  placeName: z.string(),
  position: z.enum(POSITIONS).nullable(),
  socketId: z.string().nullable(),
  socketNumber: z.string().nullable(),
  socketState: z.enum(SOCKET_STATES).nullable(),
  orderId: z.string().nullable(),
  lastMoveId: z.string(),
  movedAt: z.date(),
  movedBy: z.string(),
});
/** One physical piece, its part and where it is. */
export type ItemRow = z.infer<typeof ItemRow>;

export interface ItemFilter {
  readonly ids?: readonly string[] | undefined;
  readonly placeId?: string | undefined;
  readonly partId?: string | undefined;
  readonly kind?: PartKind | undefined;
  readonly serial?: string | undefined;
  readonly lot?: string | undefined;
  /** Only what lies in a bin or out on the bench. */
  readonly free?: boolean | undefined;
  readonly afterId?: string | undefined;
  readonly limit: number;
}

/** Items by any of the filters, in the order they were received; keyset by id. */
export async function listItems(tx: Tx, clinicId: string, filter: ItemFilter): Promise<ItemRow[]> {
  const { ids, placeId, partId, kind, serial, lot, free, afterId } = filter;
  // Only what is asked stands in the statement: an "is null or" in it would hide every index.
  const asked = [
    Prisma.sql`i.clinic_id = ${clinicId}::uuid`,
    ids && Prisma.sql`i.id = any(${ids}::uuid[])`,
    placeId && Prisma.sql`c.place_id = ${placeId}::uuid`,
    partId && Prisma.sql`i.part_id = ${partId}::uuid`,
    kind && Prisma.sql`pt.kind = ${kind}`,
    serial && Prisma.sql`i.serial = ${serial}`,
    lot && Prisma.sql`i.lot = ${lot}`,
    free === true && Prisma.sql`p.kind in ('bin', 'bench')`,
    afterId && Prisma.sql`i.id > ${afterId}::uuid`,
  ].filter((condition) => condition !== undefined && condition !== '' && condition !== false);
  return parseRows(
    ItemRow,
    await tx.$queryRaw`
      select i.id, pt.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot) as label, i.serial, i.lot, i.udi,
        i.expires_on::text as "expiresOn", i.made_on::text as "madeOn", i.received_at as "receivedAt",
        i.price_minor as "priceMinor", i.version,
        json_build_object('id', pt.id, 'name', pt.name, 'kind', pt.kind, 'holePattern', pt.hole_pattern,
          'thread', pt.thread, 'pinFit', pt.pin_fit, 'side', pt.side, 'ratedBodyMassKg', pt.rated_body_mass_kg,
          'active', pt.active, 'leastClicks', pt.least_clicks, 'singleUse', pt.single_use) as part,
        p.id as "placeId", p.kind as "placeKind", p.name as "placeName", p.position,
        s.id as "socketId", s.number as "socketNumber", s.state as "socketState", s.order_id as "orderId",
        c.last_move_id as "lastMoveId", m.moved_at as "movedAt", by.printed_name as "movedBy"
      from item i
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      join custody c on c.clinic_id = i.clinic_id and c.thing_id = i.id
      join place p on p.clinic_id = c.clinic_id and p.id = c.place_id
      join move m on m.clinic_id = c.clinic_id and m.id = c.last_move_id
      join person by on by.clinic_id = m.clinic_id and by.id = m.moved_by_id
      left join socket s on s.clinic_id = p.clinic_id and s.id = p.socket_id
      where ${Prisma.join(asked, ' and ')}
      order by i.id
      limit ${filter.limit}`,
  );
}

/** The given items, each of which must be of this clinic; in no particular order. */
export async function loadItems(
  tx: Tx,
  clinicId: string,
  ids: readonly string[],
): Promise<ItemRow[]> {
  if (ids.length === 0) return [];
  const rows = await listItems(tx, clinicId, { ids, limit: ids.length });
  for (const id of ids) {
    found(
      rows.find((row) => row.id === id),
      () => reason('thing-unknown', { thing: id }),
    );
  }
  return rows;
}

/** The serials of a part in the book that are one of these but for capital and small letters. */
export async function serialsAlike(
  act: Act,
  partId: string,
  serials: readonly string[],
): Promise<string[]> {
  if (serials.length === 0) return [];
  const rows = parseRows(
    z.object({ serial: z.string() }),
    await act.tx.$queryRaw`
      select serial from item
      where clinic_id = ${act.clinicId}::uuid and part_id = ${partId}::uuid
        and lower(serial) in (select lower(each) from unnest(${serials}::text[]) each)
      order by serial`,
  );
  return rows.map(({ serial }) => serial);
}

const FreshRow = z.object({
  itemId: z.string(),
  partId: z.string(),
  label: z.string(),
  placeId: z.string(),
  placeName: z.string(),
});
export type FreshItem = z.infer<typeof FreshRow>;

/**
 * Unused pieces of the given parts that lie in bins and may be used on a day: what
 * expires first, then the oldest, at most `each` of a part.
 */
export const freshInBins = async (
  tx: Tx,
  clinicId: string,
  partIds: readonly string[],
  { each, on }: { readonly each: number; readonly on: Day },
): Promise<FreshItem[]> =>
  parseRows(
    FreshRow,
    await tx.$queryRaw`
      select "itemId", "partId", label, "placeId", "placeName" from (
        select i.id as "itemId", i.part_id as "partId",
          pt.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot) as label,
          p.id as "placeId", p.name as "placeName", row_number() over (partition by i.part_id order by i.expires_on, i.id) as nth
        from item i
        join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
        join custody c on c.clinic_id = i.clinic_id and c.thing_id = i.id
        join place p on p.clinic_id = c.clinic_id and p.id = c.place_id and p.kind = 'bin'
        where i.clinic_id = ${clinicId}::uuid and i.part_id = any(${partIds}::uuid[])
          and (i.expires_on is null or i.expires_on >= ${on}::date)
          and not exists (
            select 1 from move m join place q on q.clinic_id = m.clinic_id and q.id = m.to_place_id
            where m.clinic_id = i.clinic_id and m.item_id = i.id and q.kind = 'socket_position')) fresh
      where nth <= ${each}`,
  );

const MoveRow = z.object({
  id: z.string(),
  seq: z.number(),
  fromPlace: z.string().nullable(),
  toPlace: z.string(),
  toSocketNumber: z.string().nullable(),
  reason: z.string(),
  note: z.string().nullable(),
  transferId: z.string().nullable(),
  serviceVisitId: z.string().nullable(),
  movedAt: z.date(),
  movedBy: z.string(),
});
export type MoveRow = z.infer<typeof MoveRow>;

/** Every move of one thing, first first. */
export const movesOf = async (tx: Tx, clinicId: string, thingId: string): Promise<MoveRow[]> =>
  parseRows(
    MoveRow,
    await tx.$queryRaw`
      select m.id, m.seq, f.name as "fromPlace", t.name as "toPlace", s.number as "toSocketNumber", m.reason, m.note,
        m.transfer_id as "transferId", m.service_visit_id as "serviceVisitId", m.moved_at as "movedAt",
        by.printed_name as "movedBy"
      from move m
      join place t on t.clinic_id = m.clinic_id and t.id = m.to_place_id
      join person by on by.clinic_id = m.clinic_id and by.id = m.moved_by_id
      left join place f on f.clinic_id = m.clinic_id and f.id = m.from_place_id
      left join socket s on s.clinic_id = t.clinic_id and s.id = t.socket_id
      where m.clinic_id = ${clinicId}::uuid and (m.item_id = ${thingId}::uuid or m.shop_tool_id = ${thingId}::uuid)
      order by m.seq`,
  );
