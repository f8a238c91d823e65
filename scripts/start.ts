/**
 * Starts the service; with --demo on an invented clinic, which is loaded first where the
 * data folder (or the database that DATABASE_URL names) is new.
 *
 *   npm start                   the demo
 *   npm run serve               a clinic's own record, without any demo
 *   node --import tsx scripts/start.ts [--demo]
 *
 * Settings come from the environment (src/config.ts); --demo makes a secret of its own where
 * JWT_SECRET is missing. Ends in order on SIGTERM and Ctrl-C, also while the demo is loaded: then
 * nothing of it is kept.
 */
import net from 'node:net';
import { parseArgs } from 'node:util';
import type { Logger } from 'pino';
import { readConfig, type Config } from '../src/config.ts';
import { makeLog } from '../src/http/logging.ts';
import {
  openMigratedStore,
  serve,
  startProblem,
  stopOnSignals,
  type Service,
} from '../src/server.ts';
import { columnCipher } from '../src/store/columnCipher.ts';
import { makeEmbedded } from '../src/store/embedded.ts';
import { migrate } from '../src/store/migrate.ts';
import { openStore, withPrisma } from '../src/store/open.ts';
import { loadDemo } from './demo/load.ts';
import { CLINIC, DEMO_PASSWORD, emailOf, SIGN_INS, STAFF } from './demo/names.ts';
import { againstDemo, demoStateOf } from './demo/state.ts';
import { isBare, undoDemo } from './demo/undo.ts';

const { values } = parseArgs({ options: { demo: { type: 'boolean', default: false } } });

async function start(): Promise<void> {
  const config = readConfig(values.demo ? { ...process.env, DEMO: '1' } : process.env);
  const log = makeLog(config.logLevel);
  // Asked now, so that nobody waits for the first start to hear it.
  await portIsFree(config);
  if (config.demo) await cancellable((signal) => prepareDemo(config, log, signal));
  const store = await openMigratedStore(config, log);
  const service = await serve(config, store, log).catch(async (failure: unknown) => {
    await store.close();
    throw failure;
  });
  stopOnSignals(service, log);
  log.info({ address: service.address, database: store.describe }, 'listening');
  say(...page(service, config));
}

/** @throws the error that listening would throw, EADDRINUSE above all */
const portIsFree = ({ port, host }: Config): Promise<void> =>
  new Promise((resolve, reject) => {
    const probe = net.createServer().once('error', reject);
    probe.listen({ port, host, exclusive: true }, () => probe.close(() => resolve()));
  });

/** Sees to it that the demo clinic is there, whole; says why not where it cannot be. */
async function prepareDemo(config: Config, log: Logger, signal: AbortSignal): Promise<void> {
  const { databaseUrl, migrationDatabaseUrl, dataFolder, columnKeys } = config;
  if (databaseUrl === undefined) {
    const made = await makeEmbedded(
      dataFolder,
      async (database) => {
        say('', 'First start: making the database and the demo clinic, which takes some seconds.');
        await migrate(database);
        await load(withPrisma(database, columnCipher(columnKeys)), signal);
      },
      { log },
    );
    if (made) return;
  }
  // A clinic is founded by the database's owner, who migrates it too.
  const owner = await openStore({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
    log,
    columnKeys,
  });
  try {
    const wasBare = await isBare(owner);
    await migrate(owner);
    const state = await demoStateOf(owner);
    const against = againstDemo(state, owner.describe);
    if (against !== undefined) throw new StartProblem(against);
    if (state === 'empty') {
      say('', 'Loading the demo clinic, which takes some seconds.');
      await load(owner, signal).catch(async (failure: unknown) => {
        if (!(failure instanceof Cancelled)) throw failure;
        // What was there before is there again: nothing, or the tables without a row.
        throw wasBare && (await undoDemo(owner)) ? failure : new Cancelled(leftUnfinished(owner));
      });
    }
  } finally {
    await owner.close();
  }
}

async function load(store: Parameters<typeof loadDemo>[0], signal: AbortSignal): Promise<void> {
  const progress = progressTo(process.stdout);
  const { acts, tookMs } = await loadDemo(store, { now: new Date(), signal, progress });
  say(`The demo clinic is there: ${acts} acts of two years, in ${(tookMs / 1000).toFixed(1)} s.`);
}

/** How far the two years are told: one line that changes on a terminal, a line a tenth elsewhere. */
function progressTo(out: NodeJS.WriteStream): (acts: number, share: number) => void {
  const step = out.isTTY ? 1 : 10;
  let said = 0;
  return (acts, share) => {
    const percent = Math.min(100, Math.floor((share * 100) / step) * step);
    if (percent <= said) return;
    said = percent;
    const words = `  ${percent} % of the two years told, ${acts} acts`;
    out.write(out.isTTY ? `\r${words}${percent === 100 ? '\n' : ''}` : `${words}\n`);
  };
}

/** Ctrl-C or SIGTERM came while the demo was loaded. */
class Cancelled extends Error {
  override readonly name = 'Cancelled';
}

/** Work that a signal ends between two acts; a second signal ends the process at once. */
async function cancellable(work: (signal: AbortSignal) => Promise<void>): Promise<void> {
  const cancel = new AbortController();
  const onSignal = (): void => {
    if (cancel.signal.aborted) process.exit(1);
    cancel.abort(new Cancelled('Cancelled: nothing of the demo was kept.'));
  };
  process.on('SIGINT', onSignal).on('SIGTERM', onSignal);
  try {
    await work(cancel.signal);
    // Too late for this: what is whole stays.
    if (cancel.signal.aborted) throw new Cancelled('Cancelled. The demo clinic is loaded, whole.');
  } finally {
    process.off('SIGINT', onSignal).off('SIGTERM', onSignal);
  }
}

const leftUnfinished = ({ describe }: { readonly describe: string }): string =>
  `Cancelled: a part of the demo clinic is in ${describe}, which had its tables before. Give the demo a new, empty database.`;

class StartProblem extends Error {
  override readonly name = 'StartProblem';
}

const say = (...lines: readonly string[]): void => {
  process.stdout.write(`${lines.join('\n')}\n`);
};

/** What whoever starts the service needs to know. */
function page({ address, store }: Service, config: Config): string[] {
  const demo = SIGN_INS.map((key) => {
    const { printedName, role } = STAFF[key];
    return `    ${role.replace('_', ' ').padEnd(14)} ${emailOf(key).padEnd(32)} ${printedName}`;
  });
  return [
    '',
    `Castbook listens on ${address}`,
    `  API pages      ${address}/api/docs`,
    `  OpenAPI 3.1    ${address}/api/openapi.json`,
    `  record         ${store.describe}`,
    ...(config.demo
      ? [
          '',
          `  Demo sign-ins at ${CLINIC.name}; everybody's password is "${DEMO_PASSWORD}":`,
          ...demo,
          '',
          '  Everything in the demo is invented: people, clinic, makers, parts, numbers, lots.',
          '  Its passwords are known to everybody: keep no real record in it.',
          ...(isLoopback(config.host)
            ? []
            : [`  CAUTION: it listens on ${config.host}, where others can reach it.`]),
        ]
      : []),
    '',
    '  Castbook proposes and records; a person decides and signs.',
    '  Stop with Ctrl-C.',
    '',
  ];
}

const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || host.startsWith('127.');

/** Words for whoever starts the service. */
function inWords(failure: unknown): string {
  if (failure instanceof StartProblem || failure instanceof Cancelled) return failure.message;
  const words = startProblem(failure);
  if (words !== undefined) return words;
  const { code, port } = failure as { code?: unknown; port?: unknown };
  if (code === 'EADDRINUSE') {
    return `Port ${String(port)} is taken by another program. Stop it, or set PORT to a free one.`;
  }
  return failure instanceof Error ? (failure.stack ?? failure.message) : String(failure);
}

start().catch((failure: unknown) => {
  process.stderr.write(`${inWords(failure)}\n`);
  // As a shell has it: 128 and the number of SIGINT.
  process.exitCode = failure instanceof Cancelled ? 130 : 1;
});
