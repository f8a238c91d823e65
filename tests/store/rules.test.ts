/**
 * The rules that stand in the database: each is broken by plain SQL as the application's own
 * role, is refused with its code, and leaves every row of every clinic as it was.
 */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { oneOfEach } from '../support/oneOfEach.ts';
import {
  asApp,
  everyRow,
  expectRefused,
  insertInto,
  type Refusal,
  type Values,
} from '../support/plainSql.ts';
import { ClinicRows, NOW, type Place, type SocketRow, type Thing } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
/** A clinic that nobody touches: it must look the same at the end. */
let bystander: ClinicRows;
let bystandersRows: string[];
let bench: Place;

beforeAll(async () => {
  db = await testDatabase();
  bystander = await ClinicRows.found(db.store, 'BY');
  await oneOfEach(bystander);
  bystandersRows = await rowsOf(bystander);
  clinic = await ClinicRows.found(db.store, 'KL');
  bench = await clinic.place('bench');
});

afterAll(async () => {
  try {
    expect(await rowsOf(bystander)).toEqual(bystandersRows);
  } finally {
    await db.close();
  }
});

async function rowsOf({ clinicId }: ClinicRows): Promise<string[]> {
  const all = Object.values(await everyRow(db.store)).flat();
  return all.filter((row) => row.includes(clinicId));
}

const run = (sql: string, params: readonly unknown[] = []): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (app) => app.query(sql, params));
const insert = (table: string, values: Values): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (app) => insertInto(app, table, values));
const move = (thing: Thing, from: Place | null, to: Place, over: Values = {}): Promise<unknown> =>
  insert('move', clinic.moveOf(thing.as, from, to, over));
const refused = (attempt: () => Promise<unknown>, refusal: Refusal): Promise<void> =>
  expectRefused(db.store, attempt, refusal);
const setState = (socket: SocketRow, state: string): Promise<unknown> =>
  run('update socket set state = $2 where id = $1', [socket.id, state]);
async function placeOf(thing: Thing): Promise<unknown> {
  const rows = await db.store.raw<{ place_id: string }>(
    'select place_id from custody where thing_id = $1',
    [thing.id],
  );
  return rows.map(({ place_id }) => place_id);
}

const NO_PRIVILEGE: Refusal = { state: '42501' };

describe('one place at one time (R1)', () => {
  test('custody follows the moves and is written by nobody', async () => {
    const lock = await clinic.piece('lock');
    await move(lock, lock.at, bench);
    expect(await placeOf(lock)).toEqual([bench.id]);
    for (const attempt of [
      ['update custody set place_id = $1 where thing_id = $2', [lock.at.id, lock.id]],
      ['delete from custody where $1::text is not null and thing_id = $2', [lock.at.id, lock.id]],
      [
        `insert into custody (clinic_id, thing_id, item_id, place_id, last_move_id, seq)
         select clinic_id, gen_random_uuid(), item_id, $1, last_move_id, 9 from custody where thing_id = $2`,
        [lock.at.id, lock.id],
      ],
    ] as const) {
      const [sql, params] = attempt;
      await refused(() => run(sql, params), NO_PRIVILEGE);
    }
  });

  test('a position that holds a lock takes no second one, and says what it holds', async () => {
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    const first = await clinic.piece('lock');
    const second = await clinic.piece('lock');
    await move(first, first.at, position);
    await refused(() => move(second, second.at, position), {
      state: 'R0102',
      code: 'position-is-occupied',
      facts: { place: position.name, holds: first.label },
    });
    const dummies = await clinic.position(await clinic.socket('definitive'), 'dummy');
    const dummy = await clinic.tool('fabrication_dummy');
    const another = await clinic.tool('fabrication_dummy');
    await move(dummy, dummy.at, dummies);
    await refused(() => move(another, another.at, dummies), {
      state: 'R0102',
      code: 'position-is-occupied',
      facts: { place: dummies.name, holds: dummy.label },
    });
  });

  test('what nobody received cannot be moved', async () => {
    const ghost = randomUUID();
    await refused(
      () =>
        insert('move', clinic.moveOf({ item_id: ghost }, bench, bench, { from_place_id: null })),
      { state: 'R0203', code: 'thing-unknown', facts: { thing: ghost } },
    );
  });

  test('a move is of one thing, to another place', async () => {
    const lock = await clinic.piece('lock');
    const dummy = await clinic.tool('fabrication_dummy');
    await refused(() => move(lock, lock.at, bench, dummy.as), { state: '23514' });
    await refused(() => move(lock, lock.at, lock.at), { state: '23514' });
  });

  test('a piece has a serial or a lot, and a part that carries the wearer has a rating', async () => {
    const part = await clinic.part('lock');
    await refused(
      () =>
        insert('item', {
          ...clinic.withKeys('item', {}),
          part_id: part.id,
          received_at: NOW,
          received_by_id: clinic.technicianId,
        }),
      { state: '23514' },
    );
    await refused(() => run('update part set rated_body_mass_kg = null where id = $1', [part.id]), {
      state: '23514',
    });
  });
});

describe('from where it is, and whereto (R2, R3)', () => {
  test('a move from where the lock is not is told where it went and who took it there', async () => {
    const lock = await clinic.piece('lock');
    await move(lock, lock.at, bench);
    const facts = {
      item: lock.label,
      place: bench.name,
      movedBy: 'Tamás Bench of KL',
      movedAt: '2026-03-02T09:00:00Z',
    };
    await refused(() => move(lock, lock.at, bench), {
      state: 'R0101',
      code: 'item-is-elsewhere',
      facts: { ...facts, expected: lock.at.name },
    });
    // Received a second time.
    await refused(() => move(lock, null, lock.at), {
      state: 'R0101',
      code: 'item-is-elsewhere',
      facts: { ...facts, expected: null },
    });
  });

  test('a piece in the catalogue that was never received is nowhere', async () => {
    const part = await clinic.part('pin');
    const pin = await clinic.insert('item', {
      part_id: part.id,
      lot: 'L-1',
      received_at: NOW,
      received_by_id: clinic.technicianId,
    });
    await refused(() => insert('move', clinic.moveOf({ item_id: pin.id }, bench, bench)), {
      state: 'R0101',
      code: 'item-is-elsewhere',
      facts: {
        item: `${String(part['name'])} lot L-1`,
        expected: bench.name,
        place: null,
        movedBy: null,
        movedAt: null,
      },
    });
  });

  test('single-use screws never see a second socket, but go back into their own', async () => {
    const screws = await clinic.piece('screw_set', { single_use: true });
    const own = await clinic.position(await clinic.socket('check'), 'distal_screws');
    const other = await clinic.position(await clinic.socket('check'), 'distal_screws');
    await move(screws, screws.at, own);
    await refused(() => move(screws, own, other), {
      state: 'R0202',
      code: 'single-use-again',
      facts: { item: screws.label },
    });
    await move(screws, own, bench, { reason: 'taken_out_for_trimming' });
    await refused(() => move(screws, bench, other), { state: 'R0202', code: 'single-use-again' });
    await move(screws, bench, own, { reason: 'put_back' });
    expect(await placeOf(screws)).toEqual([own.id]);
  });

  test('reusable hardware moves on to the next socket', async () => {
    const lock = await clinic.piece('lock');
    const first = await clinic.position(await clinic.socket('check'), 'lock');
    const second = await clinic.position(await clinic.definitiveAwaitingLock(), 'lock');
    await move(lock, lock.at, first);
    await move(lock, first, second, { reason: 'transferred' });
    expect(await placeOf(lock)).toEqual([second.id]);
  });

  test('scrap stays scrap, and quarantine gives up only to a bin or to scrap', async () => {
    const [scrap, quarantine] = [await clinic.place('scrap'), await clinic.place('quarantine')];
    const spring = await clinic.piece('spring');
    await move(spring, spring.at, quarantine);
    await refused(() => move(spring, quarantine, bench), {
      state: 'R0205',
      code: 'bin-only-from-here',
      facts: { item: spring.label, place: bench.name },
    });
    const position = await clinic.position(await clinic.socket('check'), 'lock_spring');
    await refused(() => move(spring, quarantine, position), { state: 'R0205' });
    await move(spring, quarantine, spring.at, { reason: 'released_from_quarantine' });
    await move(spring, spring.at, quarantine);
    await move(spring, quarantine, scrap, { reason: 'scrapped' });
    await refused(() => move(spring, scrap, spring.at), {
      state: 'R0204',
      code: 'scrap-stays-scrap',
      facts: { item: spring.label },
    });
  });

  test('no shop tool goes where a lock belongs, and no pin', async () => {
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    const refusal = (kind: string): Refusal => ({
      state: 'R0301',
      code: 'position-takes-another-kind',
      facts: { position: 'lock', takes: 'lock', kind },
    });
    for (const kind of ['fabrication_dummy', 'tooling_plate', 'torque_tool'] as const) {
      const tool = await clinic.tool(kind);
      await refused(() => move(tool, tool.at, position), refusal(kind));
    }
    const pin = await clinic.piece('pin');
    await refused(() => move(pin, pin.at, position), refusal('pin'));
  });
});

describe('hardware and the definitive socket (R6)', () => {
  const notReady = (socket: SocketRow): Refusal => ({
    state: 'R0601',
    code: 'definitive-not-ready',
    facts: { socket: socket.number },
  });

  test.each([
    ['before it is cured', {}],
    ['before its chamber is inspected', { cured_at: NOW }],
  ])('takes no lock %s', async (_when, over) => {
    const socket = await clinic.socket('definitive', over);
    const position = await clinic.position(socket, 'lock');
    const lock = await clinic.piece('lock');
    await refused(() => move(lock, lock.at, position), notReady(socket));
  });

  test('takes no lock while its dummy is in, and takes it when the dummy is out', async () => {
    const socket = await clinic.definitiveAwaitingLock();
    const [dummyPlace, lockPlace] = [
      await clinic.position(socket, 'dummy'),
      await clinic.position(socket, 'lock'),
    ];
    const [dummy, lock] = [await clinic.tool('fabrication_dummy'), await clinic.piece('lock')];
    await move(dummy, dummy.at, dummyPlace, { reason: 'mounted_for_lamination' });
    await refused(() => move(lock, lock.at, lockPlace), notReady(socket));
    await move(dummy, dummyPlace, dummy.at, { reason: 'pulled_after_cure' });
    await move(lock, lock.at, lockPlace);
    expect(await placeOf(lock)).toEqual([lockPlace.id]);
  });

  test('is not inspected before it is cured, and a check socket is neither', async () => {
    const definitive = await clinic.socket('definitive');
    const check = await clinic.socket('check');
    for (const { id } of [definitive, check]) {
      await refused(
        () => run('update socket set chamber_inspected_at = $2 where id = $1', [id, NOW]),
        { state: '23514' },
      );
    }
  });
});

describe('delivery (R8)', () => {
  test('no socket is delivered without a delivery signed for it', async () => {
    const socket = await clinic.definitiveAwaitingLock();
    const notSigned: Refusal = {
      state: 'R0801',
      code: 'delivery-not-signed',
      facts: { socket: socket.number },
    };
    await refused(() => setState(socket, 'delivered'), notSigned);
    await clinic.delivery(socket);
    await setState(socket, 'delivered');

    const another = await clinic.definitiveAwaitingLock();
    await clinic.delivery(another, { meaning: 'fit_accepted' });
    await refused(() => setState(another, 'delivered'), { state: 'R0801' });
    // Signed, but for something else.
    const third = await clinic.definitiveAwaitingLock();
    await clinic.delivery(third, { subject_id: socket.id });
    await refused(() => setState(third, 'delivered'), { state: 'R0801' });
  });

  test('no socket is written down as delivered from the start, and no check socket ever is', async () => {
    const { id: _id, ...socket } = await clinic.definitiveAwaitingLock();
    const fresh = { ...socket, id: randomUUID(), number: 'made up', running: 999 };
    await refused(() => insert('socket', { ...fresh, state: 'delivered' }), { state: 'R0801' });
    const check = await clinic.socket('check');
    await clinic.delivery(check);
    await refused(() => setState(check, 'delivered'), { state: '23514' });
  });

  test('not with an open finding, and with it closed', async () => {
    const socket = await clinic.definitiveAwaitingLock();
    await clinic.delivery(socket);
    const finding = await clinic.finding(socket);
    await refused(() => setState(socket, 'delivered'), {
      state: 'R0802',
      code: 'delivery-has-open-findings',
      facts: { socket: socket.number },
    });
    await run(
      `update finding set disposition = 'rework', disposed_at = $2, disposed_by_id = $3 where id = $1`,
      [finding.id, NOW, clinic.technicianId],
    );
    await setState(socket, 'delivered');
  });

  test('not with a shop tool in it, and with it out', async () => {
    const socket = await clinic.definitiveAwaitingLock();
    await clinic.delivery(socket);
    const plate = await clinic.tool('tooling_plate');
    const position = await clinic.position(socket, 'tooling_plate');
    await move(plate, plate.at, position);
    await refused(() => setState(socket, 'delivered'), {
      state: 'R0803',
      code: 'shop-tool-stays-here',
      facts: { socket: socket.number },
    });
    await move(plate, position, plate.at);
    await setState(socket, 'delivered');
  });

  test('what is delivered, retired or scrapped does not come back into work', async () => {
    const { socket, lock, position } = await clinic.worn();
    const closed: Refusal = { state: 'R1002', code: 'record-is-final', facts: { table: 'socket' } };
    for (const state of ['in_work', 'accepted', 'rejected', 'scrapped']) {
      await refused(() => setState(socket, state), closed);
    }
    // Out of use only when its hardware has moved on: what is worn cannot be set aside on paper.
    await refused(() => setState(socket, 'retired'), {
      state: 'R0902',
      code: 'worn-hardware-still-in',
      facts: { socket: socket.number },
    });
    const visit = await clinic.visit(socket);
    await move(lock, position, bench, {
      service_visit_id: visit.id,
      reason: 'replaced_in_service',
    });
    await setState(socket, 'retired');
    await refused(() => setState(socket, 'delivered'), closed);
    const scrapped = await clinic.socket('check', { state: 'scrapped' });
    await refused(() => setState(scrapped, 'in_work'), closed);
  });
});

describe('sockets that are worn or no longer used (R9, R15)', () => {
  test.each(['retired', 'scrapped'])(
    'a %s socket takes nothing and gives up what it has',
    async (state) => {
      const socket = await clinic.socket('check');
      const [position, valvePlace] = [
        await clinic.position(socket, 'lock'),
        await clinic.position(socket, 'release_valve'),
      ];
      const [lock, valve] = [await clinic.piece('lock'), await clinic.piece('release_valve')];
      await move(lock, lock.at, position);
      await setState(socket, state);
      await refused(() => move(valve, valve.at, valvePlace), {
        state: 'R0901',
        code: 'socket-is-retired',
        facts: { socket: socket.number, state },
      });
      await move(lock, position, lock.at, { reason: 'returned_to_bin' });
      expect(await placeOf(lock)).toEqual([lock.at.id]);
    },
  );

  test('what a patient wears moves only in an open service visit for that socket', async () => {
    const { socket, lock, position } = await clinic.worn();
    const worn: Refusal = {
      state: 'R1501',
      code: 'worn-moves-in-service-only',
      facts: { socket: socket.number },
    };
    await refused(() => move(lock, position, bench), worn);
    const elsewhere = await clinic.visit((await clinic.worn()).socket);
    await refused(() => move(lock, position, bench, { service_visit_id: elsewhere.id }), worn);

    const visit = await clinic.visit(socket);
    const within = { service_visit_id: visit.id, reason: 'replaced_in_service' };
    await move(lock, position, bench, within);
    const fresh = await clinic.piece('lock');
    await refused(() => move(fresh, fresh.at, position), worn);
    await move(fresh, fresh.at, position, within);

    const signed = await clinic.signature('service_released');
    await run(
      'update service_visit set closed_at = $2, closed_by_id = $3, signature_id = $4 where id = $1',
      [visit.id, NOW, clinic.prosthetistId, signed.id],
    );
    await refused(() => move(fresh, position, bench, within), worn);
    expect(await placeOf(fresh)).toEqual([position.id]);
  });

  test('a socket has one open visit at a time, and a visit is closed by a signature', async () => {
    const { socket } = await clinic.worn();
    const visit = await clinic.visit(socket);
    const { id: _id, ...again } = visit;
    await refused(() => insert('service_visit', { ...again, id: randomUUID() }), {
      state: '23505',
    });
    await refused(
      () =>
        run('update service_visit set closed_at = $2, closed_by_id = $3 where id = $1', [
          visit.id,
          NOW,
          clinic.prosthetistId,
        ]),
      { state: '23514' },
    );
  });
});

test('a label is as large as its code must be, and no larger than a sheet', async () => {
  const sizes = {
    clinic_id: clinic.clinicId,
    version: 1,
    socket_width_mm: 48,
    socket_height_mm: 24,
    model_width_mm: 76,
    model_height_mm: 51,
    bin_width_mm: 102,
    bin_height_mm: 51,
    margin_mm: 2,
    created_at: NOW,
    created_by_id: clinic.prosthetistId,
  };
  const write = (over: Values) => insert('label_sizes', { id: randomUUID(), ...sizes, ...over });
  for (const wrong of [
    { socket_width_mm: 47.9 },
    { bin_height_mm: 23.9 },
    { model_width_mm: 298 },
    { margin_mm: 11 },
    { margin_mm: 2.1 },
    { version: 0 },
  ]) {
    await refused(() => write(wrong), { state: '23514' });
  }
  await write({});
  await refused(() => write({}), { state: '23505' });
});
