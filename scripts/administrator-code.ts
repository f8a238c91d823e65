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
import { z } from 'zod';
import { codeByOperator } from '../src/access/codeByOperator.ts';
import { newCode } from '../src/access/codes.ts';
import { CODE_LASTS_HOURS } from '../src/domain/oneTimeCodes.ts';
import { email, text } from '../src/http/fields.ts';
import { openRecord } from './openRecord.ts';
import { readOptions, UsageProblem } from './options.ts';
import { runScript } from './runScript.ts';

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
  const store = await openRecord();
  try {
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

runScript(import.meta, give);
