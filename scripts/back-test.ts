/**
 * Would the days have been kept? For each clinic of a record: had every order been promised, at
 * its opening, the day with the wanted chance, from what was known that day. Delivered orders
 * count, and those under way past that day as missed.
 *
 *   npx tsx scripts/back-test.ts [--wanted 0.8] [--seed 1]
 *
 * The record is where DATABASE_URL or DATA_DIR says; on a server all clinics are seen by the
 * owner only (MIGRATION_DATABASE_URL where that is set). Nothing is written. Stop the service
 * first where the record is embedded: one process at a time may have a data folder.
 */
import { parseArgs } from 'node:util';
import { dayAt } from '../src/domain/days.ts';
import { backTestPromises, type BackTest } from '../src/domain/promiseBackTest.ts';
import { inClinic } from '../src/store/act.ts';
import { loadClinic } from '../src/store/clinic.ts';
import type { Store } from '../src/store/open.ts';
import { loadTimelines } from '../src/store/timelines.ts';
import { currentWorkCalendar } from '../src/store/workCalendar.ts';
import { openRecord } from './openRecord.ts';
import { UsageProblem } from './options.ts';
import { runScript } from './runScript.ts';

export interface ClinicBackTest extends BackTest {
  readonly clinic: string;
}

/** Back-tests every clinic of a record, by name; each in a transaction that cannot write. */
export async function backTestClinics(
  store: Store,
  {
    at,
    wantedChance,
    seed,
  }: { readonly at: Date; readonly wantedChance: number; readonly seed: number },
): Promise<ClinicBackTest[]> {
  const clinics = await store.raw<{ id: string }>('select id from clinic order by name, id');
  const tests: ClinicBackTest[] = [];
  for (const { id: clinicId } of clinics) {
    const { name, ...facts } = await inClinic(store, clinicId, async (tx) => {
      await tx.$executeRaw`set transaction read only`;
      const { name, timeZone } = await loadClinic(tx, clinicId);
      return {
        name,
        today: dayAt(at, timeZone),
        calendar: await currentWorkCalendar({ tx, clinicId }),
        timelines: await loadTimelines(tx, { clinicId, timeZone, since: null }),
      };
    });
    tests.push({ clinic: name, ...backTestPromises({ ...facts, wantedChance, seed }) });
  }
  return tests;
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** One clinic's back-test as it is printed. */
export function inWords(test: ClinicBackTest): string[] {
  const { clinic, kept, overdue, meanChance, notPromised } = test;
  const { count, of, share, from, to } = kept;
  return [
    clinic,
    `  orders promised     ${of}`,
    `  of these overdue    ${overdue}, not delivered yet and counted as missed`,
    share === null
      ? '  kept                nothing to count'
      : `  kept                ${count} of ${of}, ${percent(share)} (95 % Wilson interval ${percent(from)} to ${percent(to)})`,
    ...(meanChance === null
      ? []
      : [
          `  promised chance     ${percent(meanChance)} on average; days are whole, so a little more than wanted`,
        ]),
    `  not promised        ${notPromised} delivered orders, for the history was too short that day`,
  ];
}

async function run(args: readonly string[]): Promise<void> {
  const { values } = parseArgs({
    args: [...args],
    options: {
      wanted: { type: 'string', default: '0.8' },
      seed: { type: 'string', default: '1' },
    },
  });
  const wantedChance = Number(values.wanted);
  const seed = Number(values.seed);
  if (!(wantedChance > 0 && wantedChance <= 1)) {
    throw new UsageProblem('--wanted is a chance above 0 to 1, as 0.8.');
  }
  if (!Number.isInteger(seed)) throw new UsageProblem('--seed is a whole number.');
  const store = await openRecord();
  try {
    const tests = await backTestClinics(store, { at: new Date(), wantedChance, seed });
    const lines = tests.flatMap((test) => ['', ...inWords(test)]);
    const head = `Promises with a wanted chance of ${percent(wantedChance)} (${store.describe}):`;
    process.stdout.write(`${[head, ...lines, ''].join('\n')}\n`);
  } finally {
    await store.close();
  }
}

runScript(import.meta, run);
