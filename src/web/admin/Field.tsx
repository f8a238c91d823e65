/** One field of a record by its kind, with its help and, after a race, what the other wrote. */
import { TextField } from '../parts/fields.tsx';
import { WithHelp } from '../parts/help.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import { Ticks } from './Ticks.tsx';
import type { FieldSpec } from './values.ts';

interface FieldProps {
  readonly spec: FieldSpec;
  readonly typed: string;
  readonly against: string | undefined;
  readonly onType: (typed: string) => void;
}

export const Field = (props: FieldProps) => (
  <WithHelp about={props.spec.label} text={props.spec.help}>
    <Bare {...props} />
  </WithHelp>
);

function Bare({ spec, typed, against, onType }: FieldProps) {
  const { label, kind } = spec;
  const common = { label, against, ...(spec.hint === undefined ? {} : { hint: spec.hint }) };
  if (kind === 'note') return <NoteField {...common} value={typed} onType={onType} />;
  if (kind === 'choice') {
    const empty = typed === '' || spec.nullable === true;
    return (
      <SelectField
        {...common}
        of={[...(empty ? [['', words.value.service.nothing] as const] : []), ...(spec.of ?? [])]}
        value={typed}
        onChoose={onType}
      />
    );
  }
  if (kind === 'tick') return <Tick {...common} typed={typed} onType={onType} />;
  if (kind === 'ticks') {
    return <Ticks {...common} of={spec.of ?? []} ticked={typed} onTick={onType} />;
  }
  return (
    <TextField
      {...common}
      type={kind === 'day' ? 'date' : 'text'}
      autocomplete="off"
      {...(kind === 'number' || kind === 'money' ? { inputMode: 'decimal' as const } : {})}
      value={typed}
      onInput={({ currentTarget }) => onType(currentTarget.value)}
    />
  );
}

const Tick = ({
  label,
  hint,
  against,
  typed,
  onType,
}: {
  readonly label: string;
  readonly hint?: string;
  readonly against: string | undefined;
  readonly typed: string;
  readonly onType: (typed: string) => void;
}) => (
  <div class="field">
    <label class="tick">
      <input
        type="checkbox"
        checked={typed !== ''}
        aria-invalid={against === undefined ? undefined : 'true'}
        onChange={({ currentTarget }) => onType(currentTarget.checked ? 'yes' : '')}
      />
      {label}
    </label>
    {hint !== undefined && <span class="hint">{hint}</span>}
    {against !== undefined && <span class="against">{against}</span>}
  </div>
);
