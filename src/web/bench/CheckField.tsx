/** One check of an operation, in a field large enough for a glove. */
import { useQuery } from '@tanstack/preact-query';
import type { Check } from '../../domain/operations.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';
import { BatchField } from './BatchField.tsx';
import type { Typed } from './checks.ts';
import { PicturesField } from '../parts/picturesField.tsx';
import { benchPeople } from './record.ts';
import { SelectField } from '../parts/selectField.tsx';
import { ScanButton } from './scan/ScanButton.tsx';
import { travellerIn } from './scanned.ts';

interface Asked<C> {
  readonly check: C;
  readonly typed: Typed;
  readonly against: string | undefined;
  readonly onType: (typed: Typed) => void;
}
type Of<K extends Check['kind']> = Extract<Check, { kind: K }>;

export function CheckField({ check, ...field }: Asked<Check>) {
  switch (check.kind) {
    case 'yes_no':
      return <YesNo check={check} {...field} />;
    case 'measured':
      return <Measured check={check} {...field} />;
    case 'batch':
      return <Batch check={check} {...field} />;
    case 'note':
      return <Note check={check} {...field} />;
    case 'second_person':
      return <SecondPerson check={check} {...field} />;
    case 'scan':
      return <Scanned check={check} {...field} />;
    case 'photo':
      return <Photo check={check} {...field} />;
  }
}

const YesNo = ({ check: { key, ask }, typed: { yes }, against, onType }: Asked<Of<'yes_no'>>) => (
  <Choices
    label={ask}
    name={key}
    of={words.value.bench.yesNo}
    value={yes === undefined ? undefined : yes ? 'yes' : 'no'}
    against={against}
    onChoose={(chosen) => onType({ yes: chosen === 'yes' })}
  />
);

function Measured({ check, typed, against, onType }: Asked<Of<'measured'>>) {
  const { ask, unit, min, max } = check;
  return (
    <TextField
      label={`${ask} (${unit})`}
      hint={words.value.bench.limits(min, max, unit)}
      inputMode="decimal"
      autocomplete="off"
      value={typed.text ?? ''}
      against={against}
      onInput={({ currentTarget }) => onType({ text: currentTarget.value })}
    />
  );
}

function Batch({ check, typed, against, onType }: Asked<Of<'batch'>>) {
  return (
    <>
      <BatchField
        label={check.ask}
        kind={check.batchKind}
        value={typed.id ?? ''}
        against={against}
        onChoose={(id) => onType({ ...typed, id })}
      />
      {check.amountAsked && (
        <TextField
          label={words.value.bench.amount}
          inputMode="decimal"
          value={typed.text ?? ''}
          onInput={({ currentTarget }) => onType({ ...typed, text: currentTarget.value })}
        />
      )}
    </>
  );
}

const Note = ({ check: { ask }, typed, against, onType }: Asked<Of<'note'>>) => (
  <TextField
    label={ask}
    value={typed.text ?? ''}
    against={against}
    onInput={({ currentTarget }) => onType({ text: currentTarget.value })}
  />
);

/** Scanned, or typed where the camera cannot be had. */
const Scanned = ({ check: { ask }, typed: { text = '' }, against, onType }: Asked<Of<'scan'>>) => (
  <>
    <TextField
      label={ask}
      value={text}
      against={against}
      autocomplete="off"
      spellcheck={false}
      onInput={({ currentTarget }) => onType({ text: currentTarget.value })}
    />
    <ScanButton
      scan={words.value.bench.scanIt(ask)}
      onRead={async (codes) => {
        onType({ text: travellerIn(codes) });
        return undefined;
      }}
    />
  </>
);

const Photo = ({ check: { ask }, typed: { photos = [] }, against, onType }: Asked<Of<'photo'>>) => (
  <PicturesField
    label={ask}
    pictures={photos}
    against={against}
    onChange={(taken) => onType({ photos: taken })}
  />
);

function SecondPerson({ check: { ask }, typed, against, onType }: Asked<Of<'second_person'>>) {
  const { data } = useQuery(benchPeople);
  const others = (data?.items ?? []).filter(({ id }) => id !== person.value?.id);
  return (
    <SelectField
      label={ask}
      of={[
        ['', words.value.bench.choose],
        ...others.map(({ id, printedName }) => [id, printedName] as const),
      ]}
      value={typed.id ?? ''}
      against={against}
      onChoose={(id) => onType({ id })}
    />
  );
}
