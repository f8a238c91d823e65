/**
 * Fabrics of the catalogue (C2): what a roll says of itself, and which roll of a
 * material reaches round a limb.
 */
import { questionFields, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** flat: from a roll, wrapped · tube: stockinette or braid, drawn over · strip: tape, laid on. */
export const FABRIC_FORMS = ['flat', 'tube', 'strip'] as const;
export type FabricForm = (typeof FABRIC_FORMS)[number];

/** One fabric, as its sheet has it. */
export interface Fabric {
  readonly id: string;
  readonly name: string;
  /** What it is, in the clinic's word; rolls of several widths share it, and layup rules ask for it. */
  readonly material: string;
  readonly form: FabricForm;
  /** Of the dry fabric as it lies on the model. */
  readonly arealDensityGm2: number;
  /** Of the roll; of a tube laid flat, half its girth at rest. */
  readonly widthMm: number;
  readonly fibreDensityGcm3: number;
  /** By how much the girth of a tube may grow; 0 for what does not give. */
  readonly stretchPercent: number;
}

export const FABRIC_RANGES = {
  arealDensityGm2: {
    what: 'Areal density',
    least: 20,
    greatest: 1_500,
    unit: 'g/m²',
    usual: '40 to 120 for stockinette, 150 to 700 for structural fabric; 1 oz/yd² is 33.9 g/m²',
  },
  widthMm: {
    what: 'Width',
    least: 5,
    greatest: 2_000,
    unit: 'mm',
    usual: '60 to 250 for a tube laid flat, 25 to 75 for strip, up to 1500 for a roll',
  },
  fibreDensityGcm3: {
    what: 'Fibre density',
    least: 0.85,
    greatest: 3,
    unit: 'g/cm³',
    usual: '1.14 nylon, 1.38 polyester, 1.44 aramid, 1.8 carbon, 2.56 glass',
  },
  stretchPercent: {
    what: 'Stretch',
    least: 0,
    greatest: 300,
    unit: '%',
    usual: '0 for flat fabric and strip, 30 to 80 for braid, 100 to 200 for stockinette',
  },
} as const satisfies Record<string, Range>;

/**
 * Everything against a fabric as an administrator enters it.
 * @param at JSON Pointer to it in the request
 */
export const questionFabric = (fabric: Fabric, at = ''): Reason[] =>
  questionFields(fabric, FABRIC_RANGES, at);

/** 'material-has-another-form' where the rolls of its material come in another form: no rule could choose among them. */
export function questionMaterial(
  fabric: Pick<Fabric, 'id' | 'material' | 'form'>,
  catalogue: readonly Pick<Fabric, 'id' | 'name' | 'material' | 'form'>[],
): Reason[] {
  const { id, material, form } = fabric;
  const other = catalogue.find(
    (each) => each.id !== id && each.material === material && each.form !== form,
  );
  if (other === undefined) return [];
  const facts = { material, form: other.form, other: other.name };
  return [reason('material-has-another-form', facts, '/material')];
}

/** What a new clinic finds in its catalogue. Typical values, common practice, no source: each roll's sheet decides. */
export const STARTING_FABRICS: readonly Fabric[] = [
  ...tubes('sheer_nylon', 'Sheer nylon stockinette', [60, 80, 100, 150], {
    arealDensityGm2: 50,
    fibreDensityGcm3: 1.14,
    stretchPercent: 150,
  }),
  {
    id: 'carbon_strip_50',
    name: 'Carbon strip 50 mm',
    material: 'carbon_strip',
    form: 'strip',
    arealDensityGm2: 300,
    widthMm: 50,
    fibreDensityGcm3: 1.8,
    stretchPercent: 0,
  },
  ...tubes('structural_braid', 'Carbon braid', [100, 150, 200, 250], {
    arealDensityGm2: 350,
    fibreDensityGcm3: 1.8,
    stretchPercent: 60,
  }),
  ...tubes('finishing_stockinette', 'Finishing stockinette', [60, 80, 100, 150], {
    arealDensityGm2: 110,
    fibreDensityGcm3: 1.38,
    stretchPercent: 150,
  }),
];

function tubes(
  material: string,
  name: string,
  widthsMm: readonly number[],
  sheet: Pick<Fabric, 'arealDensityGm2' | 'fibreDensityGcm3' | 'stretchPercent'>,
): Fabric[] {
  return widthsMm.map((widthMm) => ({
    id: `${material}_${widthMm}`,
    name: `${name} ${widthMm} mm`,
    material,
    form: 'tube',
    widthMm,
    ...sheet,
  }));
}

/** Girth in mm of a tube at rest. */
export const girthAtRestMm = (tube: Fabric): number => 2 * tube.widthMm;

/** Girth in mm up to which a tube may be stretched. */
export const girthStretchedMm = (tube: Fabric): number =>
  girthAtRestMm(tube) * (1 + tube.stretchPercent / 100);

/** 'fabric-too-narrow' where a tube cannot be drawn over the limb; none for flat fabric and strip. */
export function questionReach(fabric: Fabric, greatestCircumferenceMm: number, at = ''): Reason[] {
  if (fabric.form !== 'tube') return [];
  const reachesMm = girthStretchedMm(fabric);
  if (reachesMm >= greatestCircumferenceMm) return [];
  return [
    reason(
      'fabric-too-narrow',
      { fabric: fabric.name, widthMm: fabric.widthMm, reachesMm, greatestCircumferenceMm },
      at,
    ),
  ];
}

/**
 * Chooses the fabric of a material for a limb: of the tubes that reach round
 * it, the widest that is still drawn tight, for a loose tube folds; where all
 * that reach are loose, the narrowest. Flat fabric and strip are taken in the
 * catalogue's order.
 * @returns 'fabric-unknown' where the catalogue has none, 'fabric-too-narrow' for the widest where none reaches
 */
export function chooseFabric(
  material: string,
  fabrics: readonly Fabric[],
  greatestCircumferenceMm: number,
  at: string,
): Verdict<Fabric> {
  const ofMaterial = fabrics.filter((fabric) => fabric.material === material);
  const widestFirst = ofMaterial.toSorted((a, b) => b.widthMm - a.widthMm);
  const reaching = widestFirst.filter(
    (fabric) => questionReach(fabric, greatestCircumferenceMm, at).length === 0,
  );
  const [first] = ofMaterial;
  const [widest] = widestFirst;
  if (first === undefined || widest === undefined) {
    return refused([reason('fabric-unknown', { fabric: material }, at)]);
  }
  if (first.form !== 'tube') return granted(first);
  const tight = reaching.find((tube) => girthAtRestMm(tube) <= greatestCircumferenceMm);
  const chosen = tight ?? reaching.at(-1);
  return chosen === undefined
    ? refused(questionReach(widest, greatestCircumferenceMm, at))
    : granted(chosen);
}
