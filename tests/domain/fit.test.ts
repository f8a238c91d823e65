import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeFit, judgeWeight, type FittedPart, type PartFacts } from '../../src/domain/fit.ts';
import { POSITION_TAKES, POSITIONS, SIDES, type Position } from '../../src/domain/words.ts';
import { codes, PARTS, PIN_LOCK_POSITIONS, WEARER } from '../support/limbs.ts';

type HardwarePosition = keyof typeof PARTS;

const at = (position: HardwarePosition, part: Partial<PartFacts> = {}): FittedPart => ({
  position,
  part: { ...PARTS[position], ...part },
});
const against = (
  candidate: FittedPart,
  neighbours: readonly FittedPart[] = [],
  wearer = WEARER,
  acknowledgedUpToKg: number | null = null,
): string[] => codes(judgeFit({ candidate, neighbours, wearer, acknowledgedUpToKg }));

describe('what fits into a socket (R3)', () => {
  it('a lock goes in beside the plate, the pin and the pyramid it is made for', () => {
    const others = [at('lock_plate'), at('pin'), at('pyramid'), at('plate_screws')];
    expect(against(at('lock'), others)).toEqual([]);
  });

  it('everything of a pin-lock limb goes together, whatever goes in first', () => {
    fc.assert(
      fc.property(
        fc.shuffledSubarray([...PIN_LOCK_POSITIONS], { minLength: PIN_LOCK_POSITIONS.length }),
        (order) => {
          order.forEach((position, n) => {
            const before = order.slice(0, n).map((each) => at(each));
            expect(against(at(position), before)).toEqual([]);
          });
        },
      ),
    );
  });

  it('each position takes its own kind and no other', () => {
    for (const position of POSITIONS) {
      for (const [own, part] of Object.entries(PARTS)) {
        const belongs = POSITION_TAKES[position] === POSITION_TAKES[own as Position];
        const reasons = against({ position, part });
        expect(reasons, `${part.name} at ${position}`).toEqual(
          belongs ? [] : ['position-takes-another-kind'],
        );
      }
    }
  });

  it('a part withdrawn from the catalogue is not put in', () => {
    expect(against(at('pyramid', { active: false }))).toEqual(['part-withdrawn']);
  });

  it('a sided part goes only on its side', () => {
    for (const side of SIDES) {
      const reasons = against(at('lock', { side }), [], { ...WEARER, side: 'left' });
      expect(reasons).toEqual(side === 'left' ? [] : ['side-differs']);
    }
  });

  it('hole patterns must meet wherever parts are bolted through the same holes', () => {
    const foreign = { holePattern: '4-hole 40 mm' };
    expect(
      judgeFit({
        candidate: at('pyramid', foreign),
        neighbours: [at('lock'), at('pin')],
        wearer: WEARER,
        acknowledgedUpToKg: null,
      }),
    ).toMatchObject([
      {
        code: 'hole-pattern-differs',
        rule: 'R3',
        facts: {
          part: 'Pyramid',
          pattern: '4-hole 40 mm',
          other: 'Lock L',
          otherPattern: '4-hole 36 mm',
        },
      },
    ]);
    expect(against(at('pyramid', { holePattern: null }), [at('lock')])).toEqual([]);
    expect(against(at('pyramid', foreign), [at('lock', { holePattern: null })])).toEqual([]);
    expect(against(at('release_valve', foreign), [at('lock')])).toEqual([]);
  });

  it('threads must meet: the distal screws with plate and pyramid, the plate screws with the lock', () => {
    expect(against(at('distal_screws', { thread: 'M5' }), [at('pyramid')])).toEqual([
      'thread-differs',
    ]);
    expect(against(at('plate_screws', { thread: 'M6' }), [at('lock')])).toEqual(['thread-differs']);
    // The lock's thread is that of its plate's screws: the distal screws never meet it.
    expect(against(at('distal_screws'), [at('lock'), at('plate_screws')])).toEqual([]);
    expect(against(at('distal_screws', { thread: null }), [at('pyramid')])).toEqual([]);
    expect(
      against(at('distal_screws', { thread: 'M5' }), [at('adapter', { thread: null })]),
    ).toEqual([]);
  });

  it('a pin goes only with the lock that its maker names', () => {
    expect(against(at('pin', { pinFit: 'notch 6' }), [at('lock')])).toEqual([
      'pin-does-not-fit-lock',
    ]);
    expect(against(at('pin', { pinFit: null }), [at('lock')])).toEqual([]);
    expect(against(at('pin', { pinFit: 'notch 6' }), [at('lock', { pinFit: null })])).toEqual([]);
  });

  it('never under a patient heavier than the part is rated for, nor under one never weighed', () => {
    const weighing = (bodyMassKg: number | null, acknowledged: number | null = null) =>
      against(at('pyramid'), [], { ...WEARER, bodyMassKg }, acknowledged);
    expect(weighing(112)).toEqual([]);
    expect(weighing(112.5)).toEqual(['mass-near-rating']);
    expect(weighing(125, 125)).toEqual([]);
    expect(weighing(125, 124)).toEqual(['mass-near-rating']);
    expect(weighing(125.1, 125.1)).toEqual(['mass-over-rating']);
    expect(weighing(null)).toEqual(['body-mass-missing']);
    expect(judgeWeight(PARTS.lock_spring, { ...WEARER, bodyMassKg: null }, null)).toEqual([]);
  });

  it('everything against a part is named at once', () => {
    const misfit = at('lock', {
      active: false,
      side: 'right',
      holePattern: '4-hole 40 mm',
      pinFit: 'notch 6',
      thread: 'M4',
      ratedBodyMassKg: 60,
    });
    expect(against(misfit, [at('pyramid'), at('pin'), at('plate_screws')])).toEqual([
      'part-withdrawn',
      'side-differs',
      'hole-pattern-differs',
      'pin-does-not-fit-lock',
      'thread-differs',
      'mass-over-rating',
    ]);
  });

  it('two neighbours misfit each other alike, whichever of them came second', () => {
    const facts = fc.record({
      position: fc.constantFrom<HardwarePosition>('lock', 'pin', 'pyramid', 'distal_screws'),
      holePattern: fc.constantFrom(null, '4-hole 36 mm', '4-hole 40 mm'),
      thread: fc.constantFrom(null, 'M5', 'M6'),
      pinFit: fc.constantFrom(null, 'notch 4', 'notch 6'),
    });
    fc.assert(
      fc.property(facts, facts, (one, other) => {
        const a = at(one.position, one);
        const b = at(other.position, other);
        expect(against(a, [b]).toSorted()).toEqual(against(b, [a]).toSorted());
        if (one.position === other.position) expect(against(a, [b])).toEqual([]);
      }),
    );
  });
});
