/** The fittings book in the database: nobody at two places at once, nothing rewritten or deleted. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { perform } from '../../src/store/act.ts';
import { writeAppointment } from '../../src/store/appointments.ts';
import { CIPHERTEXT } from '../support/columnKeys.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import {
  asApp,
  expectRefused,
  insertInto,
  type Refusal,
  type Values,
} from '../support/plainSql.ts';
import { ClinicRows, NOW, type Row } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let order: Row;
let another: Row;
let other: ClinicRows;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
  other = await ClinicRows.found(db.store, 'OT');
  order = await clinic.order();
  another = await clinic.order();
});
afterAll(() => db.close());

let hour = 0;
/** Each an hour after the one before, unless it says when. */
const appointment = (over: Values = {}): Values => {
  hour += 1;
  const starts = new Date(Date.parse('2026-04-01T00:00:00Z') + hour * 3_600_000).toISOString();
  const starts_at = String(over['starts_at'] ?? starts);
  return clinic.withKeys('appointment', {
    patient_id: order['patient_id'],
    order_id: order.id,
    prosthetist_id: clinic.prosthetistId,
    purpose: 'check_fitting',
    starts_at,
    ends_at: new Date(Date.parse(starts_at) + 3_600_000).toISOString(),
    booked_at: NOW,
    booked_by_id: clinic.prosthetistId,
    ...over,
  });
};
const write = (values: Values) =>
  asApp(db.store, clinic.clinicId, (app) => insertInto<Row>(app, 'appointment', values));
const run = (sql: string, params: readonly unknown[]) =>
  asApp(db.store, clinic.clinicId, (app) => app.query(sql, params));
const refused = (attempt: () => Promise<unknown>, refusal: Refusal) =>
  expectRefused(db.store, attempt, refusal);
const OVERLAPS: Refusal = { state: '23P01' };
const settled = { settled_at: NOW, settled_by_id: '', why: CIPHERTEXT };

describe('the fittings book', () => {
  const AT = '2026-05-04T09:00:00Z';
  const LATER = '2026-05-04T09:45:00Z';
  const ofOther = () => ({
    patient_id: another['patient_id'],
    order_id: another.id,
  });

  test('neither a prosthetist nor a patient is at two places at once', async () => {
    await write(appointment({ starts_at: AT }));
    await refused(() => write(appointment({ starts_at: LATER, ...ofOther() })), OVERLAPS);
    const withOther = { prosthetist_id: clinic.technicianId };
    await refused(() => write(appointment({ starts_at: LATER, ...withOther })), OVERLAPS);
    // Somebody else with somebody else, and the next one on the stroke of the end.
    await write(appointment({ starts_at: LATER, ...ofOther(), ...withOther }));
    await write(appointment({ starts_at: '2026-05-04T10:00:00Z' }));
  });

  test('whoever is slower past the book’s own rules is told that the time was taken meanwhile', async () => {
    const caller = {
      clinicId: clinic.clinicId,
      personId: clinic.prosthetistId,
      printedName: 'Paula Fitting',
      roles: ['front_desk'] as const,
    };
    const attempt = () =>
      perform(db.store, caller, new Date(NOW), (act) =>
        writeAppointment(act, {
          id: randomUUID(),
          patientId: String(another['patient_id']),
          orderId: another.id,
          prosthetistId: clinic.prosthetistId,
          purpose: 'casting',
          startsAt: new Date(AT),
          endsAt: new Date(LATER),
          room: null,
          note: null,
          replacesId: null,
        }),
      );
    await expect(attempt()).rejects.toMatchObject({
      reasons: [{ code: 'time-taken-meanwhile', field: '/startsAt' }],
    });
  });

  test('what was called off, moved or missed takes no time', async () => {
    const at = '2026-05-05T09:00:00Z';
    for (const state of ['called_off', 'moved', 'did_not_come']) {
      await write(
        appointment({ ...settled, settled_by_id: clinic.prosthetistId, starts_at: at, state }),
      );
    }
    await write(appointment({ starts_at: at }));
    // Nor may one come back into a time that was given to another.
    await refused(
      () =>
        run(
          `update appointment set state = 'came' where state = 'did_not_come' and starts_at = $1`,
          [at],
        ),
      OVERLAPS,
    );
  });

  test('has a length, a state with its time, and a reason where it is called off', async () => {
    const wrong: readonly Values[] = [
      { ends_at: '2026-04-01T00:00:00Z', starts_at: '2026-04-01T00:00:00Z' },
      { ends_at: '2026-05-07T00:00:00Z', starts_at: '2026-05-06T00:00:00Z' },
      { state: 'came' },
      { settled_at: NOW, settled_by_id: clinic.prosthetistId },
      { state: 'called_off', settled_at: NOW, settled_by_id: clinic.prosthetistId },
      { state: 'forgotten', settled_at: NOW, settled_by_id: clinic.prosthetistId },
      { purpose: 'tea' },
    ];
    for (const values of wrong) await refused(() => write(appointment(values)), { state: '23514' });
  });

  test('one stands in for another only where that was moved, once, and is of the same patient', async () => {
    const booked = await write(appointment());
    const final: Refusal = { state: 'R1002', code: 'record-is-final' };
    await refused(() => write(appointment({ replaces_id: booked.id })), final);
    await run(
      `update appointment set state = 'moved', why = '${CIPHERTEXT}', settled_at = $2, settled_by_id = $3 where id = $1`,
      [booked.id, NOW, clinic.prosthetistId],
    );
    await refused(() => write(appointment({ replaces_id: booked.id, ...ofOther() })), final);
    await write(appointment({ replaces_id: booked.id }));
    await refused(() => write(appointment({ replaces_id: booked.id })), { state: '23505' });
    await refused(() => write(appointment({ order_id: another.id })), {
      state: 'R1003',
      code: 'order-of-another-patient',
    });
  });

  test('what is settled is final but for whether somebody came; the rest is never written again', async () => {
    const { id } = await write(appointment());
    const become = (state: string) =>
      run(
        `update appointment set state = $2, why = '${CIPHERTEXT}', settled_at = $3, settled_by_id = $4 where id = $1`,
        [id, state, NOW, clinic.prosthetistId],
      );
    await become('did_not_come');
    await become('came');
    await refused(() => become('moved'), { state: 'R1002', code: 'record-is-final' });
    for (const column of ['starts_at', 'patient_id', 'booked_at']) {
      await refused(() => run(`update appointment set ${column} = ${column} where id = $1`, [id]), {
        state: '42501',
      });
    }
    await refused(() => run('delete from appointment where id = $1', [id]), { state: '42501' });
    await refused(() => db.store.raw('delete from appointment where id = $1', [id]), {
      state: 'R1001',
      code: 'record-is-kept',
    });
  });

  test('two clinics do not stand in each other’s way, and see nothing of each other (R12)', async () => {
    const { starts_at } = (await write(appointment())) as unknown as { starts_at: Date };
    const theirs = await other.order();
    await other.insert('appointment', {
      patient_id: theirs['patient_id'],
      prosthetist_id: other.prosthetistId,
      purpose: 'casting',
      starts_at,
      ends_at: new Date(starts_at.getTime() + 3_600_000),
      booked_at: NOW,
      booked_by_id: other.prosthetistId,
    });
    const seen = await asApp(db.store, other.clinicId, (app) =>
      app.query('select id from appointment'),
    );
    expect(seen).toHaveLength(1);
    await refused(
      () => asApp(db.store, other.clinicId, (app) => insertInto(app, 'appointment', appointment())),
      { state: '42501' },
    );
  });
});
