import { v7 as uuidv7 } from 'uuid';
import { questionFabric, questionMaterial, type Fabric } from '../../domain/fabrics.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import {
  holdFabricsAndRules,
  listFabrics,
  loadFabric,
  type FabricRecord,
} from '../../store/fabrics.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { FabricChange, FabricToAdd } from './schemas.ts';

/**
 * Enters a fabric.
 * @throws Refused 'value-out-of-range', 'material-has-another-form', 'fabric-name-taken'.
 */
export async function addFabric(act: Act, input: FabricToAdd): Promise<FabricRecord> {
  await holdFabricsAndRules(act);
  const id = uuidv7();
  await refuseUnfit(act, { ...input, id });
  await withItsName(input.name, () =>
    act.tx.fabric.create({ data: { clinicId: act.clinicId, id, ...input, createdAt: act.at } }),
  );
  act.record({ kind: 'fabric.added', subjectKind: 'fabric', subjectId: id, data: { ...input } });
  return loadFabric(act, id);
}

/** Changes a fabric's sheet, or withdraws it, from the version that was read; its form stays. */
export async function changeFabric(
  act: Act,
  fabricId: string,
  change: FabricChange,
  expectedVersion: number,
): Promise<FabricRecord> {
  await holdFabricsAndRules(act);
  const before = await loadFabric(act, fabricId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return before;
  const after = { ...before, ...changes.set };
  if (after.active) await refuseUnfit(act, after);
  else refuseIfAny(questionFabric(after));
  const { count } = await withItsName(after.name, () =>
    act.tx.fabric.updateMany({
      where: { clinicId: act.clinicId, id: fabricId, version: expectedVersion },
      data: { ...changes.set, version: { increment: 1 } },
    }),
  );
  if (count === 0) refuseStale(expectedVersion, (await loadFabric(act, fabricId)).version);
  act.record({
    kind: 'fabric.changed',
    subjectKind: 'fabric',
    subjectId: fabricId,
    data: changes.event,
  });
  return loadFabric(act, fabricId);
}

async function refuseUnfit(act: Act, fabric: Fabric): Promise<void> {
  const inUse = await listFabrics(act, false);
  refuseIfAny([...questionFabric(fabric), ...questionMaterial(fabric, inUse)]);
}

async function withItsName<T>(name: string, write: () => Promise<T>): Promise<T> {
  try {
    return await write();
  } catch (failure) {
    if (!isUniqueClash(failure, 'name')) throw failure;
    throw new Refused([reason('fabric-name-taken', { name }, '/name')], { cause: failure });
  }
}
