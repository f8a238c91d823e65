/** One route of work: its list of operations to edit, its versions, the sockets that keep each. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { listPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { RouteForm } from './RouteForm.tsx';
import { routeChanges } from './routeChanges.ts';
import { Versions } from './Versions.tsx';
import { readRoute, type RouteOf } from './versionsRead.ts';

export function RoutePage({ params }: { params: RouteOf }) {
  const { admin, service } = words.value;
  const { routes: say } = admin;
  const { socketKind, suspension } = params;
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['routes', socketKind, suspension],
    queryFn: () => readRoute(params),
  });
  const inForce = data?.[0];
  const title = inForce?.name ?? admin.entries.routes.title;
  return (
    <AdminSheet title={title} back={[listPage('routes'), admin.entries.routes.title]} said={said}>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined && error === null && <Loading />}
      {data?.length === 0 && <p>{service.notFound}</p>}
      {inForce !== undefined && (
        <>
          <p class="caution">{say.keepTheirs}</p>
          <RouteForm key={`${socketKind} ${suspension}`} inForce={inForce} onSaid={setSaid} />
        </>
      )}
      {data !== undefined && data.length > 0 && (
        <Versions
          of={data}
          changes={routeChanges}
          beside={({ socketsUnderWay }) =>
            say.underWay(socketsUnderWay.map(({ number }) => number))
          }
        />
      )}
    </AdminSheet>
  );
}
