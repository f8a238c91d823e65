/** Sets of measures and their comparison as they are answered. */
import { limbGeometry, type LimbGeometry } from '../../domain/limbGeometry.ts';
import {
  compareMeasureSets,
  earlierFirst,
  questionPair,
  type VolumeComparison,
} from '../../domain/limbVolume.ts';
import { refused, type Verdict } from '../../domain/verdict.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import {
  decisionOn,
  setOfAcceptedCast,
  volumeSettingsOf,
  type MeasureSetRecord,
} from '../../store/measureSets.ts';
import { orRefuse } from '../../store/refused.ts';
import type { MeasureSetTaken, MeasureSetView, VolumeComparisonView } from './schemas.ts';

/** @throws Refused where a stored table makes no solid: nothing but SQL by hand writes such. */
export const geometryOf = ({ measures, capDepthMm }: MeasureSetRecord): LimbGeometry =>
  orRefuse(limbGeometry(measures, capDepthMm));

export function setView(set: MeasureSetRecord): MeasureSetView {
  const { cap, ...geometry } = geometryOf(set);
  return {
    ...set,
    geometry: { ...geometry, capDepthMm: cap.depthMm, capDepthSource: cap.source },
  };
}

/** Two sets of one limb, the earlier first, with what the domain makes of them. */
export interface ComparedSets {
  readonly first: MeasureSetRecord;
  readonly second: MeasureSetRecord;
  readonly compared: VolumeComparison;
  readonly view: VolumeComparisonView;
}

/** Compares two sets; a verdict with reasons where they are not of one limb or have too little in common. */
export async function comparisonOf(
  act: Act,
  one: MeasureSetRecord,
  other: MeasureSetRecord,
): Promise<Verdict<ComparedSets>> {
  const against = questionPair(one, other);
  if (against.length > 0) return refused(against);
  const [first, second] = earlierFirst(one, other);
  const settings = volumeSettingsOf(await loadClinic(act.tx, act.clinicId));
  const verdict = compareMeasureSets(first.measures, second.measures, settings);
  if (!verdict.ok) return verdict;
  const view: VolumeComparisonView = {
    first,
    second,
    ...verdict.value,
    plyMeans: settings.ply.means,
    perPly: settings.ply.perPly,
    limitPercent: settings.limitPercent,
    decision: await decisionOn(act, first.id, second.id),
  };
  return { ok: true, value: { first, second, compared: verdict.value, view } };
}

/**
 * A set against the newest accepted cast of its limb; nothing where that is the set itself, or newer.
 * @param sets all of the limb's side
 */
export async function sinceCastOf(
  act: Act,
  sets: readonly MeasureSetRecord[],
  set: MeasureSetRecord,
): Promise<Pick<MeasureSetTaken, 'sinceCast' | 'notCompared'>> {
  const ofCast = setOfAcceptedCast(sets, set);
  // What was measured before the cast tells nothing of what became of the limb since.
  if (ofCast === undefined || earlierFirst(ofCast, set)[0].id === set.id) {
    return { sinceCast: null, notCompared: null };
  }
  const verdict = await comparisonOf(act, ofCast, set);
  return verdict.ok
    ? { sinceCast: verdict.value.view, notCompared: null }
    : { sinceCast: null, notCompared: verdict.reasons[0] ?? null };
}
