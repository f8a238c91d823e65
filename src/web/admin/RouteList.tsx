/** The routes of work: one for each kind of socket and suspension. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { SOCKET_KINDS } from '../../domain/words.ts';
import { answered, api } from '../api.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { routePage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';

export function RouteList() {
  const { admin, suspensions } = words.value;
  const { routes: say } = admin;
  const { data, error, refetch } = useQuery({
    queryKey: ['routes'],
    queryFn: () => answered(api.GET('/api/v1/routes')),
  });
  return (
    <AdminSheet title={admin.entries.routes.title}>
      <p>{say.says}</p>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined && <Loading />}
      {data !== undefined &&
        SOCKET_KINDS.map((kind) => (
          <section key={kind}>
            <h2>{say.sockets[kind]}</h2>
            <ul class="lines">
              {data.items
                .filter(({ socketKind }) => socketKind === kind)
                .map((route) => (
                  <li key={route.id}>
                    <Link class="touch" href={routePage(route.socketKind, route.suspension)}>
                      <strong>{suspensions[route.suspension]}</strong>
                    </Link>
                    <div>
                      {say.inShort(
                        route.operations.length,
                        route.version,
                        route.socketsUnderWay.length,
                      )}
                    </div>
                  </li>
                ))}
            </ul>
          </section>
        ))}
    </AdminSheet>
  );
}
