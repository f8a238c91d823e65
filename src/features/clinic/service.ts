import { questionBenchSettings } from '../../domain/benchSettings.ts';
import { judgeNewCurrency } from '../../domain/cost.ts';
import type { Reason } from '../../domain/reasons/index.ts';
import { moneyFor } from '../../access/minimumNecessary.ts';
import type { Act } from '../../store/act.ts';
import {
  againstTimeZone,
  loadClinic,
  pricesKept,
  type ClinicSettings,
} from '../../store/clinic.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { ClinicChange, ClinicView } from './schemas.ts';

/** The clinic and its settings; what labour costs only for those who see costs. */
export async function readClinic(act: Act): Promise<ClinicView> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  return {
    ...clinic,
    labourRatePerHourMinor: moneyFor(act.by.roles, clinic.labourRatePerHourMinor),
  };
}

/**
 * Changes settings, from the version that was read.
 * @throws Refused 'version-is-stale', 'value-out-of-range', 'prices-without-currency',
 *   'currency-in-use', 'time-zone-unknown'.
 */
export async function changeClinic(
  act: Act,
  change: ClinicChange,
  expectedVersion: number,
): Promise<ClinicView> {
  const before = await loadClinic(act.tx, act.clinicId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return readClinic(act);
  const { timeZone } = changes.set;
  refuseIfAny([
    ...questionBenchSettings({ ...before, ...changes.set }),
    ...(await againstCurrency(act, before, change)),
    ...(timeZone === undefined ? [] : await againstTimeZone(act.tx, timeZone)),
  ]);
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
  return readClinic(act);
}

/** An amount means another sum in another currency; a rate that is sent along is meant in the new one. */
async function againstCurrency(
  act: Act,
  { currency, labourRatePerHourMinor }: ClinicSettings,
  change: ClinicChange,
): Promise<Reason[]> {
  if (currency === null || change.currency === undefined || change.currency === currency) return [];
  const labourRate = labourRatePerHourMinor !== null && change.labourRatePerHourMinor === undefined;
  return judgeNewCurrency(currency, { ...(await pricesKept(act)), labourRate });
}
