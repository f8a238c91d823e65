/** The benches of the shop, and the routes that name them (C5). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { STARTING_BENCHES } from '../../src/domain/benchLoad.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { orderAtCheckFitting } from '../support/orders.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

interface Bench {
  id: string;
  name: string;
  people: number;
  active: boolean;
  version: number;
}
const admin = () => clinic.as('administrator');
const benches = async (): Promise<Bench[]> =>
  (await clinic.as('technician').get('/api/v1/benches').expect(200)).body.items;
const benchNamed = async (name: string) => (await benches()).find((each) => each.name === name)!;
const change = (bench: Bench, body: object) =>
  admin().patch(`/api/v1/benches/${bench.id}`, body, `"${bench.version}"`);

describe('benches', () => {
  test('a new clinic starts with the usual five', async () => {
    expect((await benches()).map(({ name, people, active }) => ({ name, people, active }))).toEqual(
      STARTING_BENCHES.map((bench) => ({ ...bench, active: true })),
    );
  });

  test('an administrator enters one, mans it otherwise and gives it up', async () => {
    const { body } = await admin()
      .post('/api/v1/benches', { name: 'Sewing table', people: 1 })
      .expect(201);
    expect(body).toMatchObject({ name: 'Sewing table', people: 1, active: true, version: 1 });
    const manned = await change(body, { people: 3 }).expect(200);
    expect(manned.body).toEqual({ ...body, people: 3, version: 2 });
    const given = await change(manned.body, { active: false, name: 'Old sewing table' }).expect(
      200,
    );
    expect(given.body).toMatchObject({ active: false, name: 'Old sewing table', version: 3 });
    const stale = await change(body, { people: 2 });
    expect([stale.status, stale.body.code]).toEqual([412, 'version-is-stale']);
    const nothing = await change(given.body, { active: false }).expect(200);
    expect(nothing.body.version).toBe(3);
  });

  test('two benches of one name, and a bench without people, are refused', async () => {
    const twice = await admin().post('/api/v1/benches', { name: 'Oven', people: 1 });
    expect([twice.status, twice.body.code]).toEqual([409, 'bench-name-taken']);
    const renamed = await change(await benchNamed('Grinding'), { name: 'Oven' });
    expect([renamed.status, renamed.body.code]).toEqual([409, 'bench-name-taken']);
    // One name to who reads it: in capitals, in wide letters.
    for (const name of ['OVEN', 'Ｏven']) {
      const { body } = await admin().post('/api/v1/benches', { name, people: 1 });
      expect(body.code, name).toBe('bench-name-taken');
    }
    const recased = await change(await benchNamed('Grinding'), { name: 'GRINDING' }).expect(200);
    await change(recased.body, { name: 'Grinding' }).expect(200);
    for (const people of [0, 51]) {
      const { status, body } = await admin().post('/api/v1/benches', { name: 'Attic', people });
      expect([status, body.code]).toEqual([400, 'value-out-of-range']);
      const manned = await change(await benchNamed('Oven'), { people });
      expect(manned.body.code).toBe('value-out-of-range');
    }
    const half = await admin().post('/api/v1/benches', { name: 'Attic', people: 1.5 });
    expect(half.body.code).toBe('request-invalid');
    expect(await benchNamed('Attic')).toBeUndefined();
  });

  test('only an administrator does', async () => {
    await clinic.as('technician').post('/api/v1/benches', { name: 'Mine', people: 1 }).expect(403);
  });
});

describe('routes with their benches', () => {
  interface Operation {
    kind: string;
    title: string;
    bench: string | null;
    plannedMinutes: number | null;
  }
  interface Route {
    name: string;
    socketKind: string;
    suspension: string;
    version: number;
    operations: (Operation & { seq?: number })[];
  }
  const inForce = async (): Promise<Route> => {
    const { body } = await admin().get('/api/v1/routes').expect(200);
    return (body.items as Route[]).find(
      (each) => each.socketKind === 'check' && each.suspension === 'pin_lock',
    )!;
  };
  const route = async () => {
    const { name, socketKind, suspension, version, operations } = await inForce();
    return {
      basedOnVersion: version,
      name,
      socketKind,
      suspension,
      operations: operations.map(({ seq: _seq, ...operation }) => operation),
    };
  };
  const write = async (over: (operation: Operation, at: number) => object) => {
    const { operations, ...rest } = await route();
    return admin().post('/api/v1/routes', {
      ...rest,
      operations: operations.map((operation, at) => ({ ...operation, ...over(operation, at) })),
    });
  };
  test('name a bench in whatever case it is typed', async () => {
    const { bench } = (await route()).operations.find((each) => each.bench !== null)!;
    const { status, body } = await write((operation) =>
      operation.bench === bench ? { bench: bench!.toUpperCase() } : {},
    );
    expect(status).toBe(201);
    expect(pick(body.operations as Operation[], 'bench')).toContain(bench);
  });

  const operationsOf = async (orderId: string): Promise<Operation[]> => {
    const { body } = await clinic
      .as('technician')
      .post(`/api/v1/orders/${orderId}/sockets`, { kind: 'check', sheetThicknessMm: 12 })
      .expect(201);
    return body.operations;
  };

  test('a starting route says where each operation is done and how long it takes', async () => {
    const { operations } = await route();
    const places = Object.fromEntries(
      operations.map(({ kind, bench, plannedMinutes }) => [kind, [bench, plannedMinutes]]),
    );
    expect(places).toMatchObject({
      prepare_model: ['Plaster room', 90],
      thermoform: ['Oven', 45],
      torque_joints: ['Assembly', 20],
    });
  });

  test('the socket’s operations take bench and minutes with them, and keep them', async () => {
    const first = await orderAtCheckFitting(clinic);
    const before = await operationsOf(first.id);
    expect(before[1]).toMatchObject({ kind: 'thermoform', bench: 'Oven', plannedMinutes: 45 });
    const { body } = await write(({ kind }) =>
      kind === 'thermoform' ? { bench: 'Plaster room', plannedMinutes: 60 } : {},
    );
    expect(body.operations[1]).toMatchObject({ bench: 'Plaster room', plannedMinutes: 60 });
    // The route says which sockets keep the version of before.
    const { body: every } = await admin().get('/api/v1/routes?everyVersion=true').expect(200);
    const kept = (every.items as { id: string; socketsUnderWay: { orderId: string }[] }[]).filter(
      ({ socketsUnderWay }) => socketsUnderWay.some(({ orderId }) => orderId === first.id),
    );
    expect(pick(kept, 'id')).not.toContain(body.id);
    expect(kept).toHaveLength(1);
    expect(body.socketsUnderWay).toEqual([]);
    const after = await operationsOf((await orderAtCheckFitting(clinic)).id);
    expect(after[1]).toMatchObject({ bench: 'Plaster room', plannedMinutes: 60 });
    // A bench that is called otherwise is still the same bench.
    const oven = await benchNamed('Oven');
    const { body: renamed } = await change(oven, { name: 'Hot room' }).expect(200);
    const [socket] = (await clinic.as('technician').get(`/api/v1/orders/${first.id}`)).body.sockets;
    const { body: read } = await clinic.as('technician').get(`/api/v1/sockets/${socket.id}`);
    expect(read.operations[1]).toMatchObject({ bench: 'Hot room', plannedMinutes: 45 });
    await change(renamed, { name: 'Oven' }).expect(200);
  });

  test('what is left out is not planned', async () => {
    const { operations, ...rest } = await route();
    const { body } = await admin()
      .post('/api/v1/routes', {
        ...rest,
        operations: operations.map(({ bench: _bench, plannedMinutes: _minutes, ...kept }) => kept),
      })
      .expect(201);
    expect(new Set(pick(body.operations, 'bench'))).toEqual(new Set([null]));
    expect(new Set(pick(body.operations, 'plannedMinutes'))).toEqual(new Set([null]));
  });

  test('a bench that is unknown or given up, and minutes that nobody plans, are refused', async () => {
    const attic = await admin().post('/api/v1/benches', { name: 'Annexe', people: 1 }).expect(201);
    await change(attic.body, { active: false }).expect(200);
    const { version } = await inForce();
    const { status, body } = await write((_operation, at) =>
      at === 0
        ? { bench: 'Nowhere' }
        : at === 1
          ? { bench: 'Annexe' }
          : { bench: null, plannedMinutes: at === 2 ? 0 : 5 },
    );
    expect(status).toBe(400);
    expect(body.errors).toMatchObject([
      { code: 'value-out-of-range', pointer: '/operations/2/plannedMinutes' },
      { code: 'route-bench-unknown', pointer: '/operations/0/bench' },
      { code: 'route-bench-unknown', pointer: '/operations/1/bench' },
    ]);
    expect((await inForce()).version).toBe(version);
  });
});
