import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mayWork, STAGE_STEPS, stepStage, type StageStep } from '../../src/domain/stages.ts';
import { HOLD_REASONS, STAGES, type Stage } from '../../src/domain/words.ts';
import { orderAt, refusalCodes } from '../support/limbs.ts';

/** Where each step leads, from the description of the job; everything else is refused. */
const LEADS: Readonly<Record<Stage, Partial<Record<StageStep, Stage>>>> = {
  casting: { cast_accepted: 'check_fitting', cancelled: 'cancelled' },
  check_fitting: {
    cast_accepted: 'check_fitting',
    fit_accepted: 'lamination',
    check_fitting_skipped: 'lamination',
    new_cast_wanted: 'casting',
    cancelled: 'cancelled',
  },
  lamination: {
    lamination_inspected: 'delivery',
    another_definitive_wanted: 'lamination',
    new_cast_wanted: 'casting',
    cancelled: 'cancelled',
  },
  delivery: {
    delivered: 'delivered',
    another_definitive_wanted: 'lamination',
    new_cast_wanted: 'casting',
    cancelled: 'cancelled',
  },
  delivered: { remake_wanted: 'casting', another_definitive_wanted: 'lamination' },
  cancelled: {},
};

const walk = (steps: readonly StageStep[]): Stage =>
  steps.reduce<Stage>((stage, step) => {
    const verdict = stepStage(orderAt(stage), step);
    if (!verdict.ok) throw new Error(`${step} at ${stage}: ${verdict.reasons[0]?.detail ?? ''}`);
    return verdict.value;
  }, 'casting');

describe('the stages of an order', () => {
  it('run from the cast to the delivered limb', () => {
    expect(walk(['cast_accepted', 'fit_accepted', 'lamination_inspected', 'delivered'])).toBe(
      'delivered',
    );
  });

  it('loop: a refused fit asks for a new cast, a lamination for another, a delivered limb for a remake', () => {
    expect(
      walk([
        'cast_accepted',
        'new_cast_wanted',
        'cast_accepted',
        'check_fitting_skipped',
        'lamination_inspected',
        'another_definitive_wanted',
        'lamination_inspected',
        'delivered',
        'remake_wanted',
      ]),
    ).toBe('casting');
  });

  it('every step from every stage leads by the table or is refused with what was tried', () => {
    for (const stage of STAGES) {
      for (const step of STAGE_STEPS) {
        const verdict = stepStage(orderAt(stage), step);
        const next = LEADS[stage][step];
        if (next === undefined) {
          expect(verdict, `${step} at ${stage}`).toMatchObject({
            ok: false,
            reasons: [{ code: 'stage-does-not-allow', rule: 'R8', facts: { stage } }],
          });
        } else {
          expect(verdict, `${step} at ${stage}`).toEqual({ ok: true, value: next });
        }
      }
    }
  });

  it('nobody comes to delivered but by delivering, whatever is tried in whatever order', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...STAGE_STEPS), { maxLength: 30 }), (steps) => {
        let stage: Stage = 'casting';
        for (const step of steps) {
          const verdict = stepStage(orderAt(stage), step);
          const next: Stage = verdict.ok ? verdict.value : stage;
          if (next === 'delivered' && stage !== 'delivered') {
            expect([stage, step]).toEqual(['delivery', 'delivered']);
          }
          if (stage === 'cancelled') expect(next).toBe('cancelled');
          stage = next;
        }
      }),
    );
  });

  it('a held order takes no step but to be cancelled', () => {
    for (const holdReason of HOLD_REASONS) {
      const held = orderAt('check_fitting', holdReason);
      expect(stepStage(held, 'fit_accepted')).toMatchObject({
        reasons: [{ code: 'order-on-hold', facts: { order: held.number, holdReason } }],
      });
      expect(stepStage(held, 'cancelled')).toEqual({ ok: true, value: 'cancelled' });
      // The stage is told first: a held order cannot be delivered from check fitting at all.
      expect(refusalCodes(stepStage(held, 'delivered'))).toEqual(['stage-does-not-allow']);
    }
  });
});

describe('work at a stage', () => {
  const laminate = (order: ReturnType<typeof orderAt>) =>
    mayWork(order, ['lamination', 'delivery'], 'be laminated');

  it('goes on at the stages it belongs to', () => {
    expect(laminate(orderAt('lamination'))).toEqual({ ok: true, value: true });
    expect(laminate(orderAt('delivery'))).toEqual({ ok: true, value: true });
  });

  it('is refused at any other stage, and while the order is on hold', () => {
    expect(laminate(orderAt('casting'))).toMatchObject({
      reasons: [{ code: 'stage-does-not-allow', facts: { attempt: 'be laminated' } }],
    });
    expect(refusalCodes(laminate(orderAt('lamination', 'parts_awaited')))).toEqual([
      'order-on-hold',
    ]);
  });
});
