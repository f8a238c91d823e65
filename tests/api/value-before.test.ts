/**
 * R11: every change of a record's row stands in an event of the same transaction, with the
 * value before. Held by watching the rows themselves: what changes without being told,
 * fails here, whichever feature changed it.
 */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { JsonValue } from '../../src/domain/canonical.ts';
import { EVENT_KINDS } from '../../src/domain/eventKinds.ts';
import { tellEvent } from '../../src/domain/eventTelling.ts';
import { sealsOf, withValues } from '../../src/domain/seals.ts';
import { PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  deliveredLimb,
  makeSocket,
  ok,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import { watchRows, type ChangedRow, type WatchedEvent } from '../support/watchedRows.ts';

/** What is no statement about the trade: counters, derived columns, and what secures sign-ins. */
const OF_THE_MACHINE = new Set([
  'custody.*', // written from the moves alone, which say where from
  'event_head.*',
  'number_counter.*',
  'idempotency_key.*',
  'access_code.*',
  'session.*',
  'second_factor.*',
  'recovery_code.*',
  'bench_pin.*',
  'refresh_token.*',
  'person.password_hash',
  'person.failed_sign_ins',
  'person.locked_until',
  'patient.name_key',
  'patient.phone_digests',
  '*.version',
  // When the hold began is the time of its own event.
  'fabrication_order.held_at',
  // Ends the row; the event says what follows it.
  'role_grant.ended_at',
]);
const FIELD_OF: Readonly<Record<string, string>> = { 'shop_tool.out_of_service': 'outOfService' };

const ofTheMachine = (table: string, column: string): boolean =>
  [`${table}.*`, `*.${column}`, `${table}.${column}`].some((name) => OF_THE_MACHINE.has(name));
const fieldOf = (table: string, column: string): string =>
  FIELD_OF[`${table}.${column}`] ??
  column.replaceAll(/_([a-z])/g, (_, c: string) => c.toUpperCase());
const isInstant = (value: unknown): value is string =>
  typeof value === 'string' && /^\d{4}-\d\d-\d\dT/.test(value);
const isSame = (told: JsonValue, was: unknown): boolean =>
  isInstant(told) && isInstant(was)
    ? Date.parse(told) === Date.parse(was)
    : JSON.stringify(told) === JSON.stringify(was);

let clinic: TestClinic;
let shop: Shop;
let changes: ChangedRow[];
let events: WatchedEvent[];

beforeAll(async () => {
  clinic = await testClinic();
  const watched = await watchRows(clinic.store);
  shop = await stockedShop(clinic);
  await aBusyDay();
  changes = await watched.changes();
  events = await watched.events();
});
afterAll(() => clinic.close());

const patched = async (role: 'administrator' | 'front_desk', url: string, body: object) => {
  const { headers } = await clinic.as(role).get(url).expect(200);
  await ok(clinic.as(role).patch(url, body, headers['etag'] ?? ''));
};

/** Everything that can be changed is changed, some of it twice. */
async function aBusyDay(): Promise<void> {
  const admin = clinic.as('administrator');
  const desk = clinic.as('front_desk');
  const pros = clinic.as('prosthetist');
  const tech = clinic.as('technician');
  const limb = await deliveredLimb(shop);
  await patched('front_desk', `/api/v1/patients/${limb.patientId}`, {
    phone: '01 555',
    address: 'Lane 1',
  });
  await patched('front_desk', `/api/v1/patients/${limb.patientId}`, {
    phone: '01 556',
    address: null,
    givenName: 'Other',
    birthDate: '1950-01-02',
  });
  await ok(
    pros.post(`/api/v1/orders/${limb.orderId}/remake`, { why: 'Worn through.', newCast: true }),
  );

  const order = await openedOrder(shop);
  const url = `/api/v1/orders/${order.orderId}`;
  await patched('front_desk', url, { promisedOn: '2026-12-11', liner: 'gel', note: 'calls' });
  await patched('front_desk', url, {
    promisedOn: '2026-12-14',
    liner: null,
    note: 'calls twice',
    functionalLevel: 'K2',
    prosthetistId: clinic.people.prosthetist.id,
  });
  await ok(desk.post(`${url}/hold`, { holdReason: 'parts_awaited' }));
  await ok(desk.post(`${url}/resume`));
  await acceptedCast(shop, order.orderId);
  const first = await checkSocketOnTheLimb(shop, order.orderId);
  // A finding on an operation that waits stops it; reworked, it waits again.
  const socket = await makeSocket(shop, order.orderId, {
    kind: 'check',
    sheetThicknessMm: 12,
    replacesSocketId: first.socketId,
  });
  const { operations } = await ok<{ operations: { id: string }[] }>(
    tech.get(`/api/v1/sockets/${socket.id}`),
  );
  const { findingId } = await ok<{ findingId: string }>(
    tech.post(`/api/v1/sockets/${socket.id}/findings`, {
      kind: 'crack',
      note: 'At the brim.',
      operationId: operations[0]?.id,
    }),
  );
  await ok(
    tech.post(`/api/v1/findings/${findingId}/disposition`, {
      disposition: 'rework',
      why: 'Filled.',
    }),
  );
  await ok(desk.post(`${url}/hold`, { holdReason: 'patient_not_ready' }));
  await ok(desk.post(`${url}/cancel`, { why: 'Moved away.' }));

  await patched('administrator', '/api/v1/clinic', {
    currency: 'EUR',
    labourRatePerHourMinor: 4200,
    firstRecheckDays: 10,
  });
  await patched('administrator', `/api/v1/parts/${shop.parts.lock}`, {
    serviceIntervalDays: 200,
    name: 'Lock, renamed',
  });
  await patched('administrator', `/api/v1/batches/${shop.batches['resin'] ?? ''}`, {
    priceMinor: 900,
  });
  await patched('administrator', `/api/v1/batches/${shop.batches['resin'] ?? ''}`, {
    priceMinor: 950,
  });
  await ok(
    admin.post(`/api/v1/batches/${shop.batches['resin'] ?? ''}/quarantine`, { reason: 'Cloudy.' }),
  );
  await patched('administrator', `/api/v1/resin-products/${shop.resinProduct}`, { active: false });
  const itemUrl = `/api/v1/items/${limb.hardware.lock}`;
  await ok(admin.patch(itemUrl, { priceMinor: 3900 }, '"1"'));
  await ok(admin.patch(itemUrl, { priceMinor: 4000 }, '"2"'));
  const fabrics = await ok<{ items: { id: string; name: string }[] }>(tech.get('/api/v1/fabrics'));
  await patched('administrator', `/api/v1/fabrics/${fabrics.items[0]?.id ?? ''}`, { widthMm: 999 });
  const benches = await ok<{ items: { id: string; version: number }[] }>(
    tech.get('/api/v1/benches'),
  );
  await ok(
    admin.patch(
      `/api/v1/benches/${benches.items[0]?.id ?? ''}`,
      { people: 3 },
      `"${benches.items[0]?.version ?? 0}"`,
    ),
  );
  await ok(tech.post(`/api/v1/shop-tools/${shop.wrench}/out-of-service`, { why: 'Dropped.' }));
  // The last that the technician does with the token of before.
  const person = `/api/v1/people/${clinic.people.technician.id}`;
  await patched('administrator', person, {
    printedName: 'Tamás Renamed',
    roles: ['technician', 'auditor'],
    ...PASSWORD_AGAIN,
  });
  await ok(admin.post(`/api/v1/shop-tools/${shop.wrench}/back-in-service`, { why: 'Checked.' }));
}

test('each value that was replaced stands in an event of its own transaction', () => {
  const told = new Map<string, { field: string; before: JsonValue; after: JsonValue }[]>();
  for (const { tx, kind, data, sealed } of events) {
    const values = new Map(
      [...sealsOf(data).keys()].map((path) => [path, sealed?.[path]?.value ?? null]),
    );
    const opened = withValues(data, values);
    told.set(tx, [...(told.get(tx) ?? []), ...tellEvent(kind, opened).changes]);
  }
  const untold: string[] = [];
  const seen = new Set<string>();
  for (const { tx, table, before, after } of changes) {
    for (const [column, was] of Object.entries(before)) {
      if (JSON.stringify(was) === JSON.stringify(after[column])) continue;
      if (ofTheMachine(table, column)) continue;
      const field = fieldOf(table, column);
      const tells = told.get(tx);
      if (was === null) {
        if (tells === undefined && !events.some((event) => event.tx === tx)) {
          untold.push(`${table}.${column}: no event at all`);
        }
        continue;
      }
      seen.add(`${table}.${column}`);
      const said = tells?.some((change) => change.field === field && isSame(change.before, was));
      if (said !== true)
        untold.push(
          `${table}.${column}: ${JSON.stringify(was)} → ${JSON.stringify(after[column])}`,
        );
    }
  }
  expect([...new Set(untold)]).toEqual([]);
  // The day was busy enough for the check to mean something.
  expect([...seen].sort()).toEqual(
    expect.arrayContaining([
      'batch.price_minor',
      'bench.people',
      'clinic.first_recheck_days',
      'fabric.width_mm',
      'fabrication_order.hold_reason',
      'fabrication_order.liner',
      'fabrication_order.promised_on',
      'fabrication_order.stage',
      'item.price_minor',
      'limb_cast.state',
      'operation.state',
      'part.name',
      'patient.birth_date',
      'patient.phone',
      'person.printed_name',
      'shop_tool.out_of_service',
      'socket.state',
    ]),
  );
});

test('every event is of a kind that has words', () => {
  const known: readonly string[] = EVENT_KINDS;
  expect(
    [...new Set(events.map(({ kind }) => kind))].filter((kind) => !known.includes(kind)),
  ).toEqual([]);
});
