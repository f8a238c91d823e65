/**
 * The units that a person likes. The record is in millimetres, kilograms
 * and newton-metres: what is shown is converted and rounded for the eye, what is typed is
 * converted once, and what nobody types is never sent back.
 */
import { computed, signal } from '@preact/signals';
import { measuresIn, type Measures, type Shown } from '../../domain/reasons/measures.ts';
import { METRIC, smallUnit, toMillimetres, type Units } from '../../domain/units.ts';
import { figureTyped, inFigures } from './figures.ts';

export const units = signal<Units>(METRIC);

/** The chosen units with the figures of the language that is shown. */
export const measures = computed<Measures>(() => measuresIn(units.value, inFigures));

const inWords = ({ of, unit }: Shown, value: number, places: number): string =>
  `${of(value, places)} ${unit}`;

/** A body mass of kilograms. */
export const massWords = (kg: number, places = 1): string =>
  inWords(measures.value.mass, kg, places);
/** A length of millimetres of a limb. */
export const lengthWords = (mm: number, places = 0): string =>
  inWords(measures.value.length, mm, places);
/** Millimetres of a wall, a width, an offset. */
export const smallWords = (mm: number, places = 1): string =>
  inWords(measures.value.small, mm, places);

/** Without the dust of binary fractions, far finer than any scale or tape: 9.1 in is 231.14 mm. */
export const dusted = (value: number): number => Number(value.toFixed(6));

/** A small length as typed, in millimetres; undefined where nothing is typed, NaN where it is no figure. */
export function smallTyped(text: string): number | undefined {
  const figure = figureTyped(text);
  return figure === undefined
    ? undefined
    : dusted(toMillimetres(figure, smallUnit(units.value.length)));
}
