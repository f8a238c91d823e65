/** Fields of a form. What is wrong stands beside the field, in words. */
import type { InputHTMLAttributes } from 'preact';
import { useId } from 'preact/hooks';

interface Labelled {
  readonly label: string;
  readonly hint?: string;
  /** What is wrong with it. */
  readonly against?: string | undefined;
}

/** One line to type into. */
export function TextField({
  label,
  hint,
  against,
  ...input
}: Labelled & Omit<InputHTMLAttributes, 'label'>) {
  const id = useId();
  return (
    <div class="field">
      <label class="label" for={id}>
        {label}
      </label>
      <input
        {...input}
        id={id}
        aria-invalid={against === undefined ? undefined : 'true'}
        aria-describedby={`${id}-more`}
      />
      <More id={id} hint={hint} against={against} />
    </div>
  );
}

/** The hint under a field, and what is wrong with it. */
export const More = ({
  id,
  hint,
  against,
}: {
  id: string;
  hint: string | undefined;
  against: string | undefined;
}) => (
  <div id={`${id}-more`}>
    {hint !== undefined && <span class="hint">{hint}</span>}
    {against !== undefined && <span class="against">{against}</span>}
  </div>
);

/** One of a few, all in sight. */
export function Choices<V extends string>({
  label,
  hint,
  against,
  name,
  of,
  value,
  onChoose,
}: Labelled & {
  readonly name: string;
  readonly of: Readonly<Record<V, string>>;
  readonly value: V | undefined;
  readonly onChoose: (value: V) => void;
}) {
  const id = useId();
  return (
    <fieldset aria-describedby={`${id}-more`}>
      <legend>{label}</legend>
      <div class="choices">
        {(Object.entries(of) as [V, string][]).map(([each, words]) => (
          <label key={each}>
            <input
              type="radio"
              name={name}
              value={each}
              checked={value === each}
              aria-invalid={against === undefined ? undefined : 'true'}
              onChange={() => onChoose(each)}
            />
            {words}
          </label>
        ))}
      </div>
      <div class="field">
        <More id={id} hint={hint} against={against} />
      </div>
    </fieldset>
  );
}
