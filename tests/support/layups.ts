/** Fabrics, limbs and layups on the bench. All figures are invented. */
import type { Fabric } from '../../src/domain/fabrics.ts';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import type { LayupBasis } from '../../src/domain/layup.ts';
import { STARTING_LAYUP_RULES } from '../../src/domain/layupRules.ts';
import { limbGeometry, type LimbGeometry } from '../../src/domain/limbGeometry.ts';
import type { ResinProduct, RecipeAsked } from '../../src/domain/resin.ts';

/** A trans-tibial limb, 160 mm measured, its cap 30 mm deep; `girth` times as thick. */
export function limbShape(girth = 1, length = 1): LimbGeometry {
  const table = [
    [0, 232],
    [40, 268],
    [80, 297],
    [120, 321],
    [160, 338],
  ];
  const verdict = limbGeometry(
    table.map(([heightMm = 0, circumferenceMm = 0]) => ({
      heightMm: heightMm * length,
      circumferenceMm: circumferenceMm * girth,
    })),
    30,
  );
  if (!verdict.ok) throw new Error('the limb on the bench has no shape');
  return verdict.value;
}

export const basisOn = (over: Partial<LayupBasis> = {}): LayupBasis => ({
  shape: limbShape(),
  fabrics: STARTING_FABRICS,
  allowances: STARTING_LAYUP_RULES.allowances,
  fibreMassFraction: 0.5,
  resinDensityGcm3: 1.15,
  ...over,
});

/** Glass cloth from a roll: the only flat fabric on the bench. */
export const GLASS_CLOTH: Fabric = {
  id: 'glass_cloth',
  name: 'Glass cloth',
  material: 'glass_cloth',
  form: 'flat',
  arealDensityGm2: 200,
  widthMm: 300,
  fibreDensityGcm3: 2.56,
  stretchPercent: 0,
};

/** An epoxy of 100A:38B, 20 min in a cup of 100 g at 25 °C. */
export const EPOXY: ResinProduct = {
  name: 'Bench epoxy',
  chemistry: 'epoxy',
  partsResin: 100,
  partsHardener: 38,
  ratioTolerancePercent: 2,
  densityGcm3: 1.15,
  potLifeMinutes: 20,
  potLifeMassG: 100,
  potLifeTemperatureC: 25,
  cupLimitG: 400,
  cureHours: 12,
  cureTemperatureC: 22,
};

/** 200 g of fabric at one half of fibre by mass, 40 g lost, a tenth more, on a scale of 0.1 g at 25 °C. */
export const ASKED: RecipeAsked = {
  fabricMassG: 200,
  fibreMassFraction: 0.5,
  bagLossG: 40,
  marginPercent: 10,
  pigmentPercent: 2,
  scaleResolutionG: 0.1,
  shopTemperatureC: 25,
};
