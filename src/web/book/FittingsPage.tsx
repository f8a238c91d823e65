/** The fittings book: a day by its times, or a week by its days. What is shown stands in the address. */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { useEffect } from 'preact/hooks';
import { Link, useSearchParams } from 'wouter-preact';
import { addDays, parseDay, type Day } from '../../domain/days.ts';
import { answered, api } from '../api.ts';
import { isTyping } from '../desk/FindAnywhere.tsx';
import { bookingPage } from '../links.ts';
import { TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { dayWords, words } from '../words/words.ts';
import { DayPage, type BookShown } from './DayPage.tsx';
import { useProsthetists } from './useProsthetists.ts';
import { weekOf } from './when.ts';

export function FittingsPage() {
  const { pages } = words.value;
  // The service's day: the clock of a desk may be wrong.
  const { data, error, refetch } = useQuery({
    queryKey: ['book', 'today'],
    queryFn: () => answered(api.GET('/api/v1/appointments')),
  });
  return data === undefined ? (
    <Sheet title={pages.fittings}>
      {error === null ? <Loading /> : <WentWrong failure={error} retry={() => void refetch()} />}
    </Sheet>
  ) : (
    <Book today={data.today as Day} />
  );
}

function Book({ today }: { readonly today: Day }) {
  const { book: say } = words.value;
  const [address, setAddress] = useSearchParams();
  const day = parseDay(address.get('day') ?? '') ?? today;
  const week = address.get('view') === 'week';
  const person = address.get('with') ?? '';
  const days = week ? weekOf(day) : [day];
  const change = (part: (shown: Day) => Readonly<Record<string, string>>): void =>
    setAddress(
      // A key may come before the day that the one before it turned to is drawn.
      (before) =>
        Object.entries({
          ...Object.fromEntries(before),
          ...part(parseDay(before.get('day') ?? '') ?? today),
        }).filter(([, v]) => v !== ''),
      { replace: true },
    );
  const turn = (by: number): void =>
    change((shown) => ({ day: addDays(shown, week ? 7 * by : by) }));
  const toToday = (): void => change(() => ({ day: '' }));
  useTurnedByKeys(turn, toToday);
  const { data, error, refetch } = useBook(days, person);
  const calendar = useCalendar();
  return (
    <Sheet title={titleOf(days)}>
      <div class="filters turning unprinted">
        <button type="button" onClick={() => turn(-1)}>
          {say.before}
        </button>
        <button type="button" onClick={toToday}>
          {say.today}
        </button>
        <button type="button" onClick={() => turn(1)}>
          {say.after}
        </button>
        <TextField
          label={say.day}
          type="date"
          value={day}
          onInput={({ currentTarget: { value } }) =>
            parseDay(value) && change(() => ({ day: value }))
          }
        />
        <SelectField
          label={say.view}
          of={Object.entries(say.views)}
          value={week ? 'week' : 'day'}
          onChoose={(view) => change(() => ({ view: view === 'week' ? view : '' }))}
        />
        <Whose person={person} onChoose={(chosen) => change(() => ({ with: chosen }))} />
      </div>
      <p class="acts unprinted">
        {may('front_desk', 'prosthetist') && (
          <Link class="act" href={bookingPage(person === '' ? {} : { with: person })}>
            {say.book}
          </Link>
        )}{' '}
        <button type="button" onClick={() => print()}>
          {say.print}
        </button>
      </p>
      <p class="hint unprinted wide-only">{say.keys}</p>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined || calendar === undefined
        ? error === null && <Loading />
        : days.map((on) => (
            <DayPage
              key={on}
              on={on}
              book={data}
              calendar={calendar}
              whole={!week}
              person={person}
            />
          ))}
    </Sheet>
  );
}

function Whose({
  person,
  onChoose,
}: {
  readonly person: string;
  readonly onChoose: (id: string) => void;
}) {
  const { book: say } = words.value;
  const prosthetists = useProsthetists();
  return (
    <SelectField
      label={say.withWhom}
      of={[
        ['', say.everybody],
        ...prosthetists.map(({ id, printedName }) => [id, printedName] as const),
      ]}
      value={person}
      onChoose={onChoose}
    />
  );
}

const titleOf = (days: readonly Day[]): string => {
  const { pages } = words.value;
  const [first, last] = [days[0], days.at(-1)].map((each) => dayWords(String(each)));
  return first === last ? `${pages.fittings}, ${first}` : `${pages.fittings}, ${first} – ${last}`;
};

/** ← and → turn the page, Home goes to today: no letters, and not while something is typed. */
function useTurnedByKeys(turn: (by: number) => void, toToday: () => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      // The arrows choose among radio buttons, too.
      if (isTyping(event) || event.shiftKey || event.target instanceof HTMLInputElement) return;
      const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
      if (by === undefined && event.key !== 'Home') return;
      event.preventDefault();
      if (by === undefined) toToday();
      else turn(by);
    };
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  });
}

const useBook = (days: readonly Day[], person: string) =>
  useQuery({
    queryKey: ['book', days[0], days.length, person],
    placeholderData: keepPreviousData,
    queryFn: (): Promise<BookShown> =>
      answered(
        api.GET('/api/v1/appointments', {
          params: {
            query: {
              from: String(days[0]),
              to: String(days.at(-1)),
              ...(person === '' ? {} : { prosthetistId: person }),
            },
          },
        }),
      ),
  });

function useCalendar() {
  const { data } = useQuery({
    queryKey: ['calendar'],
    queryFn: () => answered(api.GET('/api/v1/calendar')),
    staleTime: 60_000,
  });
  return data === undefined
    ? undefined
    : {
        weekdays: data.weekdays,
        closedOn: new Set(data.closedDays.map(({ on }) => on as Day)),
      };
}
