/**
 * Every route by every role, with everything that fits and much that does not: the service
 * answers as it is documented, shows nothing of its insides or of another clinic, and its
 * record stays whole. `npm run fuzz -- --requests 500000 --seed 7` for a longer attack.
 */
import fs from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PUBLIC } from '../../src/access/permissions.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { breaches } from '../support/integrity.ts';
import { Attack } from './support/attack.ts';
import { isRole } from './support/callers.ts';
import { described, type Described, type OpenApi } from './support/document.ts';
import { MARK } from './support/hostile.ts';
import { Pool } from './support/pool.ts';
import { Sender } from './support/send.ts';
import { livedIn, secretsOf, sideOf, type Example, type Keep, type Side } from './support/world.ts';

const REQUESTS = Number(process.env['CASTBOOK_FUZZ_REQUESTS'] ?? 20_000);
const SEED = Number(process.env['CASTBOOK_FUZZ_SEED'] ?? 20_260_302);
const HOUR_MS = 3_600_000;

const TO_WRITE_WHOLE =
  'a list of many parts that fit one another; chance makes none in so many requests';
const OF_ITS_MOMENT =
  'needs a state that lasts for one act of the story, and chance comes late to it';

/** Routes that the attack need not be accepted by, and why; each is done in tests/api. A longer attack may get there. */
const MAY_STAY_OUT: Readonly<Record<string, string>> = {
  'PATCH /api/v1/clinic': 'its version is in no list; what chance sends meets 412 or a limit',
  'POST /api/v1/label-sizes': TO_WRITE_WHOLE,
  'POST /api/v1/orders/:orderId/measure-sets': TO_WRITE_WHOLE,
  'GET /api/v1/measure-sets/comparison': 'needs two sets of measures of one order',
  'POST /api/v1/volume-decisions': 'needs two sets of measures of one order',
  'POST /api/v1/udi/readings': 'needs a label with its check digit',
  'POST /api/v1/part-drafts/:partDraftId/part': OF_ITS_MOMENT,
  'POST /api/v1/sockets/:socketId/fit-acceptance/to-sign': OF_ITS_MOMENT,
  'POST /api/v1/sockets/:socketId/fit-rejection': OF_ITS_MOMENT,
  'POST /api/v1/sockets/:socketId/alignment-difference-acceptance': OF_ITS_MOMENT,
  'POST /api/v1/orders/:orderId/delivery/to-sign': OF_ITS_MOMENT,
  'POST /api/v1/routes': TO_WRITE_WHOLE,
  'POST /api/v1/fabrics': TO_WRITE_WHOLE,
  'POST /api/v1/layup-rules': TO_WRITE_WHOLE,
  'PATCH /api/v1/resin-products/:resinProductId':
    'figures that fit one another, under the version of the moment',
  'GET /api/v1/quality/turnaround.svg': 'needs a run of deliveries',
  'POST /api/v1/calendar': TO_WRITE_WHOLE,
  'POST /api/v1/recall/calls': 'needs a wearer of what is recalled',
};

let clinic: TestClinic;
/** Routes by which the start was reached. */
const onTheWay = new Set<string>();
let attack: Attack;
let document: Described;
let sender: Sender | undefined;

beforeAll(async () => {
  clinic = await testClinic({ numberPrefix: 'OUR' });
  const theirs = await clinic.another('THR');
  const answered = await clinic.stranger.get('/api/openapi.json');
  document = described(answered.body as OpenApi);
  const sides: Side[] = [];
  for (const [each, prefix, mark] of [
    [clinic, 'OUR', 'qzfuza'],
    [theirs, 'THR', 'qzfuzb'],
  ] as const) {
    const pool = new Pool();
    const examples = new Map<string, Example[]>();
    const half = await sideOf(each, pool, mark);
    const keep: Keep = (method, example, answer) => {
      const route = routeAt(method, example.url);
      pool.learn(answer, undefined);
      if (route === undefined) return;
      onTheWay.add(route);
      examples.set(route, [...(examples.get(route) ?? []), example]);
    };
    await livedIn(each, prefix, keep, { isFull: prefix === 'OUR' });
    const { staff } = await sideOf(each, pool, mark);
    sides.push({ ...half, staff, examples, secrets: await secretsOf(each, prefix) });
  }
  sender = new Sender(clinic.address);
  const named = await clinic.store.raw<{ name: string }>(
    `select distinct column_name as name from information_schema.columns
     where table_schema = 'public' and column_name like '%\\_%'`,
  );
  attack = new Attack({
    document,
    sides: sides as [Side, Side],
    sender,
    columns: new Set(named.map(({ name }) => name)),
    seed: SEED,
    passMinute: () => {
      clinic.clock.pass(1);
    },
  });
}, HOUR_MS);
afterAll(async () => {
  sender?.close();
  await clinic.close();
});

function routeAt(method: string, url: string): string | undefined {
  const [asked = ''] = url.split('?');
  const steps = asked.split('/');
  const fits = ({ url: pattern }: { url: string }): boolean => {
    const parts = pattern.split('/');
    return (
      parts.length === steps.length &&
      parts.every((part, i) => part.startsWith(':') || part === steps[i])
    );
  };
  const those = document.routes.filter((route) => route.method === method && fits(route));
  // Of `/orders/:orderId` and `/orders/free` the one that says more.
  return those.sort((a, b) => a.url.split(':').length - b.url.split(':').length)[0]?.permission;
}

describe(`${String(REQUESTS)} requests, seed ${String(SEED)}`, () => {
  test(
    'are each answered as the document says, with nothing of the insides or of another clinic',
    async () => {
      const began = Date.now();
      await attack.run(REQUESTS);
      report(Date.now() - began);
      expect(attack.faults).toEqual([]);
      expect(attack.sent).toBeGreaterThanOrEqual(REQUESTS);
    },
    6 * HOUR_MS,
  );

  test('leave a record that is whole, and two chains that verify', async () => {
    expect(await breaches(clinic.store.raw)).toEqual([]);
  });

  test('leave a log without a secret, or a word of what was sent', () => {
    const log = clinic.logLines.join('');
    expect(clinic.logLines.length).toBeGreaterThan(REQUESTS / 2);
    for (const secret of [PASSWORD, MARK.slice(0, 5), 'Inventum', 'eyJhbGciOi', '$argon2']) {
      expect(log.includes(secret), `the log holds "${secret}"`).toBe(false);
    }
  });

  test('reached every route: each was accepted, on the way to the start or in the attack, and refused', () => {
    const never = document.routes
      .filter((route) => attack.acceptedOf(route) === 0 && !onTheWay.has(route.permission))
      .map(({ permission }) => permission)
      .filter((permission) => MAY_STAY_OUT[permission] === undefined);
    expect(never).toEqual([]);
    const unneeded = Object.keys(MAY_STAY_OUT).filter((permission) => {
      const route = document.routes.find((each) => each.permission === permission);
      return route === undefined || onTheWay.has(permission);
    });
    expect(unneeded).toEqual([]);
    const neverRefused = document.routes
      .filter(({ who }) => who !== PUBLIC)
      .filter(({ permission }) => {
        const of = attack.counts.get(permission);
        return ![...(of?.values() ?? [])].some(({ refused }) => refused > 0);
      });
    expect(neverRefused.map(({ permission }) => permission)).toEqual([]);
  });
});

/** Prints what was reached, and leaves the accepted requests behind: replayed in order by the same seed. */
function report(tookMs: number): void {
  const combos = document.routes.flatMap(({ permission }) =>
    [...(attack.counts.get(permission) ?? [])].flatMap(([knock, { accepted, refused }]) => [
      ...(accepted > 0 ? [`${knock} ${permission} accepted`] : []),
      ...(refused > 0 ? [`${knock} ${permission} refused`] : []),
    ]),
  );
  const mayCombos = document.routes.flatMap(({ permission, who }) =>
    who === PUBLIC
      ? []
      : who.map((role) => attack.counts.get(permission)?.get(role)?.accepted ?? 0),
  );
  const byStatus = [...attack.statuses]
    .sort(([a], [b]) => a - b)
    .map(([status, n]) => `${String(status)}: ${String(n)}`);
  const acceptedBy = [...attack.counts.values()]
    .flatMap((of) => [...of])
    .filter(([knock, { accepted }]) => isRole(knock) && accepted > 0);
  process.stdout.write(
    [
      `fuzz: seed ${String(SEED)}, ${String(attack.sent)} requests in ${(tookMs / 1000).toFixed(0)} s`,
      `fuzz: ${byStatus.join(', ')}; ${String(attack.codes.size)} codes of refusal`,
      `fuzz: ${String(combos.length)} of route × caller × outcome; ${String(mayCombos.filter((n) => n > 0).length)} of ${String(mayCombos.length)} rights used, ${String(acceptedBy.length)} accepted pairs`,
      '',
    ].join('\n'),
  );
  const folder = path.resolve('tests/output');
  fs.mkdirSync(folder, { recursive: true });
  fs.writeFileSync(
    path.join(folder, `fuzz-${String(SEED)}.txt`),
    `${attack.accepted.join('\n')}\n`,
  );
  fs.writeFileSync(
    path.join(folder, `fuzz-${String(SEED)}-faults.json`),
    JSON.stringify(attack.faults, null, 1),
  );
}
