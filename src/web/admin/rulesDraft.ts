/** Layup rules as they are typed: rows and layers keep a name of their own, wherever they are moved to. */
import type { LayupLine, LayupRules } from '../../domain/layupRules.ts';
import type { FunctionalLevel, Level } from '../../domain/words.ts';
import type { components } from '../../generated/api.ts';
import { nextAt } from './routeDraft.ts';
import { numberTyped } from './numberTyped.ts';

export type Rules = components['schemas']['LayupRules'];

export interface LineTyped {
  readonly at: number;
  readonly plate: boolean;
  readonly fabric: string;
  readonly layers: string;
  readonly direction: Extract<LayupLine, { kind: 'fabric' }>['direction'];
  readonly reflected: boolean;
}

export interface RowTyped {
  readonly at: number;
  readonly name: string;
  readonly aboveKg: string;
  readonly upToKg: string;
  /** With commas between them. */
  readonly functionalLevels: string;
  readonly levels: string;
  readonly lines: readonly LineTyped[];
}

export const FIGURES = [
  'topBodyMassKg',
  'fibreMassFraction',
  'brimMm',
  'endTieMm',
  'overlapMm',
  'stepMm',
] as const;
export type Figure = (typeof FIGURES)[number];
/** Where each stands in the rules, as a JSON Pointer. */
export const pointerOf = (figure: Figure): string =>
  figure.endsWith('Mm') ? `/allowances/${figure}` : `/${figure}`;

export interface RulesTyped {
  readonly base: Rules;
  readonly figures: Readonly<Record<Figure, string>>;
  readonly rows: readonly RowTyped[];
}

export const plateLine = (): LineTyped => ({ ...fabricLine(''), plate: true });
export const fabricLine = (fabric: string): LineTyped => ({
  at: nextAt(),
  plate: false,
  fabric,
  layers: '1',
  direction: 'along',
  reflected: false,
});

const lineTyped = (line: LayupLine): LineTyped =>
  line.kind === 'tooling_plate'
    ? plateLine()
    : {
        at: nextAt(),
        plate: false,
        fabric: line.fabric,
        layers: String(line.layers),
        direction: line.direction,
        reflected: line.reflected,
      };

export const emptyRow = (upToKg: string): RowTyped => ({
  at: nextAt(),
  name: '',
  aboveKg: '0',
  upToKg,
  functionalLevels: '',
  levels: '',
  lines: [],
});

export const begunFrom = (base: Rules): RulesTyped => ({
  base,
  figures: {
    topBodyMassKg: String(base.topBodyMassKg),
    fibreMassFraction: String(base.fibreMassFraction),
    brimMm: String(base.allowances.brimMm),
    endTieMm: String(base.allowances.endTieMm),
    overlapMm: String(base.allowances.overlapMm),
    stepMm: String(base.allowances.stepMm),
  },
  rows: base.rows.map((row) => ({
    at: nextAt(),
    name: row.name,
    aboveKg: String(row.aboveKg),
    upToKg: String(row.upToKg),
    functionalLevels: row.functionalLevels.toSorted().join(','),
    levels: row.levels.toSorted().join(','),
    lines: row.lines.map(lineTyped),
  })),
});

const listed = (typed: string): string[] => (typed === '' ? [] : typed.split(','));

/** The rules as the domain judges them; what is no number is NaN there. */
export function rulesOf({ base, figures, rows }: RulesTyped): LayupRules {
  const figure = (name: Figure): number => numberTyped(figures[name]);
  return {
    version: base.version + 1,
    topBodyMassKg: figure('topBodyMassKg'),
    fibreMassFraction: figure('fibreMassFraction'),
    allowances: {
      brimMm: figure('brimMm'),
      endTieMm: figure('endTieMm'),
      overlapMm: figure('overlapMm'),
      stepMm: figure('stepMm'),
    },
    rows: rows.map((row) => ({
      name: row.name,
      aboveKg: numberTyped(row.aboveKg),
      upToKg: numberTyped(row.upToKg),
      functionalLevels: listed(row.functionalLevels) as FunctionalLevel[],
      levels: listed(row.levels) as Level[],
      lines: row.lines.map(({ plate, fabric, layers, direction, reflected }): LayupLine =>
        plate
          ? { kind: 'tooling_plate' }
          : { kind: 'fabric', fabric, layers: numberTyped(layers), direction, reflected },
      ),
    })),
  };
}

/** Pointers to what is typed and is no number. */
export function notNumbers({ figures, rows }: RulesTyped): string[] {
  const none = (typed: string): boolean => !Number.isFinite(numberTyped(typed));
  return [
    ...FIGURES.filter((name) => none(figures[name])).map(pointerOf),
    ...rows.flatMap((row, at) => [
      ...(['aboveKg', 'upToKg'] as const)
        .filter((field) => none(row[field]))
        .map((field) => `/rows/${at}/${field}`),
      ...row.lines.flatMap((line, of) =>
        !line.plate && none(line.layers) ? [`/rows/${at}/lines/${of}/layers`] : [],
      ),
    ]),
  ];
}
