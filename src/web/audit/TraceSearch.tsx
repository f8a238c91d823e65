/**
 * One field for whatever is known. While it is typed the record is asked what it could be;
 * a number that is meant for sure is traced at once when the form is sent.
 */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import type { TraceKey } from '../../domain/trace.ts';
import { answered, api, type Schemas } from '../api.ts';
import { ScanButton } from '../bench/scan/ScanButton.tsx';
import { useSettled } from '../desk/useSettled.ts';
import { tracePage } from '../links.ts';
import { TextField } from '../parts/fields.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { may, person } from '../session/session.ts';
import { words } from '../words/words.ts';

type Found = Schemas['FoundThings'];
type Ask = (by: TraceKey, key: string) => void;

/** Fewer signs are the beginning of everything. */
const LEAST_SIGNS = 2;

const find = (text: string): Promise<Found> =>
  answered(api.POST('/api/v1/trace/find', { body: { text } }));

export function TraceSearch({ onAsk }: { readonly onAsk: Ask }) {
  const { audit: say } = words.value;
  const [text, setText] = useState('');
  const [against, setAgainst] = useState<string>();
  const wanted = useSettled(text.trim());
  const { data, error } = useQuery({
    queryKey: ['trace', 'find', wanted],
    enabled: wanted.length >= LEAST_SIGNS,
    placeholderData: keepPreviousData,
    queryFn: () => find(wanted),
  });
  // Sent by Enter or by a scanner: what is meant for sure needs no choosing.
  const look = async (typed: string): Promise<void> => {
    if (typed.length < LEAST_SIGNS) {
      setAgainst(say.nothingAsked);
      return;
    }
    setAgainst(undefined);
    const { items } = await find(typed);
    const sure = items.filter(({ exact }) => exact);
    const [only] = sure.length > 0 ? sure : items;
    if (only !== undefined && (sure.length === 1 || items.length === 1)) onAsk(only.by, only.key);
  };
  const shown = wanted.length >= LEAST_SIGNS && wanted === text.trim() ? data : undefined;
  return (
    <>
      <form
        class="screen"
        role="search"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          look(text.trim()).catch(() => undefined);
        }}
      >
        <TextField
          label={say.question}
          hint={
            may('front_desk', 'prosthetist', 'auditor') ? say.questionHintNames : say.questionHint
          }
          type="search"
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          value={text}
          against={against}
          onInput={({ currentTarget }) => setText(currentTarget.value)}
        />
        <button class="act" type="submit">
          {say.ask}
        </button>
      </form>
      <ScanButton
        scan={words.value.bench.cameraOpen}
        onRead={async ([code]) => {
          if (code === undefined) return undefined;
          setText(code.text);
          await look(code.text.trim());
          return undefined;
        }}
      />
      <WentWrong failure={error} />
      <OwnWork />
      {shown !== undefined && <CouldBe found={shown} />}
    </>
  );
}

/** Who does not oversee others traces by person the own work. */
function OwnWork() {
  const { audit: say } = words.value;
  const self = person.value;
  if (self == null || !may('prosthetist') || may('auditor', 'administrator')) return null;
  return (
    <p class="hint">
      {say.ownWorkOnly} <Link href={tracePage('person', self.id)}>{say.myWork}</Link>
    </p>
  );
}

function CouldBe({ found: { items, more, notLookedFor, mistyped } }: { readonly found: Found }) {
  const { audit: say } = words.value;
  const kinds = (of: readonly TraceKey[]): string =>
    of.map((each) => say.keys[each].toLowerCase()).join(', ');
  return (
    <section aria-label={say.couldBe}>
      <p role="status">
        {items.length > 0
          ? say.couldBe
          : mistyped === null
            ? say.nothingFound
            : say.mistyped(mistyped)}
      </p>
      {items.length > 0 && (
        <ul class="lines found">
          {items.map(({ by, key, name, about }) => (
            <li key={`${by} ${key}`}>
              <Link class="touch" href={tracePage(by, key)}>
                <span class="kind">{say.keys[by]}</span> <strong>{name}</strong>{' '}
                <span>{about}</span>
              </Link>
            </li>
          ))}
        </ul>
      )}
      {more.length > 0 && <p class="hint">{say.moreOf(kinds(more))}</p>}
      {notLookedFor.length > 0 && <p class="hint">{say.notLookedFor(kinds(notLookedFor))}</p>}
    </section>
  );
}
