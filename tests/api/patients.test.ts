import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { openSealed } from '../support/columnKeys.ts';
import type { KeptSealed } from '../../src/store/sealedValues.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { addPatient, patientToAdd } from '../support/orders.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const codes = (body: { errors: { code: string }[] }) => body.errors.map(({ code }) => code);

describe('entering a patient', () => {
  test('the desk enters a patient with the first body mass', async () => {
    const { status, body, headers } = await clinic.as('front_desk').post(
      '/api/v1/patients',
      patientToAdd({
        chartNumber: 'A-100',
        givenName: 'Ilona',
        familyName: 'Szépvölgyi',
        birthDate: '1958-04-03',
        phone: '+43 1 555 01 23',
        address: 'Ufergasse 3',
        bodyMass: { massKg: 71.5, measuredOn: '2026-03-02' },
      }),
    );
    expect(status).toBe(201);
    expect(body).toMatchObject({
      chartNumber: 'A-100',
      initials: 'I.S.',
      familyName: 'Szépvölgyi',
      birthDate: '1958-04-03',
      phone: '+43 1 555 01 23',
      bodyMassKg: 71.5,
      bodyMassMeasuredOn: '2026-03-02',
      version: 1,
    });
    expect(headers['etag']).toMatch(/^"1-/);
  });

  test('look-alikes are offered before saving, with why', async () => {
    const known = await addPatient(clinic, {
      givenName: 'Béla',
      familyName: 'Kőműves',
      birthDate: '1961-05-09',
    });
    const { status, body } = await clinic
      .as('front_desk')
      .post(
        '/api/v1/patients/look-alikes',
        { givenName: 'Bela', familyName: 'Komuves', birthDate: '1961-09-05' },
        { key: null },
      );
    expect(status).toBe(200);
    expect(body.candidates).toHaveLength(1);
    expect(body.candidates[0]).toMatchObject({
      because: 'same_name_day_and_month_swapped',
      patient: { id: known.id },
    });
  });

  test('a likely duplicate is refused until every look-alike is named', async () => {
    const twin = { givenName: 'Hedwig', familyName: 'Ostermayr', birthDate: '1970-01-20' };
    const one = await addPatient(clinic, twin);
    const two = await addPatient(clinic, { ...twin, notTheSameAs: [one.id] });
    const third = patientToAdd({ ...twin, familyName: 'Ostermayer', notTheSameAs: [one.id] });
    const refused = await clinic.as('front_desk').post('/api/v1/patients', third);
    expect(refused.status).toBe(409);
    expect(refused.body.code).toBe('possible-duplicate');
    expect(refused.body.facts.patientIds).toEqual([two.id]);
    expect(refused.body.facts.candidates).toEqual([`${two.chartNumber} (H.O., born 1970)`]);
    const named = { ...third, notTheSameAs: [one.id, two.id] };
    await clinic.as('front_desk').post('/api/v1/patients', named).expect(201);
  });

  test('a chart number belongs to one patient', async () => {
    const { chartNumber } = await addPatient(clinic);
    const { status, body } = await clinic
      .as('front_desk')
      .post('/api/v1/patients', patientToAdd({ chartNumber }));
    expect(status).toBe(409);
    expect(body.code).toBe('chart-number-taken');
  });

  test('the same request sent twice enters one patient', async () => {
    const key = randomUUID();
    const asked = patientToAdd();
    const first = await clinic.as('front_desk').post('/api/v1/patients', asked, { key });
    const second = await clinic.as('front_desk').post('/api/v1/patients', asked, { key });
    expect(second.status).toBe(201);
    expect(second.headers['idempotency-replayed']).toBe('true');
    expect(second.body).toEqual(first.body);
  });

  test('a technician enters no patients', async () => {
    const { status, body } = await clinic.as('technician').post('/api/v1/patients', patientToAdd());
    expect(status).toBe(403);
    expect(body.code).toBe('role-may-not');
  });

  test('every field at fault is named, and nothing is entered', async () => {
    const { status, body } = await clinic.as('front_desk').post('/api/v1/patients', {
      ...patientToAdd({ chartNumber: 'BAD-1' }),
      givenName: '  ',
      birthDate: '1961-02-30',
      bodyMass: { massKg: 1.5, measuredOn: '2026-03-01' },
      shoeSize: 44,
    });
    expect(status).toBe(400);
    expect(codes(body).sort()).toEqual([
      'field-malformed',
      'field-out-of-range',
      'field-out-of-range',
      'field-unknown',
    ]);
    const found = await clinic
      .as('front_desk')
      .post('/api/v1/patients/search', { chartNumber: 'BAD-1' });
    expect(found.body.items).toEqual([]);
  });

  test.each([
    ['nobody is born tomorrow', { birthDate: '2026-03-03' }, 'birth-date-implausible'],
    ['nobody is 121 years old', { birthDate: '1905-03-01' }, 'birth-date-implausible'],
    [
      'nobody was weighed tomorrow',
      { bodyMass: { massKg: 80, measuredOn: '2026-03-03' } },
      'day-in-future',
    ],
  ])('%s', async (_title, given, code) => {
    const { status, body } = await clinic
      .as('front_desk')
      .post('/api/v1/patients', patientToAdd(given));
    expect(status).toBe(400);
    expect(body.code).toBe(code);
  });
});

describe('who sees what of a patient', () => {
  const secret = {
    givenName: 'Ottokar',
    familyName: 'Wunderlich',
    birthDate: '1944-12-24',
    phone: '0664 123 45 67',
    address: 'Am Damm 7',
  };
  let id: string;
  beforeAll(async () => {
    id = (await addPatient(clinic, secret)).id;
  });

  test.each(['front_desk', 'prosthetist'] as const)('%s sees all', async (role) => {
    const { body } = await clinic.as(role).get(`/api/v1/patients/${id}`).expect(200);
    expect(body).toMatchObject(secret);
  });

  test('the bench sees initials and body mass, never who it is', async () => {
    const { body, text } = await clinic.as('technician').get(`/api/v1/patients/${id}`).expect(200);
    expect(body).toMatchObject({ initials: 'O.W.', bodyMassKg: 82 });
    for (const value of Object.values(secret)) expect(text).not.toContain(value);
  });

  test('an auditor sees who it is, but not how to reach the person', async () => {
    const { body, text } = await clinic.as('auditor').get(`/api/v1/patients/${id}`).expect(200);
    expect(body).toMatchObject({ familyName: 'Wunderlich', birthDate: '1944-12-24' });
    expect(text).not.toContain(secret.phone);
    expect(text).not.toContain(secret.address);
  });

  test('the bench cannot find out a name by searching for it', async () => {
    const { status, body } = await clinic
      .as('technician')
      .post('/api/v1/patients/search', { name: 'Wunderlich' });
    expect(status).toBe(403);
    expect(body.code).toBe('search-beyond-role');
  });

  test('another clinic has no such patient', async () => {
    const other = await clinic.another('ZZ');
    const { status, body } = await other.as('front_desk').get(`/api/v1/patients/${id}`);
    expect(status).toBe(404);
    expect(body.code).toBe('not-found');
  });
});

describe('finding a patient', () => {
  test('by the beginnings of names in any order, accents or not', async () => {
    const { id } = await addPatient(clinic, {
      givenName: 'Zoë Maria',
      familyName: 'Łęcka-Brändli',
    });
    for (const name of ['lecka', 'zoe brandli', 'BRÄNDLI maria', 'mar lec']) {
      const { body } = await clinic.as('auditor').post('/api/v1/patients/search', { name });
      expect(pick(body.items, 'id')).toEqual([id]);
    }
  });

  test('by phone number however it is written', async () => {
    const { id } = await addPatient(clinic, { phone: '+43 699 / 887 76-65' });
    for (const phone of ['0699 8877665', '887-7665', '+43 (0)699 8877665']) {
      const { body } = await clinic.as('front_desk').post('/api/v1/patients/search', { phone });
      expect(pick(body.items, 'id')).toEqual([id]);
    }
  });

  test('page by page, each patient once', async () => {
    const seen: unknown[] = [];
    let after: string | undefined;
    do {
      const { body } = await clinic
        .as('front_desk')
        .post('/api/v1/patients/search', { limit: 3, ...(after === undefined ? {} : { after }) })
        .expect(200);
      seen.push(...pick(body.items, 'chartNumber'));
      after = body.next ?? undefined;
    } while (after !== undefined);
    expect(seen.length).toBeGreaterThan(6);
    expect(new Set(seen).size).toBe(seen.length);
  });
});

describe('correcting a patient', () => {
  test('from the version that was read, with the values before in the trail', async () => {
    const { id } = await addPatient(clinic, { givenName: 'Jolanta', phone: '01 555 777' });
    const read = await clinic.as('front_desk').get(`/api/v1/patients/${id}`);
    const etag = read.headers['etag'] ?? '';
    const { status, body } = await clinic
      .as('front_desk')
      .patch(`/api/v1/patients/${id}`, { givenName: 'Jolanda', phone: null }, etag);
    expect(status).toBe(200);
    expect(body).toMatchObject({ givenName: 'Jolanda', phone: null, version: 2 });
    const [event] = await clinic.store.raw<{ id: string; data: object; sealed: KeptSealed }>(
      `select id, data, sealed from event where kind = 'patient.changed' and subject_id = $1`,
      [id],
    );
    // Under a seal in the chain, and beside it for whoever has the key.
    const seal = { sealedSha256: expect.stringMatching(/^[0-9a-f]{64}$/) as string };
    const salt = expect.stringMatching(/^[0-9a-f]{32}$/) as string;
    expect({
      data: event?.data,
      sealed: openSealed(clinic.clinicId, event?.id ?? '', event?.sealed ?? null),
    }).toEqual({
      data: {
        before: { givenName: seal, phone: seal },
        after: { givenName: seal, phone: null },
      },
      sealed: {
        'before.givenName': { salt, value: 'Jolanta' },
        'before.phone': { salt, value: '01 555 777' },
        'after.givenName': { salt, value: 'Jolanda' },
      },
    });
    const again = await clinic
      .as('front_desk')
      .patch(`/api/v1/patients/${id}`, { givenName: 'Jola' }, etag);
    expect(again.status).toBe(412);
    expect(again.body.code).toBe('version-is-stale');
  });

  test('without If-Match nothing is changed', async () => {
    const { id } = await addPatient(clinic);
    const { status, body } = await clinic
      .as('front_desk')
      .patch(`/api/v1/patients/${id}`, { phone: null }, null);
    expect(status).toBe(428);
    expect(body.code).toBe('if-match-missing');
  });
});

describe('body mass', () => {
  const masses = (id: string) => `/api/v1/patients/${id}/body-masses`;

  test('the newest by day is the present one, whatever was entered last', async () => {
    const { id } = await addPatient(clinic, {
      bodyMass: { massKg: 80, measuredOn: '2026-01-10' },
    });
    const desk = clinic.as('technician');
    await desk.post(masses(id), { massKg: 84, measuredOn: '2026-02-28' }).expect(201);
    await desk.post(masses(id), { massKg: 78, measuredOn: '2026-01-05' }).expect(201);
    const { body } = await desk.get(`/api/v1/patients/${id}`);
    expect(body).toMatchObject({ bodyMassKg: 84, bodyMassMeasuredOn: '2026-02-28' });
    const list = await desk.get(masses(id)).expect(200);
    expect(pick(list.body.items, 'massKg')).toEqual([84, 80, 78]);
  });

  test('a leap is questioned, and taken where it was looked at again', async () => {
    const { id } = await addPatient(clinic, {
      bodyMass: { massKg: 80, measuredOn: '2026-02-20' },
    });
    const leap = { massKg: 176, measuredOn: '2026-03-01' };
    const { status, body } = await clinic.as('front_desk').post(masses(id), leap);
    expect(status).toBe(422);
    expect(body.code).toBe('body-mass-implausible');
    expect(body.rule).toBe('R3');
    const sure = await clinic.as('front_desk').post(masses(id), { ...leap, confirmed: true });
    expect(sure.status).toBe(201);
    expect(sure.body).toMatchObject({ bodyMass: { massKg: 176 }, warnings: [] });
  });

  test('a day that has not come is refused even if confirmed', async () => {
    const { id } = await addPatient(clinic);
    const { status, body } = await clinic
      .as('front_desk')
      .post(masses(id), { massKg: 82, measuredOn: '2026-03-03', confirmed: true });
    expect(status).toBe(400);
    expect(body.code).toBe('day-in-future');
  });
});
