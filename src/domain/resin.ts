/**
 * C3: resin. From the fabric's mass and the fibre fraction that is aimed at to
 * grams on the scale, cup by cup; from the scale's reading to a yes or a
 * finding; from the moment of mixing to the minutes that are left.
 */
import { LAYUP_RANGES } from './layupRules.ts';
import { questionFields, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** What cures it. Rules of thumb for pot life hold for epoxy; peroxide-cured acrylics go by their dose. */
export const RESIN_CHEMISTRIES = ['epoxy', 'acrylic', 'polyester'] as const;
export type ResinChemistry = (typeof RESIN_CHEMISTRIES)[number];

/** A resin system, as its sheet has it. */
export interface ResinProduct {
  readonly name: string;
  readonly chemistry: ResinChemistry;
  /** Ratio by mass, never by volume. 100A:38B is 38 g of hardener to 100 g of resin. */
  readonly partsResin: number;
  readonly partsHardener: number;
  /** By how many per cent the hardener may be off. */
  readonly ratioTolerancePercent: number;
  /** Of the cured resin. */
  readonly densityGcm3: number;
  /** Pot life of `potLifeMassG` in a cup at `potLifeTemperatureC`. */
  readonly potLifeMinutes: number;
  readonly potLifeMassG: number;
  readonly potLifeTemperatureC: number;
  /** More than this in one cup heats by itself. */
  readonly cupLimitG: number;
  readonly cureHours: number;
  readonly cureTemperatureC: number;
}

export const RESIN_RANGES = {
  partsResin: {
    what: 'Parts of resin by mass',
    least: 1,
    greatest: 1_000,
    unit: '',
    usual: '100, the first figure of 100:38',
  },
  partsHardener: {
    what: 'Parts of hardener by mass',
    least: 0.1,
    greatest: 1_000,
    unit: '',
    usual: '20 to 50 to 100 parts of epoxy, 1 to 4 for peroxide',
  },
  ratioTolerancePercent: {
    what: 'Tolerance of the ratio',
    least: 0.1,
    greatest: 25,
    unit: '%',
    usual: '2 to 5 %',
  },
  densityGcm3: {
    what: 'Density of the cured resin',
    least: 0.9,
    greatest: 1.6,
    unit: 'g/cm³',
    usual: '1.1 to 1.25 g/cm³',
  },
  potLifeMinutes: {
    what: 'Pot life',
    least: 1,
    greatest: 480,
    unit: 'min',
    usual: '10 to 60 min',
  },
  potLifeMassG: {
    what: 'Mass of the pot life',
    least: 5,
    greatest: 5_000,
    unit: 'g',
    usual: '100 g',
  },
  potLifeTemperatureC: {
    what: 'Temperature of the pot life',
    least: 5,
    greatest: 45,
    unit: '°C',
    usual: '20 to 25 °C; 77 °F is 25 °C',
  },
  cupLimitG: {
    what: 'Cup limit',
    least: 20,
    greatest: 5_000,
    unit: 'g',
    usual: '150 to 800 g',
  },
  cureHours: { what: 'Cure time', least: 0.1, greatest: 168, unit: 'h', usual: '1 to 24 h' },
  cureTemperatureC: {
    what: 'Cure temperature',
    least: 5,
    greatest: 180,
    unit: '°C',
    usual: '20 to 80 °C',
  },
} as const satisfies Record<string, Range>;

/**
 * Everything against a resin product as an administrator enters it.
 * @param at JSON Pointer to it in the request
 */
export const questionResinProduct = (product: ResinProduct, at = ''): Reason[] =>
  questionFields(product, RESIN_RANGES, at);

/** What a recipe is worked out from. */
export interface RecipeAsked {
  /** Dry fabric as cut. */
  readonly fabricMassG: number;
  /** Mass of fibre in the mass of laminate, 0 to 1. */
  readonly fibreMassFraction: number;
  /** What stays in bag, tube and cup. */
  readonly bagLossG: number;
  readonly marginPercent: number;
  /** Pigment in per cent of the resin, on top of the mix. */
  readonly pigmentPercent: number;
  readonly scaleResolutionG: number;
  readonly shopTemperatureC: number;
}

export const RECIPE_RANGES = {
  fabricMassG: {
    what: 'Fabric mass',
    least: 1,
    greatest: 5_000,
    unit: 'g',
    usual: '100 to 600 g',
  },
  fibreMassFraction: LAYUP_RANGES.fibreMassFraction,
  bagLossG: {
    what: 'Loss in bag and cup',
    least: 0,
    greatest: 1_000,
    unit: 'g',
    usual: '30 to 100 g',
  },
  marginPercent: { what: 'Margin', least: 0, greatest: 100, unit: '%', usual: '5 to 15 %' },
  pigmentPercent: { what: 'Pigment', least: 0, greatest: 15, unit: '%', usual: '0 to 5 %' },
  scaleResolutionG: {
    what: 'Step of the scale',
    least: 0.001,
    greatest: 10,
    unit: 'g',
    usual: '0.1 or 1 g',
  },
  shopTemperatureC: {
    what: 'Temperature of the shop',
    least: 5,
    greatest: 45,
    unit: '°C',
    usual: '18 to 26 °C; 72 °F is 22 °C',
  },
} as const satisfies Record<keyof RecipeAsked, Range>;

/** What a clinic starts with for its recipes. Common practice, no source. */
export const STARTING_RESIN_SETTINGS = {
  bagLossG: 60,
  marginPercent: 10,
  scaleResolutionG: 1,
} as const satisfies Partial<RecipeAsked>;

/** A mix in the ratio by mass, unrounded: 250 g of 100A:38B are 181.16 g and 68.84 g. */
export function splitByRatio(
  mixG: number,
  { partsResin, partsHardener }: Pick<ResinProduct, 'partsResin' | 'partsHardener'>,
): { readonly resinG: number; readonly hardenerG: number } {
  const share = mixG / (partsResin + partsHardener);
  return { resinG: share * partsResin, hardenerG: share * partsHardener };
}

/** By how many per cent the hardener is more (or less, negative) than the resin asks for. */
export const offRatioPercent = (
  weighed: { readonly resinG: number; readonly hardenerG: number },
  { partsResin, partsHardener }: Pick<ResinProduct, 'partsResin' | 'partsHardener'>,
): number => 100 * ((weighed.hardenerG * partsResin) / (weighed.resinG * partsHardener) - 1);

/** What goes into one cup, as the scale shows it. */
export interface Pour {
  readonly resinG: number;
  readonly hardenerG: number;
  readonly pigmentG: number;
  readonly totalG: number;
}

/** How long a cup can be worked, and where that comes from. */
export type WorkTime =
  | { readonly minutes: number; readonly from: 'sheet' | 'halved_each_10_degrees' }
  | { readonly minutes: null; readonly from: 'unknown' };

/** A recipe: totals are the sums of its pours, which are all alike. */
export interface ResinRecipe extends Pour {
  /** What fabric and losses ask for, of resin with hardener, before margin and rounding. */
  readonly neededG: number;
  readonly pours: readonly Pour[];
  readonly offRatioPercent: number;
  readonly workTime: WorkTime;
  /** A cup holds more than the pot life was measured with: it sets sooner than the work time says. */
  readonly cupFullerThanReference: boolean;
}

/** Round-off of decimal grams and per cents, far below any scale. */
const ROUND_OFF = 1e-9;
const MOST_POURS = 12;

const stepsUp = (massG: number, stepG: number): number => Math.ceil(massG / stepG - ROUND_OFF);
/** Steps of the scale in grams, without the tail of binary fractions. */
const inGrams = (steps: number, stepG: number): number => Number((steps * stepG).toFixed(6));

/**
 * How far resin is rounded up in search of a pair of weights on ratio: first a
 * little for a pair with room for the hand that pours, then further for one
 * inside the tolerance at all. Our own choice, no source.
 */
const SEARCH = [
  { upShare: 0.02, ofTolerance: 0.25 },
  { upShare: 0.1, ofTolerance: 1 },
] as const;

/** The least whole steps of resin and hardener that make up a mix and keep its ratio; undefined where none do. */
function stepsOnRatio(
  mixG: number,
  product: ResinProduct,
  stepG: number,
): { readonly resin: number; readonly hardener: number } | undefined {
  const { partsResin, partsHardener, ratioTolerancePercent } = product;
  const first = stepsUp(splitByRatio(mixG, product).resinG, stepG);
  for (const { upShare, ofTolerance } of SEARCH) {
    const last = first + Math.max(1, Math.floor(upShare * first));
    for (let resin = first; resin <= last; resin += 1) {
      const hardener = Math.round((resin * partsHardener) / partsResin);
      const off = offRatioPercent({ resinG: resin, hardenerG: hardener }, product);
      const enough = (resin + hardener) * stepG >= mixG - ROUND_OFF;
      if (enough && Math.abs(off) <= ofTolerance * ratioTolerancePercent) {
        return { resin, hardener };
      }
    }
  }
  return undefined;
}

/** One of `count` equal pours of a mix, on the scale's steps and on ratio. */
function pourOf(
  mixG: number,
  count: number,
  product: ResinProduct,
  asked: RecipeAsked,
): Verdict<Pour> {
  const { scaleResolutionG, pigmentPercent } = asked;
  const tolerancePercent = product.ratioTolerancePercent;
  const tooCoarse = (component: string, neededG: number): Verdict<never> =>
    refused([
      reason(
        'scale-too-coarse',
        { component, neededG, scaleResolutionG, tolerancePercent },
        '/scaleResolutionG',
      ),
    ]);
  const cupG = mixG / count;
  const steps = stepsOnRatio(cupG, product, scaleResolutionG);
  if (steps === undefined) return tooCoarse('hardener', splitByRatio(cupG, product).hardenerG);

  const resinG = inGrams(steps.resin, scaleResolutionG);
  const hardenerG = inGrams(steps.hardener, scaleResolutionG);
  const pigmentWantedG = (resinG * pigmentPercent) / 100;
  const pigment = Math.round(pigmentWantedG / scaleResolutionG);
  if (pigment === 0 && pigmentPercent > 0) return tooCoarse('pigment', pigmentWantedG);
  const pigmentG = inGrams(pigment, scaleResolutionG);
  const totalG = inGrams(steps.resin + steps.hardener + pigment, scaleResolutionG);
  return granted({ resinG, hardenerG, pigmentG, totalG });
}

/** Within this of the sheet's temperature its pot life is taken as it stands. Common practice, no source. */
const SAME_TEMPERATURE_C = 2;

/**
 * Work time of a cup at the shop's temperature: t = t₀·2^((T₀ − T)/10), each
 * 10 °C warmer halves it (Barnard, "Controlling exotherm", Epoxyworks: a rule of
 * thumb for epoxy, which other makers' notes repeat). Resins that cure by
 * peroxide go by their dose: away from the sheet's temperature their time is
 * not known.
 */
export function workTime(
  product: Pick<ResinProduct, 'chemistry' | 'potLifeMinutes' | 'potLifeTemperatureC'>,
  shopTemperatureC: number,
): WorkTime {
  const warmerC = shopTemperatureC - product.potLifeTemperatureC;
  if (product.chemistry === 'epoxy') {
    const minutes = product.potLifeMinutes * 2 ** (-warmerC / 10);
    return { minutes, from: 'halved_each_10_degrees' };
  }
  return Math.abs(warmerC) <= SAME_TEMPERATURE_C
    ? { minutes: product.potLifeMinutes, from: 'sheet' }
    : { minutes: null, from: 'unknown' };
}

/**
 * The recipe for a layup: resin with hardener is fabric·(1 − W_f)/W_f (mass
 * balance) with the losses and the margin, shared between cups so that none
 * passes its limit, each cup rounded up to the scale and still on ratio.
 * @returns the recipe, or 'value-out-of-range', 'scale-too-coarse', 'resin-too-many-pours'
 */
export function resinRecipe(product: ResinProduct, asked: RecipeAsked): Verdict<ResinRecipe> {
  const against = [
    ...questionResinProduct(product, '/product'),
    ...questionFields(asked, RECIPE_RANGES),
  ];
  if (against.length > 0) return refused(against);

  const { fabricMassG, fibreMassFraction, bagLossG, marginPercent, pigmentPercent } = asked;
  const neededG = (fabricMassG * (1 - fibreMassFraction)) / fibreMassFraction + bagLossG;
  const mixG = neededG * (1 + marginPercent / 100);
  const withPigmentG = mixG + (splitByRatio(mixG, product).resinG * pigmentPercent) / 100;
  const { cupLimitG } = product;
  for (let count = Math.ceil(withPigmentG / cupLimitG); count <= MOST_POURS; count += 1) {
    const verdict = pourOf(mixG, count, product, asked);
    if (!verdict.ok) return verdict;
    const pour = verdict.value;
    if (pour.totalG > cupLimitG) continue;
    const all = (massG: number): number => inGrams(count, massG);
    return granted({
      neededG,
      resinG: all(pour.resinG),
      hardenerG: all(pour.hardenerG),
      pigmentG: all(pour.pigmentG),
      totalG: all(pour.totalG),
      pours: Array.from({ length: count }, () => pour),
      offRatioPercent: offRatioPercent(pour, product),
      workTime: workTime(product, asked.shopTemperatureC),
      cupFullerThanReference: pour.totalG > product.potLifeMassG,
    });
  }
  return refused([
    reason('resin-too-many-pours', { mixG: withPigmentG, cupLimitG, most: MOST_POURS }),
  ]);
}
