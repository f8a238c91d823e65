/** The calendar as it is typed. Two people's changes of one version are brought together. */
import { answered, api, Problem, type Schemas } from '../api.ts';
import { useKept } from '../desk/kept.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { HelpHeading } from '../parts/help.tsx';
import { words } from '../words/words.ts';
import { broughtTogether, calendarChanges, type Calendar } from './calendarChanges.ts';
import { readCalendars } from './versionsRead.ts';
import { ClosedDays, NONE_ADDED, type Adding } from './ClosedDays.tsx';
import { hoursOf, hoursTyped } from './hours.ts';
import { PutBack } from './PutBack.tsx';
import { notSent, racedBy } from './values.ts';
import { Changes } from './Versions.tsx';

type Version = Schemas['WorkCalendarVersion'];

interface Draft {
  /** The version that the typing began from. */
  readonly base: Version;
  readonly hours: readonly string[];
  readonly closedDays: Calendar['closedDays'];
  readonly adding: Adding;
}

const begun = (base: Version): Draft => ({
  base,
  hours: base.weekdays.map(hoursTyped),
  closedDays: base.closedDays,
  adding: NONE_ADDED,
});

/** Hours that cannot be read are empty here; `readDraft` says so. */
const shownOf = ({ hours, closedDays }: Draft): Calendar => ({
  weekdays: hours.map((typed) => hoursOf(typed) ?? []),
  closedDays: [...closedDays],
});

/** @throws Problem beside each weekday whose hours cannot be read */
function readDraft(draft: Draft): Calendar {
  const detail = words.value.admin.calendar.hoursUnread;
  const against = draft.hours.flatMap((typed, at) =>
    hoursOf(typed) === undefined
      ? [{ pointer: `/weekdays/${at}`, code: 'hours-unread', detail, wayOut: '' }]
      : [],
  );
  if (draft.adding.on !== '' || draft.adding.why.trim() !== '') {
    const { addFirst } = words.value.admin.calendar;
    against.push({ pointer: '/adding', code: 'day-not-added', detail: addFirst, wayOut: '' });
  }
  if (against.length > 0) throw notSent(against);
  return shownOf(draft);
}

export function CalendarForm({
  inForce,
  today,
  onSaid,
}: {
  readonly inForce: Version;
  /** At the clinic; undefined until the service has said. */
  readonly today: string | undefined;
  readonly onSaid: (written: number | undefined) => void;
}) {
  const { calendar: say, weekdays } = words.value.admin;
  const readAgain = useReadAgain();
  const [typed, setKept, forget] = useKept<Draft | undefined>('calendar', undefined);
  const setTyped = (to: Draft | undefined): void => {
    setKept(() => to);
    if (to === undefined) forget();
  };
  const draft = typed ?? begun(inForce);
  const change = (part: Partial<Draft>): void => setTyped({ ...draft, ...part });
  const changes = calendarChanges(draft.base, shownOf(draft));
  const send = async (key: string): Promise<void> => {
    onSaid(undefined);
    const calendar = readDraft(draft);
    try {
      const { version } = await answered(
        api.POST('/api/v1/calendar', {
          params: { header: once(key) },
          body: { basedOnVersion: draft.base.version, ...calendar },
        }),
      );
      setTyped(undefined);
      await readAgain();
      onSaid(version);
    } catch (failure) {
      if (failure instanceof Problem && failure.code === 'version-is-stale') {
        const [theirs] = (await readCalendars()).items;
        if (theirs !== undefined) {
          const together = broughtTogether(draft.base, calendar, theirs);
          setTyped({ ...begun({ ...theirs, ...together }), base: theirs });
          void readAgain();
          throw racedBy(calendarChanges(draft.base, theirs), say.racedWayOut);
        }
      }
      throw failure;
    }
  };
  return (
    <ActForm act={say.write} send={send}>
      {({ against }) => (
        <>
          <HelpHeading title={say.hours} text={say.hoursHelp} />
          {against('/weekdays') !== undefined && (
            <p class="stands-against">{against('/weekdays')}</p>
          )}
          <div class="entry hours">
            {weekdays.map((weekday, at) => (
              <TextField
                key={weekday}
                label={weekday}
                autocomplete="off"
                placeholder={say.closed}
                value={draft.hours[at] ?? ''}
                against={against(`/weekdays/${at}`)}
                onInput={({ currentTarget: { value } }) =>
                  change({ hours: draft.hours.map((each, of) => (of === at ? value : each)) })
                }
              />
            ))}
          </div>
          <ClosedDays
            days={draft.closedDays}
            adding={draft.adding}
            today={today}
            against={against}
            onChange={(closedDays, added) =>
              change(added ? { closedDays, adding: NONE_ADDED } : { closedDays })
            }
            onAdding={(adding) => change({ adding })}
          />
          <h2>{say.whatChanges(draft.base.version)}</h2>
          <Changes of={changes} />
          <PutBack when={typed !== undefined} onPutBack={() => setTyped(undefined)} />
        </>
      )}
    </ActForm>
  );
}
