/** What was recorded before it arrives, by plain SQL as the application's own role (R2, R4, R7). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, expectRefused, insertInto, type Values } from '../support/plainSql.ts';
import { ClinicRows, NOW, type SocketRow, type Thing } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
});
afterAll(() => db.close());

const hours = (count: number): string =>
  new Date(new Date(NOW).getTime() + count * 3_600_000).toISOString();
const insert = (table: string, values: Values): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (app) => insertInto(app, table, values));

/** A lock and a pin in a check socket, with the ids of their moves. */
async function lockIn(): Promise<{ socket: SocketRow; pin: Thing; moveIds: string[] }> {
  const socket = await clinic.socket('check');
  const moveIds: string[] = [];
  const put = async (kind: 'lock' | 'pin'): Promise<Thing> => {
    const piece = await clinic.piece(kind);
    const at = await clinic.position(socket, kind);
    const { id } = await clinic.move(piece.as, piece.at, at);
    moveIds.push(id);
    return { ...piece, at };
  };
  await put('lock');
  return { socket, pin: await put('pin'), moveIds };
}

const check = (socket: SocketRow, over: Values): Promise<unknown> =>
  insert('lock_check', {
    ...clinic.withKeys('lock_check', {}),
    socket_id: socket.id,
    cycles: '[]',
    least_clicks: 3,
    passes: true,
    because: '[]',
    covers_move_ids: [],
    recorded_at: hours(2),
    recorded_by_id: clinic.technicianId,
    ...over,
  });

describe('a lock check that arrives late', () => {
  test('names every move that touched lock or pin, or is refused', async () => {
    const { socket, pin, moveIds } = await lockIn();
    const late = { bench_at: hours(1), based_on_move_ids: moveIds };
    await check(socket, late);
    const bench = await clinic.place('bench');
    await clinic.move(pin.as, pin.at, bench, { moved_at: hours(1) });
    await expectRefused(db.store, () => check(socket, { ...late, bench_at: hours(1.5) }), {
      state: 'R0403',
      code: 'moved-since-recorded',
    });
    await expectRefused(db.store, () => check(socket, { bench_at: hours(1.5) }), {
      state: 'R0403',
      code: 'moved-since-recorded',
    });
    // What is recorded as it arrives is taken on what is there.
    await check(socket, {});
  });

  test('does not overrule a newer one', async () => {
    const { socket, moveIds } = await lockIn();
    await check(socket, { recorded_at: hours(1) });
    await expectRefused(
      db.store,
      () => check(socket, { bench_at: hours(0.5), based_on_move_ids: moveIds }),
      { state: 'R0404', code: 'evidence-newer' },
    );
  });

  test.each([
    ['from the future', 2.01],
    ['of more than three days ago', -70.01],
  ])('is not %s', async (_what, ahead) => {
    const { socket, moveIds } = await lockIn();
    await expectRefused(
      db.store,
      () => check(socket, { bench_at: hours(ahead), based_on_move_ids: moveIds }),
      { state: '23514' },
    );
  });
});

test('a move that arrives late is not older than the last one of its thing', async () => {
  const lock = await clinic.piece('lock');
  const bench = await clinic.place('bench');
  const to = (over: Values) =>
    insert('move', clinic.moveOf(lock.as, lock.at, bench, { moved_at: hours(2), ...over }));
  await expectRefused(db.store, () => to({ bench_at: hours(-1) }), {
    state: 'R0206',
    code: 'thing-moved-since',
  });
  await to({ bench_at: hours(1) });
  const rows = await db.store.raw('select count(*)::int as n from move where item_id = $1', [
    lock.id,
  ]);
  expect(rows).toEqual([{ n: 2 }]);
});
