/** Opening hours as they are typed, `8:00-12:00, 13:00-17:00`, and in minutes of the day. */
import type { OpeningHours } from '../../domain/workCalendar.ts';

const clock = (minute: number): string =>
  `${Math.floor(minute / 60)}:${String(minute % 60).padStart(2, '0')}`;

/** Empty where the day is closed. */
export const hoursTyped = (hours: readonly OpeningHours[]): string =>
  hours.map(({ fromMinute, toMinute }) => `${clock(fromMinute)}-${clock(toMinute)}`).join(', ');

const STRETCH = /^(\d{1,2})(?:[:.](\d{2}))?\s*(?:-|–|to)\s*(\d{1,2})(?:[:.](\d{2}))?$/;

/** @returns undefined where it cannot be read; whether such hours can be, the domain says */
export function hoursOf(typed: string): OpeningHours[] | undefined {
  if (typed.trim() === '') return [];
  const hours: OpeningHours[] = [];
  for (const stretch of typed.split(/[,;]/)) {
    const read = STRETCH.exec(stretch.trim());
    if (read === null) return undefined;
    const [, fromHour, from = '0', toHour, to = '0'] = read;
    if (Number(from) > 59 || Number(to) > 59) return undefined;
    hours.push({
      fromMinute: Number(fromHour) * 60 + Number(from),
      toMinute: Number(toHour) * 60 + Number(to),
    });
  }
  return hours;
}
