import { STARTING_ROUTES } from '../domain/startingRoutes.ts';
import type { Tx } from './act.ts';
import { makePlace, SINGLE_PLACES } from './custody.ts';
import { writeWorkRoute } from './workRoutes.ts';

const PLACE_NAMES = {
  receiving: 'Receiving',
  bench: 'Bench',
  quarantine: 'Quarantine',
  scrap: 'Scrap',
} as const satisfies Record<(typeof SINGLE_PLACES)[number], string>;

/**
 * Gives a new clinic what its work begins with: the places of which there is
 * one each, and a route for each kind of socket and suspension. Once, when it is founded.
 */
export async function installStartingCatalogue(tx: Tx, clinicId: string, at: Date): Promise<void> {
  for (const kind of SINGLE_PLACES) await makePlace(tx, clinicId, kind, PLACE_NAMES[kind]);
  for (const route of STARTING_ROUTES) {
    await writeWorkRoute(tx, { clinicId, at, createdById: null }, route);
  }
}
