import { describe, expect, test } from 'vitest';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import {
  judgeLayupRules,
  layupRuleTable,
  lineWords,
  questionLine,
  rowFor,
  STARTING_LAYUP_RULES,
  type FabricLine,
  type LayupRow,
  type LayupRules,
} from '../../src/domain/layupRules.ts';
import { FUNCTIONAL_LEVELS, LEVELS } from '../../src/domain/words.ts';

const rules = STARTING_LAYUP_RULES;
const [nearlyEverybody, heavier, veryActive] = rules.rows as [LayupRow, LayupRow, LayupRow];
const braid: FabricLine = {
  kind: 'fabric',
  fabric: 'structural_braid',
  layers: 2,
  direction: 'bias',
  reflected: true,
};
const against = (over: Partial<LayupRules>) =>
  judgeLayupRules({ ...rules, ...over }, STARTING_FABRICS);
const codesAt = (over: Partial<LayupRules>) =>
  against(over).map(({ code, field }) => [code, field]);
const withFirst = (over: Partial<LayupRow>) => ({
  rows: [{ ...nearlyEverybody, ...over }, heavier, veryActive],
});

describe('the layup rules of a clinic (C2)', () => {
  test('what a new clinic starts with stands, and each patient up to 125 kg has one row', () => {
    expect(against({})).toEqual([]);
    for (const level of LEVELS) {
      for (const functionalLevel of FUNCTIONAL_LEVELS) {
        for (const bodyMassKg of [2, 60, 99.9, 100, 100.1, 125]) {
          const row = rowFor(rules, { bodyMassKg, functionalLevel, level });
          const more = bodyMassKg > 100 || functionalLevel === 'K4';
          const lines = row?.lines ?? [];
          expect(lines).toContainEqual({ ...braid, layers: more ? 3 : 2 });
          expect(
            lines.filter((line) => line.kind === 'fabric' && line.fabric === 'carbon_strip'),
          ).toHaveLength(2);
        }
        expect(rowFor(rules, { bodyMassKg: 125.1, functionalLevel, level })).toBeUndefined();
      }
    }
  });

  test('are read as a table: for whom, and the layers from the inside to the outside', () => {
    expect(layupRuleTable(rules).map(({ who }) => who)).toEqual([
      'up to 100 kg · K0, K1, K2, K3 · every level',
      'above 100 and up to 125 kg · K0, K1, K2, K3 · every level',
      'up to 125 kg · K4 · every level',
    ]);
    expect(layupRuleTable(rules)[0]).toMatchObject({
      name: 'Nearly everybody',
      layers: [
        'sheer nylon: 1 layer, along',
        'carbon strip: 1 layer, medial-lateral',
        'carbon strip: 1 layer, anterior-posterior',
        'structural braid: 2 layers, bias, reflected over the distal end',
        'sheer nylon: 1 layer, along',
        'tooling plate',
        'finishing stockinette: 1 layer, along',
      ],
    });
    const oneLevel = { ...rules, rows: [{ ...heavier, levels: ['trans_tibial' as const] }] };
    expect(layupRuleTable(oneLevel)[0]?.who).toContain('trans-tibial');
    expect(lineWords(braid, () => 'Carbon braid 150 mm')).toMatch(/^Carbon braid 150 mm: 2 layers/);
  });

  test('say the same in whatever order their rows are written', () => {
    const reversed = { ...rules, rows: rules.rows.toReversed() };
    expect(against(reversed)).toEqual([]);
    for (const bodyMassKg of [0.1, 100, 100.1, 125]) {
      const patient = { bodyMassKg, functionalLevel: 'K2', level: 'trans_femoral' } as const;
      expect(rowFor(reversed, patient)).toEqual(rowFor(rules, patient));
    }
    expect(
      against({ rows: [heavier, { ...nearlyEverybody, upToKg: 110 }, veryActive] }),
    ).toMatchObject([
      { code: 'layup-rules-overlap', facts: { rows: ['Nearly everybody', 'Heavier'] } },
    ]);
  });

  test('a row within another is told with it, and the next with the one that reaches furthest', () => {
    const within = { ...nearlyEverybody, name: 'Within', aboveKg: 20, upToKg: 40 };
    expect(against({ rows: [...rules.rows, within] }).map(({ facts }) => facts['rows'])).toEqual([
      ['Nearly everybody', 'Within'],
    ]);
  });

  test('a gap is told once, with the patients whom it leaves out', () => {
    const gaps = against(withFirst({ upToKg: 90 }));
    expect(gaps).toMatchObject([
      { code: 'layup-rules-gap', facts: { aboveKg: 90, upToKg: 100 }, field: '/rows' },
    ]);
    expect(gaps[0]?.facts['patients']).toHaveLength(4 * LEVELS.length);
    expect(gaps[0]?.detail).toContain('K3 knee-disarticulation');
  });

  test('a gap below the first row and one below the top mass are found', () => {
    expect(codesAt(withFirst({ aboveKg: 10 }))).toEqual([['layup-rules-gap', '/rows']]);
    expect(against({ topBodyMassKg: 130 })).toMatchObject([
      { code: 'layup-rules-gap', facts: { aboveKg: 125, upToKg: 130 } },
    ]);
    expect(against({ rows: [] })).toMatchObject([
      { code: 'layup-rules-gap', facts: { aboveKg: 0, upToKg: 125 } },
    ]);
  });

  test('rows for the same patients are told once', () => {
    expect(against(withFirst({ upToKg: 110 }))).toMatchObject([
      { code: 'layup-rules-overlap', facts: { rows: ['Nearly everybody', 'Heavier'] } },
    ]);
    const twice = against({ rows: [...rules.rows, { ...veryActive, name: 'Again', upToKg: 50 }] });
    expect(twice).toMatchObject([
      { code: 'layup-rules-overlap', facts: { rows: ['Very active', 'Again'] } },
    ]);
    expect(twice[0]?.facts['patients']).toHaveLength(LEVELS.length);
  });

  test.each<[string, Partial<LayupRow>, string, string]>([
    ['from 100 up to 100 kg', { aboveKg: 100 }, 'layup-row-mass-upside-down', '/rows/0'],
    ['below nothing', { aboveKg: -1 }, 'layup-row-mass-upside-down', '/rows/0'],
    ['past the top mass', { upToKg: 140 }, 'layup-row-mass-upside-down', '/rows/0'],
    ['up to no number', { upToKg: Number.NaN }, 'layup-row-mass-upside-down', '/rows/0'],
    ['for no functional level', { functionalLevels: [] }, 'layup-row-empty', '/rows/0'],
    ['for no level', { levels: [] }, 'layup-row-empty', '/rows/0'],
    ['without layers', { lines: [] }, 'layup-row-empty', '/rows/0/lines'],
    [
      'of a tooling plate alone',
      { lines: [{ kind: 'tooling_plate' }] },
      'layup-row-empty',
      '/rows/0/lines',
    ],
    [
      'of a material that nobody has',
      { lines: [{ kind: 'tooling_plate' }, { ...braid, fabric: 'flax' }] },
      'fabric-unknown',
      '/rows/0/lines/1/fabric',
    ],
    [
      'with braid from side to side',
      { lines: [{ ...braid, direction: 'medial_lateral' }] },
      'layup-line-misfits',
      '/rows/0/lines/0/direction',
    ],
  ])('a row %s is refused', (_title, over, code, field) => {
    expect(codesAt(withFirst(over))).toEqual([[code, field]]);
  });

  test('a row tells all that it lacks', () => {
    expect(
      against(withFirst({ functionalLevels: [], levels: [], lines: [] })).map(
        ({ facts }) => facts['lacks'],
      ),
    ).toEqual(['functional level', 'level of amputation', 'fabric']);
  });

  test.each<[string, Partial<LayupRules>, string]>([
    ['a top mass of 400 kg', { topBodyMassKg: 400 }, '/topBodyMassKg'],
    ['a fibre fraction in per cent', { fibreMassFraction: 50 }, '/fibreMassFraction'],
    ['steps of nothing', { allowances: { ...rules.allowances, stepMm: 0 } }, '/allowances/stepMm'],
  ])('%s is refused', (_title, over, field) => {
    expect(against(over)).toContainEqual(
      expect.objectContaining({ code: 'value-out-of-range', field }),
    );
  });

  test.each<[string, Partial<FabricLine>, 'flat' | 'tube' | 'strip', string[]]>([
    ['braid turned back', {}, 'tube', []],
    ['flat fabric at 45 degrees', { reflected: false }, 'flat', []],
    [
      'strip from front to back',
      { direction: 'anterior_posterior', reflected: false },
      'strip',
      [],
    ],
    ['strip along', { direction: 'along', reflected: false }, 'strip', ['/direction']],
    [
      'flat fabric from side to side',
      { direction: 'medial_lateral', reflected: false },
      'flat',
      ['/direction'],
    ],
    ['flat fabric turned back', {}, 'flat', ['/reflected']],
    ['strip turned back', { direction: 'medial_lateral' }, 'strip', ['/reflected']],
    ['one layer turned back', { layers: 1 }, 'tube', ['/reflected']],
    ['two layers and a half', { layers: 2.5 }, 'tube', ['/layers']],
    ['half a layer', { layers: 0.5, reflected: false }, 'tube', ['/layers']],
    ['no layer', { layers: 0, reflected: false }, 'tube', ['/layers']],
    ['thirteen layers', { layers: 13 }, 'tube', ['/layers']],
  ])('%s: what is against it', (_title, over, form, fields) => {
    expect(questionLine({ ...braid, ...over }, form, '').map(({ field }) => field)).toEqual(fields);
  });
});
