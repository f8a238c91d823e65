import { describe, expect, test } from 'vitest';
import { cutsOf, laidAreaMm2, questionPanels, type LayupShape } from '../../src/domain/cutList.ts';
import { STARTING_FABRICS, type Fabric } from '../../src/domain/fabrics.ts';
import type { FabricLine } from '../../src/domain/layupRules.ts';
import { GLASS_CLOTH } from '../support/layups.ts';

/** A straight limb of girth 300 mm: 200 mm of wall, 50 mm over the end. */
const straight: LayupShape = {
  wallLengthMm: 200,
  capArcMm: 50,
  areaMm2: 70_000,
  greatestCircumferenceMm: 300,
  meanCircumferenceMm: 300,
};
const allowances = { brimMm: 60, endTieMm: 50, overlapMm: 20, stepMm: 5 };
const cut = (fabric: Fabric, over: Partial<FabricLine> = {}, shape = straight) =>
  cutsOf(
    {
      line: {
        kind: 'fabric',
        fabric: fabric.id,
        layers: 1,
        direction: 'along',
        reflected: false,
        ...over,
      },
      place: 1,
      fabric,
    },
    shape,
    allowances,
  );
const braid150 = STARTING_FABRICS.find(({ id }) => id === 'structural_braid_150')!;
const braid100 = STARTING_FABRICS.find(({ id }) => id === 'structural_braid_100')!;
const strip50 = STARTING_FABRICS.find(({ id }) => id === 'carbon_strip_50')!;

describe('the cut list (C2)', () => {
  test('a tube is cut for wall, end, brim and tie; its flat width counts twice', () => {
    expect(cut(braid150)).toEqual([
      expect.objectContaining({ widthMm: 150, lengthMm: 360, count: 1, reflected: false }),
    ]);
    // 0.3 m × 0.36 m × 350 g/m².
    expect(cut(braid150)[0]?.massG).toBeCloseTo(37.8, 12);
  });

  test('turned back, one piece makes two layers; a third layer is a piece of its own', () => {
    const pieces = (layers: number) =>
      cut(braid150, { layers, reflected: true }).map(({ count, lengthMm, reflected }) => [
        count,
        lengthMm,
        reflected,
      ]);
    expect(pieces(2)).toEqual([[1, 670, true]]);
    expect(pieces(3)).toEqual([
      [1, 670, true],
      [1, 360, false],
    ]);
    expect(pieces(4)).toEqual([[2, 670, true]]);
  });

  test('a narrow tube loses in length what it gains in girth', () => {
    // 300 mm of girth over 200 mm at rest: 250 mm covered take 375 mm of tube.
    expect(cut(braid100)[0]).toMatchObject({ widthMm: 100, lengthMm: 485 });
  });

  test('strip runs up one side, over the end and down the other', () => {
    expect(cut(strip50, { direction: 'medial_lateral', layers: 2 })).toEqual([
      expect.objectContaining({
        widthMm: 50,
        lengthMm: 620,
        count: 2,
        direction: 'medial_lateral',
        reflected: false,
      }),
    ]);
    // One layer of it: 0.05 m × 0.62 m × 300 g/m². Laid, without brims: up, over and down, 500 mm.
    expect(cut(strip50)[0]?.massG).toBeCloseTo(9.3, 12);
    expect(laidAreaMm2(strip50, straight)).toBe(25_000);
    expect(laidAreaMm2(braid150, straight)).toBe(70_000);
  });

  test('flat fabric is wrapped with an overlap, in panels where the roll is narrow', () => {
    expect(cut(GLASS_CLOTH, {}, { ...straight, greatestCircumferenceMm: 280 })).toEqual([
      expect.objectContaining({ widthMm: 300, lengthMm: 360, count: 1 }),
    ]);
    expect(cut(GLASS_CLOTH, { layers: 3 })).toEqual([
      expect.objectContaining({ widthMm: 170, lengthMm: 360, count: 6 }),
    ]);
  });

  test('a roll that is no wider than the overlap wraps nothing', () => {
    const line = { kind: 'fabric', layers: 1, direction: 'along', reflected: false } as const;
    const misfits = (fabric: Fabric) =>
      questionPanels(
        { line: { ...line, fabric: fabric.id }, place: 1, fabric },
        allowances,
        '/lines/0/fabric',
      );
    expect(misfits({ ...GLASS_CLOTH, widthMm: 21 })).toEqual([]);
    expect(misfits({ ...strip50, widthMm: 20 })).toEqual([]);
    expect(misfits({ ...GLASS_CLOTH, widthMm: 20 })).toMatchObject([
      { code: 'layup-line-misfits', field: '/lines/0/fabric', facts: { fabric: 'glass_cloth' } },
    ]);
  });

  test('lengths are rounded up to the step, not past a length that is one', () => {
    const lengthOf = (wallLengthMm: number) =>
      cut(braid150, {}, { ...straight, wallLengthMm })[0]?.lengthMm;
    expect(lengthOf(200)).toBe(360);
    expect(lengthOf(200.1)).toBe(365);
    expect(lengthOf(205)).toBe(365);
  });
});
