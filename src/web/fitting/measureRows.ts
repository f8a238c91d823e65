/** A table of measures while it is typed: its rows, what stands against which, and its shape so far. */
import type { LengthUnit } from '../../domain/units.ts';
import { limbGeometry, type LimbGeometry } from '../../domain/limbGeometry.ts';
import { questionMeasures, type LimbMeasure } from '../../domain/measures.ts';
import type { Level } from '../../domain/words.ts';
import { said } from '../words/said.ts';
import { EMPTY, inUnit, isNoNumber, written, type Cell } from './lengths.ts';

export interface Row {
  readonly key: number;
  readonly height: Cell;
  readonly around: Cell;
}

/** Heights that a new table begins with, in mm, where the limb has none yet. Common practice, no source. */
const STARTING_HEIGHTS_MM = [0, 40, 80, 120, 160, 200];

export const rowsAt = (heightsMm: readonly number[], unit: LengthUnit): Row[] =>
  (heightsMm.length === 0 ? STARTING_HEIGHTS_MM : heightsMm).map((mm, key) => ({
    key,
    height: written(mm, unit),
    around: EMPTY,
  }));

export const rowsIn = (rows: readonly Row[], unit: LengthUnit): Row[] =>
  rows.map((row) => ({
    ...row,
    height: inUnit(row.height, unit),
    around: inUnit(row.around, unit),
  }));

/** With one more row, as far above the last as that is above the one before. */
export function oneMore(rows: readonly Row[], unit: LengthUnit): Row[] {
  const heights = rows.flatMap(({ height }) => (height.mm === null ? [] : [height.mm]));
  const [before = 0, last = 0] = heights.slice(-2);
  const key = Math.max(-1, ...rows.map((row) => row.key)) + 1;
  const height = heights.length < 2 ? EMPTY : written(last + (last - before), unit);
  return [...rows, { key, height, around: EMPTY }];
}

/** Rows that were measured, in their order; a row without a circumference was not. */
export const measuredRows = (rows: readonly Row[]): readonly (Row & { measure: LimbMeasure })[] =>
  rows.flatMap((row) => {
    const { height, around } = row;
    if (height.mm === null || around.mm === null) return [];
    return [{ ...row, measure: { heightMm: height.mm, circumferenceMm: around.mm } }];
  });

export interface TableJudged {
  readonly measures: readonly LimbMeasure[];
  /** The question to a row, by its key. */
  readonly against: ReadonlyMap<number, string>;
  readonly againstLength: string | undefined;
  /** Of the rows that make a solid; undefined while they are fewer than two. */
  readonly geometry: LimbGeometry | undefined;
}

const rowOf = (pointer: string | undefined): number | undefined => {
  const at = /^\/measures\/(\d+)/.exec(pointer ?? '')?.[1];
  return at === undefined ? undefined : Number(at);
};

/** What the domain has to say about the table, row by row. Nothing here keeps it from being sent. */
export function judgeTable(
  level: Level,
  limbLengthMm: number | null,
  capDepthMm: number | null,
  rows: readonly Row[],
  noNumber: string,
): TableJudged {
  const measured = measuredRows(rows);
  const measures = measured.map(({ measure }) => measure);
  const against = new Map<number, string>();
  for (const row of rows) {
    if (isNoNumber(row.height) || isNoNumber(row.around)) against.set(row.key, noNumber);
  }
  // Before the length is typed its question would be noise; the rows are asked all the same.
  const reasons = questionMeasures(level, limbLengthMm ?? NaN, measures);
  let againstLength: string | undefined;
  for (const { field, detail } of reasons.map(said)) {
    const key = measured[rowOf(field) ?? -1]?.key;
    if (key !== undefined) against.set(key, detail);
    else if (field === '/limbLengthMm' && limbLengthMm !== null) againstLength = detail;
  }
  return { measures, against, againstLength, geometry: shapeOf(measures, capDepthMm) };
}

/** The solid of the rows that can be one: those that the geometry refuses are left out of the drawing. */
function shapeOf(
  measures: readonly LimbMeasure[],
  capDepthMm: number | null,
): LimbGeometry | undefined {
  const whole = limbGeometry(measures, capDepthMm);
  if (whole.ok) return whole.value;
  const blamed = new Set(whole.reasons.map(({ field }) => rowOf(field)));
  const rest = limbGeometry(
    measures.filter((_, at) => !blamed.has(at)),
    capDepthMm,
  );
  return rest.ok ? rest.value : undefined;
}

/** What the service had against each row that was sent, by the row's key. */
export function refusedRows(
  rows: readonly Row[],
  against: (pointer: string) => string | undefined,
): ReadonlyMap<number, string> {
  return new Map(
    measuredRows(rows).flatMap(({ key }, at): [number, string][] => {
      const detail = [
        `/measures/${at}`,
        `/measures/${at}/heightMm`,
        `/measures/${at}/circumferenceMm`,
      ]
        .map(against)
        .find((each) => each !== undefined);
      return detail === undefined ? [] : [[key, detail]];
    }),
  );
}
