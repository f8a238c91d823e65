/** What a record that arrives late is held against: the moves at its positions, and those of one's own. */
import { z } from 'zod';
import type { RecordedByOthers, Touch } from '../domain/benchTime.ts';
import { dayAt, type Day } from '../domain/days.ts';
import { JOINT_KINDS, type JointKind } from '../domain/words.ts';
import { workedAt, type Act, type Tx } from './act.ts';
import { loadClinic } from './clinic.ts';
import { answersTo } from './idempotencyKeys.ts';
import { parseRows } from './rows.ts';

/** What evidence can be about: the joints, and the lock with its pin. */
export const EVIDENCE_KINDS = [...JOINT_KINDS, 'lock_check'] as const;
export type EvidenceKind = JointKind | 'lock_check';

const TouchRow = z.object({
  moveId: z.string(),
  item: z.string(),
  movedBy: z.string(),
  movedAt: z.string(),
});

/** Every move to and from the positions of a kind of evidence, the oldest first, its instant in words. */
export const touchesOf = async (
  { tx, clinicId }: Act,
  socketId: string,
  kind: EvidenceKind,
): Promise<Touch[]> =>
  parseRows(
    TouchRow,
    await tx.$queryRaw`
      select m.id as "moveId", coalesce(t.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot), s.name) as item,
        p.printed_name as "movedBy", instant_words(m.clinic_id, coalesce(m.bench_at, m.moved_at)) as "movedAt"
      from moves_touching(${clinicId}::uuid, ${socketId}::uuid, ${kind}) m
      join person p on p.clinic_id = m.clinic_id and p.id = m.moved_by_id
      left join item i on i.clinic_id = m.clinic_id and i.id = m.item_id
      left join part t on t.clinic_id = i.clinic_id and t.id = i.part_id
      left join shop_tool s on s.clinic_id = m.clinic_id and s.id = m.shop_tool_id
      order by m.moved_at, m.id`,
  );

const KnownRow = z.object({ kind: z.enum(EVIDENCE_KINDS), moveId: z.string() });

/** For each kind of evidence on a socket, the ids of every move to and from its positions. */
export async function movesSoFar(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<Record<EvidenceKind, string[]>> {
  const rows = parseRows(
    KnownRow,
    await tx.$queryRaw`
      select k.kind, m.id as "moveId"
      from unnest(${[...EVIDENCE_KINDS]}::text[]) as k (kind)
      cross join lateral moves_touching(${clinicId}::uuid, ${socketId}::uuid, k.kind) m
      order by m.id`,
  );
  return Object.fromEntries(
    EVIDENCE_KINDS.map((kind) => [
      kind,
      rows.filter((row) => row.kind === kind).map(({ moveId }) => moveId),
    ]),
  ) as Record<EvidenceKind, string[]>;
}

/** What a record was made upon: the moves that were seen, and one's own acts that were still on their way. */
export interface BasedOn {
  readonly moveIds: readonly string[];
  readonly keys: readonly string[];
}

/** The answer of an act that moved one thing, or several. */
const Moved = z.object({
  moveId: z.string().optional(),
  moved: z.array(z.object({ moveId: z.string() })).optional(),
});

/** Ids of the moves known: those named, and those that the person's own requests under these keys have made. */
export async function movesKnown(act: Act, basedOn: BasedOn | undefined): Promise<string[]> {
  const { moveIds = [], keys = [] } = basedOn ?? {};
  if (keys.length === 0) return [...moveIds];
  const answers = await answersTo(act.tx, act.cipher, act.by, keys);
  const made = answers.flatMap((answer) => {
    const { moveId, moved = [] } = Moved.safeParse(answer).data ?? {};
    return [...(moveId === undefined ? [] : [moveId]), ...moved.map((each) => each.moveId)];
  });
  return [...moveIds, ...made];
}

/**
 * The days by which a record is judged: that of the work and, where it arrives on a later
 * one, that too: whatever ran out in between speaks against it.
 */
export async function daysOfWork(act: Act): Promise<readonly [Day, ...Day[]]> {
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const worked = dayAt(workedAt(act), timeZone);
  const arrived = dayAt(act.at, timeZone);
  return worked === arrived ? [worked] : [worked, arrived];
}

/** An instant in the clinic's zone (R16), as a refusal says it. */
export async function instantAtClinic(act: Act, at: Date): Promise<string> {
  const rows = parseRows(
    z.object({ words: z.string() }),
    await act.tx
      .$queryRaw`select instant_words(${act.clinicId}::uuid, ${at}::timestamptz) as words`,
  );
  return rows[0]?.words ?? '';
}

const RecordRow = z.object({
  attempt: z.number(),
  personId: z.string(),
  by: z.string(),
  at: z.string(),
});

/** The attempts at an operation, the oldest first, their instants in words. */
export const attemptsAt = async (act: Act, operationId: string): Promise<RecordedByOthers[]> =>
  parseRows(
    RecordRow,
    await act.tx.$queryRaw`
      select r.attempt, p.id as "personId", p.printed_name as by,
        instant_words(r.clinic_id, coalesce(r.bench_at, r.recorded_at)) as at
      from operation_record r join person p on p.clinic_id = r.clinic_id and p.id = r.recorded_by_id
      where r.clinic_id = ${act.clinicId}::uuid and r.operation_id = ${operationId}::uuid order by r.attempt`,
  );

/** Findings on an operation that others opened or closed after an instant, the oldest first. */
export const findingsSince = async (
  act: Act,
  operationId: string,
  since: Date,
): Promise<RecordedByOthers[]> =>
  parseRows(
    RecordRow,
    await act.tx.$queryRaw`
      select 1 as attempt, p.id as "personId", p.printed_name as by, instant_words(f.clinic_id, told.at) as at
      from finding f
      cross join lateral (values (coalesce(f.bench_at, f.opened_at), f.opened_by_id), (f.disposed_at, f.disposed_by_id)) told (at, by_id)
      join person p on p.clinic_id = f.clinic_id and p.id = told.by_id
      where f.clinic_id = ${act.clinicId}::uuid and f.operation_id = ${operationId}::uuid and told.at > ${since}::timestamptz
      order by told.at`,
  );

/** Readings of the cups of a recipe, or of one of them, made after an instant, the oldest first. */
export const cupsSince = async (
  act: Act,
  recipeId: string,
  since: Date,
  pour: number | null,
): Promise<RecordedByOthers[]> =>
  parseRows(
    RecordRow,
    await act.tx.$queryRaw`
      select w.attempt, p.id as "personId", p.printed_name as by,
        instant_words(w.clinic_id, coalesce(w.bench_at, w.recorded_at)) as at
      from resin_weighing w join person p on p.clinic_id = w.clinic_id and p.id = w.recorded_by_id
      where w.clinic_id = ${act.clinicId}::uuid and w.recipe_id = ${recipeId}::uuid
        and (${pour}::int is null or w.pour = ${pour}::int) and coalesce(w.bench_at, w.recorded_at) > ${since}::timestamptz
      order by w.recorded_at, w.id`,
  );
