/** One operation of a route: what it is called, where and how long, its caution and its checks. */
import { useEffect, useState } from 'preact/hooks';
import { OPERATION_KINDS } from '../../domain/operations.ts';
import { TextField } from '../parts/fields.tsx';
import { WithHelp } from '../parts/help.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import { CheckEditor } from './CheckEditor.tsx';
import { emptyCheck, moved, type OperationTyped } from './routeDraft.ts';

export function OperationEditor({
  n,
  operation,
  benches,
  against,
  first,
  last,
  onChange,
  onMove,
  onTakeOut,
}: {
  /** Its place in the list, from 1. */
  readonly n: number;
  readonly operation: OperationTyped;
  readonly benches: readonly string[];
  /** @param rest of the JSON Pointer, from the operation on */
  readonly against: (rest: string) => string | undefined;
  readonly first: boolean;
  readonly last: boolean;
  readonly onChange: (operation: OperationTyped) => void;
  readonly onMove: (by: -1 | 1) => void;
  readonly onTakeOut: () => void;
}) {
  const { routes: say } = words.value.admin;
  const whole = against('') ?? against('/kind');
  const wrong = whole !== undefined || hasWrong(operation, against);
  const [open, setOpen] = useState(operation.checks.length === 0 && operation.bench === '');
  // What stood against it opened it; it does not fold up under who puts that right.
  useEffect(() => {
    if (wrong) setOpen(true);
  }, [wrong]);
  return (
    <li>
      <p class="operation-head">
        <strong>{operation.title}</strong>
        {operation.title.toLowerCase() !== say.kinds[operation.kind] && (
          <span>{say.kinds[operation.kind]}</span>
        )}
        <span class="moves">
          <button
            type="button"
            data-move="up"
            disabled={first}
            aria-label={say.upOf(operation.title)}
            onClick={() => onMove(-1)}
          >
            {say.up}
          </button>{' '}
          <button
            type="button"
            data-move="down"
            disabled={last}
            aria-label={say.downOf(operation.title)}
            onClick={() => onMove(1)}
          >
            {say.down}
          </button>{' '}
          <button type="button" aria-label={say.takeOutOf(operation.title)} onClick={onTakeOut}>
            {say.takeOut}
          </button>
        </span>
      </p>
      {whole !== undefined && (
        <p class="stands-against" data-wrong tabIndex={-1}>
          {whole}
        </p>
      )}
      <details open={open || wrong} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          {say.inside(operation.checks.length, operation.bench, operation.plannedMinutes)}
        </summary>
        <OperationFields {...{ n, operation, benches, against, onChange }} />
        <Checks {...{ operation, against, onChange }} />
      </details>
    </li>
  );
}

/** Whether something inside stands against it, so that it must not stay folded. */
const hasWrong = (
  operation: OperationTyped,
  against: (rest: string) => string | undefined,
): boolean =>
  ['/title', '/caution', '/bench', '/plannedMinutes'].some((rest) => against(rest) !== undefined) ||
  operation.checks.some((_check, at) =>
    ['', '/key', '/ask', '/unit', '/min', '/max'].some(
      (rest) => against(`/checks/${at}${rest}`) !== undefined,
    ),
  );

function OperationFields({
  n,
  operation,
  benches,
  against,
  onChange,
}: {
  readonly n: number;
  readonly operation: OperationTyped;
  readonly benches: readonly string[];
  readonly against: (rest: string) => string | undefined;
  readonly onChange: (operation: OperationTyped) => void;
}) {
  const { routes: say } = words.value.admin;
  const { fields, help } = say;
  const needs: readonly (keyof typeof say.facts)[] = OPERATION_KINDS[operation.kind].needs;
  return (
    <>
      {needs.length > 0 && (
        <p class="hint">{say.needs(needs.map((need) => say.facts[need]).join('; '))}</p>
      )}
      <div class="line-fields">
        <TextField
          label={say.titleOf(n)}
          value={operation.title}
          against={against('/title')}
          onInput={({ currentTarget }) => onChange({ ...operation, title: currentTarget.value })}
        />
        <SelectField
          label={fields.bench}
          of={[['', say.noBench], ...benches.map((name) => [name, name] as const)]}
          value={operation.bench}
          against={against('/bench')}
          onChoose={(bench) => onChange({ ...operation, bench })}
        />
        <WithHelp about={fields.plannedMinutes} text={help.plannedMinutes}>
          <TextField
            label={fields.plannedMinutes}
            inputMode="numeric"
            value={operation.plannedMinutes}
            against={against('/plannedMinutes')}
            onInput={({ currentTarget }) =>
              onChange({ ...operation, plannedMinutes: currentTarget.value })
            }
          />
        </WithHelp>
      </div>
      <WithHelp about={fields.caution} text={help.caution}>
        <NoteField
          label={fields.caution}
          value={operation.caution}
          against={against('/caution')}
          onType={(caution) => onChange({ ...operation, caution })}
        />
      </WithHelp>
    </>
  );
}

function Checks({
  operation,
  against,
  onChange,
}: {
  readonly operation: OperationTyped;
  readonly against: (rest: string) => string | undefined;
  readonly onChange: (operation: OperationTyped) => void;
}) {
  const { routes: say } = words.value.admin;
  const { checks } = operation;
  const set = (to: OperationTyped['checks']): void => onChange({ ...operation, checks: to });
  return (
    <>
      <WithHelp about={say.checks} text={say.checksHelp}>
        <h3>{say.checks}</h3>
      </WithHelp>
      {checks.length === 0 && <p class="hint">{say.noChecks}</p>}
      <ol class="layers">
        {checks.map((check, at) => (
          <CheckEditor
            key={check.at}
            check={check}
            n={at + 1}
            against={(field) => against(`/checks/${at}${field}`)}
            first={at === 0}
            onChange={(to) => set(checks.map((each) => (each.at === to.at ? to : each)))}
            onUp={() => set(moved(checks, at, -1))}
            onTakeOut={() => set(checks.filter((each) => each !== check))}
          />
        ))}
      </ol>
      <p>
        <button type="button" onClick={() => set([...checks, emptyCheck()])}>
          {say.addCheckOf(operation.title)}
        </button>
      </p>
    </>
  );
}
