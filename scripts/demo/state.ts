/** Whether a database holds the demo clinic, and whether it may be loaded into it. */
import type { Database } from '../../src/store/database.ts';
import { CLINIC, emailOf } from './names.ts';

/** The clinic bears this name until its last act is told. */
export const UNFINISHED_NAME = `${CLINIC.name}, being loaded`;

/**
 * empty: no clinic at all · complete: the demo clinic, whole · unfinished: begun, and either
 * being loaded by another process or killed · other: a record that is not the demo's.
 */
export type DemoState = 'empty' | 'complete' | 'unfinished' | 'other';

/** @param database migrated; asked as its owner */
export async function demoStateOf(database: Pick<Database, 'raw'>): Promise<DemoState> {
  const clinics = await database.raw<{ name: string }>('select name from clinic');
  if (clinics.length === 0) return 'empty';
  if (clinics.some(({ name }) => name === UNFINISHED_NAME)) return 'unfinished';
  // Who tries the demo out may rename its clinic; who founded it stays.
  const demos = await database.raw(
    'select 1 as found from clinic c join person p on p.clinic_id = c.id where c.number_prefix = $1 and p.email = $2',
    [CLINIC.numberPrefix, emailOf('administrator')],
  );
  return demos.length > 0 ? 'complete' : 'other';
}

/** Why a demo cannot start on such a database, and what to do; undefined where it can. */
export function againstDemo(state: DemoState, where: string): string | undefined {
  switch (state) {
    case 'empty':
    case 'complete':
      return undefined;
    case 'unfinished':
      return `The demo clinic in ${where} is not complete: another process is loading it, or one was killed while it did. Nothing is ever deleted from a record; give the demo a new, empty database or data folder.`;
    case 'other':
      return `${where} holds a record that is not the demo clinic's, and the demo's passwords are known to everybody. Start it with "npm run serve".`;
  }
}
