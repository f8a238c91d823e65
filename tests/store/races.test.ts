/** Two who want the same: unique keys known by their columns, one lock and many hands, work tried again. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inClinic, perform, type Caller, type Tx } from '../../src/store/act.ts';
import { insertMove } from '../../src/store/custody.ts';
import { isUniqueClash } from '../../src/store/failures.ts';
import type { Refused } from '../../src/store/refused.ts';
import { camelKeys, rawInsert } from '../support/bothCalls.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import type { Values } from '../support/plainSql.ts';
import { ClinicRows, NOW, type Place, type Thing } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let technician: Caller;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
  technician = {
    clinicId: clinic.clinicId,
    personId: clinic.technicianId,
    printedName: 'Tamás Bench of KL',
    roles: ['technician'],
  };
});

afterAll(() => db.close());

const failureOf = (work: Promise<unknown>): Promise<unknown> =>
  work.then(
    () => undefined,
    (failure: unknown) => failure,
  );

/** The technician takes a piece from where it was received; through the store, as a service does. */
const take = (thing: Thing, to: Place): Promise<string> =>
  perform(db.store, technician, new Date(NOW), (act) =>
    insertMove(act, {
      thing: { itemId: thing.id },
      fromPlaceId: thing.at.id,
      toPlaceId: to.id,
      reason: 'issued',
    }),
  );

describe('unique keys', () => {
  /** Each column that the program asks about: the same row twice, and one with only the id twice. */
  const CLASHES: readonly {
    readonly column: string;
    readonly table: string;
    readonly model: 'patient' | 'shopTool' | 'place' | 'item' | 'part' | 'batch' | 'person';
    readonly row: () => Promise<Values> | Values;
  }[] = [
    {
      column: 'chart_number',
      table: 'patient',
      model: 'patient',
      row: () => ({
        chart_number: 'K-twice',
        given_name: 'Ilka',
        family_name: 'Twice',
        name_key: 'twice ilka',
        birth_date: new Date('1970-01-01'),
        created_at: new Date(NOW),
        created_by_id: clinic.technicianId,
      }),
    },
    {
      column: 'name',
      table: 'shop_tool',
      model: 'shopTool',
      row: () => ({ kind: 'tooling_plate', name: 'Plate twice', created_at: new Date(NOW) }),
    },
    {
      column: 'name',
      table: 'place',
      model: 'place',
      row: () => ({ kind: 'bin', name: 'Drawer twice' }),
    },
    {
      column: 'serial',
      table: 'item',
      model: 'item',
      row: async () => ({
        part_id: (await clinic.part('lock')).id,
        serial: 'S-twice',
        received_at: new Date(NOW),
        received_by_id: clinic.technicianId,
      }),
    },
    {
      column: 'catalogue_number',
      table: 'part',
      model: 'part',
      row: () => ({
        kind: 'spring',
        name: 'Spring',
        catalogue_number: 'INV-twice',
        single_use: true,
        created_at: new Date(NOW),
      }),
    },
    {
      column: 'lot',
      table: 'batch',
      model: 'batch',
      row: () => ({
        kind: 'resin',
        name: 'Resin',
        lot: 'R-twice',
        received_on: new Date('2026-03-02'),
        quantity: 500,
        unit: 'g',
        created_at: new Date(NOW),
        created_by_id: clinic.technicianId,
      }),
    },
    {
      column: 'email',
      table: 'person',
      model: 'person',
      row: () => ({
        email: 'twice@kl.example',
        printed_name: 'Twice',
        password_hash: 'none',
        created_at: new Date(NOW),
      }),
    },
  ];

  test.each(CLASHES)(
    'a second $table of one $column is known by it, by either call',
    async ({ column, table, model, row }) => {
      const values = clinic.withKeys(table, await row());
      const insert = {
        model: (tx: Tx, given: Values) =>
          (tx[model] as unknown as { create: (args: object) => Promise<unknown> }).create({
            data: camelKeys(given),
          }),
        raw: (tx: Tx, given: Values) => rawInsert(tx, table, given),
      };
      await inClinic(db.store, clinic.clinicId, (tx) => insert.raw(tx, values));
      const { [column]: _clashing, ...rest } = values;
      const twice = { ...values, id: randomUUID() };
      const sameId = {
        ...rest,
        [column]: 'something else',
        ...(column === 'email' ? { email: 'else@kl.example' } : {}),
      };
      for (const way of ['model', 'raw'] as const) {
        const attempt = (given: Values) =>
          failureOf(inClinic(db.store, clinic.clinicId, (tx) => insert[way](tx, given)));
        const clash = await attempt(twice);
        expect(clash, way).toBeInstanceOf(Error);
        expect(isUniqueClash(clash, column), way).toBe(true);
        expect(isUniqueClash(clash), way).toBe(true);
        expect(isUniqueClash(clash, 'something_else'), way).toBe(false);
        // The same id is no clash of that column, and whoever is told so would be told wrongly.
        const other = await attempt(sameId);
        expect(isUniqueClash(other), way).toBe(true);
        expect(isUniqueClash(other, column), way).toBe(false);
      }
    },
  );

  test('two things in one position are known by it, by either call', async () => {
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    const [first, second] = [await clinic.piece('lock'), await clinic.piece('lock')];
    await clinic.move(first.as, first.at, position);
    // Only the owner can write custody; for others the ledger's own rule refuses it before the key does.
    for (const attempt of [
      db.store.prisma.custody.update({
        where: { clinicId_thingId: { clinicId: clinic.clinicId, thingId: second.id } },
        data: { placeId: position.id, exclusivePlaceId: position.id },
      }),
      db.store.prisma
        .$executeRaw`update custody set exclusive_place_id = ${position.id}::uuid where thing_id = ${second.id}::uuid`,
    ]) {
      expect(isUniqueClash(await failureOf(attempt), 'exclusive_place_id')).toBe(true);
    }
  });

  test('nothing else is a clash', () => {
    expect(isUniqueClash(new Error('duplicate key name'), 'name')).toBe(false);
    expect(isUniqueClash('23505', 'name')).toBe(false);
  });
});

describe('one certificate, ten hands', () => {
  test('the same certificate entered ten times at once is one calibration (R4)', async () => {
    const wrench = await clinic.tool('torque_tool');
    const enter = () =>
      inClinic(db.store, clinic.clinicId, (tx) =>
        rawInsert(
          tx,
          'calibration',
          clinic.withKeys('calibration', {
            tool_id: wrench.id,
            calibrated_on: new Date('2026-01-12T00:00:00Z'),
            certificate: 'K-1',
            laboratory: 'Invented laboratory',
            recorded_at: new Date(NOW),
            recorded_by_id: clinic.technicianId,
          }),
        ),
      );
    const outcomes = await Promise.allSettled(Array.from({ length: 10 }, enter));
    const refusals = outcomes.flatMap((outcome) =>
      outcome.status === 'rejected' ? [String(outcome.reason)] : [],
    );
    expect(refusals).toHaveLength(9);
    for (const refusal of refusals) expect(refusal).toContain('tool-calibrated-that-day');
  });
});

describe('one lock, fifty hands', () => {
  test('fifty moves of one lock at once: one wins, forty-nine are told where it is now (R1)', async () => {
    const lock = await clinic.piece('lock');
    const untouched = await clinic.piece('lock');
    const drawers = await Promise.all(Array.from({ length: 50 }, () => clinic.bin()));
    const outcomes = await Promise.allSettled(drawers.map((drawer) => take(lock, drawer)));
    const winner = outcomes.findIndex(({ status }) => status === 'fulfilled');
    const refusals = outcomes.flatMap((outcome) =>
      outcome.status === 'rejected' ? [outcome.reason as Refused] : [],
    );
    expect(refusals).toHaveLength(49);
    for (const refusal of refusals) {
      expect(refusal.reasons).toMatchObject([
        {
          code: 'item-is-elsewhere',
          facts: {
            item: lock.label,
            expected: lock.at.name,
            place: drawers[winner]?.name,
            movedBy: 'Tamás Bench of KL',
          },
        },
      ]);
    }
    const ledger = (thing: Thing) =>
      db.store.raw('select seq, to_place_id as "to" from move where item_id = $1 order by seq', [
        thing.id,
      ]);
    expect(await ledger(lock)).toEqual([
      { seq: 1, to: lock.at.id },
      { seq: 2, to: drawers[winner]?.id },
    ]);
    expect(await ledger(untouched)).toEqual([{ seq: 1, to: untouched.at.id }]);
    const told = await db.store.raw('select kind from event where subject_id = $1', [lock.id]);
    expect(told).toEqual([{ kind: 'custody.moved' }]);
  });
});

describe('one position, twenty locks', () => {
  test('twenty locks into one position at once: one is in, nineteen stay where they were (R1)', async () => {
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    const locks = await Promise.all(Array.from({ length: 20 }, () => clinic.piece('lock')));
    const outcomes = await Promise.allSettled(locks.map((lock) => take(lock, position)));
    const winner = locks[outcomes.findIndex(({ status }) => status === 'fulfilled')];
    const refusals = outcomes.flatMap((outcome) =>
      outcome.status === 'rejected' ? [outcome.reason as Refused] : [],
    );
    expect(refusals).toHaveLength(19);
    for (const refusal of refusals) {
      expect(refusal.reasons).toMatchObject([
        { code: 'position-is-occupied', facts: { place: position.name, holds: winner?.label } },
      ]);
    }
    for (const lock of locks) {
      const at = await db.store.raw('select place_id as at from custody where thing_id = $1', [
        lock.id,
      ]);
      expect(at).toEqual([{ at: lock === winner ? position.id : lock.at.id }]);
    }
  });
});

describe('work that lost a race for nothing', () => {
  test.each(['40001', '40P01'])('%s is tried again, four times in all', async (state) => {
    let tries = 0;
    const losing = (wins: number) =>
      inClinic(db.store, clinic.clinicId, async (tx) => {
        tries += 1;
        if (tries <= wins) {
          await tx.$executeRawUnsafe(
            `do $$ begin raise exception using errcode = '${state}'; end $$`,
          );
        }
        return tries;
      });
    expect(await losing(3)).toBe(4);
    tries = 0;
    await expect(losing(9)).rejects.toBeInstanceOf(Error);
    expect(tries).toBe(4);
  });
});
