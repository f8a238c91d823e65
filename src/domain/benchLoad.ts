/**
 * The load of each bench by day (C5): planned minutes of work beside the minutes
 * for which the bench is manned.
 */
import { addDays, daysBetween, isBefore, type Day } from './days.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { unless, type Verdict } from './verdict.ts';
import {
  firstWorkingDayFrom,
  openMinutes,
  openMinutesFrom,
  type WorkCalendar,
} from './workCalendar.ts';

/** A bench and how many people work at it at a time. */
export interface Bench {
  readonly name: string;
  readonly people: number;
}

/** Whether two names are one to who reads them: Oven, OVEN, and Oven in wide letters (Unicode NFKC). */
export const isSameBench = (a: string, b: string): boolean => folded(a) === folded(b);

const folded = (name: string): string => name.normalize('NFKC').toLowerCase();

const PEOPLE: Range = {
  what: 'People at a bench',
  least: 1,
  greatest: 50,
  unit: '',
  usual: '1 to 4',
};

/** 'value-out-of-range' where so many people cannot work at a bench at a time. */
export const judgePeople = (people: number): Reason[] => questionRange(people, PEOPLE, '/people');

/** The benches that a new clinic starts with. Common practice, no source. */
export const STARTING_BENCHES: readonly Bench[] = [
  { name: 'Plaster room', people: 1 },
  { name: 'Oven', people: 1 },
  { name: 'Lamination', people: 1 },
  { name: 'Grinding', people: 1 },
  { name: 'Assembly', people: 2 },
];

/** Work of one order at one bench, to be done between two days, both included. */
export interface WorkToPlan {
  readonly order: string;
  readonly bench: string;
  readonly minutes: number;
  readonly from: Day;
  readonly to: Day;
}

export interface BenchDay {
  readonly bench: string;
  readonly day: Day;
  readonly plannedMinutes: number;
  /** Opening minutes times people. */
  readonly mannedMinutes: number;
  readonly overloaded: boolean;
  /** The orders behind it, sorted, each once. */
  readonly orders: readonly string[];
}

/** Round-off of shares of minutes; far below a minute. */
const ROUND_OFF = 1e-6;

function against(benches: readonly Bench[], work: WorkToPlan): Reason[] {
  const { order, bench, minutes, from, to } = work;
  const impossible = (why: string) => [reason('work-to-plan-impossible', { order, bench, why })];
  if (!benches.some(({ name }) => name === bench)) return impossible('there is no such bench');
  if (!(minutes >= 0 && Number.isFinite(minutes))) return impossible(`${minutes} minutes are none`);
  return isBefore(to, from) ? impossible(`its last day ${to} is before its first ${from}`) : [];
}

/**
 * The load of every bench on every working day of a window.
 *
 * Work is spread over the working days of its own span in proportion to their
 * opening minutes; where its span has none, it falls on the next working day.
 * Minutes that fall outside the window are left out.
 * @param window both days included
 * @returns days in order, benches in the order given within a day; or every
 *   'work-to-plan-impossible'
 */
export function benchLoad(
  calendar: WorkCalendar,
  benches: readonly Bench[],
  work: readonly WorkToPlan[],
  window: { readonly from: Day; readonly to: Day },
): Verdict<readonly BenchDay[]> {
  const planned = new Map<string, { minutes: number; orders: Set<string> }>();
  const keyOf = (bench: string, day: Day) => `${day} ${bench}`;
  const reasons = work.flatMap((each) => against(benches, each));
  for (const { order, bench, minutes, from, to } of reasons.length > 0 ? [] : work) {
    // However far off its last day is, only the days of the window are gone through.
    const inSpan = openMinutesFrom(calendar, from, to);
    const next = inSpan > 0 ? null : firstWorkingDayFrom(calendar, from);
    const open = next === null ? inSpan : openMinutes(calendar, next);
    const [first, last] = [next ?? from, next ?? to];
    for (const day of workingDays(calendar, later(first, window.from), earlier(last, window.to))) {
      const had = planned.get(keyOf(bench, day)) ?? { minutes: 0, orders: new Set<string>() };
      had.minutes += (minutes * openMinutes(calendar, day)) / open;
      had.orders.add(order);
      planned.set(keyOf(bench, day), had);
    }
  }
  const days = workingDays(calendar, window.from, window.to);
  return unless(
    reasons,
    days.flatMap((day) =>
      benches.map((bench): BenchDay => {
        const had = planned.get(keyOf(bench.name, day));
        const plannedMinutes = had?.minutes ?? 0;
        const mannedMinutes = openMinutes(calendar, day) * bench.people;
        return {
          bench: bench.name,
          day,
          plannedMinutes,
          mannedMinutes,
          overloaded: plannedMinutes > mannedMinutes + ROUND_OFF,
          orders: [...(had?.orders ?? [])].sort(),
        };
      }),
    ),
  );
}

const later = (a: Day, b: Day): Day => (isBefore(a, b) ? b : a);
const earlier = (a: Day, b: Day): Day => (isBefore(a, b) ? a : b);

/** From one day to another, both included; none where the last is before the first. */
const workingDays = (calendar: WorkCalendar, from: Day, to: Day): Day[] =>
  Array.from({ length: Math.max(0, daysBetween(from, to) + 1) }, (_, n) => addDays(from, n)).filter(
    (day) => openMinutes(calendar, day) > 0,
  );
