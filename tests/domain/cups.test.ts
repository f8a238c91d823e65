import { describe, expect, test } from 'vitest';
import {
  cupCaution,
  cupsLacking,
  cupStates,
  judgeAttempt,
  judgeNewRecipe,
  judgeProductOf,
  laminationBegan,
  newestReading,
  resinLacking,
  type CupReading,
  type CupState,
} from '../../src/domain/cups.ts';
import { recipeCautions } from '../../src/domain/recipeNotes.ts';
import { workTime } from '../../src/domain/resin.ts';
import { questionMixedAt } from '../../src/domain/weighing.ts';
import { EPOXY } from '../support/layups.ts';
import { codes } from '../support/limbs.ts';

const at = new Date('2026-03-02T09:00:00Z');
const ago = (minutes: number) => new Date(at.getTime() - minutes * 60_000);
const reading = (over: Partial<CupReading> = {}): CupReading => ({
  pour: 1,
  attempt: 1,
  stopped: false,
  disposition: null,
  mixedAt: ago(5),
  workMinutes: 30,
  spent: false,
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
    expect(cupStates(3, readings, at)).toEqual(['good', 'stopped', 'to_weigh']);
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
    expect(cupStates(1, [stopped({ disposition })], at)).toEqual([state]);
  });

  test('one whose work time is over has set, the minute it is over; where nothing says how long, it has not', () => {
    const after = (minutes: number, over: Partial<CupReading> = {}) =>
      cupStates(1, [reading({ mixedAt: ago(minutes), ...over })], at);
    expect(after(29.9)).toEqual(['good']);
    expect(after(30)).toEqual(['set']);
    expect(after(11 * 60)).toEqual(['set']);
    expect(after(30, { stopped: true, disposition: 'accept_as_is' })).toEqual(['set']);
    expect(after(30, { stopped: true, disposition: 'rework' })).toEqual(['rejected']);
    expect(after(30, { stopped: true })).toEqual(['stopped']);
    expect(after(11 * 60, { workMinutes: null })).toEqual(['good']);
    const unknown = { workMinutes: null };
    for (const state of ['good', 'accepted'] as const) {
      expect(cupCaution(state, unknown)).toMatch(/still flows/);
      expect(cupCaution(state, { workMinutes: 30 })).toBeNull();
    }
    expect(cupCaution('stopped', unknown)).toBeNull();
    expect(cupCaution('to_weigh', undefined)).toBeNull();
  });

  test('one that was weighed before the lamination was last recorded is spent', () => {
    expect(cupStates(1, [reading({ spent: true })], at)).toEqual(['spent']);
    // Whether it set meanwhile is no longer the question; whether it was rejected still is.
    expect(cupStates(1, [reading({ spent: true, mixedAt: ago(600) })], at)).toEqual(['spent']);
    const rejected = stopped({ spent: true, disposition: 'rework' });
    expect(cupStates(1, [rejected], at)).toEqual(['rejected']);
    expect(resinLacking({ running: 1, ofLayup: true, states: ['spent', 'set'] })).toBe(
      'cup 1 is spent on an earlier attempt: to be weighed afresh; cup 2 is set, its work time is over: to be weighed afresh; if it was poured in time, record the lamination with the minutes that it took',
    );
  });

  test('a lamination that is recorded when it is over began so many minutes ago, two hours at most', () => {
    expect(laminationBegan(at, 0)).toEqual(at);
    expect(laminationBegan(at, 45)).toEqual(ago(45));
    expect(laminationBegan(at, 1_440)).toEqual(ago(120));
    const poured = reading({ mixedAt: ago(50) });
    expect(cupStates(1, [poured], laminationBegan(at, 45))).toEqual(['good']);
    expect(cupStates(1, [poured], laminationBegan(at, 20))).toEqual(['set']);
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
  test('takes the place of one of which no cup is weighed, or every cup is rejected, set or spent', () => {
    const of = (states: readonly CupState[]) =>
      judgeNewRecipe({ running: 1, ofLayup: true, states });
    expect(of(['to_weigh', 'rejected', 'set', 'spent'])).toEqual([]);
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

describe('the product of a recipe (C3)', () => {
  const sheet = { ...EPOXY, document: 'Invented sheet 3', revision: 'A' };
  const now = { ...sheet, active: true };
  const of = (over: Partial<typeof now>, states: readonly CupState[] = ['to_weigh', 'set']) =>
    judgeProductOf({ running: 2, ofLayup: true, states }, sheet, { ...now, ...over });

  test('as it was, or only renamed, it may be weighed on', () => {
    expect(of({})).toEqual([]);
    expect(of({ name: 'Bench epoxy, new label' })).toEqual([]);
  });

  test('withdrawn, or its sheet changed, takes no further cup', () => {
    expect(codes(of({ active: false, revision: 'B' }))).toEqual(['resin-product-withdrawn']);
    expect(of({ partsHardener: 40, revision: 'B' })).toMatchObject([
      {
        code: 'recipe-of-older-sheet',
        facts: { recipe: 2, changed: ['partsHardener', 'revision'] },
      },
    ]);
  });

  test('unless a cup that may be poured waits for the others', () => {
    for (const waits of ['good', 'accepted'] as const) {
      expect(of({ active: false }, ['to_weigh', waits])).toEqual([]);
      expect(of({ partsHardener: 40 }, [waits, 'to_weigh'])).toEqual([]);
    }
  });
});

describe('a reading of a cup (C3)', () => {
  const before = { resinG: 100, hardenerG: 30, pigmentG: 2 };
  const fresh = { pour: 1, putsRight: false, freshBecause: null };
  const again = { ...fresh, putsRight: true };

  test('a fresh cup draws all that is in it', () => {
    expect(judgeAttempt(fresh, 2, undefined, before, at)).toEqual({ against: [], drawn: before });
    const rejected = { ...stopped({ disposition: 'rework' }), ...before };
    expect(judgeAttempt(fresh, 2, rejected, before, at)).toEqual({ against: [], drawn: before });
  });

  test('a cup that is put right draws the difference, to the last decimal of the scale', () => {
    const newest = { ...stopped({ disposition: 'rework' }), ...before };
    const weighed = { resinG: 100.3, hardenerG: 38.1, pigmentG: 2 };
    expect(judgeAttempt(again, 2, newest, weighed, at)).toEqual({
      against: [],
      drawn: { resinG: 0.3, hardenerG: 8.1, pigmentG: 0 },
    });
  });

  test('to what is in it something is added, nothing taken away', () => {
    const newest = { ...stopped({ disposition: 'rework' }), ...before };
    const { against } = judgeAttempt(
      again,
      2,
      newest,
      {
        resinG: 90,
        hardenerG: 29.9,
        pigmentG: 2,
      },
      at,
    );
    expect(against).toMatchObject([
      { code: 'cup-reading-decreases', field: '/resinG', facts: { beforeG: 100, nowG: 90 } },
      { code: 'cup-reading-decreases', field: '/hardenerG' },
    ]);
  });

  test('a cup that the recipe does not have, and one that was never weighed, are refused', () => {
    expect(codes(judgeAttempt({ ...fresh, pour: 3 }, 2, undefined, before, at).against)).toEqual([
      'cup-unknown',
    ]);
    expect(codes(judgeAttempt(again, 2, undefined, before, at).against)).toEqual([
      'cup-not-weighed',
    ]);
  });

  test('one that set or is spent is weighed afresh without more words, and nothing is added to it', () => {
    const setRejected = stopped({ disposition: 'rework', mixedAt: ago(30) });
    for (const [newest, isSpent] of [
      [reading({ mixedAt: ago(30) }), false],
      [setRejected, false],
      [reading({ spent: true }), true],
    ] as const) {
      expect(judgeAttempt(fresh, 2, { ...newest, ...before }, before, at)).toEqual({
        against: [],
        drawn: before,
      });
      expect(judgeAttempt(again, 2, { ...newest, ...before }, before, at).against).toMatchObject([
        { code: 'cup-no-longer-flows', field: '/putsRight', facts: { pour: 1, spent: isSpent } },
      ]);
    }
  });

  test('one that could be poured is weighed afresh only with the reason', () => {
    for (const newest of [reading(), stopped({ disposition: 'accept_as_is' })]) {
      const of = (freshBecause: string | null) =>
        codes(
          judgeAttempt({ ...fresh, freshBecause }, 2, { ...newest, ...before }, before, at).against,
        );
      expect(of(null)).toEqual(['cup-already-weighed']);
      expect(of('It set in the cup.')).toEqual([]);
    }
  });
});

describe('the moment of mixing (C3)', () => {
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
