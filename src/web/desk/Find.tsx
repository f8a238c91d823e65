/** One field for patients and orders: searched as it is typed, worked by the arrows and Enter. */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { useId, useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { patientInFull, patientWords, searchesByName } from './patients.ts';
import { useSettled } from './useSettled.ts';

export type Found = Schemas['SearchFound']['items'][number];

/** The id of the field on a page that has one of its own: the key / goes to it. */
export const FIND_FIELD = 'find';

export function Find({
  onPick,
  against,
}: {
  readonly onPick: (found: Found) => void;
  readonly against?: string | undefined;
}) {
  const { book: say } = words.value;
  const id = useId();
  const [typed, setTyped] = useState('');
  const [at, setAt] = useState(0);
  const wanted = typed.trim();
  const settled = useSettled(wanted);
  const { data, error, isFetching } = useFound(settled);
  const open = wanted !== '' && settled !== '' && data !== undefined;
  const found = open ? data.items : [];
  const [note] = open ? data.notes : [];
  // Enter must not take a line that belongs to what was typed before.
  const steady = settled === wanted && !isFetching;
  const marked = Math.min(at, found.length - 1);
  const take = (line: Found | undefined): void => {
    if (line === undefined) return;
    setTyped('');
    onPick(line);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const lines = found.length;
    if (event.key === 'Enter') {
      event.preventDefault();
      if (steady) take(found[marked]);
    } else if (event.key === 'Escape' && typed !== '') {
      // Only what was typed is thrown away, not the dialog round it.
      event.preventDefault();
      event.stopPropagation();
      setTyped('');
    } else if (lines > 0 && (event.key === 'ArrowDown' || event.key === 'ArrowUp')) {
      event.preventDefault();
      setAt((marked + (event.key === 'ArrowDown' ? 1 : lines - 1)) % lines);
    }
  };
  return (
    <div class="find">
      <TextField
        label={say.find}
        hint={searchesByName() ? say.findHint : say.findHintBench}
        against={note?.detail ?? against}
        name={FIND_FIELD}
        type="text"
        role="combobox"
        autocomplete="off"
        aria-expanded={found.length > 0}
        aria-controls={`${id}-list`}
        aria-autocomplete="list"
        aria-activedescendant={found.length > 0 ? `${id}-${String(marked)}` : undefined}
        value={typed}
        onInput={({ currentTarget }) => {
          setTyped(currentTarget.value);
          setAt(0);
        }}
        onKeyDown={onKeyDown}
      />
      <WentWrong failure={error} />
      <ul
        id={`${id}-list`}
        role="listbox"
        class="lines"
        aria-label={say.found}
        hidden={found.length === 0}
      >
        {found.map((line, index) => (
          <li
            key={line.kind === 'order' ? line.order.id : line.patient.id}
            id={`${id}-${String(index)}`}
            role="option"
            aria-selected={index === marked}
            class={line.by === 'patient' ? 'under' : ''}
            onClick={() => take(line)}
          >
            {lineWords(line)}
          </li>
        ))}
      </ul>
      <p role="status" class="hint">
        {open && steady && say.foundCount(found.length)}
      </p>
    </div>
  );
}

const useFound = (text: string) =>
  useQuery({
    queryKey: ['find', text],
    queryFn: () => answered(api.POST('/api/v1/search', { body: { text, most: 8 } })),
    enabled: text !== '',
    placeholderData: keepPreviousData,
  });

function lineWords(found: Found): string {
  const { book: say, sides, levels, stages, orders } = words.value;
  if (found.kind === 'patient') return `${say.aPatient}: ${patientInFull(found.patient)}`;
  const { number, side, level, stage, patient, late } = found.order;
  return [
    `${say.anOrder} ${number}`,
    ...(found.by === 'patient' ? [] : [patientWords(patient)]),
    `${sides[side]}, ${levels[level]}`,
    stages[stage],
    ...(late ? [orders.late] : []),
  ].join(' · ');
}
