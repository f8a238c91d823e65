/**
 * Gives an administrator a one-time code where nobody of the clinic can: the only one, who has
 * lost the password, or the phone with every recovery code.
 *
 *   npm run administrator:code -- --email ada@… --why "Lost the phone; seen in person."
 *
 * The present password, the second factor and every sign-in of the person end at once. Be sure
 * who asks: whoever has the code becomes the clinic's administrator. The record keeps that the
 * code was given from outside the clinic, and why. The record is where DATABASE_URL or DATA_DIR
 * says; on a server it is done as the owner (MIGRATION_DATABASE_URL where that is set), while
 * the service runs. Stop the service first where the record is embedded.
 */
import fs from 'node:fs';
import { z } from 'zod';
import { codeByOperator } from '../src/access/codeByOperator.ts';
import { newCode } from '../src/access/codes.ts';
import { readWhereRecordIs } from '../src/config.ts';
import { CODE_LASTS_HOURS } from '../src/domain/oneTimeCodes.ts';
import { email, text } from '../src/http/fields.ts';
import { startProblem } from '../src/server.ts';
import { pendingMigrations } from '../src/store/migrate.ts';
import { openStore } from '../src/store/open.ts';
import { isMain } from './isMain.ts';
import { readOptions, UsageProblem } from './options.ts';

const Given = z.strictObject({ email: email(), why: text(300) });

const WHY_NOT = {
  nobody: 'Nobody signs in with this address.',
  left: 'This person has left the clinic. An administrator of the clinic lets them back in first.',
  'no-administrator':
    'This person is no administrator: an administrator of the clinic gives them a code, under People.',
} as const;

async function give(args: readonly string[]): Promise<void> {
  const { email: address, why } = readOptions(Given, args);
  const { code, codeHash } = await newCode();
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  if (databaseUrl === undefined && !fs.existsSync(dataFolder)) {
    throw new UsageProblem(`There is no record in ${dataFolder}. Set DATA_DIR or DATABASE_URL.`);
  }
  const store = await openStore({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
    columnKeys: [],
  });
  try {
    if ((await pendingMigrations(store)).length > 0) {
      throw new UsageProblem(
        'The record is of an older program. Start the service once, then try again.',
      );
    }
    const outcome = await codeByOperator(store, { email: address, why, codeHash }, new Date());
    if (!outcome.given) throw new UsageProblem(`${WHY_NOT[outcome.because]} Nothing was changed.`);
    const { printedName, passwordEnded, signedOut, secondFactorEnded } = outcome;
    const ended = [
      ...(passwordEnded ? ['the password'] : []),
      ...(secondFactorEnded ? ['the second factor'] : []),
      `${String(signedOut)} sign-in${signedOut === 1 ? '' : 's'}`,
    ];
    process.stdout.write(
      [
        `Ended for ${printedName}: ${ended.join(', ')}.`,
        `On the sign-in page, under "I have a code": ${address} and ${code}`,
        `(once, within ${String(CODE_LASTS_HOURS)} hours), with a new password of their own.`,
        '',
      ].join('\n'),
    );
  } finally {
    await store.close();
  }
}

if (isMain(import.meta)) {
  give(process.argv.slice(2)).catch((failure: unknown) => {
    const words =
      failure instanceof UsageProblem || (failure instanceof Error && 'code' in failure)
        ? failure.message
        : startProblem(failure);
    process.stderr.write(`${words ?? String(failure)}\n`);
    process.exitCode = 1;
  });
}
