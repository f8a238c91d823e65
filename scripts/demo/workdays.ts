/** The clinic's working days and hours, as the demo keeps them. */
import { Temporal } from 'temporal-polyfill';
import { dayAt, type Day } from '../../src/domain/days.ts';
import type { Chance } from './chance.ts';

/** How far back the demo's history goes. */
const YEARS_BACK = 2;
const OPENS_MINUTE = 8 * 60;
const CLOSES_MINUTE = 17 * 60 + 30;

export interface Workdays {
  readonly timeZone: string;
  readonly now: Date;
  /** Closed on a weekday all the same, in the years that are told and the next one. */
  readonly closedDays: readonly { readonly on: Day; readonly why: string }[];
  /** Mondays to Fridays that are not closed, from two years back to the last one that is wholly past. */
  readonly days: readonly Day[];
  /** The instant of a minute of a working day, by the clinic's clock. */
  at(index: number, minute: number): Date;
}

const CLOSED_EACH_YEAR = [
  { monthDay: '01-01', why: 'New Year' },
  { monthDay: '12-25', why: 'Christmas' },
  { monthDay: '12-26', why: 'Boxing Day' },
] as const;

const closedAround = ({ year }: Temporal.PlainDate): Workdays['closedDays'] =>
  Array.from({ length: YEARS_BACK + 2 }, (_, at) => year - YEARS_BACK + at).flatMap((each) =>
    CLOSED_EACH_YEAR.map(({ monthDay, why }) => ({ on: `${each}-${monthDay}` as Day, why })),
  );

export function workdaysUntil(now: Date, timeZone: string): Workdays {
  const today = Temporal.PlainDate.from(dayAt(now, timeZone));
  const closedDays = closedAround(today);
  const closed = new Set<string>(closedDays.map(({ on }) => on));
  const days: Day[] = [];
  const midnights: number[] = [];
  for (
    let day = today.subtract({ years: YEARS_BACK });
    Temporal.PlainDate.compare(day, today) < 0;
    day = day.add({ days: 1 })
  ) {
    if (day.dayOfWeek > 5 || closed.has(day.toString())) continue;
    days.push(day.toString() as Day);
    midnights.push(day.toZonedDateTime(timeZone).epochMilliseconds);
  }
  return {
    timeZone,
    now,
    closedDays,
    days,
    at: (index, minute) => {
      const midnight = midnights[index];
      // Past the last working day nothing has happened yet: the timeline ends there.
      if (midnight === undefined) return new Date(now.getTime() + 1);
      return new Date(midnight + minute * 60_000);
    },
  };
}

/** Where one story stands in time; it only goes forward. */
export class Diary {
  #index: number;
  #minute: number;
  readonly #workdays: Workdays;
  readonly #chance: Chance;

  constructor(workdays: Workdays, chance: Chance, index: number) {
    this.#workdays = workdays;
    this.#chance = chance;
    this.#index = index;
    this.#minute = OPENS_MINUTE + chance.whole(0, 150);
  }

  get index(): number {
    return this.#index;
  }

  get day(): Day {
    const last = this.#workdays.days.at(-1);
    const day = this.#workdays.days[this.#index] ?? last;
    if (day === undefined) throw new RangeError('There is no working day.');
    return day;
  }

  get at(): Date {
    return this.#workdays.at(this.#index, this.#minute);
  }

  /** Some working days later, at an hour of the morning. */
  days(count: number): Date {
    this.#index += count;
    this.#minute = OPENS_MINUTE + this.#chance.whole(0, 150);
    return this.at;
  }

  /** Some minutes later the same day; never past closing time. */
  minutes(from: number, to: number): Date {
    this.#minute = Math.min(CLOSES_MINUTE, this.#minute + this.#chance.whole(from, to));
    return this.at;
  }
}
