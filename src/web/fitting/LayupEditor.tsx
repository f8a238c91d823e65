/** The layers of a layup, line by line from the inside to the outside, changed and drafted with the reason. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';

type Line = Schemas['LayupLineInput'];
type FabricLine = Extract<Line, { kind: 'fabric' }>;
interface Kept {
  readonly key: number;
  readonly line: Line;
}

export function LayupEditor({
  socketId,
  from,
  onDone,
}: {
  readonly socketId: string;
  /** Whose layers it begins with; undefined where nothing is proposed and nothing drafted. */
  readonly from: Pick<Schemas['Layup'], 'lines' | 'basis'> | undefined;
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const { data } = useQuery({
    queryKey: ['fabrics'],
    queryFn: () => answered(api.GET('/api/v1/fabrics')),
  });
  const fabrics = data?.items ?? [];
  const [lines, setLines] = useState<readonly Kept[]>(() =>
    (from?.lines ?? []).map((line, key) => ({ key, line })),
  );
  const [fraction, setFraction] = useState(
    from === undefined ? '' : String(from.basis.fibreMassFraction),
  );
  const [why, setWhy] = useState('');
  const add = (line: Line): void =>
    setLines([...lines, { key: Math.max(-1, ...lines.map(({ key }) => key)) + 1, line }]);
  const change = (key: number, line: Line): void =>
    setLines(lines.map((each) => (each.key === key ? { key, line } : each)));
  const up = (at: number): void =>
    setLines(lines.map((each, n) => lines[n === at ? at - 1 : n === at - 1 ? at : n] ?? each));
  const send = async (key: string): Promise<void> => {
    const params = { path: { socketId }, header: once(key) };
    const body = {
      lines: lines.map(({ line }) => line),
      ...(fraction.trim() === '' ? {} : { fibreMassFraction: Number(fraction.replace(',', '.')) }),
      ...(why.trim() === '' ? {} : { why }),
    };
    await answered(api.POST('/api/v1/sockets/{socketId}/layups', { params, body }));
    onDone(say.layupDrafted);
    await readAgain();
  };
  const first = fabrics[0]?.id;
  return (
    <ActForm act={say.draftLayup} send={send}>
      {({ against }) => (
        <>
          <ol class="layers">
            {lines.map(({ key, line }, at) => (
              <li key={key}>
                {line.kind === 'tooling_plate' ? (
                  <p>{say.toolingPlate}</p>
                ) : (
                  <LineFields
                    line={line}
                    n={at + 1}
                    fabrics={fabrics}
                    against={(field) => against(`/lines/${at}/${field}`)}
                    onChange={(changed) => change(key, changed)}
                  />
                )}
                {against(`/lines/${at}`) !== undefined && (
                  <p class="stands-against">{against(`/lines/${at}`)}</p>
                )}
                <button
                  type="button"
                  disabled={at === 0}
                  aria-label={say.lineUpOf(at + 1)}
                  onClick={() => up(at)}
                >
                  {say.lineUp}
                </button>{' '}
                <button
                  type="button"
                  aria-label={say.lineOutOf(at + 1)}
                  onClick={() => setLines(lines.filter((each) => each.key !== key))}
                >
                  {say.lineOut}
                </button>
              </li>
            ))}
          </ol>
          {against('/lines') !== undefined && <p class="stands-against">{against('/lines')}</p>}
          <p>
            <button
              type="button"
              disabled={first === undefined}
              onClick={() => first !== undefined && add(newLine(first))}
            >
              {say.addLine}
            </button>{' '}
            <button type="button" onClick={() => add({ kind: 'tooling_plate' })}>
              {say.addPlate}
            </button>
          </p>
          <TextField
            label={say.fibreMassFraction}
            hint={say.fibreMassFractionHint}
            inputMode="decimal"
            value={fraction}
            against={against('/fibreMassFraction')}
            onInput={({ currentTarget }) => setFraction(currentTarget.value)}
          />
          <NoteField
            label={say.whyField}
            hint={say.layupWhyHint}
            value={why}
            against={against('/why')}
            onType={setWhy}
          />
        </>
      )}
    </ActForm>
  );
}

const newLine = (fabric: string): FabricLine => ({
  kind: 'fabric',
  fabric,
  layers: 1,
  direction: 'along',
  reflected: false,
});

function LineFields({
  line,
  n,
  fabrics,
  against,
  onChange,
}: {
  readonly line: FabricLine;
  readonly n: number;
  readonly fabrics: readonly Schemas['Fabric'][];
  readonly against: (field: string) => string | undefined;
  readonly onChange: (line: FabricLine) => void;
}) {
  const { fitting: say } = words.value;
  return (
    <div class="line-fields">
      <SelectField
        label={say.fabricOf(n)}
        of={fabrics.map(({ id, name }) => [id, name] as const)}
        value={line.fabric}
        against={against('fabric')}
        onChoose={(fabric) => onChange({ ...line, fabric })}
      />
      <TextField
        label={say.layersOf(n)}
        inputMode="numeric"
        value={Number.isFinite(line.layers) ? line.layers : ''}
        against={against('layers')}
        onInput={({ currentTarget }) =>
          onChange({ ...line, layers: Number.parseInt(currentTarget.value, 10) })
        }
      />
      <SelectField
        label={say.directionOf(n)}
        of={Object.entries(say.directions)}
        value={line.direction}
        against={against('direction')}
        onChoose={(direction) =>
          onChange({ ...line, direction: direction as FabricLine['direction'] })
        }
      />
      <label class="tick">
        <input
          type="checkbox"
          checked={line.reflected}
          onChange={({ currentTarget }) => onChange({ ...line, reflected: currentTarget.checked })}
        />
        {say.reflected}
      </label>
    </div>
  );
}
