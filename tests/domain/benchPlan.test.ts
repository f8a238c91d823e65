import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planWork, type OrderToPlan, type WaitingOperation } from '../../src/domain/benchPlan.ts';
import { isBefore } from '../../src/domain/days.ts';
import { byStage, WORK_STAGES } from '../../src/domain/orderTimeline.ts';
import { STARTING_STAGE_DAYS } from '../../src/domain/promise.ts';
import { addWorkingDays } from '../../src/domain/workCalendar.ts';
import { day } from '../support/limbs.ts';
import { CLINIC, MONDAY } from '../support/timelines.ts';

const layUp: WaitingOperation = {
  socketKind: 'definitive',
  bench: 'Lamination',
  plannedMinutes: 60,
  beforeInspection: true,
};
const torque: WaitingOperation = {
  socketKind: 'definitive',
  bench: 'Assembly',
  plannedMinutes: 20,
  beforeInspection: false,
};
const form: WaitingOperation = {
  socketKind: 'check',
  bench: 'Oven',
  plannedMinutes: 45,
  beforeInspection: false,
};
const on = (days: number) => addWorkingDays(CLINIC, MONDAY, days);
/** Lamination usually takes 4 working days, delivery 3; today is Monday. */
const plan = (over: Partial<OrderToPlan>) =>
  planWork(CLINIC, MONDAY, STARTING_STAGE_DAYS, {
    order: 'KL-26-00001-X',
    stage: 'lamination',
    workingDaysSoFar: 1,
    promisedOn: null,
    operations: [layUp, torque],
    ...over,
  }).map(({ bench, from, to }) => [bench, from, to]);

describe('when open operations are to be done (C5)', () => {
  it('without a promise stages end as usual, the present one by what is left of it', () => {
    expect(plan({})).toEqual([
      ['Lamination', MONDAY, on(3)],
      ['Assembly', on(3), on(6)],
    ]);
  });

  it('with a promise each stage ends early enough for those after it', () => {
    expect(plan({ promisedOn: on(10) })).toEqual([
      ['Lamination', MONDAY, on(7)],
      ['Assembly', on(7), on(10)],
    ]);
  });

  it('what should be over is for today', () => {
    const late = plan({ promisedOn: day('2026-02-20') });
    expect(late).toEqual([
      ['Lamination', MONDAY, MONDAY],
      ['Assembly', MONDAY, MONDAY],
    ]);
    expect(plan({ promisedOn: on(2) })[0]).toEqual(['Lamination', MONDAY, MONDAY]);
    expect(plan({ workingDaysSoFar: 30 })[0]).toEqual(['Lamination', MONDAY, MONDAY]);
  });

  it('a check socket is made before its order goes on to lamination, and never after', () => {
    const operations = [form];
    const checking = { stage: 'check_fitting', workingDaysSoFar: 0, operations } as const;
    expect(plan({ ...checking, promisedOn: on(20) })).toEqual([['Oven', MONDAY, on(13)]]);
    expect(plan({ ...checking })).toEqual([['Oven', MONDAY, on(8)]]);
    expect(plan({ operations })).toEqual([]);
  });

  it('of a definitive socket that is late in its route the rest is of the present stage', () => {
    expect(plan({ stage: 'delivery', workingDaysSoFar: 0 })).toEqual([
      ['Lamination', MONDAY, on(3)],
      ['Assembly', MONDAY, on(3)],
    ]);
  });

  it('parts of a day count as whole ones', () => {
    const halves = byStage(() => 1.5);
    const order = { order: 'A', stage: 'delivery', workingDaysSoFar: 0, promisedOn: null } as const;
    expect(planWork(CLINIC, MONDAY, halves, { ...order, operations: [torque] })).toMatchObject([
      { from: MONDAY, to: on(2) },
    ]);
  });

  it('no work begins before today or ends before it begins, whatever was promised', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...WORK_STAGES),
        fc.nat(20),
        fc.option(fc.integer({ min: -30, max: 60 })),
        fc.tuple(fc.nat(6), fc.nat(6), fc.nat(6), fc.nat(6)),
        fc.nat(6),
        (stage, workingDaysSoFar, promised, [casting, check_fitting, lamination, delivery], at) => {
          const today = addWorkingDays(CLINIC, MONDAY, at);
          const usual = { casting, check_fitting, lamination, delivery };
          const work = planWork(CLINIC, today, usual, {
            order: 'A',
            stage,
            workingDaysSoFar,
            // Weekends too: a patient may want it on a Sunday.
            promisedOn:
              promised === null
                ? null
                : day(new Date(Date.UTC(2026, 2, 2 + promised)).toISOString().slice(0, 10)),
            operations: [layUp, torque, form],
          });
          for (const { from, to } of work) {
            expect(isBefore(from, today)).toBe(false);
            expect(isBefore(to, from)).toBe(false);
          }
        },
      ),
      { numRuns: 300 },
    );
  });
});
