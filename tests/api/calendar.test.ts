/** The clinic's working calendar: kept in versions, one in force (C5). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { STARTING_WEEKDAYS } from '../../src/domain/workCalendar.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const URL = '/api/v1/calendar';
const MORNINGS = [{ fromMinute: 480, toMinute: 720 }];
const plan = (given: object = {}) => ({
  weekdays: [MORNINGS, MORNINGS, MORNINGS, MORNINGS, MORNINGS, [], []],
  closedDays: [{ on: '2026-12-25', why: 'Christmas' }],
  ...given,
});
/** As it is sent: made from the version that was read. */
const written = (given: object = {}, basedOnVersion = 1) => ({ basedOnVersion, ...plan(given) });
const inForce = async (of: TestClinic) => (await of.as('technician').get(URL).expect(200)).body;

describe('the working calendar', () => {
  test('a new clinic works Monday to Friday, 8 to 12 and 13 to 17', async () => {
    expect(await inForce(clinic)).toEqual({
      weekdays: STARTING_WEEKDAYS,
      closedDays: [],
      version: 1,
      createdAt: '2026-03-02T09:00:00.000Z',
      createdBy: null,
    });
  });

  test('an administrator writes the next version, which is then in force; the one before is kept', async () => {
    const own = await clinic.another('OW');
    const { body } = await own.as('administrator').post(URL, written()).expect(201);
    expect(body).toMatchObject({ ...plan(), version: 2, createdBy: 'Ada Keys of OW' });
    expect(await inForce(own)).toEqual(body);
    const kept = await own.store.raw<{ version: number; superseded: boolean }>(
      `select version, superseded_at is not null as superseded from work_calendar
       where clinic_id = $1 order by version`,
      [own.clinicId],
    );
    expect(kept).toEqual([
      { version: 1, superseded: true },
      { version: 2, superseded: false },
    ]);
    const [event] = await own.store.raw<{ data: object }>(
      `select data from event where clinic_id = $1 and kind = 'calendar.written'`,
      [own.clinicId],
    );
    expect(event?.data).toEqual({
      before: { weekdays: STARTING_WEEKDAYS, closedDays: [], version: 1 },
      after: { ...plan(), version: 2 },
    });
    expect((await inForce(clinic)).version).toBe(1);
    const versions = await own.as('auditor').get(`${URL}/versions`).expect(200);
    expect(versions.body.items).toMatchObject([
      { ...plan(), version: 2, createdBy: 'Ada Keys of OW', supersededAt: null },
      { version: 1, createdBy: null, supersededAt: '2026-03-02T09:00:00.000Z' },
    ]);
  });

  test('everything that cannot be right is told at once, and nothing is written', async () => {
    const { status, body } = await clinic.as('administrator').post(
      URL,
      written({
        weekdays: [[{ fromMinute: 720, toMinute: 480 }], [{ fromMinute: 480.5, toMinute: 1500 }]],
        closedDays: [
          { on: '2026-12-25', why: 'Christmas' },
          { on: '2026-12-25', why: 'again' },
        ],
      }),
    );
    expect(status).toBe(400);
    expect(pick(body.errors, 'code')).toEqual(Array(4).fill('calendar-impossible'));
    const never = await clinic
      .as('administrator')
      .post(URL, written({ weekdays: Array(7).fill([]) }));
    expect(never.body).toMatchObject({
      code: 'calendar-impossible',
      detail: expect.stringContaining('No weekday is open'),
    });
    const noDay = await clinic
      .as('administrator')
      .post(URL, written({ closedDays: [{ on: '2026-02-30', why: 'no such day' }] }));
    expect(noDay.body.code).toBe('request-invalid');
    expect((await inForce(clinic)).version).toBe(1);
  });

  test('only an administrator writes it', async () => {
    for (const role of ['front_desk', 'technician', 'prosthetist', 'auditor'] as const) {
      await clinic.as(role).post(URL, written()).expect(403);
    }
  });

  test('of five written at once from one version one stands; one sent twice becomes one', async () => {
    const own = await clinic.another('FV');
    const admin = own.as('administrator');
    const answers = await Promise.all(
      Array.from({ length: 5 }, (_, n) =>
        admin.post(URL, written({ closedDays: [{ on: `2026-05-0${n + 1}`, why: `no. ${n}` }] })),
      ),
    );
    expect(pick(answers, 'status').sort()).toEqual([201, 412, 412, 412, 412]);
    const stale = answers.find(({ status }) => status === 412)?.body;
    expect(stale).toMatchObject({
      code: 'version-is-stale',
      detail: 'The change was made from version 1; the record is at 2.',
    });
    expect((await inForce(own)).version).toBe(2);
    const key = randomUUID();
    const once = await admin.post(URL, written({}, 2), { key });
    const twice = await admin.post(URL, written({}, 2), { key });
    expect([once.body.version, twice.body]).toEqual([3, once.body]);
  });
});
