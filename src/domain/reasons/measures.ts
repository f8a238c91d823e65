/** Figures of a refusal in the units that a person reads. Facts stay in SI; only words are in these. */
import { fromNewtonMetres, TORQUE_UNIT_SYMBOLS } from '../torqueUnits.ts';
import {
  fromKilograms,
  fromMillimetres,
  METRIC,
  smallUnit,
  type LengthUnit,
  type MassUnit,
  type Units,
} from '../units.ts';
import type { TorqueUnit } from '../words.ts';
import { figure } from './figures.ts';

type Figure = (value: number, places?: number) => string;

/** One kind of measure: its figure in the unit that is shown, and that unit. */
export interface Shown {
  /** @param value in the record's unit @param places decimals that the record's unit would have */
  readonly of: Figure;
  readonly unit: string;
}

/** How figures are written, and the units of those that have one. */
export interface Measures {
  readonly figure: Figure;
  /** Of kilograms. */
  readonly mass: Shown;
  /** Of millimetres of a limb. */
  readonly length: Shown;
  /** Of millimetres of anything small. */
  readonly small: Shown;
  /** Of newton-metres. */
  readonly torque: Shown;
}

/** Decimals that are shown at most in a unit that is not the record's: finer than any scale, tape or wrench. */
const MASS_PLACES = { lb: 1 } as const;
const LENGTH_PLACES = { cm: 2, in: 2 } as const;
const SMALL_PLACES = { in: 3 } as const;
const TORQUE_PLACES = { 'lbf.in': 1, 'lbf.ft': 2 } as const;

const shown = <U extends string>(
  unit: U,
  symbol: string,
  own: Partial<Readonly<Record<U, number>>>,
  from: (value: number, unit: U) => number,
  write: Figure,
): Shown => ({
  unit: symbol,
  of: (value, places) => write(from(value, unit), own[unit] ?? places),
});

/** @param write a figure with at most so many decimals, in the language that is spoken */
export const measuresIn = ({ length, mass, torque }: Units, write: Figure): Measures => ({
  figure: write,
  mass: shown<MassUnit>(mass, mass, MASS_PLACES, fromKilograms, write),
  length: shown<LengthUnit>(length, length, LENGTH_PLACES, fromMillimetres, write),
  small: shown<LengthUnit>(
    smallUnit(length),
    smallUnit(length),
    SMALL_PLACES,
    fromMillimetres,
    write,
  ),
  torque: shown<TorqueUnit>(
    torque,
    TORQUE_UNIT_SYMBOLS[torque],
    TORQUE_PLACES,
    fromNewtonMetres,
    write,
  ),
});

/** As the record has them, in English. */
export const SI: Measures = measuresIn(METRIC, figure);

/** The same, for things whose lengths are small. */
export const ofSmall = (say: Measures): Measures => ({ ...say, length: say.small });

/** How a range with such a unit is shown; of a unit that is not chosen the figure alone is written anew. */
function shownIn(unit: string, say: Measures): Shown {
  if (unit === 'kg') return say.mass;
  if (unit === 'mm') return say.length;
  if (unit === 'N·m') return say.torque;
  return { of: say.figure, unit };
}

/** The one length of a range that is a limb's, and is typed as such. */
const OF_A_LIMB: readonly string[] = ['Depth of the distal cap'];

/** How the figures of a range are shown, and the units that its sentences are in. */
export function inRange(
  { what, unit }: { readonly what: string; readonly unit: string },
  say: Measures,
): Shown & { readonly units: Measures } {
  const units = OF_A_LIMB.includes(what) ? say : ofSmall(say);
  return { ...shownIn(unit, units), units };
}

const FIGURES_WITH_UNIT =
  /([+-]?\d+(?:[.,]\d+)?)(?: (to|and|bis|und) ([+-]?\d+(?:[.,]\d+)?))? (mm|kg|N·m)(?![\wäöü])/g;

/**
 * The lengths, masses and torques of a sentence of the service in the units that are shown.
 * Only for sentences: a part may be called by its size, and keeps its name.
 * @param point the decimal mark of the sentence
 */
export const inUnits = (sentence: string, say: Measures, point: '.' | ',' = '.'): string =>
  sentence.replaceAll(
    FIGURES_WITH_UNIT,
    (_all, first: string, joined = '', second: string | undefined, unit: string) => {
      const { of, unit: shownUnit } = shownIn(unit, say);
      const inUnit = (text: string): string => {
        const written = of(Number(text.replace(point, '.')), 4);
        return text.startsWith('+') ? `+${written}` : written;
      };
      const range = second === undefined ? '' : ` ${joined} ${inUnit(second)}`;
      return `${inUnit(first)}${range} ${shownUnit}`;
    },
  );

/** What is usual, in the unit of its range; where its figures have no unit of their own, the record's is named. */
export function usualIn(
  usual: string,
  unit: string,
  say: Measures,
  point: '.' | ',' = '.',
): string {
  if (shownIn(unit, say).unit === unit) return usual;
  const said = inUnits(usual, say, point);
  return said === usual ? `${usual} (${unit})` : said;
}
