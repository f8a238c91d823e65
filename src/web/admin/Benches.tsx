/** The benches of the shop and how many people work at each: what the load of a day is set against. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { HelpHeading } from '../parts/help.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { NewRecord } from './NewRecord.tsx';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { ifMatch, type FieldSpec } from './values.ts';

type Bench = Schemas['Bench'];

const readBenches = () => answered(api.GET('/api/v1/benches'));

export const useBenches = () => useQuery({ queryKey: ['benches'], queryFn: readBenches });

const benchFields = (): readonly FieldSpec[] => {
  const { benches: say } = words.value.admin;
  return [
    { key: 'name', kind: 'text', label: say.name, help: say.nameHelp },
    { key: 'people', kind: 'number', label: say.people, help: say.peopleHelp },
  ];
};

export function Benches() {
  const { admin } = words.value;
  const { benches: say } = admin;
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useBenches();
  return (
    <AdminSheet title={admin.entries.benches.title} said={said}>
      <p>{say.says}</p>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined && <Loading />}
      <ul class="lines">
        {data?.items.map((bench) => (
          <li key={bench.id}>
            <details>
              <summary>
                <strong>{bench.name}</strong>,{' '}
                {bench.active ? say.manned(bench.people) : say.givenUp}
              </summary>
              <OneBench bench={bench} onSaid={setSaid} />
            </details>
          </li>
        ))}
      </ul>
      <HelpHeading title={say.add} text={say.addHelp} />
      <NewRecord
        name="bench"
        sectionsOf={() => [{ fields: benchFields() }]}
        act={say.add}
        add={(values, key) =>
          answered(
            api.POST('/api/v1/benches', {
              params: { header: once(key) },
              body: values as unknown as Schemas['BenchToAddInput'],
            }),
          )
        }
        onDone={({ name }) => setSaid(say.added(name))}
      />
    </AdminSheet>
  );
}

function OneBench({
  bench,
  onSaid,
}: {
  readonly bench: Bench;
  readonly onSaid: (said: string) => void;
}) {
  const { admin } = words.value;
  const { benches: say } = admin;
  const active: FieldSpec = {
    key: 'active',
    kind: 'tick',
    label: say.active,
    help: say.activeHelp,
  };
  return (
    <>
      <RecordForm
        record={bench}
        sectionsOf={() => [{ fields: [...benchFields(), active] }]}
        act={admin.save}
        change={(body, version) =>
          answered(
            api.PATCH('/api/v1/benches/{benchId}', {
              params: { path: { benchId: bench.id }, header: ifMatch(version) },
              body: body,
            }),
          )
        }
        readNow={async () => {
          const { items } = await readBenches();
          return items.find(({ id }) => id === bench.id) ?? bench;
        }}
        onSaid={onSaid}
      />
      <RecordHistory of={{ subjectKind: 'bench', subjectId: bench.id, version: bench.version }} />
    </>
  );
}
