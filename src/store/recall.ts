/** Where the pieces of a lot, or the uses of a batch, are now: what a recall asks. */
import { z } from 'zod';
import type { LotAccounts } from '../domain/recall.ts';
import {
  BATCH_UNITS,
  PLACE_KINDS,
  POSITIONS,
  SOCKET_KINDS,
  SOCKET_STATES,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { withOpenPhone } from './contact.ts';
import type { RecalledThing } from './recallCalls.ts';
import { parseRows } from './rows.ts';
import type { Sql } from './traceBranches.ts';
import { ITEM_LABEL } from './traceDetails.ts';

const LABEL = Prisma.raw(ITEM_LABEL);

/** The socket that holds a piece or had a batch in it, with its order and its patient. */
const SocketHolding = {
  socketId: z.string(),
  socketNumber: z.string(),
  socketKind: z.enum(SOCKET_KINDS),
  socketState: z.enum(SOCKET_STATES),
  deliveredAt: z.date().nullable(),
  orderId: z.string(),
  orderNumber: z.string(),
  patientId: z.string(),
  chartNumber: z.string(),
  givenName: z.string(),
  familyName: z.string(),
  birthDate: z.string().nullable(),
  phone: z.string().nullable(),
};
const HOLDING_COLUMNS =
  Prisma.raw(`s.id as "socketId", s.number as "socketNumber", s.kind as "socketKind",
  s.state as "socketState", s.delivered_at as "deliveredAt", o.id as "orderId", o.number as "orderNumber",
  t.id as "patientId", t.chart_number as "chartNumber", t.given_name as "givenName", t.family_name as "familyName",
  t.birth_date::text as "birthDate", t.phone`);

const Holding = z.object(SocketHolding);
export type Holding = z.infer<typeof Holding>;

const LotRow = z.object({
  itemId: z.string(),
  label: z.string(),
  partId: z.string(),
  part: z.string(),
  placeId: z.string().nullable(),
  placeKind: z.enum(PLACE_KINDS).nullable(),
  placeName: z.string().nullable(),
  position: z.enum(POSITIONS).nullable(),
});

export interface LotPiece {
  readonly itemId: string;
  readonly label: string;
  readonly partId: string;
  readonly part: string;
  /** Null where the piece was entered but never received anywhere. */
  readonly place: {
    readonly id: string;
    readonly kind: (typeof PLACE_KINDS)[number];
    readonly name: string;
  } | null;
  readonly position: (typeof POSITIONS)[number] | null;
  /** The socket it is in, where it is in one. */
  readonly holding: Holding | null;
}

const ofLot = (act: Act, lot: string, partId: string | undefined): Sql =>
  Prisma.sql`i.clinic_id = ${act.clinicId}::uuid and i.lot = ${lot} ${
    partId === undefined ? Prisma.empty : Prisma.sql`and i.part_id = ${partId}::uuid`
  }`;

/** How many pieces a lot has; asked first, so that no answer is larger than can be sent. */
export async function countLot(act: Act, lot: string, partId?: string): Promise<number> {
  const [row] = parseRows(
    z.object({ pieces: z.int() }),
    await act.tx.$queryRaw(
      Prisma.sql`select count(*)::int as pieces from item i where ${ofLot(act, lot, partId)}`,
    ),
  );
  return row?.pieces ?? 0;
}

/** Every piece of a lot with where it is now, in the order received. */
export async function lotPieces(act: Act, lot: string, partId?: string): Promise<LotPiece[]> {
  const rows = parseRows(
    LotRow.extend({ ...nullable(SocketHolding) }).loose(),
    await act.tx.$queryRaw(Prisma.sql`
      select i.id as "itemId", ${LABEL} as label, pt.id as "partId", pt.name as part,
        q.id as "placeId", q.kind as "placeKind", q.name as "placeName", q.position, ${HOLDING_COLUMNS}
      from item i
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      left join custody c on c.clinic_id = i.clinic_id and c.thing_id = i.id
      left join place q on q.clinic_id = c.clinic_id and q.id = c.place_id
      left join socket s on s.clinic_id = q.clinic_id and s.id = q.socket_id
      left join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      left join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      where ${ofLot(act, lot, partId)} order by i.id`),
  );
  return rows.map((row) => ({
    itemId: row.itemId,
    label: row.label,
    partId: row.partId,
    part: row.part,
    place:
      row.placeId === null || row.placeKind === null || row.placeName === null
        ? null
        : { id: row.placeId, kind: row.placeKind, name: row.placeName },
    position: row.position,
    holding: row.socketId === null ? null : withOpenPhone(act, Holding.parse(row)),
  }));
}

/** The ledger's receipts of a lot: the pieces whose first move came from nowhere, once for each such move. */
export async function lotReceipts(
  act: Act,
  lot: string,
  partId?: string,
): Promise<LotAccounts['receiptIds']> {
  const rows = parseRows(
    z.object({ itemId: z.string() }),
    await act.tx.$queryRaw(Prisma.sql`
      select m.item_id as "itemId" from item i
      join move m on m.clinic_id = i.clinic_id and m.item_id = i.id and m.from_place_id is null
      where ${ofLot(act, lot, partId)}`),
  );
  return rows.map((row) => row.itemId);
}

const BatchUseRow = z.object({
  ...SocketHolding,
  useId: z.string(),
  usedAt: z.date(),
  usedBy: z.string(),
  amount: z.number().nullable(),
  unit: z.enum(BATCH_UNITS),
  usedFor: z.string().nullable(),
});
/** One use of a batch on a socket. */
export type BatchUseRow = z.infer<typeof BatchUseRow>;

/** Every use of a batch, first first, at most `limit`. */
export const batchUses = async (act: Act, batchId: string, limit: number): Promise<BatchUseRow[]> =>
  parseRows(
    BatchUseRow,
    await act.tx.$queryRaw(Prisma.sql`
      select u.id as "useId", u.used_at as "usedAt", n.printed_name as "usedBy", u.amount, b.unit,
        coalesce(y.title, j.kind, 'cup ' || w.pour) as "usedFor", ${HOLDING_COLUMNS}
      from batch_use u
      join batch b on b.clinic_id = u.clinic_id and b.id = u.batch_id
      join person n on n.clinic_id = u.clinic_id and n.id = u.used_by_id
      join socket s on s.clinic_id = u.clinic_id and s.id = u.socket_id
      join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      left join operation_record r on r.clinic_id = u.clinic_id and r.id = u.operation_record_id
      left join operation y on y.clinic_id = r.clinic_id and y.id = r.operation_id
      left join torque_confirmation k on k.clinic_id = u.clinic_id and k.id = u.torque_confirmation_id
      left join joint j on j.clinic_id = k.clinic_id and j.id = k.joint_id
      left join resin_weighing w on w.clinic_id = u.clinic_id and w.id = u.resin_weighing_id
      where u.clinic_id = ${act.clinicId}::uuid and u.batch_id = ${batchId}::uuid
      order by u.used_at, u.id limit ${limit}`),
  ).map((row) => withOpenPhone(act, row));

/** Of these sockets, those with an open recall finding whose note begins so. */
export async function alreadyFound(
  act: Act,
  socketIds: readonly string[],
  noteBegin: string,
): Promise<ReadonlySet<string>> {
  const rows = parseRows(
    z.object({ socketId: z.string() }),
    await act.tx.$queryRaw(Prisma.sql`
      select f.socket_id as "socketId" from finding f
      where f.clinic_id = ${act.clinicId}::uuid and f.socket_id = any(${socketIds}::uuid[])
        and f.kind = 'recalled_part' and f.disposition is null and starts_with(f.note, ${noteBegin})`),
  );
  return new Set(rows.map((row) => row.socketId));
}

/** Whether a socket holds a piece of the lot now, or was made with the batch. */
export async function isWearerOf(act: Act, of: RecalledThing, socketId: string): Promise<boolean> {
  const rows: unknown[] = await act.tx.$queryRaw(
    'lot' in of
      ? Prisma.sql`select 1 from place q
          join custody c on c.clinic_id = q.clinic_id and c.place_id = q.id
          join item i on i.clinic_id = c.clinic_id and i.id = c.thing_id
          where q.clinic_id = ${act.clinicId}::uuid and q.socket_id = ${socketId}::uuid and i.lot = ${of.lot} limit 1`
      : Prisma.sql`select 1 from batch_use u
          where u.clinic_id = ${act.clinicId}::uuid and u.socket_id = ${socketId}::uuid
            and u.batch_id = ${of.batchId}::uuid limit 1`,
  );
  return rows.length > 0;
}

function nullable<Shape extends Record<string, z.ZodType>>(
  shape: Shape,
): { [Key in keyof Shape]: z.ZodNullable<Shape[Key]> } {
  const entries = Object.entries(shape).map(([key, type]) => [key, type.nullable()]);
  // Object.fromEntries forgets the keys that Object.entries has just read.
  return Object.fromEntries(entries) as { [Key in keyof Shape]: z.ZodNullable<Shape[Key]> };
}
