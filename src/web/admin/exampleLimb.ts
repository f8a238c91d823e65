/** What layup rules come to for an example limb, worked out as it would be at the bench. */
import { proposeLayup, workOutLayup, type LayupFigures } from '../../domain/layup.ts';
import { TYPICAL_RESIN } from '../../domain/layupDraft.ts';
import type { LayupRules } from '../../domain/layupRules.ts';
import { limbGeometry } from '../../domain/limbGeometry.ts';
import type { Fabric } from '../../domain/fabrics.ts';
import { FUNCTIONAL_LEVELS, LEVELS } from '../../domain/words.ts';
import { said } from '../words/said.ts';
import { numberTyped } from './numberTyped.ts';
import { layerWords } from './ruleWords.ts';
import type { Typed } from './values.ts';

/** An invented limb, so that something stands there; every figure can be typed over. */
export const EXAMPLE_LIMB: Typed = {
  bodyMassKg: '82',
  functionalLevel: 'K3',
  level: 'trans_tibial',
  lengthMm: '160',
  endMm: '240',
  brimMm: '330',
};

export interface Example {
  readonly row: string;
  readonly layers: readonly string[];
  readonly figures: LayupFigures | null;
}

/** @returns what is proposed, or why nothing is, in words */
export function exampleOf(
  typed: Typed,
  rules: LayupRules,
  fabrics: readonly Fabric[],
): Example | { readonly because: readonly string[] } {
  const figure = (key: string): number => numberTyped(typed[key] ?? '');
  const functionalLevel = FUNCTIONAL_LEVELS.find((each) => each === typed['functionalLevel']);
  const level = LEVELS.find((each) => each === typed['level']);
  const [lengthMm, endMm, brimMm] = [figure('lengthMm'), figure('endMm'), figure('brimMm')];
  const limb = limbGeometry(
    [0, 0.5, 1].map((share) => ({
      heightMm: share * lengthMm,
      circumferenceMm: endMm + share * (brimMm - endMm),
    })),
    null,
  );
  if (!limb.ok) return { because: limb.reasons.map((each) => said(each).detail) };
  if (functionalLevel === undefined || level === undefined) return { because: [] };
  const patient = { bodyMassKg: figure('bodyMassKg'), functionalLevel, level };
  const proposed = proposeLayup(patient, limb.value, rules, fabrics);
  if (!proposed.ok) return { because: proposed.reasons.map((each) => said(each).detail) };
  const { lines, row } = proposed.value;
  const nameOf = (id: string): string => fabrics.find((fabric) => fabric.id === id)?.name ?? id;
  const worked = workOutLayup(lines, {
    shape: limb.value,
    fabrics,
    allowances: rules.allowances,
    fibreMassFraction: rules.fibreMassFraction,
    resinDensityGcm3: TYPICAL_RESIN.densityGcm3,
  });
  return {
    row,
    layers: lines.map((line) => layerWords(line, nameOf)),
    figures: worked.ok ? worked.value : null,
  };
}
