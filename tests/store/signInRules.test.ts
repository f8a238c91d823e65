/** What the database holds of second factors, PINs and signatures, broken by plain SQL as the service's own role. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CIPHERTEXT } from '../support/columnKeys.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import {
  asApp,
  expectRefused,
  insertInto,
  type Refusal,
  type Values,
} from '../support/plainSql.ts';
import { ClinicRows, NOW } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
});
afterAll(() => db.close());

const SHA = 'c'.repeat(64);
const clinicId = () => clinic.clinicId;
const run = (sql: string, params: readonly unknown[] = []): Promise<unknown> =>
  asApp(db.store, clinicId(), (app) => app.query(sql, params));
const insert = (table: string, values: Values): Promise<unknown> =>
  asApp(db.store, clinicId(), (app) =>
    insertInto(app, table, { clinic_id: clinicId(), id: randomUUID(), ...values }),
  );
const refused = (attempt: () => Promise<unknown>, refusal: Refusal): Promise<void> =>
  expectRefused(db.store, attempt, refusal);

const signature = (over: Values): Promise<unknown> =>
  insert('signature', {
    person_id: clinic.prosthetistId,
    printed_name: 'Paula Fitting',
    meaning: 'fit_accepted',
    signed_at: NOW,
    subject_kind: 'socket',
    subject_id: randomUUID(),
    content: '{}',
    content_sha256: SHA,
    ...over,
  });

const benchPin = (personId: string, sessionId: string, over: Values = {}): Values => ({
  person_id: personId,
  session_id: sessionId,
  device_sha256: SHA,
  pin_hash: 'argon2id',
  set_at: NOW,
  good_until: '2026-03-02T21:00:00.000Z',
  ...over,
});

describe('a signature (R8)', () => {
  const notOwn = { state: 'R0805', code: 'session-not-the-signers' };

  test('is given in no sign-in, another’s, or an ended one by nobody', async () => {
    const others = await clinic.session(clinic.technicianId);
    const ended = await clinic.session(clinic.prosthetistId, { ended_at: NOW });
    for (const session_id of [null, others.id, ended.id]) {
      await refused(() => signature({ session_id }), notOwn);
    }
    const own = await clinic.session(clinic.prosthetistId);
    await signature({ session_id: own.id });
  });

  test('is not given by PIN, nor without the second factor where the clinic asks it', async () => {
    const own = await clinic.session(clinic.prosthetistId);
    const pin = await clinic.insert('bench_pin', benchPin(clinic.prosthetistId, own.id));
    const byPin = await clinic.session(clinic.prosthetistId, { how: 'pin', bench_pin_id: pin.id });
    await refused(() => signature({ session_id: byPin.id }), {
      state: 'R0806',
      code: 'signing-not-by-pin',
    });
    for (const asked of ['administrators_and_signers', 'everybody']) {
      await run('update clinic set second_factor_for = $1', [asked]);
      await refused(() => signature({ session_id: own.id }), {
        state: 'R0807',
        code: 'signing-needs-second-factor',
      });
    }
    await run("update clinic set second_factor_for = 'nobody'");
    await signature({ session_id: own.id });
  });
});

describe('a second factor', () => {
  test('makes a sign-in strong only where there is one, and no longer when it has ended', async () => {
    const session = await clinic.session(clinic.technicianId);
    const strengthen = () =>
      run('update session set with_second_factor = true where id = $1', [session.id]);
    await refused(strengthen, { state: 'RP201', code: 'second-factor-missing' });
    const factor = await clinic.insert('second_factor', {
      person_id: clinic.technicianId,
      secret: CIPHERTEXT,
      begun_at: NOW,
      confirmed_at: NOW,
      last_step: 100,
    });
    await strengthen();
    // Its last step only grows, its secret is not exchanged, and a second one is none.
    for (const change of ['last_step = 99', 'last_step = null', `secret = '${CIPHERTEXT}1'`]) {
      await refused(() => run(`update second_factor set ${change} where id = $1`, [factor.id]), {
        state: 'R1002',
        code: 'record-is-final',
      });
    }
    await refused(
      () =>
        insert('second_factor', {
          person_id: clinic.technicianId,
          secret: CIPHERTEXT,
          begun_at: NOW,
        }),
      { state: '23505' },
    );
    await run(
      "update second_factor set ended_at = begun_at, ended_how = 'reset', secret = null where id = $1",
      [factor.id],
    );
    const [after] = await db.store.raw('select with_second_factor from session where id = $1', [
      session.id,
    ]);
    expect(after).toEqual({ with_second_factor: false });
    await refused(
      () => run("update second_factor set ended_how = 'turned_off' where id = $1", [factor.id]),
      { state: 'R1002', code: 'record-is-final' },
    );
  });
});

describe('a PIN', () => {
  const tooLate = { state: 'RP203', code: 'pin-needs-fresh-sign-in' };

  test('comes from an open full sign-in of the same person, for a day at most', async () => {
    const others = await clinic.session(clinic.prosthetistId);
    const own = await clinic.session(clinic.technicianId);
    const long = { good_until: '2026-03-03T09:00:01.000Z' };
    await refused(() => insert('bench_pin', benchPin(clinic.technicianId, others.id)), tooLate);
    await refused(() => insert('bench_pin', benchPin(clinic.technicianId, own.id, long)), tooLate);
    const pin = await clinic.insert('bench_pin', benchPin(clinic.technicianId, own.id));
    const byPin = await clinic.session(clinic.technicianId, { how: 'pin', bench_pin_id: pin.id });
    const again = benchPin(clinic.technicianId, byPin.id, { device_sha256: 'd'.repeat(64) });
    await refused(() => insert('bench_pin', again), tooLate);
    await refused(() => run('update bench_pin set tries = 6 where id = $1', [pin.id]), {
      state: '23514',
    });
  });

  test('that has ended signs nobody in, and what ends its sign-in ends it and all by it', async () => {
    const own = await clinic.session(clinic.technicianId);
    const device = { device_sha256: 'e'.repeat(64) };
    const pin = await clinic.insert('bench_pin', benchPin(clinic.technicianId, own.id, device));
    const byPin = await clinic.session(clinic.technicianId, { how: 'pin', bench_pin_id: pin.id });
    await run('update session set ended_at = last_used_at where id = $1', [own.id]);
    const rows = await db.store.raw(
      `select p.ended_how, p.pin_hash, s.ended_at is not null as ended
       from bench_pin p join session s on s.bench_pin_id = p.id where s.id = $1`,
      [byPin.id],
    );
    expect(rows).toEqual([{ ended_how: 'session', pin_hash: null, ended: true }]);
    await refused(
      () =>
        insert('session', {
          person_id: clinic.technicianId,
          how: 'pin',
          device: 'other',
          began_at: NOW,
          last_used_at: NOW,
          bench_pin_id: pin.id,
        }),
      { state: 'RP202', code: 'pin-ended' },
    );
  });
});
