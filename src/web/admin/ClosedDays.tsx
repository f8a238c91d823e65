/** The days on which the clinic is closed all the same: those to come, and behind them the past ones. */
import { useState } from 'preact/hooks';
import { TextField } from '../parts/fields.tsx';
import { HelpHeading } from '../parts/help.tsx';
import { dayWords, words } from '../words/words.ts';
import type { Calendar } from './calendarChanges.ts';

type Days = Calendar['closedDays'];
/** The day that is being typed and is not in the list yet. */
export interface Adding {
  readonly on: string;
  readonly why: string;
}
export const NONE_ADDED: Adding = { on: '', why: '' };

export function ClosedDays({
  days,
  adding,
  today,
  against,
  onChange,
  onAdding,
}: {
  readonly days: Days;
  readonly adding: Adding;
  readonly today: string | undefined;
  readonly against: (pointer: string) => string | undefined;
  /** @param added whether the day that was typed is among them now */
  readonly onChange: (days: Days, added: boolean) => void;
  readonly onAdding: (adding: Adding) => void;
}) {
  const { calendar: say } = words.value.admin;
  const isPast = ({ on }: Days[number]): boolean => today !== undefined && on < today;
  const shown = days.map((day, at) => ({ day, at }));
  const lines = (past: boolean) => (
    <ul class="lines">
      {shown
        .filter(({ day }) => isPast(day) === past)
        .map(({ day, at }) => (
          <li key={`${day.on} ${day.why}`} class="closed-day">
            <span>
              <strong>{dayWords(day.on)}</strong>: {day.why}
              {(against(`/closedDays/${at}/on`) ?? against(`/closedDays/${at}/why`)) !==
                undefined && (
                <span class="stands-against">
                  {' '}
                  {against(`/closedDays/${at}/on`) ?? against(`/closedDays/${at}/why`)}
                </span>
              )}
            </span>
            <button
              type="button"
              aria-label={say.takeOutOf(dayWords(day.on))}
              onClick={() =>
                onChange(
                  days.filter((_each, of) => of !== at),
                  false,
                )
              }
            >
              {say.takeOut}
            </button>
          </li>
        ))}
    </ul>
  );
  return (
    <>
      <HelpHeading title={say.closedDays} text={say.closedDaysHelp} />
      {lines(false)}
      {days.some(isPast) && (
        <details>
          <summary>{say.pastDays(days.filter(isPast).length)}</summary>
          {lines(true)}
        </details>
      )}
      <AddDay {...{ days, adding, against, onChange, onAdding }} />
    </>
  );
}

function AddDay({
  days,
  adding,
  against,
  onChange,
  onAdding,
}: {
  readonly days: Days;
  readonly adding: Adding;
  readonly against: (pointer: string) => string | undefined;
  /** @param added whether the day that was typed is among them now */
  readonly onChange: (days: Days, added: boolean) => void;
  readonly onAdding: (adding: Adding) => void;
}) {
  const { admin, service } = words.value;
  const { calendar: say } = admin;
  const [asked, setAsked] = useState(false);
  const { on, why } = adding;
  const twice = days.some((each) => each.on === on);
  const add = (): void => {
    setAsked(true);
    if (on === '' || why.trim() === '' || twice) return;
    onChange(
      [...days, { on, why: why.trim() }].toSorted((a, b) => (a.on < b.on ? -1 : 1)),
      true,
    );
    setAsked(false);
  };
  const missing = (value: string): string | undefined =>
    asked && value.trim() === '' ? service.missing : undefined;
  return (
    <div class="line-fields">
      <TextField
        label={say.day}
        type="date"
        value={on}
        against={
          (on === '' && why === '' ? undefined : against('/adding')) ??
          (asked && twice ? say.closedAlready : missing(on))
        }
        onInput={({ currentTarget }) => onAdding({ on: currentTarget.value, why })}
      />
      <TextField
        label={say.why}
        autocomplete="off"
        value={why}
        against={missing(why)}
        onInput={({ currentTarget }) => onAdding({ on, why: currentTarget.value })}
      />
      <p class="add-line">
        <button type="button" onClick={add}>
          {say.addDay}
        </button>
      </p>
    </div>
  );
}
