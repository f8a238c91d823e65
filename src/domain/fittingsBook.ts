/**
 * The fittings book: when a patient comes to a prosthetist, and for what. Nobody is
 * at two places at once, nothing is booked into the past or on a closed day; what
 * may be meant all the same is warned of, and a person decides.
 */
import { instantInWords, minuteAt } from './clockTimes.ts';
import { dayAt } from './days.ts';
import { dayInWords, minuteInWords } from './dayWords.ts';
import type { ByStage, WorkStage } from './orderTimeline.ts';
import { reason, type Reason } from './reasons/index.ts';
import { chanceWithin, usualDaysLeft, type Forecast, type StageToCome } from './promise.ts';
import type { OrderStage } from './stages.ts';
import { unless, type Verdict } from './verdict.ts';
import { openingHours, workingDaysBetween, type WorkCalendar } from './workCalendar.ts';
import type { AppointmentPurpose, AppointmentState, Stage } from './words.ts';

/** How long each is booked for if nobody says otherwise, in minutes: common practice, no source. */
export const USUAL_MINUTES: Readonly<Record<AppointmentPurpose, number>> = {
  casting: 60,
  check_fitting: 60,
  delivery: 90,
  service: 30,
};

/** A stretch of time; its end is no longer part of it. */
export interface Interval {
  readonly startsAt: Date;
  readonly endsAt: Date;
}

/** Whether two stretches have a moment in common: one that begins as the other ends has none. */
export const overlap = (a: Interval, b: Interval): boolean =>
  a.startsAt < b.endsAt && b.startsAt < a.endsAt;

/** The stretch that an appointment takes. */
export const intervalOf = (startsAt: Date, minutes: number): Interval => ({
  startsAt,
  endsAt: new Date(startsAt.getTime() + 60_000 * minutes),
});

/** The states in which prosthetist and patient are, or will be, where the book says. */
export const TAKES_TIME: readonly AppointmentState[] = ['booked', 'came'];

/** The stages at which, or before which, each is for. */
const STAGES_FOR: Readonly<Record<AppointmentPurpose, readonly Stage[]>> = {
  casting: ['casting'],
  check_fitting: ['casting', 'check_fitting'],
  delivery: ['casting', 'check_fitting', 'lamination', 'delivery'],
  service: ['delivered'],
};

/** Until the end of which stage the work for it goes; null where nothing is made for it. */
const MADE_BY_END_OF: Readonly<Record<AppointmentPurpose, WorkStage | null>> = {
  casting: null,
  check_fitting: 'check_fitting',
  delivery: 'delivery',
  service: null,
};

/**
 * The stages that an order has to go through until it is ready for the purpose. A check
 * fitting ends its stage, so the socket was ready by then at the latest: the chance that
 * follows from it is rather too small than too great.
 * @param toCome the way of the order to its delivery; null where it is closed
 * @returns none where nothing is made for the purpose, or the order is past it
 */
export function wayTo(
  purpose: AppointmentPurpose,
  toCome: readonly StageToCome[] | null,
): StageToCome[] {
  const last = MADE_BY_END_OF[purpose];
  return (toCome ?? []).slice(0, 1 + (toCome ?? []).findIndex(({ stage }) => stage === last));
}

/** An appointment that is asked for. */
export interface BookingAsked extends Interval {
  readonly purpose: AppointmentPurpose;
}

/** Another appointment, of the same prosthetist or the same patient. */
export interface Taken extends Interval {
  readonly purpose: AppointmentPurpose;
}

export interface BookingFacts {
  readonly now: Date;
  /** IANA name, of the clinic. */
  readonly timeZone: string;
  readonly calendar: WorkCalendar;
  readonly prosthetist: string;
  /** Those of the prosthetist, and of the patient, that take time. */
  readonly ofProsthetist: readonly Taken[];
  readonly ofPatient: readonly Taken[];
  /** Null where the patient comes without an order. */
  readonly order: OrderStage | null;
}

/** Every reason against booking: 'appointment-in-past', 'clinic-closed-then', 'prosthetist-elsewhere', 'patient-elsewhere', 'order-is-closed'. */
export function judgeBooking(asked: BookingAsked, facts: BookingFacts): Reason[] {
  const { now, timeZone, calendar, prosthetist, order } = facts;
  const said = (at: Date): string => instantInWords(at, timeZone);
  const until = (at: Date): string => minuteInWords(minuteAt(at, timeZone));
  const on = dayAt(asked.startsAt, timeZone);
  const clash = (taken: readonly Taken[]) => taken.filter((other) => overlap(asked, other));
  return [
    ...(asked.startsAt < now
      ? [reason('appointment-in-past', { startsAt: said(asked.startsAt), now: said(now) }, FIELD)]
      : []),
    ...(openingHours(calendar, on).length === 0
      ? [reason('clinic-closed-then', { on: dayInWords(on) }, FIELD)]
      : []),
    ...clash(facts.ofProsthetist).map(({ startsAt, endsAt }) =>
      reason(
        'prosthetist-elsewhere',
        { prosthetist, from: said(startsAt), until: until(endsAt) },
        FIELD,
      ),
    ),
    ...clash(facts.ofPatient).map(({ startsAt, endsAt, purpose }) =>
      reason('patient-elsewhere', { purpose, from: said(startsAt), until: until(endsAt) }, FIELD),
    ),
    ...(order?.stage === 'cancelled'
      ? [reason('order-is-closed', { order: order.number, stage: order.stage })]
      : []),
  ];
}

const FIELD = '/startsAt';

/** What to look at before the time is told to the patient; it is booked all the same. */
export function warnOfBooking(asked: BookingAsked, facts: BookingFacts): Reason[] {
  const { timeZone, calendar, order } = facts;
  const { purpose, startsAt, endsAt } = asked;
  const hours = openingHours(calendar, dayAt(startsAt, timeZone));
  const [from, until] = [minuteAt(startsAt, timeZone), minuteAt(endsAt, timeZone)];
  const within = hours.some(({ fromMinute, toMinute }) => fromMinute <= from && until <= toMinute);
  return [
    ...(within && from < until
      ? []
      : [
          reason('outside-opening-hours', {
            from: minuteInWords(from),
            until: minuteInWords(until),
            hours: hours
              .map((open) => `${minuteInWords(open.fromMinute)} to ${minuteInWords(open.toMinute)}`)
              .join(', '),
          }),
        ]),
    ...(order === null || STAGES_FOR[purpose].includes(order.stage)
      ? []
      : [reason('purpose-not-at-stage', { order: order.number, purpose, stage: order.stage })]),
    ...(order?.holdReason == null
      ? []
      : [
          reason('appointment-while-on-hold', {
            order: order.number,
            holdReason: order.holdReason,
          }),
        ]),
  ];
}

/** Whether what is made for the appointment will be there on its day. */
export interface Readiness {
  /** 0 to 1; null where nothing is made for it, or the history cannot say. */
  readonly chance: number | null;
  readonly warnings: readonly Reason[];
}

/**
 * Judges whether the work for an appointment will be done by its day (C5). Without a
 * chance (short history) the clinic's usual durations judge.
 * @param facts.way by `wayTo`; empty: nothing is waited for
 * @param facts.wantedBelow a chance below this is warned of, 0 to 1
 */
export function judgeReadiness(
  { purpose, startsAt }: { readonly purpose: AppointmentPurpose; readonly startsAt: Date },
  facts: {
    readonly order: string;
    readonly now: Date;
    readonly timeZone: string;
    readonly calendar: WorkCalendar;
    readonly way: readonly StageToCome[];
    readonly usualDays: ByStage<number>;
    readonly forecast: Verdict<Forecast>;
    readonly wantedBelow: number;
  },
): Readiness {
  const { order, timeZone, way, forecast: drawn, wantedBelow } = facts;
  if (way.length === 0) return { chance: null, warnings: [] };
  const day = dayAt(startsAt, timeZone);
  const on = dayInWords(day);
  const daysLeft = workingDaysBetween(facts.calendar, dayAt(facts.now, timeZone), day);
  if (!drawn.ok) {
    const daysUsual = usualDaysLeft(way, facts.usualDays);
    return {
      chance: null,
      warnings:
        daysLeft < daysUsual
          ? [reason('usually-not-ready', { order, purpose, on, daysLeft, daysUsual })]
          : [],
    };
  }
  const chance = chanceWithin(drawn.value, daysLeft);
  const [chancePercent, wantedPercent] = [100 * chance, 100 * wantedBelow];
  return {
    chance,
    warnings:
      chance < wantedBelow
        ? [reason('probably-not-ready', { order, purpose, on, chancePercent, wantedPercent })]
        : [],
  };
}

/** What may be said of an appointment once it is booked. */
export const MARKS = ['came', 'did_not_come', 'called_off'] as const;
export type Mark = (typeof MARKS)[number];

interface Marked {
  readonly startsAt: Date;
  readonly state: AppointmentState;
}

/**
 * Whether something may be said of an appointment. That somebody came may be said on the
 * day itself, for people come early; that they did not, once its time is there. Which of
 * the two it was can be corrected, with the reason (R10).
 */
export function judgeMark(
  { startsAt, state }: Marked,
  mark: { readonly state: Mark; readonly why: string | null },
  facts: { readonly now: Date; readonly timeZone: string },
): Verdict<Mark> {
  const { now, timeZone } = facts;
  const said = instantInWords(startsAt, timeZone);
  const saysNow = instantInWords(now, timeZone);
  const early =
    mark.state === 'came' ? dayAt(now, timeZone) < dayAt(startsAt, timeZone) : now < startsAt;
  const against: Reason[] = [];
  if (state === 'called_off' || state === 'moved' || state === mark.state) {
    against.push(reason('appointment-is-settled', { startsAt: said, state }));
  } else if (mark.state === 'called_off') {
    if (state !== 'booked') {
      against.push(reason('appointment-is-settled', { startsAt: said, state }));
    } else if (!early) against.push(reason('appointment-has-begun', { startsAt: said }));
  } else if (early) {
    against.push(reason('appointment-still-to-come', { startsAt: said, now: saysNow }));
  } else if (state !== 'booked' && mark.why === null) {
    against.push(reason('correction-needs-why', { before: state, after: mark.state }, '/why'));
  }
  return unless(against, mark.state);
}

/** Only what is booked can be moved: 'appointment-is-settled'. */
export const judgeMove = ({ startsAt, state }: Marked, timeZone: string): Reason[] =>
  state === 'booked'
    ? []
    : [reason('appointment-is-settled', { startsAt: instantInWords(startsAt, timeZone), state })];
