/** The bins that hardware and shop tools lie in. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once } from '../parts/act.ts';
import { HelpHeading } from '../parts/help.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { NewRecord } from './NewRecord.tsx';

/** The clinic's bins, by name; undefined until they are known. */
export function useBins() {
  const query = useQuery({
    queryKey: ['places'],
    queryFn: () => answered(api.GET('/api/v1/places')),
  });
  return { ...query, bins: query.data?.items.filter(({ kind }) => kind === 'bin') };
}

export function Bins() {
  const { admin } = words.value;
  const { bins: say } = admin;
  const [said, setSaid] = useState('');
  const { bins, error, refetch } = useBins();
  return (
    <AdminSheet title={admin.entries.bins.title} said={said}>
      <p>{say.says}</p>
      <WentWrong failure={error} retry={() => void refetch()} />
      {bins === undefined && <Loading />}
      <ul class="lines">
        {bins?.map(({ id, name }) => (
          <li key={id}>{name}</li>
        ))}
      </ul>
      <HelpHeading title={say.add} text={say.addHelp} />
      <NewRecord
        name="bin"
        sectionsOf={() => [{ fields: [{ key: 'name', kind: 'text', label: say.name }] }]}
        act={say.add}
        add={(values, key) =>
          answered(
            api.POST('/api/v1/places', {
              params: { header: once(key) },
              body: values as { name: string },
            }),
          )
        }
        onDone={({ name }) => setSaid(say.added(name))}
      />
    </AdminSheet>
  );
}
