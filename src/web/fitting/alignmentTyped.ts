/** An alignment while it is typed. */
import type { Schemas } from '../api.ts';

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
const numberOf = (text: string): number => {
  // A typed or pasted minus may be the sign itself.
  const written = text.trim().replace(',', '.').replace('−', '-');
  return written === '' ? NaN : Number(written);
};

export function alignmentOf(typed: AlignmentTyped): Alignment {
  const { flexionDeg, adductionDeg, anteriorOffsetMm, lateralOffsetMm } = typed;
  return {
    flexionDeg: numberOf(flexionDeg),
    adductionDeg: numberOf(adductionDeg),
    anteriorOffsetMm: numberOf(anteriorOffsetMm),
    lateralOffsetMm: numberOf(lateralOffsetMm),
    toeOutDeg: numberOf(typed.toeOutDeg),
    heightToFloorMm: numberOf(typed.heightToFloorMm),
  };
}

export const isWhole = (alignment: Alignment): boolean =>
  COMPONENTS.every((each) => Number.isFinite(alignment[each]));

export const unitOf = (component: Component): string => (component.endsWith('Deg') ? '°' : ' mm');
