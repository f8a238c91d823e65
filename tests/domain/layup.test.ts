import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import { laminateDensityGcm3 } from '../../src/domain/laminate.ts';
import {
  LAYUP_FORMULAS,
  proposeLayup,
  workOutLayup,
  type LayupBasis,
  type LayupFigures,
  type LayupPatient,
  type LayupProposal,
} from '../../src/domain/layup.ts';
import {
  STARTING_LAYUP_RULES,
  type FabricLine,
  type LayupLine,
} from '../../src/domain/layupRules.ts';
import { basisOn, GLASS_CLOTH, limbShape } from '../support/layups.ts';
import { refusalCodes } from '../support/limbs.ts';

const walker: LayupPatient = { bodyMassKg: 82, functionalLevel: 'K3', level: 'trans_tibial' };

const asked = (over: Partial<LayupPatient> = {}, girthMm = 338, rules = STARTING_LAYUP_RULES) =>
  proposeLayup(
    { ...walker, ...over },
    { greatestCircumferenceMm: girthMm },
    rules,
    STARTING_FABRICS,
  );
function proposed(over: Partial<LayupPatient> = {}, girthMm = 338): LayupProposal {
  const verdict = asked(over, girthMm);
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
}
function figures(lines: readonly LayupLine[], over: Partial<LayupBasis> = {}): LayupFigures {
  const verdict = workOutLayup(lines, basisOn(over));
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
}
const braid = (layers: number, over: Partial<FabricLine> = {}): FabricLine => ({
  kind: 'fabric',
  fabric: 'structural_braid_150',
  layers,
  direction: 'bias',
  reflected: false,
  ...over,
});
const strip = (direction: FabricLine['direction'], layers = 1): FabricLine =>
  braid(layers, { fabric: 'carbon_strip_50', direction });

describe('the layup that the rules propose (C2)', () => {
  test('nearly everybody gets two layers of braid and two strips, in the rolls that fit the limb', () => {
    expect(proposed()).toEqual({
      rulesVersion: 1,
      row: 'Nearly everybody',
      lines: [
        expect.objectContaining({ fabric: 'sheer_nylon_150', layers: 1 }),
        expect.objectContaining({ fabric: 'carbon_strip_50', direction: 'medial_lateral' }),
        expect.objectContaining({ fabric: 'carbon_strip_50', direction: 'anterior_posterior' }),
        expect.objectContaining({ fabric: 'structural_braid_150', layers: 2, reflected: true }),
        expect.objectContaining({ fabric: 'sheer_nylon_150' }),
        { kind: 'tooling_plate' },
        expect.objectContaining({ fabric: 'finishing_stockinette_150' }),
      ],
    });
    expect(proposed({}, 520).lines[3]).toMatchObject({ fabric: 'structural_braid_250' });
  });

  test.each<[string, Partial<LayupPatient>, string]>([
    ['past 100 kg', { bodyMassKg: 100.5 }, 'Heavier'],
    ['at K4', { functionalLevel: 'K4' }, 'Very active'],
  ])('%s there is one more layer of braid', (_title, over, row) => {
    const { lines, row: by } = proposed(over);
    expect(by).toBe(row);
    expect(lines[3]).toMatchObject({ layers: 3 });
  });

  test('past 125 kg nothing is proposed: the prosthetist writes it', () => {
    expect(proposed({ bodyMassKg: 125 }).row).toBe('Heavier');
    const verdict = asked({ bodyMassKg: 125.1 });
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      {
        code: 'layup-past-top-mass',
        kind: 'rule',
        facts: { bodyMassKg: 125.1, topBodyMassKg: 125 },
        wayOut: expect.stringContaining('prosthetist writes the layup'),
      },
    ]);
  });

  test.each([1, 351, Number.NaN])('a body mass of %d kg is refused with what is usual', (kg) => {
    expect(asked({ bodyMassKg: kg })).toMatchObject({
      ok: false,
      reasons: [{ code: 'value-out-of-range', field: '/bodyMassKg' }],
    });
  });

  test('a patient without a row is told so', () => {
    const [first] = STARTING_LAYUP_RULES.rows;
    const rules = { ...STARTING_LAYUP_RULES, rows: [first!] };
    expect(refusalCodes(asked({ functionalLevel: 'K4' }, 338, rules))).toEqual(['layup-no-rule']);
  });

  test('every layer for which the catalogue has nothing is named at once', () => {
    const verdict = asked({}, 900);
    expect(verdict.ok ? [] : verdict.reasons.map(({ code, field }) => [code, field])).toEqual([
      ['fabric-too-narrow', '/lines/0/fabric'],
      ['fabric-too-narrow', '/lines/3/fabric'],
      ['fabric-too-narrow', '/lines/4/fabric'],
      ['fabric-too-narrow', '/lines/6/fabric'],
    ]);
  });
});

describe('what comes of a layup (C2)', () => {
  test('the starting layup has a cut list, grams, and the thickness of a socket', () => {
    const told = figures(proposed().lines);
    expect(told.cutList.map(({ line, count, reflected }) => [line, count, reflected])).toEqual([
      [1, 1, false],
      [2, 1, false],
      [3, 1, false],
      [4, 1, true],
      [5, 1, false],
      [7, 1, false],
    ]);
    expect(told.wallThicknessMm).toBeGreaterThan(1);
    expect(told.wallThicknessMm).toBeLessThan(3);
    expect(told.stripThicknessMm).toBeGreaterThan(told.wallThicknessMm);
    expect(told.distalEndThicknessMm).toBeGreaterThan(told.stripThicknessMm);
    expect(told.fibreVolumeFraction).toBeGreaterThan(0.39);
    expect(told.fibreVolumeFraction).toBeLessThan(0.5);
    expect(told.fabricMassG).toBeGreaterThan(told.laidFabricMassG);
    expect(told.shellMassG).toBe(told.laidFabricMassG / 0.5);
    for (const { formula, units, source } of Object.values(LAYUP_FORMULAS)) {
      expect(formula).toContain('=');
      expect(units.length * source.length).toBeGreaterThan(0);
    }
  });

  test('the section has the layers from the inside to the outside, the plate where it goes in', () => {
    const { section, distalEndThicknessMm } = figures(proposed().lines);
    expect(section.map(({ what, where }) => [what, where])).toEqual([
      ['Sheer nylon stockinette 150 mm', 'all'],
      ['Carbon strip 50 mm', 'strip'],
      ['Carbon strip 50 mm', 'strip'],
      ['Carbon braid 150 mm', 'all'],
      ['Sheer nylon stockinette 150 mm', 'all'],
      ['tooling plate', 'end'],
      ['Finishing stockinette 150 mm', 'all'],
    ]);
    expect(section[5]).toMatchObject({ line: 6, thicknessMm: null, direction: null });
    const sum = section.reduce((total, { thicknessMm }) => total + (thicknessMm ?? 0), 0);
    expect(sum).toBeCloseTo(distalEndThicknessMm, 12);
  });

  test('one fabric alone: area, areal density and fibre fraction give shell mass and thickness', () => {
    const shape = limbShape();
    const told = figures([braid(2)], { shape });
    const arealG = (shape.areaMm2 / 1e6) * 700;
    expect(told.laidFabricMassG).toBeCloseTo(arealG, 9);
    expect(told.shellMassG).toBeCloseTo(2 * arealG, 9);
    // V_f of half by mass: (0.5/1.8)/(0.5/1.8 + 0.5/1.15).
    const volumeFraction = 1.15 / (1.15 + 1.8);
    expect(told.fibreVolumeFraction).toBeCloseTo(volumeFraction, 12);
    expect(told.wallThicknessMm).toBeCloseTo(0.7 / (1.8 * volumeFraction), 12);
    expect(told.stripThicknessMm).toBe(told.wallThicknessMm);
  });

  test('of two fabrics the fraction lies between theirs, by the laminate that each makes', () => {
    const stockinette = braid(1, { fabric: 'finishing_stockinette_150', direction: 'along' });
    const [carbon, polyester] = [figures([braid(2)]), figures([stockinette])];
    const both = figures([braid(2), stockinette]);
    const carbonCm3 =
      (2 * carbon.laidFabricMassG) / laminateDensityGcm3(carbon.fibreVolumeFraction, 1.8, 1.15);
    const polyesterCm3 =
      (2 * polyester.laidFabricMassG) /
      laminateDensityGcm3(polyester.fibreVolumeFraction, 1.38, 1.15);
    expect(both.fibreVolumeFraction).toBeCloseTo(
      (carbonCm3 * carbon.fibreVolumeFraction + polyesterCm3 * polyester.fibreVolumeFraction) /
        (carbonCm3 + polyesterCm3),
      12,
    );
  });

  test('strips lying over each other in one direction make it thicker there', () => {
    const one = figures([braid(2), strip('medial_lateral'), strip('anterior_posterior')]);
    const two = figures([braid(2), strip('medial_lateral', 2), strip('anterior_posterior')]);
    const stripMm = one.stripThicknessMm - one.wallThicknessMm;
    expect(two.stripThicknessMm - two.wallThicknessMm).toBeCloseTo(2 * stripMm, 12);
    expect(two.distalEndThicknessMm - two.wallThicknessMm).toBeCloseTo(3 * stripMm, 12);
    const across = figures([braid(2), strip('medial_lateral'), strip('anterior_posterior', 2)]);
    expect(across.stripThicknessMm).toBeCloseTo(two.stripThicknessMm, 12);
  });

  test.each<[string, readonly LayupLine[], Partial<LayupBasis>, (readonly [string, string])[]]>([
    ['no layer', [], {}, [['layup-without-fabric', '/lines']]],
    ['a plate alone', [{ kind: 'tooling_plate' }], {}, [['layup-without-fabric', '/lines']]],
    [
      'a fabric that nobody has',
      [{ kind: 'tooling_plate' }, braid(1, { fabric: 'flax' })],
      {},
      [['fabric-unknown', '/lines/1/fabric']],
    ],
    ['a strip laid along', [strip('along')], {}, [['layup-line-misfits', '/lines/0/direction']]],
    [
      'a tube that does not reach',
      [braid(1, { fabric: 'structural_braid_100' })],
      {},
      [['fabric-too-narrow', '/lines/0/fabric']],
    ],
    [
      'a cloth that is all overlap',
      [braid(1, { fabric: 'glass_cloth' })],
      { fabrics: [{ ...GLASS_CLOTH, widthMm: 20 }] },
      [['layup-line-misfits', '/lines/0/fabric']],
    ],
    [
      'a fraction in per cent',
      [braid(1)],
      { fibreMassFraction: 50 },
      [['value-out-of-range', '/fibreMassFraction']],
    ],
    [
      'a resin of 1150 kg/m³',
      [braid(1)],
      { resinDensityGcm3: 1_150 },
      [['value-out-of-range', '/resinDensityGcm3']],
    ],
    [
      'allowances below nothing',
      [braid(1)],
      { allowances: { ...STARTING_LAYUP_RULES.allowances, brimMm: -5 } },
      [['value-out-of-range', '/allowances/brimMm']],
    ],
  ])('%s: refused at its place', (_title, lines, over, expected) => {
    const verdict = workOutLayup(lines, basisOn(over));
    expect(verdict.ok ? [] : verdict.reasons.map(({ code, field }) => [code, field])).toEqual(
      expected,
    );
  });
});

describe('laws of a layup (C2)', () => {
  const anyLines = fc.array(
    fc.oneof(
      fc
        .record({ layers: fc.integer({ min: 1, max: 4 }), turned: fc.boolean() })
        .map(({ layers, turned }) => braid(layers, { reflected: turned && layers > 1 })),
      fc.constantFrom(strip('medial_lateral'), strip('anterior_posterior', 2)),
      fc.constant(braid(1, { fabric: 'finishing_stockinette_150', direction: 'along' })),
      fc.constant(braid(2, { fabric: 'glass_cloth' })),
    ),
    { minLength: 1, maxLength: 6 },
  );
  const fabrics = [...STARTING_FABRICS, GLASS_CLOTH];
  const fraction = fc.double({ min: 0.2, max: 0.75, noNaN: true });
  const masses = ['fabricMassG', 'laidFabricMassG', 'shellMassG', 'distalEndThicknessMm'] as const;

  test('one more layer is heavier and thicker, whatever it is', () => {
    fc.assert(
      fc.property(anyLines, fraction, fc.nat(), (lines, fibreMassFraction, pick) => {
        const at = pick % lines.length;
        const more = lines.map((line, index) =>
          index === at ? { ...line, layers: line.layers + 1 } : line,
        );
        const [less, after] = [lines, more].map((each) =>
          figures(each, { fabrics, fibreMassFraction }),
        );
        for (const figure of masses) expect(after![figure]).toBeGreaterThan(less![figure]);
      }),
    );
  });

  test('a longer or a thicker limb takes no less of anything', () => {
    fc.assert(
      fc.property(
        anyLines,
        fc.double({ min: 1, max: 1.3, noNaN: true }),
        fc.double({ min: 1, max: 2, noNaN: true }),
        (lines, thicker, longer) => {
          const less = figures(lines, { fabrics });
          const more = figures(lines, { fabrics, shape: limbShape(thicker, longer) });
          for (const figure of ['fabricMassG', 'laidFabricMassG', 'shellMassG'] as const) {
            expect(more[figure]).toBeGreaterThanOrEqual(less[figure] * (1 - 1e-12));
          }
          expect(more.wallThicknessMm).toBe(less.wallThicknessMm);
        },
      ),
    );
  });

  test('masses add up, fractions lie between 0 and 1, nothing is negative or no number', () => {
    fc.assert(
      fc.property(anyLines, fraction, (lines, fibreMassFraction) => {
        const told = figures(lines, { fabrics, fibreMassFraction });
        const cut = told.cutList.reduce((sum, { massG }) => sum + massG, 0);
        expect(told.fabricMassG).toBe(cut);
        expect(told.fabricMassG).toBeGreaterThanOrEqual(told.laidFabricMassG * (1 - 1e-12));
        expect(told.fibreVolumeFraction).toBeGreaterThan(0);
        expect(told.fibreVolumeFraction).toBeLessThan(1);
        for (const cutPiece of told.cutList) {
          expect(Math.min(cutPiece.widthMm, cutPiece.lengthMm, cutPiece.massG)).toBeGreaterThan(0);
          expect(cutPiece.lengthMm % 5).toBe(0);
          expect(cutPiece.count).toBeGreaterThanOrEqual(1);
        }
        // Layers that a line asks for and layers that its pieces make are the same.
        lines.forEach((line, index) => {
          const made = told.cutList
            .filter((cutPiece) => cutPiece.line === index + 1)
            .reduce((sum, { count, reflected }) => sum + count * (reflected ? 2 : 1), 0);
          expect(made % line.layers).toBe(0);
          if (line.fabric !== 'glass_cloth') expect(made).toBe(line.layers);
        });
      }),
    );
  });

  test('area times thickness times density is the mass, for a wall of one fabric', () => {
    fc.assert(
      fc.property(fraction, fc.integer({ min: 1, max: 6 }), (fibreMassFraction, layers) => {
        const shape = limbShape();
        const told = figures([braid(layers)], { fibreMassFraction, shape });
        const density = laminateDensityGcm3(told.fibreVolumeFraction, 1.8, 1.15);
        const massG = (shape.areaMm2 / 100) * (told.wallThicknessMm / 10) * density;
        expect(Math.abs(massG / told.shellMassG - 1)).toBeLessThan(1e-12);
      }),
    );
  });
});
