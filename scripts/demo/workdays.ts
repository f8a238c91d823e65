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
  /** Mondays to Fridays, from two years back to the last one that is wholly past. */
  readonly days: readonly Day[];
  /** The instant of a minute of a working day, by the clinic's clock. */
  at(index: number, minute: number): Date;
}

export function workdaysUntil(now: Date, timeZone: string): Workdays {
  const today = Temporal.PlainDate.from(dayAt(now, timeZone));
  const days: Day[] = [];
  const midnights: number[] = [];
  for (
    let day = today.subtract({ years: YEARS_BACK });
    Temporal.PlainDate.compare(day, today) < 0;
    day = day.add({ days: 1 })
  ) {
    if (day.dayOfWeek > 5) continue;
    days.push(day.toString() as Day);
    midnights.push(day.toZonedDateTime(timeZone).epochMilliseconds);
  }
  return {
    timeZone,
    now,
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
