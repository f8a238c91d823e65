/** One of many, from a list that opens. */
import { useId } from 'preact/hooks';
import { More } from './fields.tsx';

export function SelectField({
  label,
  hint,
  against,
  of,
  value,
  onChoose,
}: {
  readonly label: string;
  readonly hint?: string;
  readonly against?: string | undefined;
  readonly of: readonly (readonly [value: string, words: string])[];
  readonly value: string;
  readonly onChoose: (value: string) => void;
}) {
  const id = useId();
  return (
    <div class="field">
      <label class="label" for={id}>
        {label}
      </label>
      <select
        id={id}
        value={value}
        aria-invalid={against === undefined ? undefined : 'true'}
        aria-describedby={`${id}-more`}
        onChange={({ currentTarget }) => onChoose(currentTarget.value)}
      >
        {of.map(([each, words]) => (
          <option key={each} value={each} selected={each === value}>
            {words}
          </option>
        ))}
      </select>
      <More id={id} hint={hint} against={against} />
    </div>
  );
}
