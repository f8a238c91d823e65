/** When: one of the next free times, each with the chance that the work is done by then; or another time. */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { answered, api, Problem, type Schemas } from '../api.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { instantTyped } from './when.ts';

export interface TimeTyped {
  /** An instant of the free times, or `another`; left open: the first free one. */
  readonly chosen: string | undefined;
  readonly day: string;
  readonly time: string;
}
export const NO_TIME: TimeTyped = { chosen: undefined, day: '', time: '' };

export interface TimeAsked {
  readonly purpose: Schemas['Appointment']['purpose'];
  readonly orderId?: string;
  readonly patientId?: string;
  readonly prosthetistId?: string;
  readonly minutes?: number;
}
type Free = Schemas['FreeTimes'];

/** The next free times; nothing is asked until there is somebody to be with. */
export const useFreeTimes = (asked: TimeAsked) =>
  useQuery({
    queryKey: ['free', asked],
    enabled: asked.prosthetistId !== undefined,
    placeholderData: keepPreviousData,
    queryFn: () =>
      answered(api.GET('/api/v1/appointments/free', { params: { query: { ...asked, most: 6 } } })),
  });

const ANOTHER = 'another';
const choiceOf = ({ chosen }: TimeTyped, free: Free | undefined): string =>
  chosen ?? free?.items[0]?.startsAt ?? ANOTHER;

/** The instant that is sent; undefined where none was typed: the service says that it is missing. */
export const timeToSend = (
  typed: TimeTyped,
  free: Free | undefined,
  timeZone: string,
): string | undefined => {
  const choice = choiceOf(typed, free);
  return choice === ANOTHER ? instantTyped(typed.day, typed.time, timeZone) : choice;
};

export function TimeChoice({
  typed,
  free,
  failure,
  against,
  onChange,
}: {
  readonly typed: TimeTyped;
  readonly free: Free | undefined;
  readonly failure: unknown;
  readonly against: string | undefined;
  readonly onChange: (change: Partial<TimeTyped>) => void;
}) {
  const { book: say } = words.value;
  const instantWords = useInstantWords();
  const choice = choiceOf(typed, free);
  const offered = (free?.items ?? []).map(({ startsAt, readyChance }) => [
    startsAt,
    readyChance === null
      ? instantWords(startsAt)
      : `${instantWords(startsAt)}, ${say.ready(Math.round(readyChance * 100))}`,
  ]);
  const chosen = free?.items.find(({ startsAt }) => startsAt === choice);
  return (
    <>
      {!(failure instanceof Problem) && <WentWrong failure={failure} />}
      <Choices
        label={say.freeTimes}
        name="time"
        of={Object.fromEntries([...offered, [ANOTHER, say.anotherTime]]) as Record<string, string>}
        value={choice}
        against={choice === ANOTHER ? undefined : against}
        {...(free?.items.length === 0 ? { hint: say.noneFree } : {})}
        onChoose={(startsAt) => onChange({ chosen: startsAt })}
      />
      {chosen !== undefined && <Warnings of={chosen.warnings} />}
      {choice === ANOTHER && (
        <div class="filters beside-each-other">
          <TextField
            label={say.onDay}
            type="date"
            value={typed.day}
            against={against}
            onInput={({ currentTarget }) => onChange({ day: currentTarget.value })}
          />
          <TextField
            label={say.at}
            type="time"
            step={300}
            value={typed.time}
            onInput={({ currentTarget }) => onChange({ time: currentTarget.value })}
          />
        </div>
      )}
    </>
  );
}

/** What to look at before the patient is told. */
export const Warnings = ({ of }: { readonly of: Schemas['AppointmentBooked']['warnings'] }) =>
  of.length === 0 ? null : (
    <div class="caution">
      {words.value.book.lookAt}:
      <ul>
        {of.map(({ code, detail, wayOut }) => (
          <li key={code}>
            {detail} {wayOut}
          </li>
        ))}
      </ul>
    </div>
  );
