/**
 * The clinic's working calendar (C5): on which weekdays and hours it is open,
 * and on which days it is closed. Working days are counted in it.
 */
import { addDays, countBefore, dayNumber, type Day } from './days.ts';
import { dayInWords } from './dayWords.ts';
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

/** A minute of the day as a clock shows it; one that no clock shows, as it is. */
const clock = (minute: number): string =>
  Number.isInteger(minute)
    ? `${Math.floor(minute / 60)}:${String(minute % 60).padStart(2, '0')}`
    : `minute ${minute}`;

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
  const impossible = (what: string, field: string): void => {
    against.push(reason('calendar-impossible', { what }, field));
  };
  if (weekdays.length !== WEEKDAY_WORDS.length) {
    impossible(`${weekdays.length} weekdays are given; a week has 7`, '/weekdays');
  }
  for (const [at, weekday] of WEEKDAY_WORDS.entries()) {
    let open = 0;
    for (const { fromMinute, toMinute } of weekdays[at] ?? []) {
      const whole = Number.isInteger(fromMinute) && Number.isInteger(toMinute);
      if (!whole || fromMinute < open || toMinute <= fromMinute || toMinute > MINUTES_OF_DAY) {
        impossible(
          `${weekday}: ${clock(fromMinute)} to ${clock(toMinute)} is no opening time of its own within the day`,
          `/weekdays/${at}`,
        );
      }
      open = toMinute;
    }
  }
  if (weekdays.every((hours) => hours.length === 0)) impossible('No weekday is open', '/weekdays');
  for (const [at, day] of closedOn.entries()) {
    if (closedOn.indexOf(day) < at) {
      impossible(`${dayInWords(day)} is closed twice`, `/closedDays/${at}/on`);
    }
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

const minutesOf = (hours: readonly OpeningHours[]): number =>
  hours.reduce((sum, { fromMinute, toMinute }) => sum + toMinute - fromMinute, 0);

/** The minutes for which the clinic is open on a day. */
export const openMinutes = (calendar: WorkCalendar, day: Day): number =>
  minutesOf(openingHours(calendar, day));

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

/** Sums over a calendar, so that a stretch is two look-ups however long it is. */
interface Tally {
  /** Entry k: the first k weekdays of a week. */
  readonly ofWeek: readonly number[];
  /** Sorted. */
  readonly closed: readonly Day[];
  /** Entry k: what the first k closed days take away. */
  readonly ofClosed: readonly number[];
}

const rising = (values: readonly number[]): number[] => {
  let sum = 0;
  return [0, ...values.map((value) => (sum += value))];
};

function tallyOf(calendar: WorkCalendar, worth: (hours: readonly OpeningHours[]) => number): Tally {
  const ofWeekday = WEEKDAY_WORDS.map((_word, weekday) => worth(hoursOn(calendar, weekday)));
  const closed = [...calendar.closedOn].sort();
  return {
    ofWeek: rising(ofWeekday),
    closed,
    ofClosed: rising(closed.map((day) => Number(ofWeekday[weekdayOf(day)]))),
  };
}

/** Made once for a calendar, which never changes: every stay of years of orders asks. */
const tallies = new WeakMap<WorkCalendar, { readonly days: Tally; readonly minutes: Tally }>();

function tallied(calendar: WorkCalendar): { readonly days: Tally; readonly minutes: Tally } {
  const made = tallies.get(calendar) ?? {
    days: tallyOf(calendar, (hours) => Math.sign(hours.length)),
    minutes: tallyOf(calendar, minutesOf),
  };
  tallies.set(calendar, made);
  return made;
}

/** The sum of all days up to a day, itself included, from a Monday that falls out of every difference. */
function upTo({ ofWeek, closed, ofClosed }: Tally, calendar: WorkCalendar, day: Day): number {
  const days = dayNumber(day) + 3 + 1;
  const weeks = Math.floor(days / 7);
  const shut = countBefore(closed, day) + Number(calendar.closedOn.has(day));
  return weeks * Number(ofWeek[7]) + Number(ofWeek[days - 7 * weeks]) - Number(ofClosed[shut]);
}

/**
 * The working days after `from` up to and including `to`; negative where `to` is
 * earlier. What begins and ends on one day takes 0, what ends on the next working
 * day takes 1; stretches that follow one another add up.
 */
export function workingDaysBetween(calendar: WorkCalendar, from: Day, to: Day): number {
  const { days } = tallied(calendar);
  return upTo(days, calendar, to) - upTo(days, calendar, from);
}

/** The minutes for which the clinic is open from one day to another, both included. */
export function openMinutesFrom(calendar: WorkCalendar, from: Day, to: Day): number {
  const { minutes } = tallied(calendar);
  return upTo(minutes, calendar, to) - upTo(minutes, calendar, from) + openMinutes(calendar, from);
}
