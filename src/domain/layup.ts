/**
 * C2: the layup of one definitive socket. The clinic's rules propose it, the
 * prosthetist edits and signs it; what is to be cut, what it weighs and how
 * thick it gets is worked out from the layup as it stands.
 */
import { BODY_MASS_KG } from './bodyMass.ts';
import {
  cutsOf,
  laidAreaMm2,
  MM2_PER_M2,
  questionPanels,
  type Cut,
  type LaidLine,
  type LayupShape,
} from './cutList.ts';
import { chooseFabric, questionReach, type Fabric } from './fabrics.ts';
import {
  fibreVolumeFraction,
  laminateThicknessMm,
  LAMINATE_FORMULAS,
  type Formula,
} from './laminate.ts';
import {
  ALLOWANCE_RANGES,
  LAYUP_RANGES,
  questionLine,
  rowFor,
  type CutAllowances,
  type FabricLine,
  type LayupLine,
  type LayupRules,
} from './layupRules.ts';
import { questionFields, questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import type { FunctionalLevel, Level } from './words.ts';

export interface LayupPatient {
  readonly bodyMassKg: number;
  readonly functionalLevel: FunctionalLevel;
  readonly level: Level;
}

/** What the rules propose for a patient: fabrics of the catalogue, inside to outside. */
export interface LayupProposal {
  readonly rulesVersion: number;
  /** The name of the row that it came from. */
  readonly row: string;
  readonly lines: readonly LayupLine[];
}

const BODY_MASS: Range = {
  what: 'Body mass',
  least: BODY_MASS_KG.least,
  greatest: BODY_MASS_KG.greatest,
  unit: 'kg',
  usual: '40 to 125 kg for an adult',
};

/**
 * Proposes a layup by the clinic's rules.
 * @returns the layup, or 'layup-past-top-mass' and 'layup-no-rule' where the
 *   prosthetist writes it, 'fabric-unknown' and 'fabric-too-narrow' where the
 *   catalogue has nothing that fits, 'value-out-of-range' for the body mass
 */
export function proposeLayup(
  patient: LayupPatient,
  shape: Pick<LayupShape, 'greatestCircumferenceMm'>,
  rules: LayupRules,
  fabrics: readonly Fabric[],
): Verdict<LayupProposal> {
  const { bodyMassKg, functionalLevel, level } = patient;
  const { topBodyMassKg } = rules;
  const implausible = questionRange(bodyMassKg, BODY_MASS, '/bodyMassKg');
  if (implausible.length > 0) return refused(implausible);
  if (bodyMassKg > topBodyMassKg) {
    return refused([reason('layup-past-top-mass', { bodyMassKg, topBodyMassKg })]);
  }
  const row = rowFor(rules, patient);
  if (row === undefined) {
    return refused([reason('layup-no-rule', { bodyMassKg, functionalLevel, level })]);
  }
  const against: Reason[] = [];
  const lines = row.lines.map((line, index): LayupLine => {
    if (line.kind === 'tooling_plate') return line;
    const chosen = chooseFabric(
      line.fabric,
      fabrics,
      shape.greatestCircumferenceMm,
      `/lines/${index}/fabric`,
    );
    if (chosen.ok) return { ...line, fabric: chosen.value.id };
    against.push(...chosen.reasons);
    return line;
  });
  if (against.length > 0) return refused(against);
  return granted({ rulesVersion: rules.version, row: row.name, lines });
}

/** A layer of the section, inside to outside; the tooling plate has no thickness of its own here. */
export interface SectionLayer {
  readonly line: number;
  readonly what: string;
  readonly layers: number;
  readonly direction: FabricLine['direction'] | null;
  readonly thicknessMm: number | null;
  /** all: over the whole wall · strip: only where it runs · end: at the tooling plate. */
  readonly where: 'all' | 'strip' | 'end';
}

/** Figures of a layup. Expected values for a laminate without voids. */
export interface LayupFigures {
  readonly cutList: readonly Cut[];
  readonly section: readonly SectionLayer[];
  /** Dry fabric as cut, with allowances: what is weighed and wetted. */
  readonly fabricMassG: number;
  /** Fabric that stays in the wall, without allowances. */
  readonly laidFabricMassG: number;
  /** Of the whole shell, 0 to 1. */
  readonly fibreVolumeFraction: number;
  readonly wallThicknessMm: number;
  /** Where the thickest strip runs. */
  readonly stripThicknessMm: number;
  /** Where all strips cross. */
  readonly distalEndThicknessMm: number;
  /** Over the whole area, before the trim line is cut; without the tooling plate. */
  readonly shellMassG: number;
}

/** Each figure's formula and source, for those who read the figures. */
export const LAYUP_FORMULAS = {
  fibreVolumeFraction: LAMINATE_FORMULAS.fibreVolumeFraction,
  thicknessMm: LAMINATE_FORMULAS.thickness,
  shellMassG: LAMINATE_FORMULAS.shellMass,
  fabricMassG: {
    formula: 'm = Σ count·width·length·A_w, twice the width for a tube laid flat',
    units: 'g; lengths in m, A_w in g/m²',
    source: 'area times areal density',
  },
  laidFabricMassG: {
    formula: 'm = Σ area·n·A_w, of a strip its width times the way over the distal end',
    units: 'g; area in m², A_w in g/m²',
    source: 'area times areal density, without allowances',
  },
} as const satisfies Record<string, Formula>;

export const RESIN_DENSITY: Range = {
  what: 'Density of the cured resin',
  least: 0.9,
  greatest: 1.6,
  unit: 'g/cm³',
  usual: '1.1 to 1.25 g/cm³',
};

export interface LayupBasis {
  readonly shape: LayupShape;
  readonly fabrics: readonly Fabric[];
  readonly allowances: CutAllowances;
  /** Mass of fibre in the mass of laminate, 0 to 1. */
  readonly fibreMassFraction: number;
  readonly resinDensityGcm3: number;
}

function laidLines(
  lines: readonly LayupLine[],
  { fabrics, shape, allowances }: LayupBasis,
): { readonly laid: readonly LaidLine[]; readonly against: readonly Reason[] } {
  const laid: LaidLine[] = [];
  const against: Reason[] = [];
  for (const [index, line] of lines.entries()) {
    if (line.kind === 'tooling_plate') continue;
    const at = `/lines/${index}`;
    const place = index + 1;
    const fabric = fabrics.find(({ id }) => id === line.fabric);
    if (fabric === undefined) {
      against.push(reason('fabric-unknown', { fabric: line.fabric }, `${at}/fabric`));
      continue;
    }
    against.push(
      ...questionLine(line, fabric.form, at),
      ...questionReach(fabric, shape.greatestCircumferenceMm, `${at}/fabric`),
      ...questionPanels({ line, place, fabric }, allowances, `${at}/fabric`),
    );
    laid.push({ line, place, fabric });
  }
  if (laid.length === 0 && against.length === 0) {
    against.push(reason('layup-without-fabric', {}, '/lines'));
  }
  return { laid, against };
}

/**
 * Works out a layup: what to cut, and what comes of it. For a proposal and for
 * what the prosthetist made of it alike.
 * @returns the figures, or everything against the layup and its basis
 */
export function workOutLayup(
  lines: readonly LayupLine[],
  basis: LayupBasis,
): Verdict<LayupFigures> {
  const { shape, allowances, fibreMassFraction, resinDensityGcm3 } = basis;
  const { laid, against: againstLines } = laidLines(lines, basis);
  const against = [
    ...againstLines,
    ...questionFields(allowances, ALLOWANCE_RANGES, '/allowances'),
    ...questionRange(fibreMassFraction, LAYUP_RANGES.fibreMassFraction, '/fibreMassFraction'),
    ...questionRange(resinDensityGcm3, RESIN_DENSITY, '/resinDensityGcm3'),
  ];
  if (against.length > 0) return refused(against);

  const cutList = laid.flatMap((each) => cutsOf(each, shape, allowances));
  const worked = laid.map(({ line, place, fabric }) => {
    const volumeFraction = fibreVolumeFraction(
      fibreMassFraction,
      fabric.fibreDensityGcm3,
      resinDensityGcm3,
    );
    const massG = (laidAreaMm2(fabric, shape) / MM2_PER_M2) * line.layers * fabric.arealDensityGm2;
    const fibreCm3 = massG / fabric.fibreDensityGcm3;
    return {
      massG,
      fibreCm3,
      laminateCm3: fibreCm3 / volumeFraction,
      layer: {
        line: place,
        what: fabric.name,
        layers: line.layers,
        direction: line.direction,
        thicknessMm: laminateThicknessMm({
          layers: line.layers,
          arealDensityGm2: fabric.arealDensityGm2,
          fibreDensityGcm3: fabric.fibreDensityGcm3,
          fibreVolumeFraction: volumeFraction,
        }),
        where: fabric.form === 'strip' ? ('strip' as const) : ('all' as const),
      },
    };
  });
  const total = (of: (each: (typeof worked)[number]) => number): number =>
    worked.reduce((sum, each) => sum + of(each), 0);
  const thickness = (where: (layer: (typeof worked)[number]['layer']) => boolean): number =>
    total(({ layer }) => (where(layer) ? layer.thicknessMm : 0));
  const wallThicknessMm = thickness((layer) => layer.where === 'all');
  const along = (direction: FabricLine['direction']): number =>
    thickness((layer) => layer.where === 'strip' && layer.direction === direction);
  const laidFabricMassG = total(({ massG }) => massG);
  return granted({
    cutList,
    section: sectionOf(
      lines,
      worked.map(({ layer }) => layer),
    ),
    fabricMassG: cutList.reduce((sum, { massG }) => sum + massG, 0),
    laidFabricMassG,
    fibreVolumeFraction: total(({ fibreCm3 }) => fibreCm3) / total((each) => each.laminateCm3),
    wallThicknessMm,
    stripThicknessMm:
      wallThicknessMm + Math.max(along('medial_lateral'), along('anterior_posterior')),
    distalEndThicknessMm: thickness(() => true),
    shellMassG: laidFabricMassG / fibreMassFraction,
  });
}

/** The layers and the tooling plate in the layup's order. */
const sectionOf = (lines: readonly LayupLine[], layers: readonly SectionLayer[]): SectionLayer[] =>
  lines.flatMap((line, index) =>
    line.kind === 'fabric'
      ? layers.filter((layer) => layer.line === index + 1)
      : [
          {
            line: index + 1,
            what: 'tooling plate',
            layers: 1,
            direction: null,
            thicknessMm: null,
            where: 'end' as const,
          },
        ],
  );
