import { describe, expect, it } from 'vitest';
import { resinRecipe, splitByRatio, workTime } from '../../src/domain/resin.ts';
import { ASKED, EPOXY } from '../support/layups.ts';

describe('resin as published (C3)', () => {
  it.each([
    [
      '100A:38B, 250 g',
      'Jamestown Distributors, "What is a mix ratio"',
      38,
      250,
      '181.16',
      '68.84',
    ],
    ['100:47 by mass (2:1 by volume), 300 g', 'Swell Composites guide', 47, 300, '204.08', '95.92'],
  ])('%s (%s; split computed by hand)', (_mix, _source, partsHardener, mixG, resin, hardener) => {
    const parts = splitByRatio(mixG, { partsResin: 100, partsHardener });
    expect([parts.resinG.toFixed(2), parts.hardenerG.toFixed(2)]).toEqual([resin, hardener]);
  });

  it('100A:38B means 38 g of hardener to 100 g of resin, the first figure is resin (Jamestown Distributors)', () => {
    const verdict = resinRecipe(EPOXY, {
      ...ASKED,
      fabricMassG: 138,
      bagLossG: 0,
      marginPercent: 0,
      pigmentPercent: 0,
    });
    expect(verdict).toMatchObject({ value: { resinG: 100, hardenerG: 38 } });
  });

  it.each([
    [25, '20.0'],
    [15, '40.0'],
    [35, '10.0'],
    [30, '14.1'],
  ])(
    '20 min at 25 °C: at %d °C %s min (Barnard, "Controlling exotherm", Epoxyworks: each 10 °C halves or doubles; figures computed by hand)',
    (shopC, minutes) => {
      expect(workTime(EPOXY, shopC).minutes?.toFixed(1)).toBe(minutes);
    },
  );

  it('each 18 °F is each 10 °C: 77 °F to 95 °F halves it (the same note)', () => {
    const celsius = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;
    const [at77, at95] = [77, 95].map((each) => workTime(EPOXY, celsius(each)).minutes ?? 0);
    expect(at95! / at77!).toBeCloseTo(0.5, 12);
  });

  it('resin to glass 2:1 by mass is a fibre mass fraction of a third (course notes "Fibre volume fraction and laminate thickness")', () => {
    const verdict = resinRecipe(EPOXY, {
      ...ASKED,
      fabricMassG: 90,
      fibreMassFraction: 1 / 3,
      bagLossG: 0,
    });
    expect(verdict.ok && verdict.value.neededG).toBeCloseTo(180, 10);
  });
});
