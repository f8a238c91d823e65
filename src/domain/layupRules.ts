/**
 * C2: a clinic's layup rules, a table that a prosthetist reads: which patients
 * (body mass, functional level, level of amputation), which layers from the
 * inside to the outside. Rules are versioned; a layup says which version it
 * came from.
 */
import type { FabricForm } from './fabrics.ts';
import { questionFields, questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { FUNCTIONAL_LEVELS, LEVELS, type FunctionalLevel, type Level } from './words.ts';

/**
 * How the fibres run. along: with the limb's axis, as a tube is drawn on ·
 * bias: at 45 degrees to it · medial_lateral, anterior_posterior: up one side,
 * over the distal end and down the other, as strips are laid.
 */
export const LAYER_DIRECTIONS = ['along', 'bias', 'medial_lateral', 'anterior_posterior'] as const;
export type LayerDirection = (typeof LAYER_DIRECTIONS)[number];
const STRIP_DIRECTIONS: readonly LayerDirection[] = ['medial_lateral', 'anterior_posterior'];

/** Layers of one fabric. `fabric` is a material in a rule, and a fabric's id in a layup. */
export interface FabricLine {
  readonly kind: 'fabric';
  readonly fabric: string;
  readonly layers: number;
  readonly direction: LayerDirection;
  /** Two layers from one piece: drawn on, tied at the distal end and turned back up. */
  readonly reflected: boolean;
}

/** A line of a layup, from the inside to the outside; the tooling plate stands where it goes in. */
export type LayupLine = FabricLine | { readonly kind: 'tooling_plate' };

/** One row of the table: for whom, and which layers. */
export interface LayupRow {
  readonly name: string;
  /** Body mass above `aboveKg`, up to and including `upToKg`. */
  readonly aboveKg: number;
  readonly upToKg: number;
  readonly functionalLevels: readonly FunctionalLevel[];
  readonly levels: readonly Level[];
  readonly lines: readonly LayupLine[];
}

/** What a cut is longer or wider than what it covers, in mm. */
export interface CutAllowances {
  /** Past the brim, at each end that comes out there. */
  readonly brimMm: number;
  /** To tie or twist the tube at the distal end, for each piece. */
  readonly endTieMm: number;
  /** By which the edges of wrapped flat fabric lie over each other. */
  readonly overlapMm: number;
  /** Lengths are rounded up to whole steps of this. */
  readonly stepMm: number;
}

export interface LayupRules {
  readonly version: number;
  /** Past this body mass nothing is proposed. */
  readonly topBodyMassKg: number;
  /** Mass of fibre in the mass of the finished laminate, 0 to 1. */
  readonly fibreMassFraction: number;
  readonly allowances: CutAllowances;
  readonly rows: readonly LayupRow[];
}

export const LAYUP_RANGES = {
  topBodyMassKg: {
    what: 'Body mass at which the layup rules end',
    least: 20,
    greatest: 200,
    unit: 'kg',
    usual: '100 to 125 kg',
  },
  fibreMassFraction: {
    what: 'Fibre mass fraction',
    least: 0.15,
    greatest: 0.8,
    unit: '',
    usual: '0.45 to 0.65, a fraction and not per cent',
  },
} as const satisfies Record<string, Range>;

export const ALLOWANCE_RANGES = {
  brimMm: { what: 'Brim allowance', least: 0, greatest: 300, unit: 'mm', usual: '40 to 100 mm' },
  endTieMm: { what: 'Tie allowance', least: 0, greatest: 200, unit: 'mm', usual: '30 to 80 mm' },
  overlapMm: { what: 'Overlap', least: 0, greatest: 100, unit: 'mm', usual: '10 to 30 mm' },
  stepMm: { what: 'Step of cut lengths', least: 1, greatest: 50, unit: 'mm', usual: '5 or 10 mm' },
} as const satisfies Record<keyof CutAllowances, Range>;

export const LAYERS: Range = {
  what: 'Number of layers',
  least: 1,
  greatest: 12,
  unit: '',
  usual: '1 to 3',
};

const layers = (
  fabric: string,
  count: number,
  direction: LayerDirection = 'along',
  reflected = false,
): LayupLine => ({ kind: 'fabric', fabric, layers: count, direction, reflected });

const startingLayers = (braid: number): readonly LayupLine[] => [
  layers('sheer_nylon', 1),
  layers('carbon_strip', 1, 'medial_lateral'),
  layers('carbon_strip', 1, 'anterior_posterior'),
  layers('structural_braid', braid, 'bias', true),
  layers('sheer_nylon', 1),
  { kind: 'tooling_plate' },
  layers('finishing_stockinette', 1),
];

/**
 * What a new clinic starts with: two layers of braid with two strips for nearly
 * everybody, one more layer past 100 kg or for K4, nothing proposed past
 * 125 kg. Every number in it is common practice, no source.
 */
export const STARTING_LAYUP_RULES: LayupRules = {
  version: 1,
  topBodyMassKg: 125,
  fibreMassFraction: 0.5,
  allowances: { brimMm: 60, endTieMm: 50, overlapMm: 20, stepMm: 5 },
  rows: [
    {
      name: 'Nearly everybody',
      aboveKg: 0,
      upToKg: 100,
      functionalLevels: ['K0', 'K1', 'K2', 'K3'],
      levels: LEVELS,
      lines: startingLayers(2),
    },
    {
      name: 'Heavier',
      aboveKg: 100,
      upToKg: 125,
      functionalLevels: ['K0', 'K1', 'K2', 'K3'],
      levels: LEVELS,
      lines: startingLayers(3),
    },
    {
      name: 'Very active',
      aboveKg: 0,
      upToKg: 125,
      functionalLevels: ['K4'],
      levels: LEVELS,
      lines: startingLayers(3),
    },
  ],
};

/**
 * Everything against one line of a layup or of a rule.
 * @param form of its fabric
 * @param at JSON Pointer to the line
 */
export function questionLine(line: FabricLine, form: FabricForm, at: string): Reason[] {
  const { fabric } = line;
  const misfits = (why: string, field: string): Reason =>
    reason('layup-line-misfits', { fabric, why }, `${at}/${field}`);
  const against = questionRange(line.layers, LAYERS, `${at}/layers`);
  if (against.length === 0 && !Number.isInteger(line.layers)) {
    against.push(misfits('layers are counted in whole numbers', 'layers'));
  }
  const laidAsStrip = STRIP_DIRECTIONS.includes(line.direction);
  if (form === 'strip' && !laidAsStrip) {
    against.push(misfits('strip runs medial-lateral or anterior-posterior', 'direction'));
  }
  if (form !== 'strip' && laidAsStrip) {
    against.push(misfits('only strip runs over the distal end from side to side', 'direction'));
  }
  if (line.reflected && form !== 'tube') {
    against.push(misfits('only a tube is turned back over the distal end', 'reflected'));
  }
  if (line.reflected && line.layers < 2) {
    against.push(misfits('turned back it makes two layers, and one is asked for', 'reflected'));
  }
  return against;
}

/** The row for a patient, or undefined. */
export const rowFor = (
  rules: LayupRules,
  patient: {
    readonly bodyMassKg: number;
    readonly functionalLevel: FunctionalLevel;
    readonly level: Level;
  },
): LayupRow | undefined =>
  rules.rows.find(
    (row) =>
      patient.bodyMassKg > row.aboveKg &&
      patient.bodyMassKg <= row.upToKg &&
      row.functionalLevels.includes(patient.functionalLevel) &&
      row.levels.includes(patient.level),
  );

/**
 * Everything against layup rules as they are written: each patient up
 * to the top mass has one row, and every layer can be laid.
 * @param fabrics the catalogue; rules name its materials
 */
export function judgeLayupRules(
  rules: LayupRules,
  fabrics: readonly { readonly material: string; readonly form: FabricForm }[],
): Reason[] {
  const rows = rules.rows.flatMap((row, index) => judgeRow(row, rules, fabrics, `/rows/${index}`));
  return [
    ...questionFields(rules, LAYUP_RANGES),
    ...questionFields(rules.allowances, ALLOWANCE_RANGES, '/allowances'),
    ...rows,
    // Rows that are wrong in themselves say nothing of gaps between them.
    ...(rows.length === 0 ? judgeCover(rules) : []),
  ];
}

function judgeRow(
  row: LayupRow,
  rules: LayupRules,
  fabrics: readonly { readonly material: string; readonly form: FabricForm }[],
  at: string,
): Reason[] {
  const { name, aboveKg, upToKg } = row;
  const against: Reason[] = [];
  if (!(aboveKg >= 0 && aboveKg < upToKg && upToKg <= rules.topBodyMassKg)) {
    against.push(reason('layup-row-mass-upside-down', { row: name, aboveKg, upToKg }, at));
  }
  if (row.functionalLevels.length === 0) {
    against.push(reason('layup-row-empty', { row: name, lacks: 'functional level' }, at));
  }
  if (row.levels.length === 0) {
    against.push(reason('layup-row-empty', { row: name, lacks: 'level of amputation' }, at));
  }
  if (row.lines.every((line) => line.kind !== 'fabric')) {
    against.push(reason('layup-row-empty', { row: name, lacks: 'fabric' }, `${at}/lines`));
  }
  for (const [index, line] of row.lines.entries()) {
    if (line.kind !== 'fabric') continue;
    const field = `${at}/lines/${index}`;
    const known = fabrics.find((fabric) => fabric.material === line.fabric);
    against.push(
      ...(known === undefined
        ? [reason('fabric-unknown', { fabric: line.fabric }, `${field}/fabric`)]
        : questionLine(line, known.form, field)),
    );
  }
  return against;
}

/** Gaps and overlaps between the rows, each told once with all the patients it concerns. */
function judgeCover(rules: LayupRules): Reason[] {
  const gaps = new Map<string, { aboveKg: number; upToKg: number; patients: string[] }>();
  const overlaps = new Map<string, { rows: string[]; patients: string[] }>();
  for (const level of LEVELS) {
    for (const functionalLevel of FUNCTIONAL_LEVELS) {
      const patient = `${functionalLevel} ${level.replaceAll('_', '-')}`;
      const rows = rules.rows
        .filter((row) => row.levels.includes(level))
        .filter((row) => row.functionalLevels.includes(functionalLevel))
        .toSorted((a, b) => a.aboveKg - b.aboveKg);
      let covered = { upToKg: 0, by: '' };
      for (const { aboveKg, upToKg, name } of [...rows, endOf(rules)]) {
        if (aboveKg > covered.upToKg) {
          const key = `${covered.upToKg} to ${aboveKg}`;
          const gap = gaps.get(key) ?? { aboveKg: covered.upToKg, upToKg: aboveKg, patients: [] };
          gaps.set(key, { ...gap, patients: [...gap.patients, patient] });
        }
        if (aboveKg < covered.upToKg) {
          const key = `${covered.by} and ${name}`;
          const overlap = overlaps.get(key) ?? { rows: [covered.by, name], patients: [] };
          overlaps.set(key, { ...overlap, patients: [...overlap.patients, patient] });
        }
        if (upToKg > covered.upToKg) covered = { upToKg, by: name };
      }
    }
  }
  return [
    ...[...gaps.values()].map((gap) => reason('layup-rules-gap', gap, '/rows')),
    ...[...overlaps.values()].map((overlap) => reason('layup-rules-overlap', overlap, '/rows')),
  ];
}

/** A row for nobody behind the last one, so that a gap below the top mass is found. */
const endOf = ({ topBodyMassKg }: LayupRules) => ({
  name: '',
  aboveKg: topBodyMassKg,
  upToKg: topBodyMassKg,
});

const named = (word: string): string => word.replaceAll('_', ' ');

/** A line in words. */
export function lineWords(line: LayupLine, fabricName = named): string {
  if (line.kind === 'tooling_plate') return 'tooling plate';
  const count = line.layers === 1 ? '1 layer' : `${line.layers} layers`;
  const direction = line.direction.replaceAll('_', '-');
  const reflected = line.reflected ? ', reflected over the distal end' : '';
  return `${fabricName(line.fabric)}: ${count}, ${direction}${reflected}`;
}

/** The table of the rules in words, as a prosthetist reads it: for whom, and the layers inside to outside. */
export const layupRuleTable = (
  rules: LayupRules,
): { readonly name: string; readonly who: string; readonly layers: readonly string[] }[] =>
  rules.rows.map((row) => {
    const mass = row.aboveKg === 0 ? '' : `above ${row.aboveKg} and `;
    const levels =
      row.levels.length === LEVELS.length
        ? 'every level'
        : row.levels.map((level) => level.replaceAll('_', '-')).join(', ');
    return {
      name: row.name,
      who: `${mass}up to ${row.upToKg} kg · ${row.functionalLevels.join(', ')} · ${levels}`,
      layers: row.lines.map((line) => lineWords(line)),
    };
  });
