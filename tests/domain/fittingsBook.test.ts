import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { instantOn } from '../../src/domain/clockTimes.ts';
import {
  intervalOf,
  judgeBooking,
  judgeMark,
  judgeMove,
  judgeReadiness,
  overlap,
  warnOfBooking,
  wayTo,
  type BookingFacts,
  type Mark,
} from '../../src/domain/fittingsBook.ts';
import { STARTING_STAGE_DAYS, stagesToCome, type Forecast } from '../../src/domain/promise.ts';
import { byStage } from '../../src/domain/orderTimeline.ts';
import { reason, type Reason } from '../../src/domain/reasons/index.ts';
import { granted, refused, type Verdict } from '../../src/domain/verdict.ts';
import { STARTING_WEEKDAYS, type WorkCalendar } from '../../src/domain/workCalendar.ts';
import {
  APPOINTMENT_STATES,
  type AppointmentPurpose,
  type AppointmentState,
} from '../../src/domain/words.ts';
import { day } from '../support/limbs.ts';

const VIENNA = 'Europe/Vienna';
const MONDAY = day('2026-03-02');
const CALENDAR: WorkCalendar = {
  weekdays: STARTING_WEEKDAYS,
  closedOn: new Set([day('2026-03-05')]),
};
const at = (minute: number, on = MONDAY): Date => instantOn(on, minute, VIENNA);
const NINE = 540;
const asked = (
  minute = NINE,
  minutes = 60,
  purpose: AppointmentPurpose = 'check_fitting',
  on = MONDAY,
) => ({ purpose, ...intervalOf(at(minute, on), minutes) });
const ORDER = { number: 'KL-26-00001-X', stage: 'check_fitting', holdReason: null } as const;
const facts = (given: Partial<BookingFacts> = {}): BookingFacts => ({
  now: at(480),
  timeZone: VIENNA,
  calendar: CALENDAR,
  prosthetist: 'Pat Fit',
  ofProsthetist: [],
  ofPatient: [],
  order: ORDER,
  ...given,
});
const codes = (reasons: readonly Reason[]) => reasons.map(({ code }) => code);
const against = (...args: Parameters<typeof judgeBooking>) => codes(judgeBooking(...args));

describe('the fittings book', () => {
  it('takes a patient where prosthetist and patient are free on a working day', () => {
    expect(against(asked(), facts())).toEqual([]);
    expect(codes(warnOfBooking(asked(), facts()))).toEqual([]);
    expect(against(asked(), facts({ order: null }))).toEqual([]);
    expect(codes(warnOfBooking(asked(), facts({ order: null })))).toEqual([]);
  });

  it('has nobody at two places at once, and says until when', () => {
    const taken = [asked(NINE + 30)];
    const reasons = judgeBooking(asked(), facts({ ofProsthetist: taken, ofPatient: taken }));
    expect(reasons.map(({ detail }) => detail)).toEqual([
      'Pat Fit is with another patient from 2 Mar 2026, 09:30 to 10:30.',
      'The patient comes for check fitting from 2 Mar 2026, 09:30 to 10:30.',
    ]);
    // One that begins as the other ends takes nothing of it.
    const next = facts({ ofProsthetist: [asked(600), asked(480)], ofPatient: [asked(600)] });
    expect(against(asked(), next)).toEqual([]);
  });

  it('books nothing into the past, on a closed day, or for a cancelled order', () => {
    expect(against(asked(), facts({ now: at(NINE + 1) }))).toEqual(['appointment-in-past']);
    expect(against(asked(), facts({ now: at(NINE) }))).toEqual([]);
    const closed = asked(NINE, 60, 'casting', day('2026-03-05'));
    expect(judgeBooking(closed, facts()).map(({ detail }) => detail)).toEqual([
      'By its working calendar the clinic is closed on 5 Mar 2026.',
    ]);
    expect(against(asked(NINE, 60, 'casting', day('2026-03-07')), facts())).toEqual([
      'clinic-closed-then',
    ]);
    const cancelled = facts({ order: { ...ORDER, stage: 'cancelled' } });
    expect(against(asked(), cancelled)).toEqual(['order-is-closed']);
  });

  it('warns of a time outside the opening hours, the break at noon too', () => {
    const warned = (minute: number, minutes = 60) =>
      codes(warnOfBooking(asked(minute, minutes), facts()));
    expect(warned(480)).toEqual([]);
    expect(warned(660)).toEqual([]);
    expect(warned(450)).toEqual(['outside-opening-hours']);
    expect(warned(690)).toEqual(['outside-opening-hours']);
    expect(warned(990)).toEqual(['outside-opening-hours']);
    // Over midnight the clock begins anew.
    expect(warned(1380, 120)).toEqual(['outside-opening-hours']);
    expect(warnOfBooking(asked(450), facts())[0]?.detail).toBe(
      '07:30 to 08:30 is not within the opening hours of that day (08:00 to 12:00, 13:00 to 17:00).',
    );
  });

  it('warns where the order is at another stage, or on hold', () => {
    const warned = (purpose: AppointmentPurpose, order: BookingFacts['order']) =>
      codes(warnOfBooking(asked(NINE, 60, purpose), facts({ order })));
    expect(warned('casting', ORDER)).toEqual(['purpose-not-at-stage']);
    expect(warned('casting', { ...ORDER, stage: 'casting' })).toEqual([]);
    expect(warned('check_fitting', { ...ORDER, stage: 'casting' })).toEqual([]);
    expect(warned('delivery', { ...ORDER, stage: 'lamination' })).toEqual([]);
    expect(warned('service', ORDER)).toEqual(['purpose-not-at-stage']);
    expect(warned('service', { ...ORDER, stage: 'delivered' })).toEqual([]);
    expect(warned('check_fitting', { ...ORDER, holdReason: 'parts_awaited' })).toEqual([
      'appointment-while-on-hold',
    ]);
  });

  it('never lets two that are granted one after the other overlap', () => {
    const booking = fc.record({
      minute: fc.integer({ min: 0, max: 1200 }),
      minutes: fc.integer({ min: 5, max: 480 }),
    });
    fc.assert(
      fc.property(fc.array(booking, { maxLength: 25 }), (bookings) => {
        const book: ReturnType<typeof asked>[] = [];
        for (const { minute, minutes } of bookings) {
          const next = asked(minute, minutes);
          const reasons = judgeBooking(next, facts({ now: at(0), ofProsthetist: book }));
          if (reasons.length === 0) book.push(next);
          // What was refused was refused for one that is there.
          else expect(book.some((other) => overlap(next, other))).toBe(true);
        }
        for (const [index, one] of book.entries()) {
          for (const other of book.slice(index + 1)) {
            const apart = one.endsAt <= other.startsAt || other.endsAt <= one.startsAt;
            expect(apart).toBe(true);
          }
        }
      }),
    );
  });
});

describe('whether it will be ready (C5)', () => {
  const inShop = byStage(() => 0);
  const wholeWay = stagesToCome({ stage: 'casting', ordersAhead: 0, workingDaysSoFar: 0 }, inShop);
  const judge = (
    minuteDay: string,
    forecast: Verdict<Forecast>,
    purpose: AppointmentPurpose = 'check_fitting',
  ) =>
    judgeReadiness(
      { purpose, startsAt: at(NINE, day(minuteDay)) },
      {
        order: ORDER.number,
        now: at(480),
        timeZone: VIENNA,
        calendar: CALENDAR,
        way: wayTo(purpose, wholeWay),
        usualDays: STARTING_STAGE_DAYS,
        forecast,
        wantedBelow: 0.5,
      },
    );
  const short = refused([reason('history-too-short', { finishedOrders: 3, needed: 20 })]);
  /** Four courses: 2, 4, 6 and 8 working days. */
  const drawn = granted({
    courses: [2, 4, 6, 8],
    finishedOrders: 20,
    daysPerOrderAhead: byStage(() => 0),
  });

  it('waits for the stages up to the fitting, and for none where nothing is made', () => {
    const stages = (purpose: AppointmentPurpose, way: typeof wholeWay | null) =>
      wayTo(purpose, way).map(({ stage }) => stage);
    expect(stages('check_fitting', wholeWay)).toEqual(['casting', 'check_fitting']);
    expect(stages('delivery', wholeWay)).toHaveLength(4);
    expect(stages('casting', wholeWay)).toEqual([]);
    expect(stages('service', null)).toEqual([]);
    // Past the check fitting nothing is waited for.
    expect(stages('check_fitting', wholeWay.slice(2))).toEqual([]);
    expect(judge('2026-03-03', short, 'casting')).toEqual({ chance: null, warnings: [] });
  });

  it('tells the chance, and warns where it is rather missed than kept', () => {
    // From Monday the 2nd; the 5th is closed: 2 working days until the 4th, 4 until the 9th.
    const soon = judge('2026-03-04', drawn);
    expect(soon.chance).toBe(0.25);
    expect(soon.warnings.map(({ detail }) => detail)).toEqual([
      'By this clinic’s finished orders the chance that KL-26-00001-X is ready for check fitting on 4 Mar 2026 is 25 %; 50 % are wanted.',
    ]);
    expect(judge('2026-03-09', drawn)).toEqual({ chance: 0.5, warnings: [] });
  });

  it('judges by the usual times where the history is too short', () => {
    // Casting 3 and check fitting 8 days are usual: 11 working days after the 2nd is the 18th.
    expect(codes(judge('2026-03-17', short).warnings)).toEqual(['usually-not-ready']);
    expect(judge('2026-03-18', short)).toEqual({ chance: null, warnings: [] });
  });
});

describe('what became of an appointment', () => {
  const marked = (
    state: AppointmentState,
    mark: Mark,
    { now = at(NINE), why = null }: { now?: Date; why?: string | null } = {},
  ) => {
    const appointment = { startsAt: at(NINE), state };
    const verdict = judgeMark(appointment, { state: mark, why }, { now, timeZone: VIENNA });
    return verdict.ok ? verdict.value : codes(verdict.reasons);
  };

  it('says that somebody came on the day itself, and that they did not once it is time', () => {
    expect(marked('booked', 'came', { now: at(480) })).toBe('came');
    expect(marked('booked', 'came', { now: at(480, day('2026-03-01')) })).toEqual([
      'appointment-still-to-come',
    ]);
    expect(marked('booked', 'did_not_come', { now: at(NINE - 1) })).toEqual([
      'appointment-still-to-come',
    ]);
    expect(marked('booked', 'did_not_come')).toBe('did_not_come');
  });

  it('is called off before its time only', () => {
    expect(marked('booked', 'called_off', { now: at(NINE - 1) })).toBe('called_off');
    expect(marked('booked', 'called_off')).toEqual(['appointment-has-begun']);
    expect(marked('came', 'called_off', { now: at(480) })).toEqual(['appointment-is-settled']);
  });

  it('corrects whether somebody came with a reason, and nothing else that is settled (R10)', () => {
    expect(marked('did_not_come', 'came')).toEqual(['correction-needs-why']);
    expect(marked('did_not_come', 'came', { why: 'sat in the other room' })).toBe('came');
    expect(marked('came', 'did_not_come', { why: 'a slip' })).toBe('did_not_come');
    expect(marked('came', 'came', { why: 'again' })).toEqual(['appointment-is-settled']);
    for (const state of ['called_off', 'moved'] as const) {
      expect(marked(state, 'came', { why: 'came all the same' })).toEqual([
        'appointment-is-settled',
      ]);
    }
  });

  it('is moved only while it is booked', () => {
    const movable = APPOINTMENT_STATES.filter(
      (state) => judgeMove({ startsAt: at(NINE), state }, VIENNA).length === 0,
    );
    expect(movable).toEqual(['booked']);
  });
});
