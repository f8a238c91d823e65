import type { Api } from '../../http/api.ts';
import { Routes, RoutesQuery, RouteToWrite, RouteView } from './schemas.ts';
import { findWorkRoutes, newRouteVersion } from './service.ts';

export function workRouteRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/routes',
      name: 'listRoutes',
      tag: 'Catalogue',
      summary: 'Routes of work in force, or every version',
      query: RoutesQuery,
      answer: Routes,
    },
    (act, { query }) => findWorkRoutes(act, query.everyVersion === 'true'),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/routes',
      name: 'writeRoute',
      tag: 'Catalogue',
      summary: 'Write the next version of a route',
      description: 'Sockets under way keep the version that they were started with.',
      body: RouteToWrite,
      answer: RouteView,
    },
    (act, { body }) => newRouteVersion(act, body),
  );
}
