import { isSameBench, judgePeople } from '../../domain/benchLoad.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import {
  changeBenchRow,
  holdBenches,
  listBenches,
  loadBench,
  writeBench,
} from '../../store/benches.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { BenchChange, Benches, BenchToAdd, BenchView } from './schemas.ts';

/** The clinic's benches, those that are given up among them. */
export const findBenches = async (act: Act): Promise<Benches> => ({
  items: await listBenches(act.tx, act.clinicId),
});

/** Enters a bench. @throws Refused 'bench-name-taken', 'value-out-of-range'. */
export async function addBench(act: Act, input: BenchToAdd): Promise<BenchView> {
  refuseIfAny(judgePeople(input.people));
  await refuseTaken(act, input.name, null);
  const id = await writeBench(act, input);
  act.record({ kind: 'bench.added', subjectKind: 'bench', subjectId: id, data: { ...input } });
  return loadBench(act, id);
}

/**
 * Changes a bench, from the version that was read. Routes and operations keep pointing at it.
 * @throws Refused 'bench-name-taken', 'value-out-of-range'.
 */
export async function changeBench(
  act: Act,
  benchId: string,
  change: BenchChange,
  expectedVersion: number,
): Promise<BenchView> {
  const before = await loadBench(act, benchId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return before;
  const after = { ...before, ...changes.set };
  refuseIfAny(judgePeople(after.people));
  await refuseTaken(act, after.name, benchId);
  const changed = await changeBenchRow(act, before, changes.set);
  if (!changed) refuseStale(expectedVersion, (await loadBench(act, benchId)).version);
  act.record({
    kind: 'bench.changed',
    subjectKind: 'bench',
    subjectId: benchId,
    data: changes.event,
  });
  return loadBench(act, benchId);
}

/** Benches are told apart by their names alone; they are held, so that of two like names one comes in. */
async function refuseTaken(act: Act, name: string, but: string | null): Promise<void> {
  const others = (await holdBenches(act)).filter(({ id }) => id !== but);
  if (others.some((other) => isSameBench(other.name, name))) {
    throw new Refused([reason('bench-name-taken', { name }, '/name')]);
  }
}
