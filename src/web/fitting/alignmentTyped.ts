/** An alignment while it is typed. */
import type { Schemas } from '../api.ts';
import { figureTyped } from '../words/figures.ts';
import { measures, smallTyped } from '../words/units.ts';

export type Alignment = Schemas['Alignment'];
export const COMPONENTS = [
  'flexionDeg',
  'adductionDeg',
  'anteriorOffsetMm',
  'lateralOffsetMm',
  'toeOutDeg',
  'heightToFloorMm',
] as const satisfies readonly (keyof Alignment)[];
export type Component = (typeof COMPONENTS)[number];
export type AlignmentTyped = Readonly<Record<Component, string>>;

export const NOTHING_TYPED: AlignmentTyped = {
  flexionDeg: '',
  adductionDeg: '',
  anteriorOffsetMm: '',
  lateralOffsetMm: '',
  toeOutDeg: '',
  heightToFloorMm: '',
};

/** A decimal comma is a point; nothing, or no number, is NaN, and goes out as nothing. */
const numberOf = (text: string): number => figureTyped(text) ?? NaN;
const millimetresOf = (text: string): number => smallTyped(text) ?? NaN;

export function alignmentOf(typed: AlignmentTyped): Alignment {
  const { flexionDeg, adductionDeg, anteriorOffsetMm, lateralOffsetMm } = typed;
  return {
    flexionDeg: numberOf(flexionDeg),
    adductionDeg: numberOf(adductionDeg),
    anteriorOffsetMm: millimetresOf(anteriorOffsetMm),
    lateralOffsetMm: millimetresOf(lateralOffsetMm),
    toeOutDeg: numberOf(typed.toeOutDeg),
    heightToFloorMm: millimetresOf(typed.heightToFloorMm),
  };
}

export const isWhole = (alignment: Alignment): boolean =>
  COMPONENTS.every((each) => Number.isFinite(alignment[each]));

const isAngle = (component: Component): boolean => component.endsWith('Deg');

/** The unit in which it is typed. */
export const unitOf = (component: Component): string =>
  isAngle(component) ? '°' : measures.value.small.unit;
