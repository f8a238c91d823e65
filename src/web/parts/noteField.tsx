/** Several lines to type into. */
import { useId } from 'preact/hooks';
import { More } from './fields.tsx';

export function NoteField({
  label,
  hint,
  against,
  value,
  onType,
}: {
  readonly label: string;
  readonly hint?: string;
  readonly against?: string | undefined;
  readonly value: string;
  readonly onType: (value: string) => void;
}) {
  const id = useId();
  return (
    <div class="field">
      <label class="label" for={id}>
        {label}
      </label>
      <textarea
        id={id}
        rows={3}
        value={value}
        aria-invalid={against === undefined ? undefined : 'true'}
        aria-describedby={`${id}-more`}
        onInput={({ currentTarget }) => onType(currentTarget.value)}
      />
      <More id={id} hint={hint} against={against} />
    </div>
  );
}
