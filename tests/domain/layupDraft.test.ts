import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Day } from '../../src/domain/days.ts';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import { proposeLayup, workOutLayup } from '../../src/domain/layup.ts';
import {
  changedSince,
  judgeAgainstProposal,
  judgeNewDraft,
  judgeOutgrown,
  questionWall,
  rowInForce,
  sameLines,
  TYPICAL_RESIN,
  type DraftBasis,
  type PresentFacts,
} from '../../src/domain/layupDraft.ts';
import { STARTING_LAYUP_RULES, type LayupLine } from '../../src/domain/layupRules.ts';
import { basisOn, limbShape } from '../support/layups.ts';
import { codes, refusalCodes } from '../support/limbs.ts';

const RULES = STARTING_LAYUP_RULES;
const PATIENT = { bodyMassKg: 82, functionalLevel: 'K3', level: 'trans_tibial' } as const;

const proposal = (bodyMassKg: number = PATIENT.bodyMassKg) =>
  proposeLayup({ ...PATIENT, bodyMassKg }, limbShape(), RULES, STARTING_FABRICS);
const proposedLines = (): readonly LayupLine[] => {
  const verdict = proposal();
  if (!verdict.ok) throw new Error('the rules propose nothing');
  return verdict.value.lines;
};
const anotherBraid = (): LayupLine[] =>
  proposedLines().map((line, at) =>
    at === 3 && line.kind === 'fabric' ? { ...line, layers: line.layers + 1 } : line,
  );

/** A basis on the bench's limb, of a patient of so many kg. */
const basisFor = (bodyMassKg: number = PATIENT.bodyMassKg): DraftBasis => {
  const patient = { ...PATIENT, bodyMassKg, bodyMassOn: '2026-03-01' as Day };
  const shape = limbShape();
  return {
    ...basisOn({ shape }),
    patient,
    row: rowInForce(RULES, patient),
    limb: {
      measureSetId: 'measures',
      castNumber: 1,
      takenOn: '2026-03-02' as Day,
      measures: [],
      cap: shape.cap,
    },
    resin: TYPICAL_RESIN,
  };
};
const now = (over: Partial<PresentFacts> = {}): PresentFacts => ({
  patient: PATIENT,
  rules: RULES,
  fabrics: STARTING_FABRICS,
  resin: null,
  ...over,
});
const at = (bodyMassKg: number) => ({ patient: { ...PATIENT, bodyMassKg } });

describe('a draft beside what the rules propose (C2)', () => {
  const judged = (
    lines: readonly LayupLine[],
    fibreMassFraction = 0.5,
    why: string | null = null,
  ) => judgeAgainstProposal({ lines, fibreMassFraction }, proposal(), RULES, why);

  test('taken as it is, it needs no reason', () => {
    expect(judged(proposedLines())).toEqual({ ok: true, value: { asProposed: true } });
  });

  test('other layers, or another fibre fraction, need one', () => {
    expect(refusalCodes(judged(anotherBraid()))).toEqual(['layup-why-missing']);
    const verdict = judged(proposedLines(), 0.55);
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      {
        code: 'layup-why-missing',
        field: '/why',
        detail: expect.stringContaining('0.5, not 0.55'),
      },
    ]);
    expect(judged(anotherBraid(), 0.5, 'Bears weight on one side only.')).toEqual({
      ok: true,
      value: { asProposed: false },
    });
  });

  test('past the top mass the reason against a proposal is what the record has to answer', () => {
    const verdict = judgeAgainstProposal(
      { lines: proposedLines(), fibreMassFraction: 0.5 },
      proposal(130),
      RULES,
      null,
    );
    expect(verdict.ok ? [] : verdict.reasons[0]?.detail).toMatch(
      /^The patient has 130 kg; the clinic's layup rules end at 125 kg\. The record has to say why/,
    );
  });

  test('lists of layers are the same line by line, with every word of a line', () => {
    const lines = proposedLines();
    expect(sameLines(lines, structuredClone(lines))).toBe(true);
    expect(sameLines(lines, lines.slice(0, -1))).toBe(false);
    expect(sameLines(lines.slice(0, -1), lines)).toBe(false);
    expect(sameLines(lines, lines.toReversed())).toBe(false);
    const changes = [{ fabric: 'x' }, { layers: 9 }, { direction: 'along' }, { reflected: false }];
    for (const change of changes) {
      const other = lines.map((line, index) => (index === 3 ? { ...line, ...change } : line));
      expect(sameLines(lines, other as LayupLine[])).toBe(false);
    }
  });
});

describe('how thick the wall of a draft comes out (C2)', () => {
  const wallOf = (lines: readonly LayupLine[]) => {
    const verdict = workOutLayup(lines, basisFor());
    if (!verdict.ok) throw new Error('it cannot be worked out');
    return verdict.value;
  };
  const nylon = proposedLines()[0]!;
  const asMany = (line: LayupLine, layers: number, lines: number): LayupLine[] =>
    Array.from({ length: lines }, () => ({ ...line, layers }) as LayupLine);

  test('what the starting rules propose for anybody is taken', () => {
    for (const bodyMassKg of [20, 82, 112, 125]) {
      for (const functionalLevel of ['K1', 'K3', 'K4'] as const) {
        const patient = { ...PATIENT, bodyMassKg, functionalLevel };
        const told = proposeLayup(patient, limbShape(), RULES, STARTING_FABRICS);
        expect(told.ok && questionWall(wallOf(told.value.lines))).toEqual([]);
      }
    }
  });

  test('one layer of nylon, or strips alone, is no wall; braid by the dozen is none either', () => {
    expect(questionWall(wallOf([nylon]))).toMatchObject([
      {
        code: 'value-out-of-range',
        field: '/lines',
        detail: expect.stringContaining('Expected wall thickness is 0.0873 mm'),
      },
    ]);
    expect(codes(questionWall(wallOf([proposedLines()[1]!])))).toEqual(['value-out-of-range']);
    const braid = { ...proposedLines()[3]!, reflected: false } as LayupLine;
    expect(questionWall(wallOf(asMany(braid, 12, 2)))).toEqual([]);
    expect(codes(questionWall(wallOf(asMany(braid, 12, 5))))).toEqual(['value-out-of-range']);
  });

  test('the bounds themselves are taken', () => {
    for (const wallThicknessMm of [0.5, 15]) expect(questionWall({ wallThicknessMm })).toEqual([]);
    for (const wallThicknessMm of [0.499, 15.01]) {
      expect(codes(questionWall({ wallThicknessMm }))).toEqual(['value-out-of-range']);
    }
  });
});

describe('a draft where there is a layup already (C2)', () => {
  const facts = { socket: 'KL-26-00001-X/D1', laminated: false, why: null };
  const approved = { running: 2, approved: true };

  test('a draft gives way; an approved one only for a reason; what is in resin stays', () => {
    expect(judgeNewDraft(null, facts)).toEqual([]);
    expect(judgeNewDraft({ running: 1, approved: false }, facts)).toEqual([]);
    expect(codes(judgeNewDraft(approved, facts))).toEqual(['layup-approved-before']);
    expect(judgeNewDraft(approved, { ...facts, why: 'The braid is out of stock.' })).toEqual([]);
    for (const newest of [null, approved]) {
      const laminated = { ...facts, laminated: true, why: 'Too late.' };
      expect(codes(judgeNewDraft(newest, laminated))).toEqual(['layup-already-laminated']);
    }
  });
});

describe('what a layup was worked out from, when it comes to the signature (C2)', () => {
  test('a body mass that moves within its row changes nothing, another row does', () => {
    expect(changedSince(basisFor(), now())).toEqual([]);
    expect(changedSince(basisFor(), now(at(99)))).toEqual([]);
    expect(changedSince(basisFor(), now(at(101)))).toEqual([
      'the patient has 101 kg, K3; it was drafted by row “Nearly everybody”, and the rules now have row “Heavier” of version 1',
    ]);
    expect(changedSince(basisFor(), now(at(126)))[0]).toContain(
      'the rules now have no row for that',
    );
    const active = { patient: { ...PATIENT, functionalLevel: 'K4' } } as const;
    expect(changedSince(basisFor(), now(active))[0]).toContain('Very active');
  });

  test('written past the top mass, it holds up to the mass that it was written for', () => {
    expect(changedSince(basisFor(130), now(at(130)))).toEqual([]);
    expect(changedSince(basisFor(130), now(at(128)))).toEqual([]);
    expect(changedSince(basisFor(130), now(at(131)))).toEqual([
      'the patient has 131 kg, K3, and it was written for 130 kg, K3',
    ]);
    expect(changedSince(basisFor(130), now(at(120)))[0]).toContain('drafted without a row');
  });

  test('written past the top mass for little activity, it holds for no more of it', () => {
    const as = (functionalLevel: 'K1' | 'K2' | 'K4') => ({
      ...PATIENT,
      bodyMassKg: 130,
      functionalLevel,
    });
    const written = basisFor(130);
    const basis = { ...written, patient: { ...written.patient, ...as('K2') } };
    expect(changedSince(basis, now({ patient: as('K2') }))).toEqual([]);
    expect(changedSince(basis, now({ patient: as('K1') }))).toEqual([]);
    expect(changedSince(basis, now({ patient: as('K4') }))).toEqual([
      'the patient has 130 kg, K4, and it was written for 130 kg, K2',
    ]);
  });

  test('what is laid up was made up to the end of its row, past the top for its very mass', () => {
    const told = (madeForKg: number, bodyMassKg: number) =>
      judgeOutgrown({ running: 2, basis: basisFor(madeForKg) }, 'KL-26-00001-X/D1', bodyMassKg);
    for (const bodyMassKg of [60, 82, 100]) expect(told(82, bodyMassKg)).toEqual([]);
    expect(told(110, 125)).toEqual([]);
    expect(told(130, 130)).toEqual([]);
    expect(told(82, 100.1)).toMatchObject([
      {
        code: 'layup-outgrown',
        detail: 'Layup 2 of KL-26-00001-X/D1 was made for up to 100 kg; the patient has 100.1 kg.',
      },
    ]);
    expect(codes(told(130, 130.5))).toEqual(['layup-outgrown']);
  });

  test('new rules that say the same of this patient change nothing', () => {
    const [first, heavier, active] = RULES.rows;
    const rules = {
      ...RULES,
      version: 2,
      rows: [first!, { ...heavier!, lines: first!.lines }, active!],
    };
    expect(changedSince(basisFor(), now({ rules }))).toEqual([]);
    expect(changedSince(basisFor(110), now({ ...at(110), rules }))[0]).toContain('of version 2');
    expect(changedSince(basisFor(), now({ rules: { ...rules, fibreMassFraction: 0.55 } }))).toEqual(
      ['the rules ask for a fibre mass fraction of 0.55 now'],
    );
    const allowances = { ...RULES.allowances, brimMm: 80 };
    expect(changedSince(basisFor(), now({ rules: { ...rules, allowances } }))).toEqual([
      'the rules cut with other allowances by now',
    ]);
  });

  test('fabrics and resin that have another sheet, or are withdrawn, are named', () => {
    const [nylon, ...others] = STARTING_FABRICS;
    const basis = { ...basisFor(), fabrics: [nylon!] };
    expect(changedSince(basis, now({ fabrics: others }))).toEqual([`${nylon!.name} is withdrawn`]);
    const renamed = { ...nylon!, name: 'Sheer nylon, 60 mm' };
    expect(changedSince(basis, now({ fabrics: [renamed] }))).toEqual([]);
    const sheets = ['arealDensityGm2', 'widthMm', 'fibreDensityGcm3', 'stretchPercent'] as const;
    for (const field of sheets) {
      const other = { ...nylon!, [field]: nylon![field] + 1 };
      expect(changedSince(basis, now({ fabrics: [other] }))).toEqual([
        `${nylon!.name} has another sheet by now`,
      ]);
    }
    const resin = { productId: 'product', name: 'Bench epoxy', densityGcm3: 1.1, source: 'sheet' };
    const withResin = { ...basis, resin };
    expect(changedSince(withResin, now({ resin: { densityGcm3: 1.1 } }))).toEqual([]);
    expect(changedSince(withResin, now({ resin: { densityGcm3: 1.2 } }))).toEqual([
      'Bench epoxy has another density by now',
    ]);
    expect(changedSince(withResin, now())).toEqual(['Bench epoxy is withdrawn']);
  });

  test('whatever the mass: nothing has changed, or the mass passed a bound of a row', () => {
    const mass = fc.double({ min: 10, max: 200, noNaN: true });
    fc.assert(
      fc.property(mass, mass, (thenKg, nowKg) => {
        const changed = changedSince(basisFor(thenKg), now(at(nowKg)));
        const between = [100, 125].some((bound) => thenKg <= bound !== nowKg <= bound);
        const heavierPastTheTop = thenKg > 125 && nowKg > thenKg;
        expect(changed.length > 0).toBe(between || heavierPastTheTop);
      }),
    );
  });

  test('a basis is all that it takes to work the layup out again', () => {
    const basis = { ...basisFor(), fabrics: STARTING_FABRICS };
    const again = JSON.parse(JSON.stringify(basis)) as DraftBasis;
    expect(workOutLayup(proposedLines(), again)).toEqual(workOutLayup(proposedLines(), basis));
  });
});
