import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { CAST_METHODS } from '../domain/measures.ts';
import { reason } from '../domain/reasons/index.ts';
import { CAST_STATES } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import type { OrderRecord } from './orders.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const storedDay = z.string().transform((text) => text as Day);

const CastRow = z.object({
  id: z.string(),
  orderId: z.string(),
  number: z.number(),
  method: z.enum(CAST_METHODS),
  takenOn: storedDay,
  takenBy: z.string(),
  state: z.enum(CAST_STATES),
  note: z.string().nullable(),
  decidedAt: z.date().nullable(),
  decidedBy: z.string().nullable(),
  decisionReason: z.string().nullable(),
  modelBrokenOutAt: z.date().nullable(),
  recordedAt: z.date(),
  limbLengthMm: z.number(),
  capDepthMm: z.number().nullable(),
  measureSetId: z.string(),
  measures: z.array(z.object({ heightMm: z.number(), circumferenceMm: z.number() })),
});

/** A cast with the measures taken at it. Lengths in mm, heights above the distal end. */
export type CastRecord = z.infer<typeof CastRow>;

const SELECT = Prisma.sql`
  select k.id, k.order_id as "orderId", k.number, k.method, k.taken_on::text as "takenOn", t.printed_name as "takenBy",
    k.state, k.note, k.decided_at as "decidedAt", d.printed_name as "decidedBy", k.decision_reason as "decisionReason",
    k.model_broken_out_at as "modelBrokenOutAt", k.recorded_at as "recordedAt", s.limb_length_mm as "limbLengthMm",
    s.cap_depth_mm as "capDepthMm", s.id as "measureSetId",
    (select json_agg(json_build_object('heightMm', m.height_mm, 'circumferenceMm', m.circumference_mm) order by m.height_mm)
      from measure m where m.clinic_id = s.clinic_id and m.measure_set_id = s.id) as measures
  from limb_cast k
  join person t on t.clinic_id = k.clinic_id and t.id = k.taken_by_id
  left join person d on d.clinic_id = k.clinic_id and d.id = k.decided_by_id
  join measure_set s on s.clinic_id = k.clinic_id and s.cast_id = k.id`;

/** @throws Refused 'not-found' where the clinic has no such cast. */
export async function loadCast(act: Act, castId: string): Promise<CastRecord> {
  const row = parseFirst(
    CastRow,
    await act.tx
      .$queryRaw`${SELECT} where k.clinic_id = ${act.clinicId}::uuid and k.id = ${castId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'cast', id: castId }));
}

/** The casts of an order, the first one first. */
export async function castsOf(act: Act, orderId: string): Promise<CastRecord[]> {
  return parseRows(
    CastRow,
    await act.tx.$queryRaw`
      ${SELECT} where k.clinic_id = ${act.clinicId}::uuid and k.order_id = ${orderId}::uuid order by k.number`,
  );
}

/**
 * The day of the measures after which a new cast was decided, on whichever pair with
 * the cast's own measures: it binds for good. Null where none was. Of `limb_cast k`.
 */
export const NEW_CAST_DECIDED_AFTER = Prisma.sql`(
  select min(newer.taken_on)::text from measure_set own
  join volume_decision d on d.clinic_id = own.clinic_id and d.first_set_id = own.id and d.decision = 'new_cast'
  join measure_set newer on newer.clinic_id = d.clinic_id and newer.id = d.second_set_id
  where own.clinic_id = k.clinic_id and own.cast_id = k.id)`;

/** As `NEW_CAST_DECIDED_AFTER`, of one cast. */
export async function newCastDecidedAfter(act: Act, castId: string): Promise<Day | null> {
  const row = parseFirst(
    z.object({ day: storedDay.nullable() }),
    await act.tx.$queryRaw`
      select ${NEW_CAST_DECIDED_AFTER} as day from limb_cast k
      where k.clinic_id = ${act.clinicId}::uuid and k.id = ${castId}::uuid`,
  );
  return row?.day ?? null;
}

/** The newest accepted cast of an order. @throws Refused 'not-found' where it has none. */
export async function acceptedCast(
  act: Act,
  order: OrderRecord,
): Promise<{ id: string; number: number }> {
  const cast = await act.tx.cast.findFirst({
    where: { clinicId: act.clinicId, orderId: order.id, state: 'accepted' },
    orderBy: { number: 'desc' },
    select: { id: true, number: true },
  });
  return found(cast, () => reason('not-found', { what: 'accepted cast of', id: order.number }));
}
