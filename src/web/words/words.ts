/**
 * The language that is shown, and days and chances in it. English is there from the first;
 * another language is fetched when somebody chooses it, and the choice is kept in the browser.
 */
import { computed, signal } from '@preact/signals';
import type * as German from './de/pack.ts';
import { en, type Words } from './en.ts';

export const words = signal<Words>(en);

/** The languages there are, each in its own name. */
export const LANGUAGES = { en: 'English', de: 'Deutsch' } as const;
export type Language = keyof typeof LANGUAGES;
export const language = signal<Language>('en');

/** A language but English: its texts, its refusals, its figures. */
type Pack = typeof German;
export const pack = signal<Pack | null>(null);
const PACKS: Readonly<Record<Exclude<Language, 'en'>, () => Promise<Pack>>> = {
  de: () => import('./de/pack.ts'),
};

/** Turns to a language, once it is there. @throws where it cannot be fetched; nothing is changed then */
export async function turnTo(wanted: Language): Promise<void> {
  const next = wanted === 'en' ? null : await PACKS[wanted]();
  pack.value = next;
  words.value = next?.words ?? en;
  language.value = wanted;
}

/** As a language writes days and figures (BCP 47). */
export const locale = computed(() => words.value.locale);

/** A calendar day, `YYYY-MM-DD`, with its weekday and the month in words. */
export const dayWords = (day: string): string =>
  new Intl.DateTimeFormat(locale.value, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    timeZone: 'UTC',
  }).format(new Date(`${day}T00:00:00Z`));

/** A day of birth: nobody asks for its weekday. */
export const birthDayWords = (day: string): string =>
  new Intl.DateTimeFormat(locale.value, { dateStyle: 'medium', timeZone: 'UTC' }).format(
    new Date(`${day}T00:00:00Z`),
  );

/** A chance, 0 to 1, as people say it. */
export const chanceWords = (chance: number): string =>
  words.value.desk.chance(Math.round(chance * 100));
