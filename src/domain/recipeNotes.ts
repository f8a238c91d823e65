/** C3: what is told beside a resin recipe: its formulas with their sources, and what to mind. */
import type { Formula } from './laminate.ts';
import type { ResinProduct, ResinRecipe } from './resin.ts';

/** Each figure's formula and source, for those who read the recipe. */
export const RESIN_FORMULAS = {
  neededG: {
    formula: 'm = m_fabric·(1 − W_f)/W_f + loss',
    units: 'g; W_f the mass of fibre in the mass of laminate, 0 to 1',
    source: 'mass balance: the fibre is the share W_f of the laminate',
  },
  pours: {
    formula:
      'resin = m·(1 + margin)·R/(R + H), hardener likewise, in equal cups; up to the scale and on ratio',
    units: 'g; R and H the parts by mass',
    source: "ratio, tolerance and cup limit of the product's sheet",
  },
  workTime: {
    formula: 't = t₀·2^((T₀ − T)/10) for epoxy; t₀ within 2 °C of T₀ for what cures by peroxide',
    units: 'min, °C',
    source: 'Barnard, "Controlling exotherm", Epoxyworks: a rule of thumb',
  },
} as const satisfies Record<string, Formula>;

/** What to mind with a recipe, the maker's word first. */
export function recipeCautions(
  recipe: Pick<ResinRecipe, 'pours' | 'workTime' | 'cupFullerThanReference'>,
  product: ResinProduct & { readonly document: string; readonly revision: string },
): string[] {
  const { pours, workTime: time, cupFullerThanReference } = recipe;
  return [
    `The maker's instructions come before these figures: ${product.document}, revision ${product.revision}.`,
    'Nitrile gloves, goggles and fresh air; hardener on the skin is washed off at once.',
    `A full cup heats by itself: no more than ${product.cupLimitG} g in one, and none is left standing mixed.`,
    ...(pours.length > 1 ? [`${pours.length} cups: mix one, pour it, then mix the next.`] : []),
    ...(cupFullerThanReference
      ? [
          `The pot life was measured with ${product.potLifeMassG} g; a fuller cup sets sooner than the clock says.`,
        ]
      : []),
    ...(time.minutes === null
      ? [
          'At this temperature nothing says how long it can be worked: go by its dose and a trial cup.',
        ]
      : []),
  ];
}
