/**
 * C2: what is cut for a layup, fabric by fabric, with allowances: width, length,
 * count and grams.
 */
import { girthAtRestMm, type Fabric } from './fabrics.ts';
import type { CutAllowances, FabricLine } from './layupRules.ts';
import type { LimbGeometry } from './limbGeometry.ts';
import { reason, type Reason } from './reasons/index.ts';

/**
 * The socket's wall as it is covered, lengths in mm, areas in mm². It is the
 * limb's (see `limbGeometry`), from the distal end to the highest measure: what
 * the model was modified by and the trim line are not in it.
 */
export type LayupShape = Pick<
  LimbGeometry,
  'wallLengthMm' | 'capArcMm' | 'areaMm2' | 'greatestCircumferenceMm' | 'meanCircumferenceMm'
>;

/** A layer of a layup with its fabric; `place` is its line, from 1. */
export interface LaidLine {
  readonly line: FabricLine;
  readonly place: number;
  readonly fabric: Fabric;
}

/** One line of the cut list: `count` equal pieces; grams of all of them together. */
export interface Cut {
  /** The line of the layup, from 1. */
  readonly line: number;
  readonly fabricId: string;
  readonly what: string;
  readonly form: Fabric['form'];
  readonly direction: FabricLine['direction'];
  readonly reflected: boolean;
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly count: number;
  readonly massG: number;
}

export const MM2_PER_M2 = 1e6;

const roundedUp = (lengthMm: number, stepMm: number): number =>
  Math.ceil(lengthMm / stepMm - 1e-9) * stepMm;

/**
 * What a tube loses in length as it is drawn over a girth wider than its own.
 * Its areal density is taken to stay as it is, as in a braid near 45 degrees,
 * where yarn per area (∝ 1/sin 2θ) hardly changes: girth gained is length lost.
 */
const takeUp = (tube: Fabric, shape: LayupShape): number =>
  Math.max(1, shape.meanCircumferenceMm / girthAtRestMm(tube));

interface Piece {
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly count: number;
  readonly reflected: boolean;
}

function piecesOf(
  line: FabricLine,
  fabric: Fabric,
  shape: LayupShape,
  allowances: CutAllowances,
): Piece[] {
  const { brimMm, endTieMm, overlapMm, stepMm } = allowances;
  const coveredMm = shape.wallLengthMm + shape.capArcMm;
  const { widthMm } = fabric;
  switch (fabric.form) {
    case 'strip': {
      const lengthMm = roundedUp(2 * (coveredMm + brimMm), stepMm);
      return [{ widthMm, lengthMm, count: line.layers, reflected: false }];
    }
    case 'flat': {
      const panels = Math.ceil(shape.greatestCircumferenceMm / (widthMm - overlapMm));
      return [
        {
          widthMm: shape.greatestCircumferenceMm / panels + overlapMm,
          lengthMm: roundedUp(coveredMm + brimMm + endTieMm, stepMm),
          count: panels * line.layers,
          reflected: false,
        },
      ];
    }
    case 'tube': {
      const drawnMm = coveredMm * takeUp(fabric, shape);
      const pairs = line.reflected ? Math.floor(line.layers / 2) : 0;
      const singles = line.layers - 2 * pairs;
      const pair = {
        widthMm,
        lengthMm: roundedUp(2 * (drawnMm + brimMm) + endTieMm, stepMm),
        count: pairs,
        reflected: true,
      };
      const single = {
        widthMm,
        lengthMm: roundedUp(drawnMm + brimMm + endTieMm, stepMm),
        count: singles,
        reflected: false,
      };
      return [pair, single].filter(({ count }) => count > 0);
    }
  }
}

const cutAreaMm2 = (piece: Piece, form: Fabric['form']): number =>
  (form === 'tube' ? 2 : 1) * piece.widthMm * piece.lengthMm * piece.count;

/** 'layup-line-misfits' where a wrapped fabric is all overlap. */
export function questionPanels(
  { line, fabric }: LaidLine,
  { overlapMm }: CutAllowances,
  at: string,
): Reason[] {
  if (fabric.form !== 'flat' || fabric.widthMm > overlapMm) return [];
  const why = `it is ${fabric.widthMm} mm wide, and ${overlapMm} mm lie over each other`;
  return [reason('layup-line-misfits', { fabric: line.fabric, why }, at)];
}

/** The cuts of one line of a layup, which can be laid (see `questionLine`, `questionPanels`). */
export const cutsOf = (
  { line, place, fabric }: LaidLine,
  shape: LayupShape,
  allowances: CutAllowances,
): Cut[] =>
  piecesOf(line, fabric, shape, allowances).map((piece) => ({
    line: place,
    fabricId: fabric.id,
    what: fabric.name,
    form: fabric.form,
    direction: line.direction,
    ...piece,
    massG: (cutAreaMm2(piece, fabric.form) / MM2_PER_M2) * fabric.arealDensityGm2,
  }));

/** The area of wall that one layer covers, in mm². */
export const laidAreaMm2 = (fabric: Fabric, shape: LayupShape): number =>
  fabric.form === 'strip'
    ? fabric.widthMm * 2 * (shape.wallLengthMm + shape.capArcMm)
    : shape.areaMm2;
