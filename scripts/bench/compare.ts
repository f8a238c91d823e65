/** The service and the bare route, one after the other, on copies of one prepared database. */
import { buildApp } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import type { DatabaseKind } from '../../src/store/database.ts';
import type { Store } from '../../src/store/open.ts';
import { clinicOn, TestClock } from '../../tests/support/clinic.ts';
import { stockedShop } from '../../tests/support/job.ts';
import { bareRequest, startBareRoute, type Trace } from './bareRoute.ts';
import type { Source } from './databases.ts';
import type { BenchRequest, Callers, Measured } from './load.ts';
import type { Scenario } from './scenarios.ts';
import { startRecording } from './statements.ts';

export interface Sizes {
  readonly lanes: number;
  /** Requests of each lane that count. */
  readonly each: number;
  /** Requests of each lane before those. */
  readonly warm: number;
  /** How often all is measured; the run with the median ratio is told. */
  readonly times: number;
}

export interface Speed {
  readonly perSecond: number;
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly cpuMs: number;
}

export interface Comparison {
  readonly what: string;
  readonly database: DatabaseKind;
  /** SQL statements of one request on average, BEGIN and COMMIT included. */
  readonly statements: number;
  readonly service: Speed;
  readonly bare: Speed;
  /** How many times longer the service takes: bare requests a second by the service's. */
  readonly ratio: number;
  /** Of every run, in their order. */
  readonly ratios: readonly number[];
}

interface Prepared {
  readonly scenario: Scenario;
  readonly lanes: readonly (readonly BenchRequest[])[];
}

export async function compareOn(
  source: Source,
  scenarios: readonly Scenario[],
  sizes: Sizes,
  callers: Callers,
): Promise<Comparison[]> {
  try {
    const prepared = await prepare(source, scenarios, sizes);
    const traces = await record(source, prepared);
    const runs: Map<Scenario, Pair>[] = [];
    for (let run = 0; run < sizes.times; run += 1) {
      runs.push(await measure(source, prepared, traces, sizes, callers, run % 2 === 0));
    }
    return prepared.map(({ scenario }) => {
      const pairs = runs.flatMap((run) => run.get(scenario) ?? []);
      return { ...comparison(pairs), ...about(source, scenario, traces) };
    });
  } finally {
    await source.remove();
  }
}

const CLOCK = new TestClock('2026-03-02T09:00:00Z');

async function serve(store: Store) {
  const app = await buildApp({
    store,
    config: {
      // Tokens made while preparing are shown to every copy.
      jwtSecret: 'of the benchmark, and of nothing that anybody could reach',
      publicUrl: 'https://castbook.test',
      trustProxy: false,
      requestsPerMinute: 100_000_000,
      signInsPerMinute: 1_000_000,
    },
    // As it runs: a line for each request. Only faults are shown.
    log: makeLog('info', {
      write: (line) => {
        if (line.includes('"level":50')) console.error(line);
      },
    }),
    now: CLOCK.now,
  });
  const address = await app.listen({ port: 0, host: '127.0.0.1' });
  const close = async () => {
    await app.close();
    await store.close();
  };
  return { app, address, close };
}

async function prepare(
  source: Source,
  scenarios: readonly Scenario[],
  { lanes, each, warm }: Sizes,
): Promise<Prepared[]> {
  const store = await source.open();
  const service = { store, clock: CLOCK, logLines: [], ...(await serve(store)) };
  try {
    const shop = await stockedShop(await clinicOn(service, 'BM', 'Europe/Vienna'));
    const prepared: Prepared[] = [];
    for (const scenario of scenarios) {
      prepared.push({ scenario, lanes: await scenario.prepare(shop, lanes, each + warm) });
    }
    await store.raw('vacuum analyze');
    return prepared;
  } finally {
    await service.close();
  }
}

/** Runs every request once, alone, and keeps what it sent to the database. */
async function record(
  source: Source,
  prepared: readonly Prepared[],
): Promise<ReadonlyMap<string, Trace>> {
  const recording = startRecording();
  const service = await serve(await source.copyForService(recording.over));
  try {
    const traces = new Map<string, Trace>();
    for (const { scenario, lanes } of prepared) {
      for (const [key, request] of keyed(scenario, lanes)) {
        recording.take();
        const { method, path, headers, body } = request;
        const answer = await fetch(`${service.address}${path}`, {
          method,
          headers,
          ...(body === undefined ? {} : { body }),
        });
        const answered: unknown = await answer.json();
        const { status } = answer;
        if (!answer.ok) throw new Error(`${method} ${path}: ${JSON.stringify(answered)}`);
        traces.set(key, { request, statements: recording.take(), status, answer: answered });
      }
    }
    return traces;
  } finally {
    await service.close();
  }
}

const keyOf = (scenario: Scenario, lane: number, n: number): string =>
  `${scenario.name}-${String(lane)}-${String(n)}`;

const keyed = (scenario: Scenario, lanes: Prepared['lanes']): [string, BenchRequest][] =>
  lanes.flatMap((requests, lane) =>
    requests.map((request, n): [string, BenchRequest] => [keyOf(scenario, lane, n), request]),
  );

interface Pair {
  readonly service: Measured;
  readonly bare: Measured;
}

async function measure(
  source: Source,
  prepared: readonly Prepared[],
  traces: ReadonlyMap<string, Trace>,
  { warm }: Sizes,
  callers: Callers,
  serviceFirst: boolean,
): Promise<Map<Scenario, Pair>> {
  const service = await serve(await source.copyForService());
  const bare = await startBareRoute(await source.copyForBareRoute(), traces);
  try {
    const pairs = new Map<Scenario, Pair>();
    for (const { scenario, lanes } of prepared) {
      const bareLanes = lanes.map((requests, lane) =>
        requests.map((request, n) => bareRequest(keyOf(scenario, lane, n), request)),
      );
      const ofService = () => callers.send({ address: service.address, lanes, warm });
      const ofBare = () => callers.send({ address: bare.address, lanes: bareLanes, warm });
      if (serviceFirst) pairs.set(scenario, { service: await ofService(), bare: await ofBare() });
      else {
        const measured = await ofBare();
        pairs.set(scenario, { service: await ofService(), bare: measured });
      }
    }
    return pairs;
  } finally {
    await service.close();
    await bare.close();
  }
}

function comparison(
  pairs: readonly Pair[],
): Pick<Comparison, 'service' | 'bare' | 'ratio' | 'ratios'> {
  const runs = pairs.map((pair) => {
    const service = speedOf(pair.service);
    const bare = speedOf(pair.bare);
    return { service, bare, ratio: bare.perSecond / service.perSecond };
  });
  const [median] = [...runs].sort((a, b) => a.ratio - b.ratio).slice(Math.floor(runs.length / 2));
  if (median === undefined) throw new Error('nothing was measured');
  return { ...median, ratios: runs.map(({ ratio }) => ratio) };
}

function speedOf({ latenciesMs, elapsedMs, cpuMs }: Measured): Speed {
  const sorted = [...latenciesMs].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.floor((sorted.length - 1) * share)] ?? Number.NaN;
  return {
    perSecond: (sorted.length * 1000) / elapsedMs,
    medianMs: at(0.5),
    p95Ms: at(0.95),
    cpuMs,
  };
}

function about(source: Source, scenario: Scenario, traces: ReadonlyMap<string, Trace>) {
  const counts = [...traces].flatMap(([key, { statements }]) =>
    key.startsWith(`${scenario.name}-`) ? [statements.length] : [],
  );
  const statements = counts.reduce((sum, count) => sum + count, 0) / counts.length;
  return { what: scenario.what, database: source.kind, statements };
}
