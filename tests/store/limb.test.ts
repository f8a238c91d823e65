/** What the database itself holds to of a limb's measures (C1): broken by plain SQL as the application's role. */
import { afterAll, beforeAll, describe, test } from 'vitest';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, expectRefused, insertInto, type Values } from '../support/plainSql.ts';
import { ClinicRows, NOW, type Row } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let order: Row;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
  order = await clinic.order();
});
afterAll(() => db.close());

const insert = (table: string, values: Values): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (app) => insertInto(app, table, clinic.withKeys(table, values)));
const set = (of: Row, over: Values = {}): Values => ({
  order_id: of.id,
  occasion: 'fitting',
  taken_on: '2026-03-02',
  taken_by_id: clinic.prosthetistId,
  limb_length_mm: 140,
  recorded_at: NOW,
  ...over,
});
const decision = (first: Row, second: Row): Values => ({
  order_id: order.id,
  first_set_id: first.id,
  second_set_id: second.id,
  difference_ml: -90,
  percent: -6.2,
  ply: 5,
  limit_percent: 5,
  decision: 'socks',
  decided_at: NOW,
  decided_by_id: clinic.prosthetistId,
});
const refused = (table: string, values: Values, refusal: { state: string; code?: string }) =>
  expectRefused(db.store, () => insert(table, values), refusal);

describe('a set of measures', () => {
  test('names a socket of its own order', async () => {
    const socket = await clinic.socket('check');
    await refused('measure_set', set(order, { socket_id: socket.id }), {
      state: 'RC101',
      code: 'socket-of-another-order',
    });
    const [own] = await db.store.raw<Row>('select * from fabrication_order where id = $1', [
      socket.order_id,
    ]);
    await insert('measure_set', set(own ?? order, { socket_id: socket.id }));
  });

  test('is a cast’s where it has a cast, and no other', async () => {
    const cast = await clinic.cast(order.id);
    await refused('measure_set', set(order, { cast_id: cast.id }), { state: '23514' });
    await refused('measure_set', set(order, { occasion: 'cast' }), { state: '23514' });
    await insert('measure_set', set(order, { occasion: 'cast', cast_id: cast.id }));
  });

  test('has a cap no deeper than any limb’s', async () => {
    await refused('measure_set', set(order, { cap_depth_mm: 201 }), { state: '23514' });
  });
});

describe('a decision on a limb’s volume', () => {
  test('is on two sets of one limb, once', async () => {
    const [first, second] = [
      await clinic.insert('measure_set', set(order)),
      await clinic.insert('measure_set', set(order)),
    ];
    await refused('volume_decision', decision(first, first), { state: '23514' });
    for (const of of [
      await clinic.order(),
      await clinic.order({ patient_id: order['patient_id'], side: 'right' }),
      await clinic.order({ patient_id: order['patient_id'], level: 'trans_femoral' }),
    ]) {
      const other = await clinic.insert('measure_set', set(of));
      await refused('volume_decision', decision(first, other), {
        state: 'RC102',
        code: 'measure-sets-of-two-limbs',
      });
    }
    await insert('volume_decision', decision(first, second));
    await refused('volume_decision', decision(first, second), { state: '23505' });
  });
});

describe('the range of a part', () => {
  test('is stated by pyramids and adapters only', async () => {
    const part = (kind: string): Values => ({
      kind,
      name: 'Invented part',
      catalogue_number: `INV-${kind}`,
      single_use: false,
      rated_body_mass_kg: 125,
      range_deg: 10,
      created_at: NOW,
    });
    await refused('part', part('lock_plate'), { state: '23514' });
    await insert('part', part('pyramid'));
    await insert('part', part('four_hole_adapter'));
  });
});
