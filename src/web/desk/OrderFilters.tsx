/** What of the orders is shown: by number, by patient's name, by stage, held, late; and sorted how. */
import { useEffect, useState } from 'preact/hooks';
import { TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import type { Asked } from './asked.ts';
import { patientInFull, searchesByName, useFoundPatients } from './patients.ts';
import { useSettled } from './useSettled.ts';

export function OrderFilters({
  asked,
  change,
}: {
  readonly asked: Asked;
  readonly change: (part: Partial<Asked>) => void;
}) {
  const { orders: say, desk, stages } = words.value;
  return (
    <>
      <Find asked={asked} change={change} />
      <div class="filters">
        <SelectField
          label={desk.stage}
          of={[['', desk.underWay], ['all', desk.everyStage], ...Object.entries(stages)]}
          value={asked.stage}
          onChoose={(stage) => change({ stage })}
        />
        <SelectField
          label={desk.sort}
          of={Object.entries(desk.sorts)}
          value={asked.sort === '' ? 'promised' : asked.sort}
          onChoose={(sort) => change({ sort: sort === 'promised' ? '' : sort })}
        />
        <Tick label={desk.heldOnly} value={asked.held} onTick={(held) => change({ held })} />
        <Tick label={say.lateOnly} value={asked.late} onTick={(late) => change({ late })} />
      </div>
    </>
  );
}

const Tick = ({
  label,
  value,
  onTick,
}: {
  readonly label: string;
  readonly value: string;
  readonly onTick: (value: string) => void;
}) => (
  <label class="tick">
    <input
      type="checkbox"
      checked={value === 'true'}
      onChange={({ currentTarget }) => onTick(currentTarget.checked ? 'true' : '')}
    />
    {label}
  </label>
);

/**
 * Numbers go into the address; a name stays on the page and leads to the patients
 * who are called so. Who sees no names searches by number only.
 */
function Find({
  asked,
  change,
}: {
  readonly asked: Asked;
  readonly change: (part: Partial<Asked>) => void;
}) {
  const { orders: say, desk } = words.value;
  const byName = searchesByName();
  const [typed, setTyped] = useState(asked.q);
  const settled = useSettled(typed.trim());
  const isName = byName && settled !== '' && !/\d/.test(settled);
  const number = isName ? '' : settled;
  useEffect(() => {
    if (number !== asked.q) change({ q: number });
  }, [number]);
  return (
    <>
      <TextField
        label={byName ? desk.findOrder : say.find}
        type="search"
        autocomplete="off"
        value={typed}
        onInput={({ currentTarget }) => setTyped(currentTarget.value)}
      />
      {isName && (
        <Named
          name={settled}
          onPick={(patient) => {
            setTyped('');
            change({ patient, q: '' });
          }}
        />
      )}
    </>
  );
}

function Named({
  name,
  onPick,
}: {
  readonly name: string;
  readonly onPick: (patientId: string) => void;
}) {
  const { desk } = words.value;
  const { data, error } = useFoundPatients(name);
  if (error !== null) return <WentWrong failure={error} />;
  if (data === undefined) return null;
  return (
    <ul class="lines" aria-label={desk.patients}>
      {data.length === 0 && <li role="status">{desk.noPatient}</li>}
      {data.map((patient) => (
        <li key={patient.id}>
          <button type="button" onClick={() => onPick(patient.id)}>
            {patientInFull(patient)}
          </button>
        </li>
      ))}
    </ul>
  );
}
