/** What was opened beyond a role's line, for which reason, and what the review found. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { BREAK_GLASS_REASONS, type BreakGlassReason } from '../domain/breakGlass.ts';
import { reason } from '../domain/reasons/index.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const GrantRow = z.object({
  patientId: z.string(),
  fields: z.array(z.string()),
  until: z.date(),
});

/** What stands open to the act's person at this moment. */
export const openGrants = async (act: Act): Promise<z.infer<typeof GrantRow>[]> =>
  parseRows(
    GrantRow,
    await act.tx.$queryRaw`
      select patient_id as "patientId", fields, until from break_glass
      where clinic_id = ${act.clinicId}::uuid and opened_by_id = ${act.by.personId}::uuid
        and until > ${act.at} and opened_at <= ${act.at}`,
  );

/**
 * Holds the act's person until the transaction ends, so that no two openings count the same ones.
 * @returns how many that person opened since then, and when the first of them was
 */
export async function countOpenings(
  act: Act,
  since: Date,
): Promise<{ count: number; first: Date | null }> {
  await act.tx.$queryRaw`
    select 1 from person where clinic_id = ${act.clinicId}::uuid and id = ${act.by.personId}::uuid for no key update`;
  const row = parseFirst(
    z.object({ count: z.number(), first: z.date().nullable() }),
    await act.tx.$queryRaw`
      select count(*)::int as count, min(opened_at) as first from break_glass
      where clinic_id = ${act.clinicId}::uuid and opened_by_id = ${act.by.personId}::uuid and opened_at > ${since}`,
  );
  return row ?? { count: 0, first: null };
}

export async function writeOpening(
  act: Act,
  opening: {
    readonly patientId: string;
    readonly reason: BreakGlassReason;
    readonly words: string;
    readonly fields: readonly string[];
    readonly until: Date;
  },
): Promise<string> {
  const id = uuidv7();
  await act.tx.breakGlass.create({
    data: {
      clinicId: act.clinicId,
      id,
      ...opening,
      fields: [...opening.fields],
      openedAt: act.at,
      openedById: act.by.personId,
    },
  });
  return id;
}

const OpeningRow = z.object({
  id: z.string(),
  patientId: z.string(),
  chartNumber: z.string(),
  reason: z.enum(BREAK_GLASS_REASONS),
  words: z.string(),
  fields: z.array(z.string()),
  openedAt: z.date(),
  openedById: z.string(),
  openedBy: z.string(),
  until: z.date(),
  reviewedAt: z.date().nullable(),
  reviewedBy: z.string().nullable(),
  inOrder: z.boolean().nullable(),
  reviewWords: z.string().nullable(),
});
/** An opening with the review that stands: the newest. */
export type OpeningRow = z.infer<typeof OpeningRow>;

/** @param asked.reviewed null: both */
export const openings = async (
  act: Act,
  asked: {
    readonly id?: string;
    readonly reviewed: boolean | null;
    readonly before: { readonly openedAt: Date; readonly id: string } | null;
    readonly take: number;
  },
): Promise<OpeningRow[]> =>
  parseRows(
    OpeningRow,
    await act.tx.$queryRaw`
      select b.id, b.patient_id as "patientId", t.chart_number as "chartNumber", b.reason, b.words, b.fields,
        b.opened_at as "openedAt", b.opened_by_id as "openedById", o.printed_name as "openedBy", b.until,
        r.reviewed_at as "reviewedAt", v.printed_name as "reviewedBy", r.in_order as "inOrder", r.words as "reviewWords"
      from break_glass b
      join patient t on t.clinic_id = b.clinic_id and t.id = b.patient_id
      join person o on o.clinic_id = b.clinic_id and o.id = b.opened_by_id
      left join lateral (select reviewed_at, in_order, words, reviewed_by_id from break_glass_review r
        where r.clinic_id = b.clinic_id and r.break_glass_id = b.id order by r.reviewed_at desc, r.id desc limit 1) r on true
      left join person v on v.clinic_id = b.clinic_id and v.id = r.reviewed_by_id
      where b.clinic_id = ${act.clinicId}::uuid
        and (${asked.id ?? null}::uuid is null or b.id = ${asked.id ?? null}::uuid)
        and (${asked.reviewed}::boolean is null or (r.reviewed_at is not null) = ${asked.reviewed}::boolean)
        and (${asked.before?.id ?? null}::uuid is null
          or (b.opened_at, b.id) < (${asked.before?.openedAt ?? null}::timestamptz, ${asked.before?.id ?? null}::uuid))
      order by b.opened_at desc, b.id desc limit ${asked.take}::int`,
  );

/** @throws Refused 'not-found' */
export async function loadOpening(act: Act, id: string): Promise<OpeningRow> {
  const [row] = await openings(act, { id, reviewed: null, before: null, take: 1 });
  return found(row, () => reason('not-found', { what: 'opening', id }));
}

export async function writeReview(
  act: Act,
  breakGlassId: string,
  review: { readonly inOrder: boolean; readonly words: string | null },
): Promise<void> {
  await act.tx.breakGlassReview.create({
    data: {
      clinicId: act.clinicId,
      id: uuidv7(),
      breakGlassId,
      ...review,
      reviewedAt: act.at,
      reviewedById: act.by.personId,
    },
  });
}
