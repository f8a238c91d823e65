/** A day of the book as a ruled page: a line for each half hour, what is booked written on its line. */
import { Link } from 'wouter-preact';
import { instantOn, minuteAt } from '../../domain/clockTimes.ts';
import { dayAt, type Day } from '../../domain/days.ts';
import { minuteInWords } from '../../domain/dayWords.ts';
import { openingHours, type WorkCalendar } from '../../domain/workCalendar.ts';
import type { Schemas } from '../api.ts';
import { bookingPage } from '../links.ts';
import { may } from '../session/session.ts';
import { dayWords, words } from '../words/words.ts';
import { AppointmentLine } from './AppointmentLine.tsx';

export type BookShown = Schemas['Appointments'];
type Appointment = Schemas['Appointment'];

const LINE_MINUTES = 30;

export function DayPage({
  on,
  book,
  calendar,
  whole,
  person,
}: {
  readonly on: Day;
  readonly book: BookShown;
  readonly calendar: WorkCalendar;
  /** Every line of the day; else only what is booked, under the day's name. */
  readonly whole: boolean;
  readonly person: string;
}) {
  const { book: say } = words.value;
  const { timeZone, now } = book;
  const booked = book.items.filter((each) => each.on === on);
  const open = openingHours(calendar, on);
  const line = (of: Appointment) => <AppointmentLine key={of.id} of={of} book={book} />;
  if (!whole) {
    return (
      <section>
        <h2>{dayWords(on)}</h2>
        {booked.map(line)}
        {booked.length === 0 && <p class="hint">{open.length === 0 ? say.closed : say.nothing}</p>}
      </section>
    );
  }
  if (open.length === 0 && booked.length === 0) return <p>{say.closed}</p>;
  return (
    <ol class="day">
      {linesOf(calendar, on, booked, timeZone).map((minute) => {
        const startsAt = instantOn(on, minute, timeZone);
        const inIt = booked.filter((each) => lineOf(each, timeZone) === minute);
        const goesOn = booked.some((each) => holds(each, startsAt) && !inIt.includes(each));
        const time = minuteInWords(minute);
        const past = startsAt.toISOString() < now;
        return (
          <li key={minute} class={goesOn ? 'goes-on' : ''}>
            {past || goesOn || inIt.length > 0 || !may('front_desk', 'prosthetist') ? (
              <span class="at">{time}</span>
            ) : (
              <Link
                class="at"
                aria-label={say.bookAt(time)}
                href={bookingPage({
                  at: startsAt.toISOString(),
                  ...(person === '' ? {} : { with: person }),
                })}
              >
                {time}
              </Link>
            )}
            <div>{inIt.map(line)}</div>
          </li>
        );
      })}
    </ol>
  );
}

const takesTime = ({ state }: Appointment): boolean => state === 'booked' || state === 'came';
const holds = (each: Appointment, at: Date): boolean =>
  takesTime(each) &&
  Date.parse(each.startsAt) < at.getTime() &&
  at.getTime() < Date.parse(each.endsAt);

/** The line on which an appointment is written. */
const lineOf = ({ startsAt }: Appointment, timeZone: string): number =>
  LINE_MINUTES * Math.floor(minuteAt(new Date(startsAt), timeZone) / LINE_MINUTES);

/** The lines of the opening hours, and those on which something is booked all the same. */
function linesOf(
  calendar: WorkCalendar,
  on: Day,
  booked: readonly Appointment[],
  timeZone: string,
): number[] {
  const lines = new Set(booked.map((each) => lineOf(each, timeZone)));
  for (const { fromMinute, toMinute } of openingHours(calendar, on)) {
    const first = LINE_MINUTES * Math.floor(fromMinute / LINE_MINUTES);
    for (let minute = first; minute < toMinute; minute += LINE_MINUTES) lines.add(minute);
  }
  // A time that the clock skips on this day has no line.
  return [...lines]
    .filter((minute) => dayAt(instantOn(on, minute, timeZone), timeZone) === on)
    .sort((a, b) => a - b);
}
