import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Day } from '../../src/domain/days.ts';
import {
  LIMB_LIMITS,
  questionDayTaken,
  questionMeasures,
  questionTable,
  type LimbMeasure,
} from '../../src/domain/measures.ts';
import { LEVELS } from '../../src/domain/words.ts';
import { evenly } from '../support/figures.ts';
import { day } from '../support/limbs.ts';

const limb: LimbMeasure[] = [
  { heightMm: 0, circumferenceMm: 232 },
  { heightMm: 40, circumferenceMm: 268 },
  { heightMm: 80, circumferenceMm: 297 },
  { heightMm: 120, circumferenceMm: 321 },
];
const asked = (measures: readonly LimbMeasure[], limbLengthMm = 150) =>
  questionMeasures('trans_tibial', limbLengthMm, measures);
const changed = (index: number, given: Partial<LimbMeasure>) =>
  limb.map((measure, at) => (at === index ? { ...measure, ...given } : measure));

describe('measures of a limb', () => {
  test('a plain limb is not questioned', () => {
    expect(asked(limb)).toEqual([]);
  });

  test('centimetres typed as millimetres are named as such, once', () => {
    const reasons = asked(limb.map((m) => ({ ...m, circumferenceMm: m.circumferenceMm / 10 })));
    expect(reasons.map(({ code }) => code)).toEqual(['measures-implausible']);
    expect(reasons[0]?.detail).toContain('centimetres');
  });

  test.each<[string, LimbMeasure[], string[]]>([
    ['a height that does not rise', changed(2, { heightMm: 40 }), ['/measures/2']],
    [
      'a circumference off by half its neighbours',
      changed(2, { circumferenceMm: 420 }),
      ['/measures/2'],
    ],
    [
      'a limb thicker than any leg',
      changed(3, { heightMm: 230, circumferenceMm: 701 }),
      ['/measures/3'],
    ],
    [
      'a tenth of one circumference',
      changed(1, { circumferenceMm: 26.8 }),
      ['/measures/1', '/measures/1', '/measures/2'],
    ],
  ])('%s is questioned at its place', (_title, measures, fields) => {
    expect(asked(measures).map(({ field }) => field)).toEqual(fields);
  });

  test('the same leap over 60 mm is a limb', () => {
    const flared = [
      { heightMm: 0, circumferenceMm: 200 },
      { heightMm: 60, circumferenceMm: 290 },
      { heightMm: 110, circumferenceMm: 300 },
    ];
    expect(asked(flared)).toEqual([]);
  });

  test('a length in centimetres is questioned', () => {
    expect(asked(limb, 15).map(({ code, field }) => [code, field])).toEqual([
      ['limb-length-implausible', '/limbLengthMm'],
    ]);
  });

  test('heights in centimetres are questioned, once, at the top of the table', () => {
    const reasons = asked(limb.map((m) => ({ ...m, heightMm: m.heightMm / 10 })));
    expect(reasons.filter(({ detail }) => detail.includes('centimetres'))).toMatchObject([
      { code: 'measures-implausible', field: '/measures/3' },
    ]);
  });

  test('a limb of the least or the greatest measures is one', () => {
    const even = (circumferenceMm: number, heights: readonly number[]) =>
      heights.map((heightMm) => ({ heightMm, circumferenceMm }));
    expect(asked(even(100, [0, 15, 30]), 40)).toEqual([]);
    expect(asked(even(700, [0, 90, 180]), 500)).toEqual([]);
    expect(asked(even(300, [0, 90, 180]), 501).map(({ code }) => code)).toEqual([
      'limb-length-implausible',
    ]);
    // A length that is itself in doubt measures nothing else.
    expect(asked(limb, 1_500).map(({ code }) => code)).toEqual(['limb-length-implausible']);
  });

  test('a table may reach 80 mm past the landmark, for the trim line, and no further', () => {
    const reaching = (heightMm: number) => asked([...limb, { heightMm, circumferenceMm: 330 }]);
    expect(reaching(230)).toEqual([]);
    const [said, ...more] = reaching(230.5);
    expect(said).toMatchObject({ code: 'measures-implausible', field: '/measures/4' });
    expect(said?.detail).toContain("80.5 mm past the limb's length of 150 mm, and at most 80 mm");
    expect(more).toEqual([]);
  });

  test('a limb shorter than its own table is questioned', () => {
    expect(asked([...limb, { heightMm: 160, circumferenceMm: 338 }], 60)).toMatchObject([
      { code: 'measures-implausible', field: '/measures/4', facts: { heightMm: 160 } },
    ]);
  });

  test('are of a day that has come, of a patient who was born', () => {
    const taken = (on: Day) =>
      questionDayTaken('The day of the cast', on, {
        today: day('2026-03-02'),
        birthDate: day('1958-04-11'),
      }).map(({ code, field }) => [code, field]);
    expect(taken(day('2026-03-02'))).toEqual([]);
    expect(taken(day('1958-04-11'))).toEqual([]);
    expect(taken(day('2026-03-03'))).toEqual([['day-in-future', '/takenOn']]);
    expect(taken(day('1958-04-10'))).toEqual([['day-before-birth', '/takenOn']]);
  });

  test('heights are measured from the first, wherever that is', () => {
    const from = (heights: readonly number[]) =>
      asked(
        heights.map((heightMm) => ({ heightMm, circumferenceMm: 300 })),
        200,
      ).map(({ field, facts }) => [field, facts['heightMm']]);
    expect(from([100, 105, 110])).toEqual([['/measures/2', 110]]);
    expect(from([100, 112, 124])).toEqual([]);
    expect(from([100, 100])).toEqual([['/measures/1', 100]]);
    expect(from([100, 90])).toEqual([['/measures/1', 90]]);
  });

  test('four tenths between neighbours are a limb', () => {
    const widening = [
      { heightMm: 0, circumferenceMm: 250 },
      { heightMm: 40, circumferenceMm: 350 },
      { heightMm: 80, circumferenceMm: 350 },
    ];
    expect(asked(widening)).toEqual([]);
  });

  test('an empty table has nothing to be questioned here', () => {
    expect(asked([])).toEqual([]);
  });

  test('what is no number is questioned wherever it stands', () => {
    expect(asked(limb, Number.NaN).map(({ code }) => code)).toEqual(['limb-length-implausible']);
    expect(asked(changed(1, { circumferenceMm: Number.NaN })).map(({ field }) => field)).toEqual([
      '/measures/1',
    ]);
    expect(asked(changed(0, { heightMm: Number.NaN })).map(({ field }) => field)).toEqual([
      '/measures/0',
      '/measures/1',
    ]);
  });

  test('a height below the distal end is questioned', () => {
    expect(asked(changed(0, { heightMm: -5 }))).toMatchObject([
      { field: '/measures/0', detail: expect.stringContaining('below the distal end') },
    ]);
  });

  test.each<[string, LimbMeasure[], string[]]>([
    ['a plain limb', limb, []],
    ['two heights', limb.slice(0, 2), []],
    ['one height', limb.slice(0, 1), ['/measures']],
    ['a start below the distal end', changed(0, { heightMm: -1 }), ['/measures/0']],
    [
      'a start that is no number',
      changed(0, { heightMm: Number.NaN }),
      ['/measures/0', '/measures/1'],
    ],
    ['a second height below the end', changed(1, { heightMm: -5 }), ['/measures/1']],
    ['a height twice', changed(1, { heightMm: 0 }), ['/measures/1']],
    ['an endless limb', changed(3, { heightMm: Infinity }), ['/measures/3']],
    ['no circumference', changed(2, { circumferenceMm: 0 }), ['/measures/2']],
    ['an endless circumference', changed(2, { circumferenceMm: Infinity }), ['/measures/2']],
  ])('as a solid, %s is taken or questioned at its place', (_title, measures, fields) => {
    expect(questionTable(measures).map(({ field }) => field)).toEqual(fields);
  });

  test('within the limits of its level, a limb that widens slowly is never questioned', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...LEVELS),
        evenly(0, 1),
        fc.array(evenly(0, 0.39), { minLength: 3, maxLength: 12 }),
        (level, at, growth) => {
          const [least, greatest] = LIMB_LIMITS[level].circumferenceMm;
          let circumferenceMm = least + at * (greatest / 2 - least);
          const measures = growth.map((share, index) => {
            circumferenceMm = Math.min(greatest, circumferenceMm * (1 + share));
            return { heightMm: index * 25, circumferenceMm };
          });
          expect(questionMeasures(level, 200, measures)).toEqual([]);
        },
      ),
    );
  });
});
