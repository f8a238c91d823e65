/** Heights and circumferences, typed; the question to a row stands under it. */
import type { LengthUnit } from '../../domain/units.ts';
import { useRef } from 'preact/hooks';
import { words } from '../words/words.ts';
import { isNoNumber, typed, type Cell } from './lengths.ts';
import { oneMore, type Row } from './measureRows.ts';

export function MeasureTable({
  rows,
  unit,
  against,
  onChange,
}: {
  readonly rows: readonly Row[];
  readonly unit: LengthUnit;
  readonly against: ReadonlyMap<number, string>;
  readonly onChange: (rows: Row[]) => void;
}) {
  const { fitting: say } = words.value;
  const table = useRef<HTMLTableElement>(null);
  const change = (key: number, cell: Partial<Row>): void =>
    onChange(rows.map((row) => (row.key === key ? { ...row, ...cell } : row)));
  /** Enter goes on to the next row's circumference, as a tape goes up the limb. */
  const goOn = (event: KeyboardEvent, at: number): void => {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    table.current?.querySelector<HTMLElement>(`[data-around="${at + 1}"]`)?.focus();
  };
  const cell = (
    label: string,
    value: Cell,
    wrong: boolean,
    more: object,
    set: (c: Cell) => void,
  ) => (
    <input
      {...more}
      aria-label={label}
      inputMode="decimal"
      autocomplete="off"
      value={value.text}
      aria-invalid={wrong || isNoNumber(value) ? 'true' : undefined}
      onInput={({ currentTarget }) => set(typed(currentTarget.value, unit))}
    />
  );
  return (
    <>
      <table class="typed" ref={table}>
        <thead>
          <tr>
            <th>
              {say.height}, {unit}
            </th>
            <th>
              {say.around}, {unit}
            </th>
            <th>{say.row}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row, at) => {
            const wrong = against.get(row.key);
            const n = at + 1;
            return [
              <tr key={row.key} class={wrong === undefined ? '' : 'against'}>
                <td>
                  {cell(say.heightOf(n), row.height, false, {}, (height) =>
                    change(row.key, { height }),
                  )}
                </td>
                <td>
                  {cell(
                    say.aroundOf(n),
                    row.around,
                    wrong !== undefined,
                    {
                      'data-around': at,
                      'aria-describedby': wrong === undefined ? undefined : `row-${row.key}`,
                      onKeyDown: (event: KeyboardEvent) => goOn(event, at),
                    },
                    (around) => change(row.key, { around }),
                  )}
                </td>
                <td>
                  <button
                    type="button"
                    aria-label={say.removeRow(n)}
                    onClick={() => onChange(rows.filter(({ key }) => key !== row.key))}
                  >
                    {say.remove}
                  </button>
                </td>
              </tr>,
              wrong !== undefined && (
                <tr key={`${row.key} against`} class="asks">
                  <td colSpan={3} id={`row-${row.key}`}>
                    {wrong}
                  </td>
                </tr>
              ),
            ];
          })}
        </tbody>
      </table>
      <p class="hint">{say.notMeasured}</p>
      <button type="button" onClick={() => onChange(oneMore(rows, unit))}>
        {say.addRow}
      </button>
    </>
  );
}
