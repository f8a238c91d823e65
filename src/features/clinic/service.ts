import { questionBenchSettings } from '../../domain/benchSettings.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { ClinicChange, ClinicView } from './schemas.ts';

/** The clinic and its settings. */
export const readClinic = (act: Act): Promise<ClinicView> => loadClinic(act.tx, act.clinicId);

/**
 * Changes settings, from the version that was read.
 * @throws Refused 'version-is-stale', 'value-out-of-range', 'prices-without-currency'.
 */
export async function changeClinic(
  act: Act,
  change: ClinicChange,
  expectedVersion: number,
): Promise<ClinicView> {
  const before = await loadClinic(act.tx, act.clinicId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return before;
  refuseIfAny(questionBenchSettings({ ...before, ...changes.set }));
  const { count } = await act.tx.clinic.updateMany({
    where: { id: act.clinicId, version: expectedVersion },
    data: { ...changes.set, version: { increment: 1 } },
  });
  if (count === 0) refuseStale(expectedVersion, (await readClinic(act)).version);
  act.record({
    kind: 'clinic.changed',
    subjectKind: 'clinic',
    subjectId: act.clinicId,
    data: changes.event,
  });
  return loadClinic(act.tx, act.clinicId);
}
