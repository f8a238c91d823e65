import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  compareAlignments,
  coversDifference,
  judgeAlignment,
  questionAlignment,
  type Alignment,
} from '../../src/domain/alignment.ts';
import { evenly } from '../support/figures.ts';
import { codes, NEUTRAL } from '../support/limbs.ts';

const tolerance = { angleDeg: 1, lengthMm: 3 };
const measuredAs = (over: Partial<Alignment>) => ({
  socket: 'KL-26-00001-X/D1',
  accepted: NEUTRAL,
  measured: { ...NEUTRAL, ...over, coversMoveIds: ['pyramid-in'] },
  currentMoveIds: ['pyramid-in'],
  tolerance,
  pastRange: [],
  differenceSigned: false,
});

const anyAlignment: fc.Arbitrary<Alignment> = fc.record({
  flexionDeg: evenly(-30, 30),
  adductionDeg: evenly(-30, 30),
  anteriorOffsetMm: evenly(-100, 100),
  lateralOffsetMm: evenly(-100, 100),
  toeOutDeg: evenly(-30, 30),
  heightToFloorMm: fc.double({ min: 100, max: 900, noNaN: true }),
});

describe('the alignment of the definitive socket (R14)', () => {
  it('is accepted where it reproduces the accepted one within 1 degree and 3 mm', () => {
    expect(judgeAlignment(measuredAs({}))).toEqual([]);
    expect(judgeAlignment(measuredAs({ flexionDeg: 6, lateralOffsetMm: -7 }))).toEqual([]);
  });

  it('at the limit is within, whatever binary fractions make of it', () => {
    // 5.3 - 4.3 is a little more than 1 in binary fractions.
    const facts = measuredAs({ flexionDeg: 5.3 });
    expect(judgeAlignment({ ...facts, accepted: { ...NEUTRAL, flexionDeg: 4.3 } })).toEqual([]);
    expect(codes(judgeAlignment(measuredAs({ flexionDeg: 6.001 })))).toEqual([
      'alignment-out-of-tolerance',
    ]);
  });

  it('tells every component that differs, with its sign and unit', () => {
    const reasons = judgeAlignment(
      measuredAs({ flexionDeg: 3.5, heightToFloorMm: 460, toeOutDeg: 6.5 }),
    );
    expect(reasons).toMatchObject([
      {
        code: 'alignment-out-of-tolerance',
        rule: 'R14',
        facts: {
          differences: ['flexion differs by -1.5 °', 'height to the floor differs by +8 mm'],
        },
      },
    ]);
  });

  it('may differ where a prosthetist signed that it may', () => {
    expect(judgeAlignment({ ...measuredAs({ flexionDeg: 9 }), differenceSigned: true })).toEqual(
      [],
    );
  });

  it('past the range that pyramid or adapter states is told by name, until that is signed for', () => {
    const pastRange = [{ item: 'Pyramid serial 1', tiltDeg: 11.2, rangeDeg: 8 }];
    const [said, ...more] = judgeAlignment({ ...measuredAs({}), pastRange });
    expect(said).toMatchObject({ code: 'adapter-range-exceeded', facts: { rangeDeg: 8 } });
    expect(said?.detail).toBe(
      'The alignment on Pyramid serial 1 needs a tilt of 11.2°; the adapter reaches 8°.',
    );
    expect(more).toEqual([]);
    // Also where check fitting was skipped, and beside what is out of tolerance.
    expect(codes(judgeAlignment({ ...measuredAs({}), accepted: null, pastRange }))).toEqual([
      'adapter-range-exceeded',
    ]);
    expect(codes(judgeAlignment({ ...measuredAs({ flexionDeg: 9 }), pastRange }))).toEqual([
      'adapter-range-exceeded',
      'alignment-out-of-tolerance',
    ]);
    expect(judgeAlignment({ ...measuredAs({}), pastRange, differenceSigned: true })).toEqual([]);
  });

  it('signed for covers what was seen: the same accepted alignment, no narrower range, no other piece', () => {
    const past = { item: 'Pyramid serial 1', tiltDeg: 11.2, rangeDeg: 8 };
    const seen = { accepted: NEUTRAL, pastRange: [past] };
    expect(coversDifference(seen, NEUTRAL, [past])).toBe(true);
    expect(coversDifference(seen, { ...NEUTRAL }, [{ ...past, rangeDeg: 10 }])).toBe(true);
    expect(coversDifference(seen, NEUTRAL, [])).toBe(true);
    expect(coversDifference(seen, NEUTRAL, [{ ...past, rangeDeg: 6 }])).toBe(false);
    expect(coversDifference(seen, NEUTRAL, [{ ...past, item: 'Adapter lot 4' }])).toBe(false);
    expect(coversDifference(seen, { ...NEUTRAL, toeOutDeg: 7 }, [past])).toBe(false);
    expect(coversDifference(seen, null, [past])).toBe(false);
    const skipped = { accepted: null, pastRange: [past] };
    expect(coversDifference(skipped, null, [past])).toBe(true);
    expect(coversDifference(skipped, NEUTRAL, [past])).toBe(false);
  });

  it('has a height to the floor in millimetres; centimetres are questioned in words', () => {
    for (const heightToFloorMm of [60, 312, 900]) {
      expect(questionAlignment({ ...NEUTRAL, heightToFloorMm })).toEqual([]);
    }
    const [said] = questionAlignment({ ...NEUTRAL, heightToFloorMm: 31.2 }, '/alignment');
    expect(said).toMatchObject({
      code: 'value-out-of-range',
      field: '/alignment/heightToFloorMm',
    });
    expect(said?.detail).toContain('is 31.2 mm; taken are 60 to 900 mm. Usual: 120 to 550 mm');
    expect(questionAlignment({ ...NEUTRAL, heightToFloorMm: 901 })).toMatchObject([
      { field: '/heightToFloorMm' },
    ]);
  });

  it('has nothing to be compared with where check fitting was skipped', () => {
    expect(judgeAlignment({ ...measuredAs({ flexionDeg: 9 }), accepted: null })).toEqual([]);
  });

  it('must be measured on this socket, and after the last move of pyramid or adapter', () => {
    expect(judgeAlignment({ ...measuredAs({}), measured: null })).toMatchObject([
      { code: 'alignment-missing', facts: { why: 'it was never measured on this socket' } },
    ]);
    const moved = { ...measuredAs({}), currentMoveIds: ['pyramid-in-again'] };
    expect(judgeAlignment({ ...moved, differenceSigned: true })).toMatchObject([
      { code: 'alignment-missing', facts: { why: expect.stringContaining('moved after') } },
    ]);
  });

  it('differs from another by as much as that other from it, the other way', () => {
    fc.assert(
      fc.property(anyAlignment, anyAlignment, (accepted, measured) => {
        const there = compareAlignments(accepted, measured, tolerance);
        const back = compareAlignments(measured, accepted, tolerance);
        expect(there.map((line) => line.component)).toHaveLength(6);
        there.forEach((line, n) => {
          expect(back[n]).toMatchObject({ component: line.component, within: line.within });
          expect(line.difference + (back[n]?.difference ?? Number.NaN)).toBe(0);
        });
      }),
    );
  });

  it('never differs from itself, and a wider tolerance never refuses more', () => {
    fc.assert(
      fc.property(anyAlignment, anyAlignment, evenly(0, 20), (accepted, measured, more) => {
        for (const line of compareAlignments(accepted, accepted, { angleDeg: 0, lengthMm: 0 })) {
          expect(line).toMatchObject({ difference: 0, within: true });
        }
        const wider = { angleDeg: 1 + more, lengthMm: 3 + more };
        const strict = compareAlignments(accepted, measured, tolerance);
        compareAlignments(accepted, measured, wider).forEach((line, n) => {
          if (strict[n]?.within === true) expect(line.within).toBe(true);
        });
      }),
    );
  });
});
