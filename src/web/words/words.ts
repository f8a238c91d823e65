/** The language that is shown, and days and instants in it. */
import { signal } from '@preact/signals';
import { en, type Words } from './en.ts';

export const words = signal<Words>(en);

/** A calendar day, `YYYY-MM-DD`, with its weekday and the month in words. */
export const dayWords = (day: string): string =>
  new Intl.DateTimeFormat('en-GB', {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    timeZone: 'UTC',
  }).format(new Date(`${day}T00:00:00Z`));

/** A day of birth: nobody asks for its weekday. */
export const birthDayWords = (day: string): string =>
  new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeZone: 'UTC' }).format(
    new Date(`${day}T00:00:00Z`),
  );

/** A chance, 0 to 1, as people say it. */
export const chanceWords = (chance: number): string =>
  words.value.desk.chance(Math.round(chance * 100));
