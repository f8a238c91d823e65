/**
 * C2: a layup on its way from the draft to the signature. What the rules propose
 * is taken as it is or not taken for a reason; a draft is approved only while
 * what it was worked out from still holds.
 */
import type { Day } from './days.ts';
import type { Fabric } from './fabrics.ts';
import type { LayupBasis, LayupFigures, LayupPatient, LayupProposal } from './layup.ts';
import {
  ALLOWANCE_RANGES,
  rowFor,
  type CutAllowances,
  type LayupLine,
  type LayupRules,
} from './layupRules.ts';
import type { DistalCap } from './limbGeometry.ts';
import type { LimbMeasure } from './measures.ts';
import { figure } from './reasons/figures.ts';
import { reason, type Reason } from './reasons/index.ts';
import { questionRange, type Range } from './ranges.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import { FUNCTIONAL_LEVELS } from './words.ts';

/** The row of the rules that was for the patient when the layup was drafted, its layers by material. */
export interface RowInForce {
  readonly version: number;
  readonly name: string;
  /** The body mass at which the row ends. */
  readonly upToKg: number;
  readonly lines: readonly LayupLine[];
  /** Of the rules, for all rows. */
  readonly fibreMassFraction: number;
}

/** The resin whose density went in: a product of the catalogue, or a typical value. */
export interface ResinDensity {
  readonly productId: string | null;
  readonly name: string;
  readonly densityGcm3: number;
  readonly source: string;
}

/** What a layup was worked out from, all that it takes to do so again: it stands in the record. */
export interface DraftBasis extends LayupBasis {
  readonly patient: LayupPatient & { readonly bodyMassOn: Day };
  /** Null where no row was for the patient. */
  readonly row: RowInForce | null;
  /** Measures taken with the cast that the socket came from. */
  readonly limb: {
    readonly measureSetId: string;
    readonly castNumber: number;
    readonly takenOn: Day;
    readonly measures: readonly LimbMeasure[];
    readonly cap: DistalCap;
  };
  readonly resin: ResinDensity;
}

/** Where no product is named. Common practice, no source. */
export const TYPICAL_RESIN: ResinDensity = {
  productId: null,
  name: 'a typical laminating resin',
  densityGcm3: 1.15,
  source: 'typical value; common practice, no source',
};

/** The row of the rules for a patient; null past the top mass and where none is for them. */
export function rowInForce(rules: LayupRules, patient: LayupPatient): RowInForce | null {
  const row = rowFor(rules, patient);
  if (row === undefined || patient.bodyMassKg > rules.topBodyMassKg) return null;
  const { version, fibreMassFraction } = rules;
  const { name, upToKg, lines } = row;
  return { version, name, upToKg, lines, fibreMassFraction };
}

/** Whether two lists of layers are the same, line by line. */
export const sameLines = (one: readonly LayupLine[], other: readonly LayupLine[]): boolean =>
  one.length >= other.length &&
  one.every((line, index) => {
    const across = other[index];
    if (across === undefined) return false;
    if (line.kind === 'tooling_plate' || across.kind === 'tooling_plate') {
      return line.kind === across.kind;
    }
    return (
      line.fabric === across.fabric &&
      line.layers === across.layers &&
      line.direction === across.direction &&
      line.reflected === across.reflected
    );
  });

/**
 * Whether a draft is what the rules propose.
 * @param proposal of the rules for this patient and limb
 * @param why the reason given for taking something else; null where none is given
 * @returns whether it is, or 'layup-why-missing' where it is not and nobody says why
 */
export function judgeAgainstProposal(
  draft: { readonly lines: readonly LayupLine[]; readonly fibreMassFraction: number },
  proposal: Verdict<LayupProposal>,
  rules: LayupRules,
  why: string | null,
): Verdict<{ readonly asProposed: boolean }> {
  const because = differences(draft, proposal, rules).join(' ');
  if (because === '') return granted({ asProposed: true });
  return why === null
    ? refused([reason('layup-why-missing', { because }, '/why')])
    : granted({ asProposed: false });
}

function differences(
  draft: { readonly lines: readonly LayupLine[]; readonly fibreMassFraction: number },
  proposal: Verdict<LayupProposal>,
  rules: LayupRules,
): string[] {
  if (!proposal.ok) return proposal.reasons.map(({ detail }) => detail);
  const { row, rulesVersion, lines } = proposal.value;
  const differs: string[] = [];
  if (!sameLines(draft.lines, lines)) {
    differs.push(`Row “${row}” of the rules, version ${rulesVersion}, proposes other layers.`);
  }
  if (draft.fibreMassFraction !== rules.fibreMassFraction) {
    differs.push(
      `The rules take a fibre mass fraction of ${figure(rules.fibreMassFraction)}, not ${figure(draft.fibreMassFraction)}.`,
    );
  }
  return differs;
}

/**
 * What stands against drafting a layup where there may be one already.
 * @param newest of the socket; null where it has none
 * @param facts.laminated a lamination is on record, done or not
 */
export function judgeNewDraft(
  newest: { readonly running: number; readonly approved: boolean } | null,
  facts: { readonly socket: string; readonly laminated: boolean; readonly why: string | null },
): Reason[] {
  const { socket, laminated, why } = facts;
  if (laminated) return [reason('layup-already-laminated', { socket })];
  if (newest?.approved !== true || why !== null) return [];
  return [reason('layup-approved-before', { layup: newest.running }, '/why')];
}

/**
 * Where no strip runs, without voids. The starting rules come to 1.3 to 1.9 mm. Wide, for what is
 * asked of it is whether a layer, a fabric or its sheet was mistyped. Common practice, no source.
 */
export const WALL_THICKNESS: Range = {
  what: 'Expected wall thickness',
  least: 0.5,
  greatest: 15,
  unit: 'mm',
  usual: '1 to 6 mm',
};

/** 'value-out-of-range' where the wall of a layup comes out as thin as a bag or as thick as a thumb. */
export const questionWall = ({
  wallThicknessMm,
}: Pick<LayupFigures, 'wallThicknessMm'>): Reason[] =>
  questionRange(wallThicknessMm, WALL_THICKNESS, '/lines');

/** What a basis is held against when it comes to the signature. */
export interface PresentFacts {
  readonly patient: LayupPatient;
  readonly rules: LayupRules;
  /** Of the catalogue, those in use. */
  readonly fabrics: readonly Fabric[];
  /** The product that the basis names, as it is in the catalogue; null where it is not in use. */
  readonly resin: { readonly densityGcm3: number } | null;
}

/**
 * What of a basis no longer holds, in words; none where all does. A body mass
 * that moves within its row changes nothing; where no row was for the patient,
 * the layup was written for that very mass and functional level, and holds for
 * none greater.
 */
export function changedSince(basis: DraftBasis, now: PresentFacts): string[] {
  const changed = [...changedRow(basis, now), ...changedAllowances(basis, now)];
  for (const fabric of basis.fabrics) {
    const present = now.fabrics.find(({ id }) => id === fabric.id);
    if (present === undefined) changed.push(`${fabric.name} is withdrawn`);
    else if (!sameSheet(fabric, present)) changed.push(`${fabric.name} has another sheet by now`);
  }
  const { productId, name, densityGcm3 } = basis.resin;
  if (productId !== null && now.resin === null) changed.push(`${name} is withdrawn`);
  if (productId !== null && now.resin !== null && now.resin.densityGcm3 !== densityGcm3) {
    changed.push(`${name} has another density by now`);
  }
  return changed;
}

function changedRow(basis: DraftBasis, now: PresentFacts): string[] {
  const { bodyMassKg, functionalLevel } = now.patient;
  const present = rowInForce(now.rules, now.patient);
  const who = `the patient has ${figure(bodyMassKg, 1)} kg, ${functionalLevel}`;
  const before = basis.row;
  if (before === null && present === null) {
    const { bodyMassKg: wasKg, functionalLevel: was } = basis.patient;
    const moreActive = FUNCTIONAL_LEVELS.indexOf(functionalLevel) > FUNCTIONAL_LEVELS.indexOf(was);
    return bodyMassKg > wasKg || moreActive
      ? [`${who}, and it was written for ${figure(wasKg, 1)} kg, ${was}`]
      : [];
  }
  if (
    before !== null &&
    present !== null &&
    before.name === present.name &&
    sameLines(before.lines, present.lines)
  ) {
    if (before.fibreMassFraction === present.fibreMassFraction) return [];
    return [`the rules ask for a fibre mass fraction of ${figure(present.fibreMassFraction)} now`];
  }
  const by = before === null ? 'without a row' : `by row “${before.name}”`;
  const ask =
    present === null
      ? 'have no row for that'
      : `have row “${present.name}” of version ${present.version}`;
  return [`${who}; it was drafted ${by}, and the rules now ${ask}`];
}

/**
 * Whether a body mass passes what a layup was made for: the end of its row, or
 * where there was none, the mass that it was written for.
 * @returns 'layup-outgrown' or nothing
 */
export function judgeOutgrown(
  layup: { readonly running: number; readonly basis: Pick<DraftBasis, 'patient' | 'row'> },
  socket: string,
  bodyMassKg: number,
): Reason[] {
  const { running, basis } = layup;
  const madeForKg = basis.row?.upToKg ?? basis.patient.bodyMassKg;
  if (bodyMassKg <= madeForKg) return [];
  return [reason('layup-outgrown', { layup: running, socket, madeForKg, bodyMassKg })];
}

const ALLOWANCES = Object.keys(ALLOWANCE_RANGES) as (keyof CutAllowances)[];

const changedAllowances = ({ allowances }: DraftBasis, { rules }: PresentFacts): string[] =>
  ALLOWANCES.every((field) => allowances[field] === rules.allowances[field])
    ? []
    : ['the rules cut with other allowances by now'];

const SHEET = [
  'form',
  'arealDensityGm2',
  'widthMm',
  'fibreDensityGcm3',
  'stretchPercent',
] as const satisfies readonly (keyof Fabric)[];

const sameSheet = (one: Fabric, other: Fabric): boolean =>
  SHEET.every((field) => one[field] === other[field]);
