/** One field, and what its words are a number of. The question goes into the address. */
import { useState } from 'preact/hooks';
import { Choices, TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';
import type { TraceKey } from '../../domain/trace.ts';
import { usePeople } from './people.ts';
import { keysFor } from './traceKeys.ts';

export function TraceSearch({
  by: askedBy,
  value: askedValue,
  onAsk,
}: {
  readonly by: TraceKey | undefined;
  readonly value: string;
  readonly onAsk: (by: TraceKey, key: string) => void;
}) {
  const { audit: say } = words.value;
  const keys = keysFor(person.value?.roles ?? []);
  const people = usePeople();
  const [by, setBy] = useState<TraceKey | undefined>(askedBy ?? keys[0]);
  const [value, setValue] = useState(askedValue);
  const [against, setAgainst] = useState<string>();
  const ask = (event: Event): void => {
    event.preventDefault();
    const key = value.trim();
    setAgainst(key === '' ? say.nothingAsked : undefined);
    if (key !== '' && by !== undefined) onAsk(by, key);
  };
  const turnTo = (other: TraceKey): void => {
    // A person's id is no number of anything else.
    if ((other === 'person') !== (by === 'person')) setValue('');
    setBy(other);
  };
  const of = Object.fromEntries(keys.map((each) => [each, say.keys[each]])) as Record<
    TraceKey,
    string
  >;
  return (
    <form role="search" noValidate onSubmit={ask}>
      <Choices label={say.askedBy} name="by" of={of} value={by} onChoose={turnTo} />
      {by === 'person' ? (
        <SelectField
          label={say.keys.person}
          of={[['', say.choosePerson] as const, ...people]}
          value={value}
          against={against}
          onChoose={setValue}
        />
      ) : (
        <TextField
          label={by === undefined ? say.question : say.fields[by]}
          type="search"
          autocomplete="off"
          value={value}
          against={against}
          onInput={({ currentTarget }) => setValue(currentTarget.value)}
        />
      )}
      <button class="act" type="submit">
        {say.ask}
      </button>
    </form>
  );
}
