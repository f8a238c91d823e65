/** The demo clinic: invented, repeatable, and within every rule that holds for a real one. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { backTestClinics } from '../../scripts/back-test.ts';
import { DEMO_SEED, loadDemo, type DemoLoaded } from '../../scripts/demo/load.ts';
import { RECALL_LOT } from '../../scripts/demo/found.ts';
import { CLINIC, DEMO_PASSWORD, SIGN_INS, STAFF } from '../../scripts/demo/names.ts';
import { planOrders } from '../../scripts/demo/plans.ts';
import { againstDemo, demoStateOf, UNFINISHED_NAME } from '../../scripts/demo/state.ts';
import { againstPassword } from '../../src/access/passwords.ts';
import { dayAt } from '../../src/domain/days.ts';
import { judgeWearable } from '../../src/domain/gate.ts';
import {
  DISPOSITIONS,
  FIT_NEXT_STEPS,
  HOLD_REASONS,
  ROLES,
  SIGNATURE_MEANINGS,
  SOCKET_STATES,
  STAGES,
} from '../../src/domain/words.ts';
import { listDue } from '../../src/features/afterDelivery/service.ts';
import { findBatches } from '../../src/features/batches/service.ts';
import { readBenchLoad } from '../../src/features/benchLoad/service.ts';
import { datesToWatch } from '../../src/features/dates/watch.ts';
import { readGate } from '../../src/features/delivery/service.ts';
import { findShopTools } from '../../src/features/shopTools/service.ts';
import { readStockOutlook } from '../../src/features/stock/service.ts';
import { readRecall } from '../../src/features/trace/recall.ts';
import { perform, type Act, type Caller } from '../../src/store/act.ts';
import { wearableFacts } from '../../src/store/socketFacts.ts';
import { loadSocket } from '../../src/store/sockets.ts';
import { testCipher } from '../support/columnKeys.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { breaches } from '../support/integrity.ts';

const NOW = new Date('2026-03-02T10:30:00Z');
const LOADING_MS = 300_000;

let db: TestDatabase;
let demo: DemoLoaded;
/** Taken before any test asks anything: who runs a recall is noted in the trail, too. */
let story: string[];

beforeAll(async () => {
  db = await testDatabase();
  demo = await loadDemo(db.store, { now: NOW });
  story = await storyOf(db);
}, LOADING_MS);
afterAll(() => db.close());

const as = <T>(who: Caller, work: (act: Act) => Promise<T>): Promise<T> =>
  perform(db.store, who, NOW, work);

/** Each value of one column that stands in a table, sorted. */
async function valuesOf(sql: string): Promise<string[]> {
  const rows = await db.store.raw<{ value: string }>(
    `select distinct value from (${sql}) v(value) where value is not null order by value`,
  );
  return rows.map(({ value }) => value);
}

async function count(sql: string): Promise<number> {
  const [row] = await db.store.raw<{ n: number }>(`select count(*)::int as n from (${sql}) q`);
  return row!.n;
}

/** The story without ids: what happened when, who did it, to which order, and all that was noted. */
async function storyOf({ store }: TestDatabase): Promise<string[]> {
  const rows = await store.raw<{ line: string }>(
    `select concat_ws(' | ', e.seq, e.at, p.printed_name, e.kind, o.number, e.data) as line
     from event e
     left join person p on p.clinic_id = e.clinic_id and p.id = e.person_id
     left join fabrication_order o on o.clinic_id = e.clinic_id and o.id = e.order_id
     order by e.seq`,
  );
  return rows.map(({ line }) =>
    line
      .replaceAll(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g, 'id')
      .replaceAll(/[0-9a-f]{64}/g, 'hash'),
  );
}

describe('the fittings book of the demo', () => {
  test('has weeks behind it and weeks before it, with everything that becomes of a fitting', async () => {
    expect(await valuesOf(`select state from appointment where state <> 'called_off'`)).toEqual([
      'booked',
      'came',
      'did_not_come',
      'moved',
    ]);
    const of = (when: string) => count(`select 1 from appointment where ${when}`);
    expect(await of(`state = 'came' and starts_at < '${NOW.toISOString()}'`)).toBeGreaterThan(10);
    expect(await of(`state = 'booked' and starts_at > '${NOW.toISOString()}'`)).toBeGreaterThan(10);
    expect(await of(`state = 'booked' and starts_at < '2026-02-27T07:00:00Z'`)).toBe(0);
  });
});

describe('what there is to look at', () => {
  test('91 patients and 121 orders, at every stage, held for every reason', async () => {
    expect(await count('select 1 from patient')).toBe(91);
    expect(await count('select 1 from fabrication_order')).toBe(121);
    expect(await valuesOf('select stage from fabrication_order')).toEqual([...STAGES].sort());
    expect(await valuesOf('select hold_reason from fabrication_order')).toEqual(
      [...HOLD_REASONS].sort(),
    );
    expect(await valuesOf('select state from socket')).toEqual([...SOCKET_STATES].sort());
  });

  test('two years up to the last working day, and nothing later', async () => {
    const [span] = await db.store.raw<{ first: Date; last: Date }>(
      `select min(at) as first, max(at) as last from event where kind <> 'clinic.changed'`,
    );
    expect(dayAt(span!.first, CLINIC.timeZone)).toBe('2024-03-04');
    expect(dayAt(span!.last, CLINIC.timeZone)).toBe('2026-02-27');
    expect(await count(`select 1 from event where at > '${NOW.toISOString()}'`)).toBe(0);
  });

  test('every way a fit is refused, every disposition, every signature of the work, remakes', async () => {
    expect(await valuesOf('select next_step from fitting')).toEqual([...FIT_NEXT_STEPS].sort());
    expect(await valuesOf('select disposition from finding')).toEqual([...DISPOSITIONS].sort());
    expect(await count('select 1 from finding where disposition is null')).toBeGreaterThan(2);
    // Nobody has asked for a correction or an erasure in the two years.
    const ofRights = ['correction_made', 'erasure_confirmed'];
    expect(await valuesOf('select meaning from signature')).toEqual(
      SIGNATURE_MEANINGS.filter((meaning) => !ofRights.includes(meaning)).sort(),
    );
    expect(
      await count(`select 1 from delivery group by order_id having count(*) > 1`),
    ).toBeGreaterThan(0);
  });

  test('layups as the rules propose, one written past their top mass, one that waits for its signature', async () => {
    expect(await valuesOf('select rule_row from layup')).toEqual([
      'Heavier',
      'Nearly everybody',
      'Very active',
    ]);
    expect(
      await count(
        `select 1 from layup where rule_row is null and why is not null and approved_at is not null
           and (basis->'patient'->>'bodyMassKg')::float8 > 125`,
      ),
    ).toBeGreaterThan(0);
    expect(
      await count('select 1 from layup where approved_at is null and superseded_at is null'),
    ).toBeGreaterThan(0);
    expect(await valuesOf('select kind from batch where fabric_id is not null')).toEqual([
      'fabric',
    ]);
  });

  test('the bench’s side roads: readings out of band, a lock that failed, a lock out for trimming', async () => {
    expect(await count('select 1 from torque_confirmation where not confirms')).toBeGreaterThan(1);
    expect(
      await count(
        `select 1 from lock_check f where not passes and exists (
           select 1 from lock_check l where l.socket_id = f.socket_id and l.passes and l.id > f.id)`,
      ),
    ).toBeGreaterThan(1);
    for (const reason of ['taken_out_for_trimming', 'put_back', 'replaced_in_service']) {
      expect(await count(`select 1 from move where reason = '${reason}'`), reason).toBeGreaterThan(
        0,
      );
    }
    expect(await valuesOf('select unit from torque_reading')).toEqual(['N.m', 'lbf.in']);
  });

  test('resin by its recipe: every laminated socket has its cups, one of them put right', async () => {
    const laminated = await count(
      `select 1 from operation where kind = 'laminate' and state = 'done'`,
    );
    expect(laminated).toBeGreaterThan(80);
    expect(await count('select distinct socket_id from resin_weighing')).toBe(laminated);
    expect(
      await count('select 1 from resin_weighing where puts_right_id is not null'),
    ).toBeGreaterThan(0);
    expect(await valuesOf('select pour::text from resin_weighing')).toContain('2');
    const { materials } = await as(demo.people.technician, readStockOutlook);
    const known = materials.filter(({ lastsDays }) => lastsDays !== null);
    expect(known.map(({ kind }) => kind).toSorted()).toEqual(['hardener', 'pigment', 'resin']);
  });

  test('re-checks that are due, a tool whose certificate ran out, batches expired and quarantined', async () => {
    const { items } = await as(demo.people.desk, (act) => listDue(act, 30));
    expect(new Set(items.map((item) => item.because))).toEqual(
      new Set(['first_recheck', 'service_interval']),
    );
    const tools = await as(demo.people.auditor, (act) =>
      findShopTools(act, { kind: 'torque_tool', limit: 100 }),
    );
    const today = dayAt(NOW, CLINIC.timeZone);
    const expired = tools.items.filter((tool) => tool.calibrationDueOn! <= today);
    expect(expired.map((tool) => tool.name)).toEqual(['Torque wrench 2']);
    const batches = await as(demo.people.auditor, (act) => findBatches(act, { limit: 100 }));
    expect(batches.items.some((batch) => batch.expired && batch.left > 0)).toBe(true);
    expect(batches.items.filter((batch) => batch.quarantined)).toHaveLength(1);
  });

  test('deliveries that wait, for every kind of reason, and one that may be signed', async () => {
    const orders = await db.store.raw<{ id: string }>(
      `select id from fabrication_order where stage = 'delivery'`,
    );
    const gates = [];
    for (const { id } of orders) {
      gates.push(await as(demo.people.prosthetist, (act) => readGate(act, id)));
    }
    expect(gates.some((gate) => gate.open)).toBe(true);
    const missing = new Set(gates.flatMap((gate) => gate.missing.map(({ code }) => code)));
    for (const code of [
      'joint-open',
      'hardware-missing',
      'lock-check-not-valid',
      'alignment-out-of-tolerance',
      'finding-open',
      'batch-not-good',
      'operation-not-done',
    ] as const) {
      expect(missing, code).toContain(code);
    }
  });

  test('promises with their chance, orders late and at risk, and benches with work', async () => {
    const offered = await db.store.raw<{ chance: number }>(
      `select offered_chance as chance from fabrication_order where offered_chance is not null`,
    );
    expect(offered.length).toBeGreaterThan(30);
    for (const { chance } of offered) expect(chance).toBeGreaterThanOrEqual(0.8);
    const watch = await as(demo.people.desk, (act) => datesToWatch(act, { limit: 200 }));
    expect(watch.late).toBeGreaterThan(0);
    expect(watch.atRisk).toBeGreaterThan(0);
    const load = await as(demo.people.technician, (act) => readBenchLoad(act, {}));
    expect(load.items.some(({ plannedMinutes }) => plannedMinutes > 0)).toBe(true);
    expect(load.leftOut.notPlanned).toEqual([]);
  });

  test('a history long enough to try the promises on: the chance promised lies within what was kept', async () => {
    const [ours] = await backTestClinics(db.store, { at: NOW, wantedChance: 0.8, seed: 1 });
    expect(ours!.kept.of).toBeGreaterThanOrEqual(60);
    expect(ours!.kept.from).toBeLessThanOrEqual(ours!.meanChance!);
    expect(ours!.kept.to).toBeGreaterThanOrEqual(ours!.meanChance!);
  });

  test('a lot to recall, its pieces in every kind of place and all accounted for', async () => {
    const recall = await as(demo.people.auditor, (act) => readRecall(act, { lot: RECALL_LOT }));
    if (recall.kind !== 'lot') throw new Error('not a lot of hardware');
    const { counts, received, accountedFor, reconciles } = recall;
    expect({ received, accountedFor, reconciles }).toEqual({
      received: 16,
      accountedFor: 16,
      reconciles: true,
    });
    expect(counts).toMatchObject({ bench: 1, quarantine: 1, scrap: 1 });
    expect(counts.worn).toBeGreaterThan(3);
    expect(counts.inWork).toBeGreaterThan(2);
    expect(counts.bins).toBeGreaterThan(0);
  });
});

describe('within the rules', () => {
  test('the ledger of custody, the chain of events and all the rest hold', async () => {
    expect(await breaches(db.store.raw)).toEqual([]);
  });

  test('what was delivered was complete, and is fit to be worn unless something is noted against it', async () => {
    const deliveries = await db.store.raw<{ socketId: string; state: string; gate: Gate }>(
      `select d.socket_id as "socketId", s.state, d.gate from delivery d
       join socket s on s.clinic_id = d.clinic_id and s.id = d.socket_id
       -- What a remake replaced is judged by the fit of its own time.
       where not exists (select 1 from delivery later
         where later.order_id = d.order_id and later.delivered_at > d.delivered_at)`,
    );
    expect(deliveries.length).toBeGreaterThan(50);
    for (const { socketId, gate } of deliveries) {
      expect(gate.joints.length).toBeGreaterThan(0);
      expect(gate.joints.every((joint) => joint.confirmed)).toBe(true);
      expect(gate.operations.every(({ state }) => ['done', 'left_out'].includes(state))).toBe(true);
      const reasons = await as(demo.people.auditor, async ({ tx, clinicId }) =>
        judgeWearable(await wearableFacts(tx, clinicId, await loadSocket(tx, clinicId, socketId))),
      );
      // A finding after delivery, and a body mass that grew, are what visits are for.
      const against = reasons.map(({ code }) => code);
      expect(['finding-open', 'mass-over-rating']).toEqual(expect.arrayContaining(against));
    }
  });
});

interface Gate {
  readonly joints: readonly { readonly confirmed: boolean }[];
  readonly operations: readonly { readonly state: string }[];
}

describe('plainly invented', () => {
  test('no address of a real domain stands anywhere in it', async () => {
    expect(await valuesOf(`select split_part(email, '@', 2) from person`)).toEqual([
      'kestrel-lane.example',
    ]);
    const elsewhere = await count(
      `select 1 from event where data::text ~ '@' and data::text !~ '@kestrel-lane[.]example'`,
    );
    expect(elsewhere).toBe(0);
    const phones = await db.store.raw<{ clinic: string; id: string; phone: string }>(
      'select clinic_id as clinic, id, phone from patient where phone is not null',
    );
    expect(phones.length).toBeGreaterThan(80);
    for (const { clinic, id, phone } of phones) {
      const cell = { table: 'patient', column: 'phone', clinicId: clinic, rowId: id };
      expect(testCipher.decryptFor(cell, phone)).toMatch(/^01632 960[0-9]{3}$/);
    }
  });

  test('somebody of every role signs in, with a password that the clinic’s own rule takes', () => {
    expect(new Set(SIGN_INS.map((key) => STAFF[key].role))).toEqual(new Set(ROLES));
    expect(againstPassword(DEMO_PASSWORD, '', [CLINIC.name])).toEqual([]);
  });
});

describe('told again', () => {
  test(
    'the same seed tells the same story',
    async () => {
      const again = await testDatabase();
      try {
        await loadDemo(again.store, { now: NOW });
        expect(await storyOf(again)).toEqual(story);
        expect(story.length).toBeGreaterThan(5_000);
      } finally {
        await again.close();
      }
    },
    LOADING_MS,
  );

  test('another seed tells another one', () => {
    expect(planOrders(DEMO_SEED, 520)).toEqual(planOrders(DEMO_SEED, 520));
    expect(planOrders(DEMO_SEED + 1, 520)).not.toEqual(planOrders(DEMO_SEED, 520));
  });

  test('a whole demo is known as such; one that was not finished, or a real record, is refused', async () => {
    expect(await demoStateOf(db.store)).toBe('complete');
    expect(againstDemo('complete', 'here')).toBeUndefined();
    const other = await testDatabase();
    const renamed = (name: string, prefix: string) =>
      other.store.raw(
        `insert into clinic (id, name, number_prefix, time_zone, paper, alignment_tolerance_deg,
           alignment_tolerance_mm, releaser_may_be_sole_worker, retention_years, first_recheck_days, created_at)
         values (gen_random_uuid(), $1, $2, 'UTC', 'A4', 1, 3, false, 7, 14, now())`,
        [name, prefix],
      );
    try {
      expect(await demoStateOf(other.store)).toBe('empty');
      await renamed('A clinic of its own', CLINIC.numberPrefix);
      expect(await demoStateOf(other.store)).toBe('other');
      await renamed(UNFINISHED_NAME, 'ZZ');
      expect(await demoStateOf(other.store)).toBe('unfinished');
    } finally {
      await other.close();
    }
    expect(againstDemo('other', 'This database')).toMatch(/npm run serve/);
    expect(againstDemo('unfinished', 'this database')).toMatch(/not complete/);
  });
});
