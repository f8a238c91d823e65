/** The clinic's label stock: how large the labels are; and the labels of its bins. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Done } from '../parts/done.tsx';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { Print } from './Print.tsx';
import { binLabel } from './printed.ts';

type Sizes = Schemas['LabelSizes'];

const KINDS = ['socket', 'model', 'bin'] as const;

export function LabelSizes() {
  const { papers: say } = words.value;
  const at = useInstantWords();
  const [done, setDone] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['label-sizes'],
    queryFn: () => answered(api.GET('/api/v1/label-sizes')),
  });
  return (
    <Sheet title={say.labelsTitle}>
      <Done said={done} />
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined ? (
        error === null && <Loading />
      ) : (
        <>
          <h2>{say.sizesTitle}</h2>
          <p>
            {data.createdAt === null
              ? say.starting
              : say.inForce(data.version, data.createdBy ?? '', at(data.createdAt))}
          </p>
          <SizesForm key={data.version} sizes={data} onDone={setDone} />
        </>
      )}
      <Bins />
    </Sheet>
  );
}

/** As typed; what is no number is sent as none, and the service says so beside the field. */
const figure = (typed: string): number => {
  const text = typed.trim().replace(',', '.');
  return text === '' ? NaN : Number(text);
};

function SizesForm({
  sizes,
  onDone,
}: {
  readonly sizes: Sizes;
  readonly onDone: (said: string) => void;
}) {
  const { papers: say } = words.value;
  const readAgain = useReadAgain();
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>(() => ({
    '/marginMm': String(sizes.marginMm),
    ...Object.fromEntries(
      KINDS.flatMap((kind) => [
        [`/${kind}/widthMm`, String(sizes[kind].widthMm)],
        [`/${kind}/heightMm`, String(sizes[kind].heightMm)],
      ]),
    ),
  }));
  const value = (pointer: string): number => figure(typed[pointer] ?? '');
  const size = (kind: (typeof KINDS)[number]) => ({
    widthMm: value(`/${kind}/widthMm`),
    heightMm: value(`/${kind}/heightMm`),
  });
  const send = async (key: string): Promise<void> => {
    const { version } = await answered(
      api.POST('/api/v1/label-sizes', {
        params: { header: once(key) },
        body: {
          basedOnVersion: sizes.version,
          socket: size('socket'),
          model: size('model'),
          bin: size('bin'),
          marginMm: value('/marginMm'),
        },
      }),
    );
    onDone(say.written(version));
    await readAgain();
  };
  return (
    <ActForm act={say.write} send={send}>
      {({ against }) => {
        const field = (pointer: string, label: string) => (
          <TextField
            key={pointer}
            label={label}
            inputMode="decimal"
            autocomplete="off"
            value={typed[pointer] ?? ''}
            against={against(pointer)}
            onInput={({ currentTarget }) => setTyped({ ...typed, [pointer]: currentTarget.value })}
          />
        );
        return (
          <>
            <p class="hint">{say.sizesHint}</p>
            <div class="label-sizes">
              {KINDS.flatMap((kind) => [
                field(`/${kind}/widthMm`, say.widthOf(say.kinds[kind])),
                field(`/${kind}/heightMm`, say.heightOf(say.kinds[kind])),
              ])}
              {field('/marginMm', say.margin)}
            </div>
          </>
        );
      }}
    </ActForm>
  );
}

function Bins() {
  const { papers: say } = words.value;
  const { data } = useQuery({
    queryKey: ['places'],
    enabled: may('technician', 'administrator'),
    queryFn: () => answered(api.GET('/api/v1/places')),
  });
  const bins = (data?.items ?? []).filter(({ kind }) => kind === 'bin');
  return (
    <>
      <h2>{say.bins}</h2>
      {data !== undefined && bins.length === 0 && <p>{say.noBins}</p>}
      <ul class="plain papers">
        {bins.map(({ id, name }) => (
          <li key={id}>
            <Print what={say.binLabel(name)} read={binLabel(id)} />
          </li>
        ))}
      </ul>
    </>
  );
}
