/**
 * The clinic's working calendar (C5): on which weekdays and hours it is open,
 * and on which days it is closed. Working days are counted in it.
 */
import { addDays, dayNumber, daysBetween, isBefore, type Day } from './days.ts';
import { reason, type Reason } from './reasons/index.ts';
import { unless, type Verdict } from './verdict.ts';

/** Minutes from midnight of the clinic's day; 8:00 to 17:00 is 480 to 1020. */
export interface OpeningHours {
  readonly fromMinute: number;
  readonly toMinute: number;
}

/** Opening hours of Monday (first) to Sunday (last), and the days on which it is closed all the same. */
export interface WorkCalendar {
  readonly weekdays: readonly (readonly OpeningHours[])[];
  readonly closedOn: ReadonlySet<Day>;
}

const MINUTES_OF_DAY = 24 * 60;

const EIGHT_TO_FIVE: readonly OpeningHours[] = [
  { fromMinute: 480, toMinute: 720 },
  { fromMinute: 780, toMinute: 1020 },
];

/** Monday to Friday, 8 to 12 and 13 to 17: a starting value, common practice, no source. */
export const STARTING_WEEKDAYS: WorkCalendar['weekdays'] = [
  EIGHT_TO_FIVE,
  EIGHT_TO_FIVE,
  EIGHT_TO_FIVE,
  EIGHT_TO_FIVE,
  EIGHT_TO_FIVE,
  [],
  [],
];

const WEEKDAY_WORDS = [
  'Monday',
  'Tuesday',
  'Wednesday',
  'Thursday',
  'Friday',
  'Saturday',
  'Sunday',
] as const;

/**
 * Judges a calendar as it is entered.
 * @param closedOn in any order
 * @returns the calendar, or every 'calendar-impossible'
 */
export function judgeWorkCalendar(
  weekdays: WorkCalendar['weekdays'],
  closedOn: readonly Day[],
): Verdict<WorkCalendar> {
  const against: Reason[] = [];
  const impossible = (what: string): void => {
    against.push(reason('calendar-impossible', { what }));
  };
  if (weekdays.length !== WEEKDAY_WORDS.length) {
    impossible(`${weekdays.length} weekdays are given; a week has 7`);
  }
  for (const [at, weekday] of WEEKDAY_WORDS.entries()) {
    let open = 0;
    for (const { fromMinute, toMinute } of weekdays[at] ?? []) {
      const whole = Number.isInteger(fromMinute) && Number.isInteger(toMinute);
      if (!whole || fromMinute < open || toMinute <= fromMinute || toMinute > MINUTES_OF_DAY) {
        impossible(
          `${weekday}: minute ${fromMinute} to ${toMinute} is no opening time of its own within the day`,
        );
      }
      open = toMinute;
    }
  }
  if (weekdays.every((hours) => hours.length === 0)) impossible('No weekday is open');
  for (const [at, day] of closedOn.entries()) {
    if (closedOn.indexOf(day) < at) impossible(`${day} is closed twice`);
  }
  return unless(against, { weekdays, closedOn: new Set(closedOn) });
}

/** 0 for Monday to 6 for Sunday. */
const weekdayOf = (day: Day): number => (((dayNumber(day) + 3) % 7) + 7) % 7;

const hoursOn = (calendar: WorkCalendar, weekday: number): readonly OpeningHours[] =>
  calendar.weekdays.slice(weekday, weekday + 1).flat();

/** The opening hours of a day; none where it is closed. */
export const openingHours = (calendar: WorkCalendar, day: Day): readonly OpeningHours[] =>
  calendar.closedOn.has(day) ? [] : hoursOn(calendar, weekdayOf(day));

/** Whether the clinic works on a day. */
export const isWorkingDay = (calendar: WorkCalendar, day: Day): boolean =>
  openingHours(calendar, day).length > 0;

/** The minutes for which the clinic is open on a day. */
export const openMinutes = (calendar: WorkCalendar, day: Day): number =>
  openingHours(calendar, day).reduce((sum, hours) => sum + hours.toMinute - hours.fromMinute, 0);

/**
 * The day itself where it is a working day, else the next one.
 * @param calendar a judged one: with no weekday open there would be no answer
 */
export function firstWorkingDayFrom(calendar: WorkCalendar, day: Day): Day {
  let on = day;
  while (!isWorkingDay(calendar, on)) on = addDays(on, 1);
  return on;
}

/**
 * The working day so many working days after a day (before it, where `days` is
 * negative). The day itself is not counted; 0 gives the day itself where it is
 * a working day, else the next.
 * @param days a whole number
 */
export function addWorkingDays(calendar: WorkCalendar, day: Day, days: number): Day {
  if (days === 0) return firstWorkingDayFrom(calendar, day);
  const step = Math.sign(days);
  let on = day;
  for (let left = Math.abs(days); left > 0;) {
    on = addDays(on, step);
    if (isWorkingDay(calendar, on)) left -= 1;
  }
  return on;
}

/**
 * The working days after `from` up to and including `to`; negative where `to` is
 * earlier. What begins and ends on one day takes 0, what ends on the next working
 * day takes 1; stretches that follow one another add up.
 */
export function workingDaysBetween(calendar: WorkCalendar, from: Day, to: Day): number {
  if (isBefore(to, from)) return 0 - workingDaysBetween(calendar, to, from);
  const days = daysBetween(from, to);
  const opens = (weekday: number): number => (hoursOn(calendar, weekday % 7).length > 0 ? 1 : 0);
  const weekday = weekdayOf(from);
  let count = 0;
  for (let n = 1; n <= 7; n += 1) {
    // Whole weeks have every weekday once; the days left over come after `from`.
    count += opens(weekday + n) * (Math.floor(days / 7) + (n <= days % 7 ? 1 : 0));
  }
  for (const day of calendar.closedOn) {
    if (isBefore(from, day) && !isBefore(to, day)) count -= opens(weekdayOf(day));
  }
  return count;
}
