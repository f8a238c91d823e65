import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { WORK_STAGES } from '../domain/orderTimeline.ts';
import { reason } from '../domain/reasons/index.ts';
import { HOLD_REASONS, SOCKET_KINDS } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act, Tx } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const BenchRow = z.object({
  id: z.string(),
  name: z.string(),
  people: z.number(),
  active: z.boolean(),
  version: z.number(),
});

/** A bench of the shop: how many people work at it at a time. */
export type BenchRecord = z.infer<typeof BenchRow>;

/** The clinic's benches, in the order in which they were entered. */
export const listBenches = async (tx: Tx, clinicId: string): Promise<BenchRecord[]> =>
  parseRows(
    BenchRow,
    await tx.$queryRaw`
      select id, name, people, active, version from bench
      where clinic_id = ${clinicId}::uuid order by created_at, id`,
  );

/** As `listBenches`, with the clinic held until the transaction ends: for acts that compare names. */
export async function holdBenches({ tx, clinicId }: Act): Promise<BenchRecord[]> {
  await tx.$queryRaw`select 1 from clinic where id = ${clinicId}::uuid for no key update`;
  return listBenches(tx, clinicId);
}

/** @throws Refused 'not-found' where the clinic has no such bench. */
export async function loadBench(act: Act, benchId: string): Promise<BenchRecord> {
  const row = parseFirst(
    BenchRow,
    await act.tx.$queryRaw`
      select id, name, people, active, version from bench
      where clinic_id = ${act.clinicId}::uuid and id = ${benchId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'bench', id: benchId }));
}

/** @returns its id */
export async function writeBench(
  act: Act,
  bench: Pick<BenchRecord, 'name' | 'people'>,
): Promise<string> {
  const id = uuidv7();
  const { name, people } = bench;
  await act.tx.bench.create({
    data: { clinicId: act.clinicId, id, name, people, createdAt: act.at },
  });
  return id;
}

/** @returns false where the bench no longer has the version that was read. */
export async function changeBenchRow(
  act: Act,
  { id, version }: Pick<BenchRecord, 'id' | 'version'>,
  set: Partial<Pick<BenchRecord, 'name' | 'people' | 'active'>>,
): Promise<boolean> {
  const { count } = await act.tx.bench.updateMany({
    where: { clinicId: act.clinicId, id, version },
    data: { ...set, version: { increment: 1 } },
  });
  return count === 1;
}

const OpenWorkRow = z.object({
  orderId: z.string(),
  order: z.string(),
  holdReason: z.enum(HOLD_REASONS).nullable(),
  promisedOn: z
    .string()
    .transform((text) => text as Day)
    .nullable(),
  socketKind: z.enum(SOCKET_KINDS),
  operation: z.string(),
  bench: z.string().nullable(),
  plannedMinutes: z.number().nullable(),
  beforeInspection: z.boolean(),
});

/** An operation that waits, of a socket in work under an order under way; by order, socket and route. */
export type OpenWork = z.infer<typeof OpenWorkRow>;

/** All operations that wait. `beforeInspection`: the socket's inspection waits too, here or later. */
export const openWork = async (act: Act): Promise<OpenWork[]> =>
  parseRows(
    OpenWorkRow,
    await act.tx.$queryRaw`
      select o.id as "orderId", o.number as "order", o.hold_reason as "holdReason",
        o.promised_on::text as "promisedOn", s.kind as "socketKind", w.title as operation, b.name as bench,
        w.planned_minutes as "plannedMinutes",
        exists (select 1 from operation i where i.clinic_id = w.clinic_id and i.socket_id = w.socket_id
          and i.kind = 'inspect_chamber' and i.state = 'waiting' and i.seq >= w.seq) as "beforeInspection"
      from fabrication_order o
      join socket s on s.clinic_id = o.clinic_id and s.order_id = o.id and s.state = 'in_work'
      join operation w on w.clinic_id = s.clinic_id and w.socket_id = s.id and w.state = 'waiting'
      left join bench b on b.clinic_id = w.clinic_id and b.id = w.bench_id
      where o.clinic_id = ${act.clinicId}::uuid and o.stage in (${Prisma.join([...WORK_STAGES])})
      order by o.number, s.number, w.seq`,
  );
