/**
 * How fast the acts of a busy day are, beside a bare Fastify route that sends the same
 * statements with the same values to a copy of the same database by the driver alone.
 *
 *   npx tsx scripts/bench/run.ts [--server postgres://postgres@127.0.0.1:5432/postgres]
 *     [--embedded] [--lanes 8] [--each 25] [--warm 5] [--times 3] [--only transfer]
 *
 * Without --server and --embedded it runs on the embedded database. Lanes send at the same
 * time, each its own requests in turn. Numbers depend on the machine, ratios much less. On the
 * embedded database the bare route uses PGlite's own query, which parses and plans a text each
 * time, and the service its named statements: it can be the faster one.
 */
import { parseArgs } from 'node:util';
import { isMain } from '../isMain.ts';
import { compareOn, type Comparison, type Sizes, type Speed } from './compare.ts';
import { onAServer, onEmbedded, type Source } from './databases.ts';
import { startCallers } from './load.ts';
import { SCENARIOS } from './scenarios.ts';

/** The torque tool may be read 5000 times between calibrations, and prepared patients must not look alike. */
const MOST_REQUESTS = 400;

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      server: { type: 'string' },
      embedded: { type: 'boolean', default: false },
      lanes: { type: 'string', default: '8' },
      each: { type: 'string', default: '25' },
      warm: { type: 'string', default: '5' },
      times: { type: 'string', default: '3' },
      only: { type: 'string', multiple: true },
    },
  });
  const sizes: Sizes = {
    lanes: count(values.lanes, 'lanes'),
    each: count(values.each, 'each'),
    warm: count(values.warm, 'warm', 0),
    times: count(values.times, 'times'),
  };
  if (sizes.lanes * (sizes.each + sizes.warm) > MOST_REQUESTS) {
    throw new Error(`lanes × (each + warm) must be ${MOST_REQUESTS} at most`);
  }
  const scenarios = SCENARIOS.filter(({ name }) => values.only?.includes(name) ?? true);
  if (scenarios.length === 0) {
    throw new Error(`--only takes ${SCENARIOS.map(({ name }) => name).join(', ')}`);
  }
  const sources: Source[] = [
    ...(values.server === undefined ? [] : [onAServer(values.server)]),
    ...(values.embedded || values.server === undefined ? [onEmbedded()] : []),
  ];
  const callers = startCallers();
  try {
    const all: Comparison[] = [];
    for (const source of sources) {
      all.push(...(await compareOn(source, scenarios, sizes, callers)));
    }
    console.log(table(all));
  } finally {
    await callers.close();
  }
}

function count(text: string, name: string, least = 1): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < least) throw new Error(`--${name} ${text}`);
  return value;
}

function table(comparisons: readonly Comparison[]): string {
  const head = [
    ...['what', 'database', 'statements', 'req/s', 'median ms', 'p95 ms', 'CPU ms'],
    ...['bare req/s', 'bare median ms', 'bare p95 ms', 'bare CPU ms', 'ratio', 'all runs'],
  ];
  const speed = ({ perSecond, medianMs, p95Ms, cpuMs }: Speed) => [
    perSecond.toFixed(0),
    medianMs.toFixed(1),
    p95Ms.toFixed(1),
    cpuMs.toFixed(1),
  ];
  const rows = comparisons.map(({ what, database, statements, service, bare, ratio, ratios }) => [
    ...[what, database, statements.toFixed(1)],
    ...[...speed(service), ...speed(bare)],
    ...[ratio.toFixed(2), ratios.map((each) => each.toFixed(2)).join(' ')],
  ]);
  return [head, head.map(() => '---'), ...rows].map((row) => `| ${row.join(' | ')} |`).join('\n');
}

if (isMain(import.meta)) await main();
