import { isSameBench } from '../domain/benchLoad.ts';
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { OPERATION_KIND_NAMES } from '../domain/operations.ts';
import type { RouteOperation } from '../domain/routeOfWork.ts';
import { SOCKET_KINDS, SUSPENSIONS, type SocketKind, type Suspension } from '../domain/words.ts';
import type { Prisma } from '../generated/prisma/client.ts';
import type { Act, Tx } from './act.ts';
import { StoredCheck } from './operations.ts';
import { parseRows } from './rows.ts';

const RouteRow = z.object({
  id: z.string(),
  name: z.string(),
  socketKind: z.enum(SOCKET_KINDS),
  suspension: z.enum(SUSPENSIONS),
  version: z.number(),
  createdAt: z.date(),
  createdBy: z.string().nullable(),
  supersededAt: z.date().nullable(),
  socketsUnderWay: z.array(z.object({ id: z.string(), number: z.string(), orderId: z.string() })),
  operations: z.array(
    z.object({
      seq: z.number(),
      kind: z.enum(OPERATION_KIND_NAMES),
      title: z.string(),
      checks: z.array(StoredCheck),
      caution: z.string().nullable(),
      bench: z.string().nullable(),
      plannedMinutes: z.number().nullable(),
    }),
  ),
});

/** A version of a route with its operations in order. */
export type WorkRoute = z.infer<typeof RouteRow>;

/** The clinic's routes: those in force, or every version. */
export async function listWorkRoutes(act: Act, everyVersion: boolean): Promise<WorkRoute[]> {
  return parseRows(
    RouteRow,
    await act.tx.$queryRaw`
      select r.id, r.name, r.socket_kind as "socketKind", r.suspension, r.version, r.created_at as "createdAt",
        p.printed_name as "createdBy", r.superseded_at as "supersededAt",
        coalesce((select json_agg(json_build_object('id', s.id, 'number', s.number, 'orderId', s.order_id) order by s.number)
          from socket s where s.clinic_id = r.clinic_id and s.route_id = r.id and s.state in ('in_work', 'accepted')),
          '[]'::json) as "socketsUnderWay",
        (select json_agg(json_build_object('seq', o.seq, 'kind', o.kind, 'title', o.title, 'checks', o.checks,
          'caution', o.caution, 'bench', b.name, 'plannedMinutes', o.planned_minutes) order by o.seq)
          from route_operation o
          left join bench b on b.clinic_id = o.clinic_id and b.id = o.bench_id
          where o.clinic_id = r.clinic_id and o.route_id = r.id) as operations
      from route r left join person p on p.clinic_id = r.clinic_id and p.id = r.created_by_id
      where r.clinic_id = ${act.clinicId}::uuid and (${everyVersion}::boolean or r.superseded_at is null)
      order by r.socket_kind, r.suspension, r.version desc`,
  );
}

/** Holds the clinic's writing of routes until the transaction ends: versions count one by one. */
export async function holdWorkRoutes(act: Act): Promise<void> {
  await act.tx.$queryRaw`select 1 from clinic where id = ${act.clinicId}::uuid for no key update`;
}

function benchIdOf(
  name: string | null,
  benches: readonly { readonly id: string; readonly name: string }[],
): string | null {
  if (name === null) return null;
  const bench = benches.find((each) => isSameBench(each.name, name));
  // Judged before it is written.
  if (bench === undefined) throw new RangeError(`There is no bench ${name}.`);
  return bench.id;
}

export interface NewWorkRoute {
  readonly name: string;
  readonly socketKind: SocketKind;
  readonly suspension: Suspension;
  readonly operations: readonly RouteOperation[];
}

/**
 * Writes the next version of a route and supersedes the one in force.
 * @param createdById null where a new clinic gets its starting routes
 */
export async function writeWorkRoute(
  tx: Tx,
  facts: { readonly clinicId: string; readonly at: Date; readonly createdById: string | null },
  route: NewWorkRoute,
): Promise<{ id: string; version: number; supersedes: string | null }> {
  const { clinicId, at } = facts;
  const { name, socketKind, suspension } = route;
  const newest = await tx.route.findFirst({
    where: { clinicId, socketKind, suspension },
    orderBy: { version: 'desc' },
    select: { id: true, version: true },
  });
  if (newest !== null) {
    await tx.route.update({
      where: { clinicId_id: { clinicId, id: newest.id } },
      data: { supersededAt: at },
    });
  }
  const id = uuidv7();
  const version = (newest?.version ?? 0) + 1;
  await tx.route.create({
    data: {
      clinicId,
      id,
      name,
      socketKind,
      suspension,
      version,
      createdAt: at,
      createdById: facts.createdById,
    },
  });
  const benches = await tx.bench.findMany({
    where: { clinicId },
    select: { id: true, name: true },
  });
  await tx.routeOperation.createMany({
    data: route.operations.map(
      ({ kind, title, checks, caution, bench, plannedMinutes }, index) => ({
        clinicId,
        routeId: id,
        seq: index + 1,
        kind,
        title,
        checks: checks.map((check): Prisma.InputJsonObject => ({ ...check })),
        caution,
        benchId: benchIdOf(bench, benches),
        plannedMinutes,
      }),
    ),
  });
  return { id, version, supersedes: newest?.id ?? null };
}
