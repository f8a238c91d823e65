/** A telephone and an address, entered, changed, said and asked for by every way: no byte of them stands anywhere. */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { expect, test } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import { openEmbedded } from '../../src/store/embedded.ts';
import { migrate } from '../../src/store/migrate.ts';
import { withPrisma } from '../../src/store/open.ts';
import { clinicOn, TestClock } from '../support/clinic.ts';
import { testCipher } from '../support/columnKeys.ts';
import { addPatient, openOrder } from '../support/orders.ts';
import { tableNames } from '../support/plainSql.ts';

const PHONES = ['+43 660 7318 2946', '+43 660 7318 2947'];
const ADDRESSES = ['Quillwort Passage 7318', 'Quillwort Passage 7319'];
const SAID = 'reach her at Quillwort Passage, or 7318 2946';
const GIVEN = [...PHONES, ...ADDRESSES, SAID, '43660731829', 'Quillwort'];

test('neither in a column of any table nor in a file of the data folder', async () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-plain-'));
  const store = withPrisma(await openEmbedded(folder), testCipher);
  await migrate(store);
  const clock = new TestClock('2026-03-02T09:00:00Z');
  const logLines: string[] = [];
  const app = await buildApp({
    store,
    config: {
      jwtSecret: randomBytes(48).toString('base64'),
      publicUrl: 'https://castbook.test',
      trustProxy: false,
      requestsPerMinute: 1_000_000,
      signInsPerMinute: 1_000_000,
    },
    log: makeLog('trace', { write: (line) => void logLines.push(line) }),
    now: clock.now,
  });
  const address = await app.listen({ port: 0, host: '127.0.0.1' });
  const close = () => app.close();
  const clinic = await clinicOn(
    { app, store, clock, address, logLines, close },
    'KL',
    'Europe/Vienna',
  );
  const desk = clinic.as('front_desk');

  const { id } = await addPatient(clinic, { phone: PHONES[0], address: ADDRESSES[0] });
  const url = `/api/v1/patients/${id}`;
  const { headers } = await desk.get(url).expect(200);
  const change = { phone: PHONES[1], address: ADDRESSES[1] };
  await desk.patch(url, change, headers['etag'] ?? '').expect(200);
  const { id: orderId } = await openOrder(clinic, { patientId: id });
  const booked = await desk.post('/api/v1/appointments', {
    patientId: id,
    orderId,
    prosthetistId: clinic.people.prosthetist.id,
    purpose: 'service',
    startsAt: '2026-03-09T09:00:00Z',
    note: SAID,
  });
  expect(booked.status, JSON.stringify(booked.body)).toBe(201);
  const { appointment } = booked.body as { appointment: { id: string } };
  const called = await desk.post(`/api/v1/appointments/${appointment.id}/mark`, {
    state: 'called_off',
    why: SAID,
  });
  expect(called.status, JSON.stringify(called.body)).toBeLessThan(300);
  for (const text of ['7318 2947', 'Quillwort']) {
    await desk.post('/api/v1/search', { text }).expect(200);
  }
  const read = await desk.get(url).expect(200);
  expect(read.body).toMatchObject(change);

  for (const table of await tableNames(store)) {
    const rows = await store.raw<{ row: string }>(`select t::text as row from "${table}" t`);
    for (const { row } of rows) {
      for (const text of GIVEN) expect(row.includes(text), `${table}: ${row}`).toBe(false);
    }
  }
  for (const line of logLines) for (const text of GIVEN) expect(line).not.toContain(text);

  await app.close();
  await store.raw('checkpoint');
  await store.close();
  const found: string[] = [];
  for (const entry of fs.readdirSync(folder, { recursive: true, encoding: 'utf8' })) {
    const file = path.join(folder, entry);
    if (!fs.statSync(file).isFile()) continue;
    const bytes = fs.readFileSync(file);
    for (const text of GIVEN) if (bytes.includes(text)) found.push(`${entry}: ${text}`);
  }
  expect(found).toEqual([]);
  // What is not kept encrypted is found: the look goes into the files where rows stand.
  const rows = fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((entry) => fs.statSync(path.join(folder, entry)).isFile())
    .filter((entry) => fs.readFileSync(path.join(folder, entry)).includes('patient.added'));
  expect(rows.length).toBeGreaterThan(0);
  fs.rmSync(folder, { recursive: true, force: true });
}, 300_000);
