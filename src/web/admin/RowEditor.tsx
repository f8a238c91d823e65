/** One row of the layup rules: for whom it is, and which layers from the inside to the outside. */
import { useEffect, useState } from 'preact/hooks';
import type { Fabric } from '../../domain/fabrics.ts';
import { LAYER_DIRECTIONS } from '../../domain/layupRules.ts';
import { FUNCTIONAL_LEVELS } from '../../domain/words.ts';
import { TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import { moved } from './routeDraft.ts';
import { fabricLine, plateLine, type LineTyped, type RowTyped } from './rulesDraft.ts';
import { Ticks } from './Ticks.tsx';

type Against = (rest: string) => string | undefined;

export function RowEditor({
  n,
  row,
  fabrics,
  against,
  onChange,
  onUp,
  onTakeOut,
}: {
  readonly n: number;
  readonly row: RowTyped;
  readonly fabrics: readonly Fabric[];
  /** @param rest of the JSON Pointer, from the row on */
  readonly against: Against;
  readonly onChange: (row: RowTyped) => void;
  readonly onUp: (() => void) | undefined;
  readonly onTakeOut: () => void;
}) {
  const { admin, levels } = words.value;
  const { rules: say } = admin;
  const wrong = isWrong(row, against);
  const [open, setOpen] = useState(row.lines.length === 0);
  // What stood against it opened it; it does not fold up under who puts that right.
  useEffect(() => {
    if (wrong) setOpen(true);
  }, [wrong]);
  const text = (field: 'name' | 'aboveKg' | 'upToKg', label: string) => (
    <TextField
      label={label}
      {...(field === 'name' ? {} : { inputMode: 'decimal' as const })}
      value={row[field]}
      against={against(`/${field}`)}
      onInput={({ currentTarget }) => onChange({ ...row, [field]: currentTarget.value })}
    />
  );
  return (
    <li>
      <details open={open || wrong} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          <strong>{row.name === '' ? say.rowOf(n) : row.name}</strong>: {row.aboveKg} – {row.upToKg}{' '}
          kg, {row.functionalLevels.replaceAll(',', ' ')}, {say.layerCount(row.lines.length)}
        </summary>
        {against('') !== undefined && <p class="stands-against">{against('')}</p>}
        <div class="line-fields">
          {text('name', say.nameOf(n))}
          {text('aboveKg', say.aboveOf(n))}
          {text('upToKg', say.upToOf(n))}
        </div>
        <Ticks
          label={say.functionalLevelsOf(n)}
          of={FUNCTIONAL_LEVELS.map((each) => [each, each] as const)}
          ticked={row.functionalLevels}
          onTick={(functionalLevels) => onChange({ ...row, functionalLevels })}
        />
        <Ticks
          label={say.levelsOf(n)}
          of={Object.entries(levels)}
          ticked={row.levels}
          onTick={(to) => onChange({ ...row, levels: to })}
        />
        <Lines {...{ row, fabrics, against, onChange }} />
        <p>
          {onUp !== undefined && (
            <button type="button" aria-label={say.rowUpOf(n)} onClick={onUp}>
              {admin.routes.up}
            </button>
          )}{' '}
          <button type="button" aria-label={say.rowOutOf(n)} onClick={onTakeOut}>
            {say.rowOut}
          </button>
        </p>
      </details>
    </li>
  );
}

const isWrong = (row: RowTyped, against: Against): boolean =>
  ['', '/name', '/aboveKg', '/upToKg', '/lines'].some((rest) => against(rest) !== undefined) ||
  row.lines.some((_line, at) =>
    ['/fabric', '/layers', '/direction', '/reflected'].some(
      (rest) => against(`/lines/${at}${rest}`) !== undefined,
    ),
  );

function Lines({
  row,
  fabrics,
  against,
  onChange,
}: {
  readonly row: RowTyped;
  readonly fabrics: readonly Fabric[];
  readonly against: Against;
  readonly onChange: (row: RowTyped) => void;
}) {
  const { rules: say, routes } = words.value.admin;
  const set = (lines: readonly LineTyped[]): void => onChange({ ...row, lines });
  const materials = [...new Set(fabrics.map(({ material }) => material))].toSorted();
  return (
    <>
      <h3>{say.insideToOutside}</h3>
      {against('/lines') !== undefined && <p class="stands-against">{against('/lines')}</p>}
      <ol class="layers">
        {row.lines.map((line, at) => (
          <li key={line.at}>
            {line.plate ? (
              <p>{say.toolingPlate}</p>
            ) : (
              <LineEditor
                line={line}
                n={at + 1}
                materials={materials}
                against={(field) => against(`/lines/${at}/${field}`)}
                onChange={(to) => set(row.lines.map((each) => (each.at === to.at ? to : each)))}
              />
            )}
            <button
              type="button"
              disabled={at === 0}
              aria-label={say.layerUpOf(at + 1)}
              onClick={() => set(moved(row.lines, at, -1))}
            >
              {routes.up}
            </button>{' '}
            <button
              type="button"
              aria-label={say.layerOutOf(at + 1)}
              onClick={() => set(row.lines.filter((each) => each !== line))}
            >
              {routes.takeOut}
            </button>
          </li>
        ))}
      </ol>
      <p>
        <button type="button" onClick={() => set([...row.lines, fabricLine(materials[0] ?? '')])}>
          {say.addLayer}
        </button>{' '}
        <button type="button" onClick={() => set([...row.lines, plateLine()])}>
          {say.addPlate}
        </button>
      </p>
    </>
  );
}

function LineEditor({
  line,
  n,
  materials,
  against,
  onChange,
}: {
  readonly line: LineTyped;
  readonly n: number;
  readonly materials: readonly string[];
  readonly against: (field: string) => string | undefined;
  readonly onChange: (line: LineTyped) => void;
}) {
  const { admin, fitting } = words.value;
  const { rules: say } = admin;
  const known = materials.includes(line.fabric) ? materials : [line.fabric, ...materials];
  return (
    <div class="line-fields">
      <SelectField
        label={say.materialOf(n)}
        of={known.map((each) => [each, each.replaceAll('_', ' ')] as const)}
        value={line.fabric}
        against={against('fabric')}
        onChoose={(fabric) => onChange({ ...line, fabric })}
      />
      <TextField
        label={say.layersOf(n)}
        inputMode="numeric"
        value={line.layers}
        against={against('layers')}
        onInput={({ currentTarget }) => onChange({ ...line, layers: currentTarget.value })}
      />
      <SelectField
        label={say.directionOf(n)}
        of={Object.entries(fitting.directions)}
        value={line.direction}
        against={against('direction')}
        onChoose={(chosen) =>
          onChange({
            ...line,
            direction: LAYER_DIRECTIONS.find((each) => each === chosen) ?? line.direction,
          })
        }
      />
      <div>
        <label class="tick">
          <input
            type="checkbox"
            checked={line.reflected}
            aria-invalid={against('reflected') === undefined ? undefined : 'true'}
            onChange={({ currentTarget }) =>
              onChange({ ...line, reflected: currentTarget.checked })
            }
          />
          {fitting.reflected}
        </label>
        {against('reflected') !== undefined && <p class="stands-against">{against('reflected')}</p>}
      </div>
    </div>
  );
}
