/**
 * Every route by every role, with everything that fits and much that does not: the service
 * answers as it is documented, shows nothing of its insides or of another clinic, and its
 * record stays whole. `npm run fuzz -- --requests 500000 --seed 7` for a longer attack.
 */
import fs from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PUBLIC } from '../../src/access/permissions.ts';
import { ROLES } from '../../src/domain/words.ts';
import { PASSWORD } from '../support/api.ts';
import { breaches } from '../support/integrity.ts';
import type { Attack } from './support/attack.ts';
import { lets, SHORT, stands, STRANGERS, type Knock } from './support/callers.ts';
import { MARK } from './support/hostile.ts';
import { twoClinics, type Start } from './support/start.ts';

const REQUESTS = Number(process.env['CASTBOOK_FUZZ_REQUESTS'] ?? 20_000);
const SEED = Number(process.env['CASTBOOK_FUZZ_SEED'] ?? 20_260_302);
const HOUR_MS = 3_600_000;
/** So many requests come by every route often enough that each must have been accepted. */
const ENOUGH = 20_000;

/** Routes that no attack is accepted by, and why; each is done in tests/api. */
const MAY_STAY_OUT: Readonly<Record<string, string>> = {};

/** What is answered under a key and leaves no event, for nothing of the record has changed yet. */
const WITHOUT_EVENT: readonly string[] = [
  'POST /api/v1/me/openid/link/begin',
  'POST /api/v1/me/openid/sign/begin',
  'POST /api/v1/openid-provider/trial',
  'POST /api/v1/me/second-factor',
  // Where there was nothing to end or to take off, and of a label that is known already.
  'POST /api/v1/me/sessions/end-others',
  'POST /api/v1/people/:personId/sessions/end-all',
  'POST /api/v1/me/bench-pin/removal',
  'POST /api/v1/items/scan',
];

const CALLERS: readonly Knock[] = [...ROLES, ...SHORT, ...STRANGERS];

let start: Start;
let attack: Attack;
beforeAll(async () => {
  start = await twoClinics({ isFull: true });
  attack = start.attackBy(SEED);
}, HOUR_MS);
afterAll(() => start.close());

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
    const found = await breaches(start.clinic.store.raw);
    // Which event belongs to which answer is known of the bench's acts alone; here below whether there is one.
    expect(found.filter((breach) => !breach.startsWith('R13'))).toEqual([]);
  });

  test('left an event for each answer that is kept', async () => {
    const silent = await start.clinic.store.raw<{ person: string; key: string }>(
      `select person_id as person, key from idempotency_key k where not exists (
         select 1 from event e where e.clinic_id = k.clinic_id and e.person_id = k.person_id and e.at = k.created_at)`,
    );
    const routes = silent.flatMap(
      ({ person, key }) => attack.doneUnder.get(`${person} ${key}`) ?? [],
    );
    expect([...new Set(routes)].filter((each) => !WITHOUT_EVENT.includes(each))).toEqual([]);
    if (REQUESTS < ENOUGH) return;
    expect(WITHOUT_EVENT.filter((each) => !routes.includes(each))).toEqual([]);
  });

  test('leave a log without a secret, or a word of what was sent', () => {
    const log = start.clinic.logLines.join('');
    expect(start.clinic.logLines.length).toBeGreaterThan(REQUESTS / 2);
    for (const secret of [PASSWORD, MARK.slice(0, 5), 'Inventum', 'eyJhbGciOi', '$argon2']) {
      expect(log.includes(secret), `the log holds "${secret}"`).toBe(false);
    }
  });

  test('lost nobody: every sign-in that was ended in between stood again', () => {
    expect(start.sides.map(({ staff }) => [...staff.lost])).toEqual([[], []]);
  });

  test('were accepted by every route, but for those that are named with their reason', () => {
    const { routes } = start.document;
    const accepted = routes.filter((route) => attack.acceptedOf(route) > 0);
    const names = accepted.map(({ permission }) => permission);
    const known = routes.map(({ permission }) => permission);
    const unneeded = Object.keys(MAY_STAY_OUT).filter(
      (permission) => names.includes(permission) || !known.includes(permission),
    );
    expect(unneeded).toEqual([]);
    if (REQUESTS < ENOUGH) return;
    const never = known.filter(
      (permission) => !names.includes(permission) && MAY_STAY_OUT[permission] === undefined,
    );
    expect(never).toEqual([]);
  });

  test('were refused by every route that is not for everybody', () => {
    if (REQUESTS < ENOUGH) return;
    const never = start.document.routes
      .filter(({ who }) => who !== PUBLIC)
      .filter(({ permission }) => {
        const of = attack.counts.get(permission);
        return ![...(of?.values() ?? [])].some(({ refused }) => refused > 0);
      });
    expect(never.map(({ permission }) => permission)).toEqual([]);
  });
});

/** Prints what was reached, and leaves the accepted requests behind: replayed in order by the same seed. */
function report(tookMs: number): void {
  const { routes } = start.document;
  const count = (permission: string, knock: Knock) => attack.counts.get(permission)?.get(knock);
  const asked = routes.flatMap(({ permission }) =>
    CALLERS.map((knock) => count(permission, knock)).filter((each) => each !== undefined),
  );
  const rights = routes.flatMap(({ permission, who }) =>
    CALLERS.filter((knock) => stands(knock) && lets(who, permission, knock)).map(
      (knock) => count(permission, knock)?.accepted ?? 0,
    ),
  );
  const byStatus = [...attack.statuses]
    .sort(([a], [b]) => a - b)
    .map(([status, n]) => `${String(status)}: ${String(n)}`);
  process.stdout.write(
    [
      `fuzz: seed ${String(SEED)}, ${String(attack.sent)} requests in ${(tookMs / 1000).toFixed(0)} s, ${((attack.sent * 1000) / tookMs).toFixed(0)} a second`,
      `fuzz: ${byStatus.join(', ')}; ${String(attack.codes.size)} codes of refusal`,
      `fuzz: ${String(asked.length)} of ${String(routes.length * CALLERS.length)} pairs of route and caller asked; ${String(rights.filter((n) => n > 0).length)} of ${String(rights.length)} rights used; ${String(routes.filter((route) => attack.acceptedOf(route) > 0).length)} of ${String(routes.length)} routes accepted`,
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
