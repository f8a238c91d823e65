/** One question that an operation asks when it is done. */
import { CHECK_KINDS, SCANS_OF } from '../../domain/operations.ts';
import { TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import type { CheckTyped } from './routeDraft.ts';

export function CheckEditor({
  check,
  n,
  against,
  first,
  onChange,
  onUp,
  onTakeOut,
}: {
  readonly check: CheckTyped;
  readonly n: number;
  /** @param field with its slash; empty for the check as a whole */
  readonly against: (field: string) => string | undefined;
  readonly first: boolean;
  readonly onChange: (check: CheckTyped) => void;
  readonly onUp: () => void;
  readonly onTakeOut: () => void;
}) {
  const { routes: say, batchKinds } = words.value.admin;
  const text = (field: 'unit' | 'min' | 'max', label: string, limits?: string) => (
    <TextField
      label={label}
      {...(field === 'unit' ? {} : { inputMode: 'decimal' as const })}
      value={check[field]}
      against={against(`/${field}`) ?? limits}
      onInput={({ currentTarget }) => onChange({ ...check, [field]: currentTarget.value })}
    />
  );
  const whole = check.kind === 'measured' ? against('/key') : (against('') ?? against('/key'));
  return (
    <li>
      <div class="line-fields">
        <TextField
          label={say.askOf(n)}
          value={check.ask}
          against={against('/ask')}
          onInput={({ currentTarget }) => onChange({ ...check, ask: currentTarget.value })}
        />
        <SelectField
          label={say.answerOf(n)}
          of={CHECK_KINDS.map((kind) => [kind, say.checkKinds[kind]] as const)}
          value={check.kind}
          onChoose={(chosen) =>
            onChange({
              ...check,
              kind: CHECK_KINDS.find((kind) => kind === chosen) ?? check.kind,
            })
          }
        />
        {check.kind === 'measured' && (
          <>
            {text('unit', say.unitOf(n))}
            {text('min', say.minOf(n))}
            {text('max', say.maxOf(n), against(''))}
          </>
        )}
        {check.kind === 'scan' && (
          <SelectField
            label={say.scanOf(n)}
            of={SCANS_OF.map((of) => [of, say.scansOf[of]] as const)}
            value={check.scanOf}
            onChoose={(chosen) =>
              onChange({ ...check, scanOf: SCANS_OF.find((of) => of === chosen) ?? check.scanOf })
            }
          />
        )}
        {check.kind === 'batch' && (
          <>
            <SelectField
              label={say.batchOf(n)}
              of={Object.entries(batchKinds)}
              value={check.batchKind}
              onChoose={(batchKind) => onChange({ ...check, batchKind })}
            />
            <label class="tick">
              <input
                type="checkbox"
                checked={check.amountAsked}
                onChange={({ currentTarget }) =>
                  onChange({ ...check, amountAsked: currentTarget.checked })
                }
              />
              {say.amountAsked}
            </label>
          </>
        )}
      </div>
      {whole !== undefined && <p class="stands-against">{whole}</p>}
      <p>
        <button type="button" disabled={first} aria-label={say.checkUpOf(n)} onClick={onUp}>
          {say.up}
        </button>{' '}
        <button type="button" aria-label={say.checkOutOf(n)} onClick={onTakeOut}>
          {say.takeOut}
        </button>
      </p>
    </li>
  );
}
