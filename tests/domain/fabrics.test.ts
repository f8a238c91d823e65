import { describe, expect, test } from 'vitest';
import {
  chooseFabric,
  FABRIC_FORMS,
  girthStretchedMm,
  questionFabric,
  questionMaterial,
  questionReach,
  STARTING_FABRICS,
  type Fabric,
} from '../../src/domain/fabrics.ts';
import { GLASS_CLOTH } from '../support/layups.ts';
import { refusalCodes } from '../support/limbs.ts';

const braid = (widthMm: number): Fabric => ({
  id: `braid ${widthMm}`,
  name: `Braid ${widthMm}`,
  material: 'braid',
  form: 'tube',
  arealDensityGm2: 350,
  widthMm,
  fibreDensityGcm3: 1.8,
  stretchPercent: 50,
});
const chosen = (fabrics: readonly Fabric[], girthMm: number, material = 'braid') => {
  const verdict = chooseFabric(material, fabrics, girthMm, '/fabric');
  return verdict.ok ? verdict.value.id : refusalCodes(verdict);
};

describe('fabrics of the catalogue (C2)', () => {
  test('what a new clinic finds there has no figure out of range, and every id once', () => {
    expect(STARTING_FABRICS.flatMap((fabric) => questionFabric(fabric))).toEqual([]);
    expect(new Set(STARTING_FABRICS.map(({ id }) => id)).size).toBe(STARTING_FABRICS.length);
    expect(FABRIC_FORMS).toEqual(['flat', 'tube', 'strip']);
  });

  test('rolls of one material have one form, for a rule names the material only', () => {
    const flat = { ...braid(300), id: 'flat', form: 'flat' } as const;
    expect(questionMaterial(braid(100), [braid(150), GLASS_CLOTH])).toEqual([]);
    expect(questionMaterial(flat, [flat, GLASS_CLOTH])).toEqual([]);
    expect(questionMaterial(flat, [GLASS_CLOTH, braid(150)])).toMatchObject([
      {
        code: 'material-has-another-form',
        field: '/material',
        facts: { material: 'braid', form: 'tube', other: 'Braid 150' },
      },
    ]);
  });

  test.each<[string, Partial<Fabric>, string]>([
    ['ounces by the square yard', { arealDensityGm2: 5.7 }, '/fabrics/2/arealDensityGm2'],
    ['kilograms by the cubic metre', { fibreDensityGcm3: 1_790 }, '/fabrics/2/fibreDensityGcm3'],
    ['centimetres', { widthMm: 4 }, '/fabrics/2/widthMm'],
    ['a stretch of minus ten per cent', { stretchPercent: -10 }, '/fabrics/2/stretchPercent'],
    ['no number', { widthMm: Number.NaN }, '/fabrics/2/widthMm'],
  ])('%s in a figure are questioned with what is usual', (_title, over, field) => {
    const [against, ...more] = questionFabric({ ...braid(100), ...over }, '/fabrics/2');
    expect(more).toEqual([]);
    expect(against).toMatchObject({ code: 'value-out-of-range', kind: 'invalid', field });
    expect(against?.detail).toMatch(/taken are .* to .*Usual: /);
  });

  test('a tube reaches as far as its girth stretches, flat fabric and strip anywhere', () => {
    expect(girthStretchedMm(braid(100))).toBe(300);
    expect(questionReach(braid(100), 300)).toEqual([]);
    expect(questionReach(braid(100), 300.1, '/lines/3/fabric')).toMatchObject([
      { code: 'fabric-too-narrow', field: '/lines/3/fabric', facts: { reachesMm: 300 } },
    ]);
    expect(questionReach(GLASS_CLOTH, 900)).toEqual([]);
  });

  test('of the tubes that reach, the widest that is still drawn tight is taken', () => {
    const rolls = [braid(80), braid(200), braid(150), braid(120)];
    expect(chosen(rolls, 320)).toBe('braid 150');
    expect(chosen(rolls, 300)).toBe('braid 150');
    expect(chosen(rolls, 299)).toBe('braid 120');
    expect(chosen(rolls, 239)).toBe('braid 80');
  });

  test('where every tube that reaches is loose, the narrowest of them is taken', () => {
    expect(chosen([braid(200), braid(150)], 250)).toBe('braid 150');
    expect(chosen([braid(150), braid(250), braid(200), braid(80)], 250)).toBe('braid 150');
  });

  test('where none reaches, it is said of the widest', () => {
    const verdict = chooseFabric('braid', [braid(80), braid(120)], 500, '/lines/0/fabric');
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      {
        code: 'fabric-too-narrow',
        facts: { fabric: 'Braid 120', widthMm: 120 },
        field: '/lines/0/fabric',
      },
    ]);
  });

  test('of flat fabric the first in the catalogue is taken; what is not there is said', () => {
    const other = { ...GLASS_CLOTH, id: 'second', widthMm: 900 };
    expect(chosen([braid(80), GLASS_CLOTH, other], 400, 'glass_cloth')).toBe('glass_cloth');
    expect(chosen([other, GLASS_CLOTH], 700, 'glass_cloth')).toBe('second');
    expect(chosen([braid(80)], 200, 'felt')).toEqual(['fabric-unknown']);
  });
});
