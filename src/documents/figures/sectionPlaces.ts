/** Where a section of a layup is cut, and how high its layers lie on each other there. */
import type { SectionLayer } from '../../domain/layup.ts';
import type { LayerDirection } from '../../domain/layupRules.ts';

export const LEFT_PT = 2;
export const HEAD_PT = 44;
const DRAWN_PT = 262;
const GAP_PT = 16;
const MOST_PT_PER_MM = 90;
const PLATE_PT = 18;

/** A place of the socket with a thickness of its own. */
export interface SectionPlace {
  readonly name: readonly string[];
  /** The layers that are there, inside to outside, by their place in the section. */
  readonly layers: readonly number[];
  readonly thicknessMm: number;
}

/** The places of a section at which its thickness differs: the wall, where strips run, the distal end. */
export function placesOf(section: readonly SectionLayer[]): SectionPlace[] {
  const place = (name: readonly string[], isThere: (layer: SectionLayer) => boolean) => ({
    name,
    layers: section.flatMap((layer, index) => (isThere(layer) ? [index] : [])),
    thicknessMm: section.reduce(
      (sum, layer) => sum + (isThere(layer) ? (layer.thicknessMm ?? 0) : 0),
      0,
    ),
  });
  const along = (direction: LayerDirection, name: readonly string[]): SectionPlace[] =>
    section.some((layer) => layer.where === 'strip' && layer.direction === direction)
      ? [
          place(
            name,
            ({ where, ...layer }) =>
              where === 'all' || (where === 'strip' && layer.direction === direction),
          ),
        ]
      : [];
  return [
    place(['wall'], ({ where }) => where === 'all'),
    ...along('medial_lateral', ['medial,', 'lateral']),
    ...along('anterior_posterior', ['anterior,', 'posterior']),
    place(['distal end'], () => true),
  ];
}

/** Where everything lies: the places from the left, the heights of the layers at each. */
export interface Laid {
  readonly baseY: number;
  readonly topY: number;
  readonly ptPerMm: number;
  readonly columns: readonly { readonly left: number; readonly right: number }[];
  /** By layer and place: the layer's lower edge above the base, and how thick it is drawn. */
  readonly bands: readonly (readonly { readonly fromPt: number; readonly thickPt: number }[])[];
}

/** Lays the layers on each other, as large as the room allows and never more than so. */
export function stack(
  section: readonly SectionLayer[],
  places: readonly SectionPlace[],
  drawnPt: number,
): Laid {
  const plates = section.filter(({ thicknessMm }) => thicknessMm === null).length;
  const thickestMm = Math.max(...places.map(({ thicknessMm }) => thicknessMm));
  const ptPerMm = Math.min(MOST_PT_PER_MM, (drawnPt - plates * PLATE_PT) / thickestMm);
  const widthPt = (DRAWN_PT - GAP_PT * (places.length - 1)) / places.length;
  const heights = places.map(() => 0);
  return {
    baseY: HEAD_PT + drawnPt,
    topY: HEAD_PT,
    ptPerMm,
    columns: places.map((_place, at) => {
      const left = LEFT_PT + at * (widthPt + GAP_PT);
      return { left, right: left + widthPt };
    }),
    bands: section.map(({ thicknessMm }, index) =>
      places.map(({ layers }, at) => {
        const fromPt = heights[at] ?? 0;
        const drawn = thicknessMm === null ? PLATE_PT : thicknessMm * ptPerMm;
        const thickPt = layers.includes(index) ? drawn : 0;
        heights[at] = fromPt + thickPt;
        return { fromPt, thickPt };
      }),
    ),
  };
}
