/** Every version of what is written anew and never edited, the newest first. */
import { answered, api } from '../api.ts';
import type { Route } from './routeDraft.ts';

export const readCalendars = () => answered(api.GET('/api/v1/calendar/versions'));
export const readRules = () => answered(api.GET('/api/v1/layup-rules/versions'));

/** Which route it is. */
export interface RouteOf {
  readonly socketKind: string;
  readonly suspension: string;
}

export async function readRoute({ socketKind, suspension }: RouteOf): Promise<Route[]> {
  const query = { everyVersion: 'true' as const };
  const { items } = await answered(api.GET('/api/v1/routes', { params: { query } }));
  return items.filter(
    (route) => route.socketKind === socketKind && route.suspension === suspension,
  );
}
