/**
 * Times that are free for an appointment: within the opening hours of working days,
 * where prosthetist and patient are with nobody else, on the quarter of the hour.
 */
import { instantOn, minuteAt } from './clockTimes.ts';
import { addDays, type Day } from './days.ts';
import { intervalOf, overlap, type Interval } from './fittingsBook.ts';
import { openingHours, type OpeningHours, type WorkCalendar } from './workCalendar.ts';

/** Appointments begin on the quarter of the hour. Common practice, no source. */
export const STEP_MINUTES = 15;

/** A time that can be booked. */
export interface FreeTime extends Interval {
  readonly on: Day;
}

export interface FreeTimesAsked {
  readonly calendar: WorkCalendar;
  /** IANA name, of the clinic. */
  readonly timeZone: string;
  readonly now: Date;
  readonly from: Day;
  /** How many days are looked through. */
  readonly days: number;
  readonly minutes: number;
  /** Appointments of the prosthetist and of the patient that take time. */
  readonly taken: readonly Interval[];
  /** Times told of each stretch of opening hours (a morning, an afternoon). */
  readonly perStretch: number;
  /** Times told in all. */
  readonly most: number;
}

/** The first free times, in their order. */
export function freeTimes(asked: FreeTimesAsked): FreeTime[] {
  const found: FreeTime[] = [];
  for (let day = 0; day < asked.days && found.length < asked.most; day += 1) {
    const on = addDays(asked.from, day);
    for (const hours of openingHours(asked.calendar, on)) {
      found.push(...freeWithin(asked, on, hours).slice(0, asked.perStretch));
    }
  }
  return found.slice(0, asked.most);
}

function freeWithin(asked: FreeTimesAsked, on: Day, hours: OpeningHours): FreeTime[] {
  const { timeZone, now, minutes, taken } = asked;
  const closesAt = instantOn(on, hours.toMinute, timeZone);
  const free: FreeTime[] = [];
  for (let minute = hours.fromMinute; minute < hours.toMinute; minute += STEP_MINUTES) {
    const time = intervalOf(instantOn(on, minute, timeZone), minutes);
    // A time that the clock skips on this day is none.
    const isShown = minuteAt(time.startsAt, timeZone) === minute;
    if (!isShown || time.startsAt < now || time.endsAt > closesAt) continue;
    if (!taken.some((other) => overlap(time, other))) free.push({ on, ...time });
  }
  return free;
}
