/**
 * Founds a real clinic with its first administrator, who then invites everybody else.
 *
 *   npm run clinic:found -- --name "…" --prefix ABC --time-zone Europe/Vienna --paper A4 \
 *     --email ada@… --printed-name "Ada …"
 *
 * Prints a one-time code, once: with it the administrator sets a password of their own on the
 * sign-in page, so whoever founds the clinic never knows it. The record is where DATABASE_URL
 * or DATA_DIR says; on a server it is done as the owner (MIGRATION_DATABASE_URL where that is
 * set). Stop the service first where the record is embedded: one process at a time may have a
 * data folder.
 */
import { z } from 'zod';
import { newCode } from '../src/access/codes.ts';
import { readWhereRecordIs } from '../src/config.ts';
import { CODE_LASTS_HOURS } from '../src/domain/oneTimeCodes.ts';
import { ClinicChange } from '../src/features/clinic/schemas.ts';
import { email, text } from '../src/http/fields.ts';
import { foundClinic } from '../src/store/clinics.ts';
import { isUniqueClash } from '../src/store/failures.ts';
import { migrate } from '../src/store/migrate.ts';
import { openStore } from '../src/store/open.ts';
import { readOptions, UsageProblem } from './options.ts';
import { runScript } from './runScript.ts';

const { name, timeZone, paper } = ClinicChange.shape;
/** Each option by its name on the command line. */
const Given = z.strictObject({
  name: name.unwrap(),
  prefix: z.string().regex(/^[A-Z]{2,4}$/, 'two to four capital letters, before every number'),
  'time-zone': timeZone.unwrap(),
  paper: paper.unwrap().default('A4'),
  email: email(),
  'printed-name': text(100),
});

async function found(args: readonly string[]): Promise<void> {
  const given = readOptions(Given, args);
  const { code, codeHash } = await newCode();
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  const store = await openStore({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
    columnKeys: [],
  });
  try {
    await migrate(store);
    const clinic = {
      name: given.name,
      numberPrefix: given.prefix,
      timeZone: given['time-zone'],
      paper: given.paper,
    };
    const first = {
      email: given.email,
      printedName: given['printed-name'],
      codeHash,
      roles: ['administrator'] as const,
    };
    await foundClinic(store, clinic, [first], new Date()).catch((failure: unknown) => {
      if (isUniqueClash(failure, 'number_prefix')) {
        throw new UsageProblem(`Another clinic of this record has the prefix ${given.prefix}.`);
      }
      if (isUniqueClash(failure, 'email')) {
        throw new UsageProblem(`Somebody signs in as ${given.email} already.`);
      }
      throw failure;
    });
    process.stdout.write(
      [
        `Founded ${given.name} in ${store.describe}.`,
        'Next:',
        '  1. Start the service: npm run serve (it needs JWT_SECRET and COLUMN_KEYS).',
        `  2. On the sign-in page, under "I have a code": ${given.email} and ${code}`,
        `     (once, within ${CODE_LASTS_HOURS} hours), with a password of your own. Then invite the people.`,
        '  3. Enter parts with their settings, tools with their calibrations, bins and batches.',
        '',
      ].join('\n'),
    );
  } finally {
    await store.close();
  }
}

runScript(import.meta, found);
