/**
 * The timeline of the trace: its branches in one order by time and id. A scope says
 * which records of each belong to what was asked; what is here is the same for all of them.
 */
import { z } from 'zod';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import {
  BRANCH_NAMES,
  BRANCHES,
  type Branch,
  type BranchColumns,
  type Sql,
} from './traceBranches.ts';
import { FoundRow, tell, type TraceRow } from './traceTold.ts';

/** Which records belong to what was asked. A branch left out has none. */
export interface TraceScope {
  /** `with` clauses that the conditions refer to. */
  readonly with?: Sql;
  /** A condition on `x` and `y` for each branch. */
  readonly where: Readonly<Partial<Record<Branch, Sql>>>;
}

/** Where a page ended: the order of the timeline. */
export const TraceCursor = z.tuple([z.iso.datetime(), z.guid(), z.int().min(0).max(1)]);
export type TraceCursor = Readonly<z.infer<typeof TraceCursor>>;

export interface TimelinePage {
  readonly rows: readonly TraceRow[];
  /** Where the next page begins; null on the last. */
  readonly next: TraceCursor | null;
}

/**
 * The records of a scope as one timeline, by time, then by id.
 * @param limit rows at most
 */
export async function timeline(
  act: Act,
  scope: TraceScope,
  { limit, after }: { limit: number; after?: TraceCursor | undefined },
): Promise<TimelinePage> {
  const branches = BRANCH_NAMES.flatMap((name) => {
    const condition = scope.where[name];
    return condition === undefined ? [] : [branchSql(act, name, condition, limit, after)];
  });
  if (branches.length === 0) return { rows: [], next: null };
  const found = parseRows(
    FoundRow,
    await act.tx.$queryRaw(Prisma.sql`
      ${scope.with === undefined ? Prisma.empty : Prisma.sql`with ${scope.with}`}
      select * from (${Prisma.join(branches, ' union all ')}) found
      order by at, "recordId", step limit ${limit + 1}`),
  );
  const shown = found.slice(0, limit);
  const last = shown.at(-1);
  return {
    rows: await tell(act, shown),
    next:
      found.length > limit && last !== undefined
        ? [last.at.toISOString(), last.recordId, last.step]
        : null,
  };
}

/** Ids and times only: whatever costs more is read for the rows that are shown. */
function branchSql(
  act: Act,
  name: Branch,
  condition: Sql,
  limit: number,
  after: TraceCursor | undefined,
): Sql {
  const {
    kind,
    step = 0,
    from,
    at,
    by,
    bench = 'null',
    socket = 'null',
    order = 'null',
    only = 'true',
  }: BranchColumns = BRANCHES[name];
  const columns = Prisma.raw(
    `select ${at} as at, '${kind}' as kind, ${step} as step, x.id as "recordId", ${socket}::uuid as "socketId", ` +
      `${order}::uuid as "orderId", ${by} as "personId", ${bench}::timestamptz as "recordedAt" from ${from}`,
  );
  const instant = Prisma.raw(at);
  const beyond =
    after === undefined
      ? Prisma.sql`${instant} is not null`
      : Prisma.sql`(${instant}, x.id, ${Prisma.raw(String(step))}) > (${after[0]}::timestamptz, ${after[1]}::uuid, ${after[2]}::int)`;
  return Prisma.sql`(${columns} where x.clinic_id = ${act.clinicId}::uuid and ${Prisma.raw(only)} and (${condition}) and ${beyond}
    order by ${instant}, x.id limit ${limit + 1})`;
}
