/**
 * A drawing as a list of shapes, drawn once and put out twice: as SVG on a page,
 * and with points on paper. Black, white and greys only, so that it prints.
 */

/** Points of 1/72 inch, x to the right and y down, from the top left corner. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** How dark: of a line, or of what it encloses. */
export type Ink = 'black' | 'dark' | 'grey' | 'light' | 'white';

interface Stroke {
  /** Line weight in points; left out: 1. */
  readonly weightPt?: number;
  readonly ink?: Ink;
  readonly dashed?: boolean;
}

export type Shape =
  /** Straight pieces through the points; closed and filled where it says so. */
  | (Stroke & {
      readonly kind: 'path';
      readonly points: readonly Point[];
      readonly closed?: boolean;
      readonly fill?: Ink;
      /** Without its outline. */
      readonly bare?: boolean;
    })
  | (Stroke & {
      readonly kind: 'circle';
      readonly at: Point;
      readonly radiusPt: number;
      readonly fill?: Ink;
    })
  | {
      readonly kind: 'text';
      readonly text: string;
      /** On the baseline. */
      readonly at: Point;
      readonly anchor?: 'start' | 'middle' | 'end';
      readonly sizePt?: number;
      readonly bold?: boolean;
      readonly ink?: 'black' | 'white';
    };

export interface Figure {
  /** What it shows, for those who hear it. */
  readonly title: string;
  readonly description: string;
  readonly widthPt: number;
  readonly heightPt: number;
  readonly shapes: readonly Shape[];
}

export const INKS = {
  black: '#000000',
  dark: '#4d4d4d',
  grey: '#8c8c8c',
  light: '#d9d9d9',
  white: '#ffffff',
} as const satisfies Record<Ink, string>;

export const TEXT_PT = 11;
export const DASH_PT = [5, 3] as const;
