/** Statements on long work: asking, following, cancelling, and its result in pieces. */
import { z } from 'zod';
import { LONG_WORK_KINDS, LONG_WORK_STATES, type LongWorkKind } from '../domain/longWork.ts';
import { reason } from '../domain/reasons/index.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import type { Json } from './events.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

/** Facts of a reason, by name, as src/domain/reasons has them. */
const ReasonFacts = z.record(
  z.string(),
  z.union([z.string(), z.number(), z.boolean(), z.null(), z.array(z.string()).readonly()]),
);

export const FailureKept = z.object({
  code: z.string(),
  rule: z.string().nullable(),
  title: z.string(),
  detail: z.string(),
  wayOut: z.string(),
  facts: ReasonFacts,
});

const LongWorkRow = z.object({
  id: z.string(),
  kind: z.enum(LONG_WORK_KINDS),
  askedAt: z.date(),
  askedById: z.string(),
  askedBy: z.string(),
  /** Entries of a list, or lines of a file; null where neither is given. */
  askedCount: z.number().nullable(),
  orderNumber: z.string().nullable(),
  chartNumber: z.string().nullable(),
  patientId: z.string().nullable(),
  /** Of an import: whether the parts are to be entered, or only looked at. */
  enters: z.boolean().nullable(),
  state: z.enum(LONG_WORK_STATES),
  total: z.number().nullable(),
  done: z.number(),
  summary: z.record(z.string(), z.number()).nullable(),
  failure: FailureKept.nullable(),
  startedAt: z.date().nullable(),
  endedAt: z.date().nullable(),
  cancelledAt: z.date().nullable(),
  cancelledBy: z.string().nullable(),
  pieces: z.number(),
  /** Where its result was emptied by an erasure. */
  erasureId: z.string().nullable(),
});
export type LongWorkRow = z.infer<typeof LongWorkRow>;

const SELECT = Prisma.sql`
  select w.id, w.kind, w.asked_at as "askedAt", w.asked_by_id as "askedById", a.printed_name as "askedBy",
    jsonb_array_length(coalesce(w.asked->'list', w.asked->'lines')) as "askedCount",
    w.asked->>'orderNumber' as "orderNumber", w.asked->>'chartNumber' as "chartNumber", w.asked->>'patientId' as "patientId", (w.asked->>'enter')::boolean as enters,
    w.state, w.total, w.done, w.summary, w.failure, w.started_at as "startedAt", w.ended_at as "endedAt",
    w.cancelled_at as "cancelledAt", c.printed_name as "cancelledBy", w.pieces, w.erasure_id as "erasureId"
  from long_work w
  join person a on a.clinic_id = w.clinic_id and a.id = w.asked_by_id
  left join person c on c.clinic_id = w.clinic_id and c.id = w.cancelled_by_id`;

export const insertLongWork = (
  act: Act,
  work: { id: string; kind: LongWorkKind; asked: Json },
): Promise<number> => act.tx.$executeRaw`
  insert into long_work (clinic_id, id, kind, asked, asked_at, asked_by_id)
  values (${act.clinicId}::uuid, ${work.id}::uuid, ${work.kind}, ${JSON.stringify(work.asked)}::jsonb, ${act.at}, ${act.by.personId}::uuid)`;

/** How many works of the caller have not ended; held, so that two askers at once do not both get the last. */
export async function countOpen(act: Act): Promise<number> {
  await act.tx.$queryRaw`
    select 1 as held from person
    where clinic_id = ${act.clinicId}::uuid and id = ${act.by.personId}::uuid for no key update`;
  const rows = await act.tx.$queryRaw`
    select count(*)::int as n from long_work
    where clinic_id = ${act.clinicId}::uuid and asked_by_id = ${act.by.personId}::uuid and ended_at is null`;
  return parseFirst(z.object({ n: z.number() }), rows)?.n ?? 0;
}

/**
 * The newest first.
 * @param ofPerson whose; everybody's where null
 */
export async function longWorkPage(
  act: Act,
  ofPerson: string | null,
  after: { askedAt: Date; id: string } | undefined,
  take: number,
): Promise<LongWorkRow[]> {
  return parseRows(
    LongWorkRow,
    await act.tx.$queryRaw`
      ${SELECT}
      where w.clinic_id = ${act.clinicId}::uuid
        and (${ofPerson}::uuid is null or w.asked_by_id = ${ofPerson}::uuid)
        and (${after?.id ?? null}::uuid is null
          or (w.asked_at, w.id) < (${after?.askedAt ?? null}::timestamptz, ${after?.id ?? null}::uuid))
      order by w.asked_at desc, w.id desc limit ${take}::int`,
  );
}

/**
 * @param ofPerson whose it must be; anybody's where null
 * @throws Refused 'not-found'
 */
export async function loadLongWork(
  act: Act,
  id: string,
  ofPerson: string | null,
): Promise<LongWorkRow> {
  const rows = parseRows(
    LongWorkRow,
    await act.tx.$queryRaw`
      ${SELECT}
      where w.clinic_id = ${act.clinicId}::uuid and w.id = ${id}::uuid
        and (${ofPerson}::uuid is null or w.asked_by_id = ${ofPerson}::uuid)`,
  );
  return found(rows[0], () => reason('not-found', { what: 'long work', id }));
}

/**
 * Waiting work ends at once; work under way ends before its next step, and says so then.
 * @returns whether it was still to be cancelled
 */
export async function writeCancelled(act: Act, id: string): Promise<boolean> {
  const count = await act.tx.$executeRaw`
    update long_work set cancelled_at = ${act.at}, cancelled_by_id = ${act.by.personId}::uuid,
      ended_at = case when state = 'waiting' then ${act.at}::timestamptz end,
      state = case when state = 'waiting' then 'cancelled' else state end
    where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid and ended_at is null and cancelled_at is null`;
  return count > 0;
}

/** A piece may tell whom to call and where: it is kept encrypted. The form without contact is not. */
export const pieceCell = (clinicId: string, longWorkId: string, seq: number) => ({
  table: 'long_work_piece',
  column: 'body',
  clinicId,
  rowId: `${longWorkId} ${seq}`,
});

/** One piece of the result after another, from the one after `seq`. */
export async function nextPiece(
  act: Act,
  id: string,
  after: number,
  withContact: boolean,
): Promise<{ seq: number; body: string } | undefined> {
  const { tx, clinicId, cipher } = act;
  const kept = parseFirst(
    z.object({ seq: z.number(), body: z.string().nullable(), other: z.string().nullable() }),
    await tx.$queryRaw`
      select seq, case when ${withContact}::boolean then null else body_without_contact end as other,
        case when ${withContact}::boolean or body_without_contact is null then body end as body
      from long_work_piece
      where clinic_id = ${clinicId}::uuid and long_work_id = ${id}::uuid and seq > ${after}
      order by seq limit 1`,
  );
  if (kept === undefined) return undefined;
  const { seq, other, body } = kept;
  if (body === null) return { seq, body: other ?? '' };
  return { seq, body: cipher.decryptFor(pieceCell(clinicId, id, seq), body) };
}
