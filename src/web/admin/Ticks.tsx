/** Some of a few, all in sight. */
import { useId } from 'preact/hooks';
import { More } from '../parts/fields.tsx';

export function Ticks({
  label,
  hint,
  against,
  of,
  ticked,
  onTick,
}: {
  readonly label: string;
  readonly hint?: string;
  readonly against?: string | undefined;
  readonly of: readonly (readonly [value: string, words: string])[];
  /** With commas between them. */
  readonly ticked: string;
  readonly onTick: (ticked: string) => void;
}) {
  const id = useId();
  const chosen = ticked === '' ? [] : ticked.split(',');
  return (
    <fieldset aria-describedby={`${id}-more`}>
      <legend>{label}</legend>
      <div class="choices">
        {of.map(([value, words]) => (
          <label key={value}>
            <input
              type="checkbox"
              checked={chosen.includes(value)}
              aria-invalid={against === undefined ? undefined : 'true'}
              onChange={({ currentTarget }) =>
                onTick(
                  (currentTarget.checked
                    ? [...chosen, value]
                    : chosen.filter((each) => each !== value)
                  )
                    .toSorted()
                    .join(','),
                )
              }
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
