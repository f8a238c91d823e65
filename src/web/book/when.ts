/** Days and times of the book, at the clinic. */
import { useQuery } from '@tanstack/preact-query';
import { instantOn, minuteAt } from '../../domain/clockTimes.ts';
import { minuteInWords } from '../../domain/dayWords.ts';
import { addDays, parseDay, type Day } from '../../domain/days.ts';
import { answered, api } from '../api.ts';

/** The clinic's zone (IANA name); undefined until it is known. */
export function useTimeZone(): string | undefined {
  const { data } = useQuery({
    queryKey: ['clinic'],
    queryFn: () => answered(api.GET('/api/v1/clinic')),
    staleTime: 600_000,
  });
  return data?.timeZone;
}

/** `09:15`: what the clinic's clock shows at an RFC 3339 instant. */
export const timeWords = (instant: string, timeZone: string): string =>
  minuteInWords(minuteAt(new Date(instant), timeZone));

/** The minute of the day that was typed as `09:15`; undefined where it is none. */
export function minuteTyped(time: string): number | undefined {
  const [, hours, minutes] = /^(\d{2}):(\d{2})/.exec(time) ?? [];
  return hours === undefined ? undefined : 60 * Number(hours) + Number(minutes);
}

/** The instant that was typed as a day and a time; undefined where either is none yet. */
export function instantTyped(day: string, time: string, timeZone: string): string | undefined {
  const [on, minute] = [parseDay(day), minuteTyped(time)];
  return on === undefined || minute === undefined
    ? undefined
    : instantOn(on, minute, timeZone).toISOString();
}

/** Monday (0) to Sunday (6). */
const weekday = (day: Day): number => (new Date(`${day}T00:00:00Z`).getUTCDay() + 6) % 7;

/** The days of the week in which a day lies, Monday first. */
export function weekOf(day: Day): Day[] {
  const monday = addDays(day, -weekday(day));
  return Array.from({ length: 7 }, (_none, at) => addDays(monday, at));
}
