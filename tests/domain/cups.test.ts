import { describe, expect, test } from 'vitest';
import {
  cupsLacking,
  cupStates,
  judgeAttempt,
  judgeNewRecipe,
  newestReading,
  resinLacking,
  type CupReading,
} from '../../src/domain/cups.ts';
import { recipeCautions } from '../../src/domain/recipeNotes.ts';
import { workTime } from '../../src/domain/resin.ts';
import { questionMixedAt } from '../../src/domain/weighing.ts';
import { EPOXY } from '../support/layups.ts';
import { codes } from '../support/limbs.ts';

const reading = (over: Partial<CupReading> = {}): CupReading => ({
  pour: 1,
  attempt: 1,
  stopped: false,
  disposition: null,
  ...over,
});
const stopped = (over: Partial<CupReading> = {}) => reading({ stopped: true, ...over });

describe('what became of a cup (C3)', () => {
  test('its newest reading says so, whichever order the readings come in', () => {
    const readings = [
      stopped({ attempt: 2, disposition: 'rework' }),
      reading({ attempt: 3 }),
      stopped({ attempt: 1, disposition: 'rework' }),
      stopped({ pour: 2 }),
    ];
    expect(cupStates(3, readings)).toEqual(['good', 'stopped', 'to_weigh']);
    expect(newestReading(readings, 1)?.attempt).toBe(3);
    expect(newestReading(readings, 3)).toBeUndefined();
  });

  test.each([
    [null, 'stopped'],
    ['accept_as_is', 'accepted'],
    ['rework', 'rejected'],
    ['remake', 'rejected'],
    ['scrap', 'rejected'],
  ] as const)('a stopped one whose finding was closed by %s is %s', (disposition, state) => {
    expect(cupStates(1, [stopped({ disposition })])).toEqual([state]);
  });

  test('only good and accepted ones are poured', () => {
    const states = ['good', 'to_weigh', 'accepted', 'rejected', 'stopped'] as const;
    expect(cupsLacking(states)).toEqual([2, 4, 5]);
    expect(resinLacking({ running: 1, ofLayup: true, states })).toBe(
      'cup 2 is not weighed; cup 4 is rejected, to be weighed again; cup 5 is stopped by a finding',
    );
    expect(resinLacking({ running: 1, ofLayup: true, states: ['good', 'accepted'] })).toBeNull();
  });

  test('nothing is laminated without a recipe, or by one for a layup that no longer stands', () => {
    expect(resinLacking(null)).toMatch(/no resin recipe/);
    expect(resinLacking({ running: 2, ofLayup: false, states: ['good'] })).toMatch(/recipe 2/);
  });
});

describe('another recipe (C3)', () => {
  test('takes the place of one of which no cup is weighed, or every cup is rejected', () => {
    const of = (states: readonly ('to_weigh' | 'rejected' | 'good' | 'accepted' | 'stopped')[]) =>
      judgeNewRecipe({ running: 1, ofLayup: true, states });
    expect(of(['to_weigh', 'rejected'])).toEqual([]);
    expect(of(['to_weigh', 'good', 'accepted'])).toMatchObject([
      {
        code: 'recipe-in-use',
        facts: { recipe: 1, cups: ['cup 2 (good)', 'cup 3 (accepted as it is)'] },
      },
    ]);
    expect(codes(of(['stopped']))).toEqual(['recipe-in-use']);
  });

  test('of one for an older layup always', () => {
    expect(judgeNewRecipe({ running: 1, ofLayup: false, states: ['good'] })).toEqual([]);
  });
});

describe('a reading of a cup (C3)', () => {
  const before = { resinG: 100, hardenerG: 30, pigmentG: 2 };
  const fresh = { pour: 1, putsRight: false, freshBecause: null };
  const again = { ...fresh, putsRight: true };

  test('a fresh cup draws all that is in it', () => {
    expect(judgeAttempt(fresh, 2, undefined, before)).toEqual({ against: [], drawn: before });
    const rejected = { ...stopped({ disposition: 'rework' }), ...before };
    expect(judgeAttempt(fresh, 2, rejected, before)).toEqual({ against: [], drawn: before });
  });

  test('a cup that is put right draws the difference, to the last decimal of the scale', () => {
    const newest = { ...stopped({ disposition: 'rework' }), ...before };
    const weighed = { resinG: 100.3, hardenerG: 38.1, pigmentG: 2 };
    expect(judgeAttempt(again, 2, newest, weighed)).toEqual({
      against: [],
      drawn: { resinG: 0.3, hardenerG: 8.1, pigmentG: 0 },
    });
  });

  test('to what is in it something is added, nothing taken away', () => {
    const newest = { ...stopped({ disposition: 'rework' }), ...before };
    const { against } = judgeAttempt(again, 2, newest, {
      resinG: 90,
      hardenerG: 29.9,
      pigmentG: 2,
    });
    expect(against).toMatchObject([
      { code: 'cup-reading-decreases', field: '/resinG', facts: { beforeG: 100, nowG: 90 } },
      { code: 'cup-reading-decreases', field: '/hardenerG' },
    ]);
  });

  test('a cup that the recipe does not have, and one that was never weighed, are refused', () => {
    expect(codes(judgeAttempt({ ...fresh, pour: 3 }, 2, undefined, before).against)).toEqual([
      'cup-unknown',
    ]);
    expect(codes(judgeAttempt(again, 2, undefined, before).against)).toEqual(['cup-not-weighed']);
  });

  test('one that could be poured is weighed afresh only with the reason', () => {
    for (const newest of [reading(), stopped({ disposition: 'accept_as_is' })]) {
      const of = (freshBecause: string | null) =>
        codes(
          judgeAttempt({ ...fresh, freshBecause }, 2, { ...newest, ...before }, before).against,
        );
      expect(of(null)).toEqual(['cup-already-weighed']);
      expect(of('It set in the cup.')).toEqual([]);
    }
  });
});

describe('the moment of mixing (C3)', () => {
  const at = new Date('2026-03-02T09:00:00Z');
  const ago = (minutes: number) => new Date(at.getTime() - minutes * 60_000);

  test('is now or within the shift', () => {
    for (const minutes of [0, 20, 720]) expect(questionMixedAt(ago(minutes), at)).toEqual([]);
    expect(questionMixedAt(ago(721), at)).toMatchObject([
      { code: 'mixed-long-ago', field: '/mixedAt', facts: { minutesAgo: 721 } },
    ]);
    expect(codes(questionMixedAt(ago(-1), at))).toEqual(['mixed-in-future']);
    expect(codes(questionMixedAt(new Date(Number.NaN), at))).toEqual(['mixed-in-future']);
  });
});

describe('what is told beside a recipe (C3)', () => {
  const product = { ...EPOXY, document: 'Invented sheet 3', revision: 'A' };
  const recipe = {
    pours: [{ resinG: 100, hardenerG: 38, pigmentG: 0, totalG: 138 }],
    workTime: workTime(product, 25),
    cupFullerThanReference: false,
  };

  test('the maker’s sheet comes first, then gloves, then the heat of a full cup', () => {
    const [maker, hands, heat, ...more] = recipeCautions(recipe, product);
    expect(maker).toContain('Invented sheet 3, revision A');
    expect(hands).toMatch(/gloves/);
    expect(heat).toContain('400 g');
    expect(more).toEqual([]);
  });

  test('several cups, a fuller one than the sheet measured, and a time that nobody knows are said', () => {
    const { pours } = recipe;
    const told = recipeCautions(
      {
        pours: [...pours, ...pours],
        cupFullerThanReference: true,
        workTime: workTime({ ...product, chemistry: 'acrylic' }, 15),
      },
      product,
    ).slice(3);
    expect(told).toHaveLength(3);
    expect(told[0]).toMatch(/^2 cups/);
    expect(told[1]).toContain('100 g');
    expect(told[2]).toMatch(/nothing says/);
  });
});
