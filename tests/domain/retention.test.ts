/** How long a record is kept, what stands against erasing, and which events begin the years anew (R10). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addDays, addMonths, isBefore, type Day } from '../../src/domain/days.ts';
import { EVENT_KINDS, LOOKS } from '../../src/domain/eventKinds.ts';
import {
  dueWhen,
  isActivity,
  isOver,
  judgeConfirming,
  judgeErasure,
  retentionOf,
  type Retention,
  type RetentionFacts,
} from '../../src/domain/retention.ts';

const day = (text: string) => text as Day;
const SEVEN = { retentionYears: 7, minorsUntilAge: null };
const grownUp: RetentionFacts = {
  lastDeliveryOn: day('2016-05-10'),
  lastVisitOn: day('2018-09-01'),
  lastEntryOn: day('2018-08-30'),
  ordersOpen: 0,
  birthDate: day('1961-01-01'),
};

describe('the years of a record', () => {
  test('run from the latest of delivery, visit and entry, and say which', () => {
    expect(retentionOf(grownUp, SEVEN)).toEqual({
      keptUntil: '2025-09-01',
      because: 'visit',
      from: '2018-09-01',
    });
    expect(retentionOf({ ...grownUp, lastEntryOn: day('2019-02-03') }, SEVEN)).toEqual({
      keptUntil: '2026-02-03',
      because: 'entry',
      from: '2019-02-03',
    });
    expect(retentionOf({ ...grownUp, lastDeliveryOn: day('2018-09-01') }, SEVEN)).toMatchObject({
      because: 'delivery',
      from: '2018-09-01',
    });
  });

  test('have not begun while an order is under way', () => {
    expect(retentionOf({ ...grownUp, ordersOpen: 1 }, SEVEN)).toMatchObject({
      keptUntil: null,
      because: 'order_open',
    });
  });

  test('of who only came once run from that entry', () => {
    const entered = { ...grownUp, lastDeliveryOn: null, lastVisitOn: null };
    expect(retentionOf(entered, SEVEN)).toMatchObject({
      because: 'entry',
      keptUntil: '2025-08-30',
    });
  });

  test('of a minor run from the age that the clinic sets, where it sets one', () => {
    const child = { ...grownUp, birthDate: day('2008-02-29') };
    expect(retentionOf(child, { retentionYears: 7, minorsUntilAge: 18 })).toEqual({
      keptUntil: '2033-02-28',
      because: 'minor',
      from: '2026-02-28',
    });
    expect(retentionOf(child, SEVEN)).toMatchObject({ keptUntil: '2025-09-01' });
    expect(
      retentionOf({ ...child, birthDate: null }, { retentionYears: 7, minorsUntilAge: 18 }),
    ).toMatchObject({ because: 'visit' });
    expect(retentionOf(grownUp, { retentionYears: 7, minorsUntilAge: 18 })).toMatchObject({
      because: 'visit',
    });
  });

  test('never end before the clinic’s years after any of its days', () => {
    const days = fc.integer({ min: 0, max: 9000 }).map((n) => addDays(day('2000-01-01'), n));
    fc.assert(
      fc.property(
        fc.option(days),
        fc.option(days),
        days,
        days,
        fc.integer({ min: 7, max: 30 }),
        fc.option(fc.integer({ min: 14, max: 25 })),
        (lastDeliveryOn, lastVisitOn, lastEntryOn, birthDate, retentionYears, minorsUntilAge) => {
          const facts = { lastDeliveryOn, lastVisitOn, lastEntryOn, birthDate, ordersOpen: 0 };
          const { keptUntil } = retentionOf(facts, { retentionYears, minorsUntilAge });
          const must = [lastDeliveryOn, lastVisitOn, lastEntryOn]
            .flatMap((each) => (each === null ? [] : [addMonths(each, 12 * retentionYears)]))
            .concat(
              minorsUntilAge === null
                ? []
                : [addMonths(birthDate, 12 * (minorsUntilAge + retentionYears))],
            );
          expect(keptUntil).not.toBeNull();
          expect(must.filter((each) => isBefore(keptUntil ?? each, each))).toEqual([]);
          expect(must).toContain(keptUntil);
        },
      ),
    );
  });

  test('are over on their day, and come up this year, next year or later', () => {
    const until = (keptUntil: Day | null): Retention => ({
      keptUntil,
      because: 'entry',
      from: day('2018-01-01'),
    });
    expect(isOver(until(day('2026-03-02')), day('2026-03-02'))).toBe(true);
    expect(isOver(until(day('2026-03-03')), day('2026-03-02'))).toBe(false);
    expect(isOver(until(null), day('2026-03-02'))).toBe(false);
    const seen = ['2026-03-02', '2026-12-31', '2027-12-31', '2028-01-01'].map((each) =>
      dueWhen(day(each), day('2026-03-02')),
    );
    expect(seen).toEqual(['over', 'this_year', 'next_year', 'later']);
  });

  test('begin anew with an entry of care, not with a look or a copy handed out', () => {
    expect(EVENT_KINDS.filter((kind) => !isActivity(kind))).toEqual(
      EVENT_KINDS.filter(
        (kind) =>
          LOOKS.includes(kind) ||
          kind === 'patient.export_asked' ||
          kind === 'patient.record_exported',
      ),
    );
    expect(isActivity('torque.confirmed')).toBe(true);
    expect(isActivity('record.corrected')).toBe(true);
  });
});

describe('against an erasure stand', () => {
  const over = { keptUntil: day('2025-09-01'), because: 'visit', from: day('2018-09-01') } as const;
  const facts = { retention: over, today: day('2026-03-02'), holds: [] };
  const codes = (reasons: readonly { code: string }[]) => reasons.map(({ code }) => code);

  test('nothing where the years are over and nothing is held', () => {
    expect(judgeErasure(['identity', 'phone'], facts)).toEqual([]);
  });

  test('the years, for who the patient is alone', () => {
    const running = { ...facts, retention: { ...over, keptUntil: day('2026-03-03') } };
    expect(judgeErasure(['phone', 'address', 'desk_notes'], running)).toEqual([]);
    const [refusal] = judgeErasure(['identity'], running);
    expect(refusal).toMatchObject({
      code: 'retention-not-over',
      detail: 'Who the patient is must be kept until 3 Mar 2026.',
    });
    const [open] = judgeErasure(['identity'], {
      ...facts,
      retention: { ...over, keptUntil: null, because: 'order_open' },
    });
    expect(open?.detail).toContain('under way');
  });

  test('holds, for anything', () => {
    expect(codes(judgeErasure(['phone'], { ...facts, holds: ['Cg 3/26'] }))).toEqual([
      'record-on-hold',
    ]);
    const [two] = judgeErasure(['phone'], { ...facts, holds: ['Cg 3/26', 'Insurer 7'] });
    expect(two?.detail).toContain('2 legal holds');
    const held = { ...facts, holds: ['Cg 3/26'], retention: { ...over, keptUntil: null } };
    expect(codes(judgeErasure(['identity'], held))).toEqual([
      'record-on-hold',
      'retention-not-over',
    ]);
  });

  test('who asked for it', () => {
    expect(codes(judgeConfirming('a', 'a'))).toEqual(['erasure-needs-two']);
    expect(judgeConfirming('a', 'b')).toEqual([]);
  });
});
