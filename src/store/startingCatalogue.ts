import { v7 as uuidv7 } from 'uuid';
import { STARTING_BENCHES } from '../domain/benchLoad.ts';
import { STARTING_FABRICS } from '../domain/fabrics.ts';
import { STARTING_LAYUP_RULES } from '../domain/layupRules.ts';
import { STARTING_ROUTES } from '../domain/startingRoutes.ts';
import { STARTING_WEEKDAYS } from '../domain/workCalendar.ts';
import type { Tx } from './act.ts';
import { makePlace, SINGLE_PLACES } from './custody.ts';
import { asJson } from './json.ts';
import { writeWorkRoute } from './workRoutes.ts';

const PLACE_NAMES = {
  receiving: 'Receiving',
  bench: 'Bench',
  quarantine: 'Quarantine',
  scrap: 'Scrap',
} as const satisfies Record<(typeof SINGLE_PLACES)[number], string>;

/**
 * Gives a new clinic what its work begins with: the places of which there is
 * one each, its calendar, benches, fabrics and layup rules, and a route for each
 * kind of socket and suspension. Once, when it is founded. Clinics that are older
 * than calendar and fabrics got the same by migration 0003 (a test compares them).
 */
export async function installStartingCatalogue(tx: Tx, clinicId: string, at: Date): Promise<void> {
  for (const kind of SINGLE_PLACES) await makePlace(tx, clinicId, kind, PLACE_NAMES[kind]);
  const made = () => ({ clinicId, id: uuidv7(), createdAt: at });
  await tx.workCalendar.create({
    data: { ...made(), version: 1, weekdays: asJson(STARTING_WEEKDAYS), closedDays: [] },
  });
  await tx.layupRuleSet.create({
    data: { ...made(), version: 1, rules: asJson(STARTING_LAYUP_RULES) },
  });
  await tx.bench.createMany({
    data: STARTING_BENCHES.map(({ name, people }) => ({ ...made(), name, people })),
  });
  await tx.fabric.createMany({
    data: STARTING_FABRICS.map(({ id: _inTheDomain, ...fabric }) => ({ ...made(), ...fabric })),
  });
  for (const route of STARTING_ROUTES) {
    await writeWorkRoute(tx, { clinicId, at, createdById: null }, route);
  }
}
