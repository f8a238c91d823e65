/** Opening what a role does not see, for a reason: bounded, noted, and reviewed by somebody else. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { takeOn } from '../support/clinic.ts';
import { ok, openedOrder, refusedWith, stockedShop } from '../support/job.ts';
import { asApp } from '../support/plainSql.ts';

let clinic: TestClinic;
let patientId: string;
let more: string;

beforeAll(async () => {
  clinic = await testClinic();
  ({ patientId } = await openedOrder(await stockedShop(clinic)));
  more = `/api/v1/patients/${patientId}/more`;
});
afterAll(() => clinic.close());

const WHY = { reason: 'label_unreadable', words: 'Resin over the label; two charts begin alike.' };
interface Opening {
  readonly id: string;
  readonly words: string;
  readonly review: { readonly inOrder: boolean; readonly words: string | null } | null;
}
const openings = (query = '') =>
  ok<{ items: Opening[] }>(clinic.as('auditor').get(`/api/v1/break-glass${query}`));

describe('opening more of a patient', () => {
  test('says what may be opened before anything is, and until when afterwards', async () => {
    const page = `/api/v1/patients/${patientId}`;
    const before = await ok<{ more: object; familyName?: string }>(
      clinic.as('technician').get(page),
    );
    expect(before.more).toEqual({
      mayOpen: ['givenName', 'familyName', 'birthDate', 'phone'],
      openUntil: null,
    });
    const opened = await ok(clinic.as('technician').post(more, WHY));
    // The answer is kept with its key for as long as the record: nothing of the patient is in it.
    expect(Object.keys(opened).sort()).toEqual(['breakGlassId', 'fields', 'openUntil']);
    const after = await ok<{ more: { openUntil: string }; familyName: string }>(
      clinic.as('technician').get(page),
    );
    expect(after.more.openUntil).toBe('2026-03-02T09:30:00.000Z');
    expect(after.familyName).toContain('Inventum');
    const desk = await ok<{ more?: object }>(clinic.as('front_desk').get(page));
    expect(desk.more).toBeUndefined();
  });

  test('sent twice under one key, it is opened once', async () => {
    const key = 'the-phone-lost-the-network';
    const before = (await openings()).items.length;
    const tech = clinic.as('technician');
    const [first, second] = [
      await tech.post(more, WHY, { key }),
      await tech.post(more, WHY, { key }),
    ];
    expect(second.body).toEqual(first.body);
    expect((await openings()).items.length).toBe(before + 1);
  });

  test('needs a reason of the list and words that say something', async () => {
    const tech = clinic.as('technician');
    await refusedWith(tech.post(more, { ...WHY, reason: 'curious' }), 'request-invalid');
    await refusedWith(tech.post(more, { ...WHY, words: 'because' }), 'request-invalid');
    await refusedWith(tech.post(more, { reason: WHY.reason }), 'request-invalid');
  });

  test('five times within an hour, whoever is in a hurry; then the desk is asked', async () => {
    const tech = clinic.as('technician');
    // Two were opened above. Sent all at once, they are counted one after the other.
    const answers = await Promise.all(Array.from({ length: 6 }, () => tech.post(more, WHY)));
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 201, 201, 429, 429, 429]);
    const again = await tech.post(more, WHY);
    expect([again.body.code, again.headers['retry-after']]).toEqual(['opened-too-often', '3600']);
    clinic.clock.pass(61);
    await ok(tech.post(more, WHY));
  });

  test('is for the roles that the table names, and never for an administrator', async () => {
    for (const role of ['front_desk', 'prosthetist', 'administrator'] as const) {
      await refusedWith(clinic.as(role).post(more, WHY), 'role-may-not');
    }
  });

  test('who sees it by another role has nothing to open', async () => {
    const both = await takeOn(clinic, { roles: ['technician', 'front_desk'] });
    await refusedWith(clinic.as(both).post(more, WHY), 'nothing-to-open');
  });

  test('its words are sealed in the event: read by who reviews, withheld from the bench', async () => {
    const [event] = await clinic.store.raw<{ data: { words: object; fields: string[] } }>(
      `select data from event where kind = 'patient.opened' order by seq limit 1`,
    );
    expect(Object.keys(event?.data.words ?? {})).toEqual(['sealedSha256']);
    const history = `/api/v1/history/patient/${patientId}`;
    expect((await clinic.as('auditor').get(history)).text).toContain('Resin over the label');
    const bench = await clinic.as('technician').get(history);
    expect(bench.text).not.toContain('Resin over the label');
    expect(bench.text).toContain('"withheld":["words"]');
  });
});

describe('the review of what was opened', () => {
  const review = (id: string, body: object, role: 'auditor' | 'administrator' = 'auditor') =>
    clinic.as(role).post(`/api/v1/break-glass/${id}/reviews`, body);

  test('is noted by an auditor or an administrator, and a later one stands for it', async () => {
    const [opening] = (await openings('?reviewed=no')).items;
    const id = opening?.id ?? '';
    await refusedWith(review(id, { inOrder: false }), 'request-invalid');
    await ok(review(id, { inOrder: false, words: 'The desk was there.' }));
    await ok(review(id, { inOrder: true, words: 'It was not: a holiday.' }, 'administrator'));
    const found = (await openings('?reviewed=yes')).items;
    expect(found.map(({ id: reviewed, review: so }) => [reviewed, so?.inOrder])).toEqual([
      [id, true],
    ]);
    expect((await openings('?reviewed=no')).items.map((each) => each.id)).not.toContain(id);
    const kept = await clinic.store.raw('select 1 from break_glass_review');
    expect(kept).toHaveLength(2);
  });

  test('is never one’s own, by the service and by the database', async () => {
    const mine = await ok<{ breakGlassId: string }>(
      clinic
        .as('auditor')
        .post(more, { reason: 'recall_call', words: 'Nobody at the desk today.' }),
    );
    await refusedWith(review(mine.breakGlassId, { inOrder: true }), 'opening-is-your-own');
    const auditor = clinic.people.auditor.id;
    const plain = asApp(clinic.store, clinic.clinicId, (app) =>
      app.query(
        `insert into break_glass_review (clinic_id, id, break_glass_id, in_order, reviewed_at, reviewed_by_id)
         values ($1, gen_random_uuid(), $2, true, now(), $3)`,
        [clinic.clinicId, mine.breakGlassId, auditor],
      ),
    );
    await expect(plain).rejects.toMatchObject({ code: 'RP201' });
  });

  test('is closed to those who are reviewed, and to another clinic', async () => {
    const [opening] = (await openings()).items;
    await clinic.as('technician').get('/api/v1/break-glass').expect(403);
    const other = await clinic.another('TH');
    const foreign = other.as('auditor').post(`/api/v1/break-glass/${opening?.id ?? ''}/reviews`, {
      inOrder: true,
    });
    await refusedWith(foreign, 'not-found');
  });

  test('no plain SQL opens for longer, opens an address, or changes what was opened', async () => {
    const insert = (fields: string, minutes: number, words = 'Long enough words.') =>
      asApp(clinic.store, clinic.clinicId, (app) =>
        app.query(
          `insert into break_glass (clinic_id, id, patient_id, reason, words, fields, opened_at, opened_by_id, until)
           values ($1, gen_random_uuid(), $2, 'emergency', $3, $4::text[], now(), $5, now() + make_interval(mins => $6))`,
          [clinic.clinicId, patientId, words, fields, clinic.people.technician.id, minutes],
        ),
      );
    await expect(insert('{phone}', 31)).rejects.toMatchObject({ code: '23514' });
    await expect(insert('{address}', 30)).rejects.toMatchObject({ code: '23514' });
    await expect(insert('{}', 30)).rejects.toMatchObject({ code: '23514' });
    await expect(insert('{phone}', 30, 'short')).rejects.toMatchObject({ code: '23514' });
    for (const table of ['break_glass', 'break_glass_review']) {
      await expect(clinic.store.raw(`update ${table} set id = id`)).rejects.toMatchObject({
        code: 'R1001',
      });
      await expect(clinic.store.raw(`delete from ${table}`)).rejects.toMatchObject({
        code: 'R1001',
      });
    }
  });
});
