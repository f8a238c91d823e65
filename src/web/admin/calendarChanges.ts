/** What differs between two versions of the calendar, and two people's changes of one brought together. */
import { dayWords, words } from '../words/words.ts';
import { hoursTyped } from './hours.ts';
import type { components } from '../../generated/api.ts';

export type Calendar = Pick<components['schemas']['WorkCalendar'], 'weekdays' | 'closedDays'>;
type ClosedDay = Calendar['closedDays'][number];

const sameDay = (one: ClosedDay) => (other: ClosedDay) =>
  one.on === other.on && one.why === other.why;
const without = (list: readonly ClosedDay[], others: readonly ClosedDay[]): ClosedDay[] =>
  list.filter((each) => !others.some(sameDay(each)));
const byDay = (a: ClosedDay, b: ClosedDay): number => (a.on < b.on ? -1 : 1);

/** In sentences; none where nothing differs. */
export function calendarChanges(before: Calendar, after: Calendar): string[] {
  const { calendar: say, weekdays: named } = words.value.admin;
  const hours = named.flatMap((weekday, at) => {
    const hoursOn = ({ weekdays }: Calendar): string => {
      const hours = weekdays[at] ?? [];
      return hours.length === 0 ? say.closed : hoursTyped(hours);
    };
    const [was, is] = [hoursOn(before), hoursOn(after)];
    return was === is ? [] : [say.hoursChanged(weekday, was, is)];
  });
  return [
    ...hours,
    ...without(after.closedDays, before.closedDays).map(({ on, why }) =>
      say.closedAdded(dayWords(on), why),
    ),
    ...without(before.closedDays, after.closedDays).map(({ on, why }) =>
      say.closedTakenOut(dayWords(on), why),
    ),
  ];
}

/** My changes of `base` brought onto what another made of it meanwhile; where both changed one weekday, mine stands. */
export function broughtTogether(base: Calendar, mine: Calendar, theirs: Calendar): Calendar {
  const same = (one: unknown, other: unknown): boolean =>
    JSON.stringify(one) === JSON.stringify(other);
  const taken = without(base.closedDays, mine.closedDays);
  const added = without(mine.closedDays, base.closedDays);
  const kept = without(theirs.closedDays, taken);
  return {
    weekdays: mine.weekdays.map((hours, at) =>
      same(hours, base.weekdays[at]) ? (theirs.weekdays[at] ?? hours) : hours,
    ),
    closedDays: [...kept, ...without(added, kept)].toSorted(byDay),
  };
}
