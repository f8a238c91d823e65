import { judgeBenches, judgeRoute } from '../../domain/routeOfWork.ts';
import type { Act } from '../../store/act.ts';
import { listBenches } from '../../store/benches.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { refuseStale } from '../../store/versions.ts';
import { holdWorkRoutes, listWorkRoutes, writeWorkRoute } from '../../store/workRoutes.ts';
import type { Routes, RouteToWrite, RouteView } from './schemas.ts';

/** The routes in force, or every version there was. */
export const findWorkRoutes = async (act: Act, everyVersion: boolean): Promise<Routes> => ({
  items: await listWorkRoutes(act, everyVersion),
});

/**
 * Writes the next version of a route. Sockets under way keep the version they
 * were started with.
 * @throws Refused with every reason against the list of operations; 'version-is-stale' where it
 *   was made from another version than the one in force.
 */
export async function newRouteVersion(
  act: Act,
  { basedOnVersion, ...input }: RouteToWrite,
): Promise<RouteView> {
  const benches = await listBenches(act.tx, act.clinicId);
  const inUse = benches.filter(({ active }) => active).map(({ name }) => name);
  refuseIfAny([
    ...judgeRoute(input.socketKind, input.operations),
    ...judgeBenches(input.operations, inUse),
  ]);
  await holdWorkRoutes(act);
  const { socketKind, suspension } = input;
  const before = (await listWorkRoutes(act, false)).find(
    (each) => each.socketKind === socketKind && each.suspension === suspension,
  );
  if (before !== undefined && before.version !== basedOnVersion) {
    refuseStale(basedOnVersion, before.version);
  }
  const { clinicId, at } = act;
  const written = await writeWorkRoute(
    act.tx,
    { clinicId, at, createdById: act.by.personId },
    input,
  );
  act.record({
    kind: 'route.written',
    subjectKind: 'route',
    subjectId: written.id,
    data: {
      socketKind,
      suspension,
      supersedes: written.supersedes,
      ...(before === undefined
        ? { after: routeTold(input, written.version) }
        : { before: routeTold(before, before.version), after: routeTold(input, written.version) }),
    },
  });
  const route = (await listWorkRoutes(act, false)).find((each) => each.id === written.id);
  if (route === undefined) throw new Error(`Route ${written.id} was written and is not there.`);
  return route;
}

/** A route as its event tells it. */
const routeTold = (
  { name, operations }: Pick<RouteToWrite, 'name' | 'operations'>,
  version: number,
) => ({
  name,
  version,
  operations: operations.map(({ kind, title, checks, caution, bench, plannedMinutes }) => ({
    kind,
    title,
    checks: checks.map((check) => ({ ...check })),
    caution,
    bench,
    plannedMinutes,
  })),
});
