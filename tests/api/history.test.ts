/** The history of any record: who, when, the value before, and no more than the reader's role sees. */
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { contentSha256 } from '../../src/store/events.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  deliveredLimb,
  ok,
  refusedWith,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { readPdf } from '../support/pdf.ts';
import type { Role } from '../../src/domain/words.ts';

interface Entry {
  seq: number;
  at: string;
  by: string | null;
  kind: string;
  words: string;
  changes: { field: string; before: unknown; after: unknown }[];
  facts: { field: string; value: unknown }[];
  withheld: string[];
}
interface History {
  subject: { kind: string; id: string; name: string | null };
  items: Entry[];
  next: string | null;
  names: Record<string, string>;
}

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;

const history = (of: string, role: Role = 'auditor', query = '') =>
  ok<History>(clinic.as(role).get(`/api/v1/history/${of}${query}`));
const patched = async (role: Role, url: string, body: object): Promise<void> => {
  const { headers } = await clinic.as(role).get(url).expect(200);
  await ok(clinic.as(role).patch(url, body, headers['etag'] ?? ''));
};

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  const url = `/api/v1/patients/${limb.patientId}`;
  await patched('front_desk', url, { phone: '01 555 777' });
  clinic.clock.pass(5);
  await patched('front_desk', url, { phone: '01 555 778', birthDate: '1950-02-03' });
});
afterAll(() => clinic.close());

describe('the history of an order', () => {
  test('tells every step from its opening, the newest first, in pages', async () => {
    const whole = await history(`order/${limb.orderId}`, 'auditor', '?limit=200');
    expect(whole.subject).toEqual({ kind: 'order', id: limb.orderId, name: limb.number });
    const lastStage = whole.items.find(({ kind }) => kind === 'order.stage_changed');
    expect(lastStage?.changes).toEqual([
      { field: 'stage', before: 'delivery', after: 'delivered' },
    ]);
    expect(whole.items.at(-1)).toMatchObject({ kind: 'order.opened', words: 'order opened' });
    const seqs = whole.items.map(({ seq }) => seq);
    expect(seqs).toEqual([...seqs].sort((a, b) => b - a));
    const first = await history(`order/${limb.orderId}`, 'auditor', '?limit=7');
    const second = await history(
      `order/${limb.orderId}`,
      'auditor',
      `?limit=7&after=${first.next ?? ''}`,
    );
    expect([...first.items, ...second.items]).toEqual(whole.items.slice(0, 14));
    // Ids in it are told by name.
    expect(whole.names[limb.patientId]).toBe(limb.chartNumber);
  });

  test('a socket has its own part of it: operations, joints, lock check', async () => {
    const { items } = await history(`socket/${limb.socketId}`, 'technician', '?limit=200');
    const kinds = new Set(items.map(({ kind }) => kind));
    for (const kind of [
      'socket.started',
      'operation.done',
      'torque.confirmed',
      'socket.cured',
      'socket.delivered',
    ]) {
      expect(kinds).toContain(kind);
    }
    expect(items.find(({ kind }) => kind === 'socket.delivered')?.changes).toEqual(
      [{ field: 'state', before: 'accepted', after: 'delivered' }].map((change) => ({
        ...change,
        before: expect.any(String) as string,
      })),
    );
  });

  test('a lock has its moves, from place to place by name', async () => {
    const { items, names } = await history(`item/${limb.hardware.lock}`);
    const places = items
      .filter(({ kind }) => kind === 'custody.moved')
      .map(({ changes }) => names[String(changes[0]?.after)]);
    expect(places).toEqual([`${limb.number}/D1 lock`, `${limb.number}/C1 lock`, 'Drawer 1']);
  });
});

describe('the history of a patient', () => {
  const changedPhone = async (role: Role) =>
    (await history(`patient/${limb.patientId}`, role)).items.find(
      ({ kind }) => kind === 'patient.changed',
    );

  test('the desk reads the values before and after', async () => {
    expect(await changedPhone('front_desk')).toMatchObject({
      by: 'Fanni Desk of KL',
      at: '2026-03-02T09:05:00.000Z',
      words: 'patient’s particulars changed',
      changes: expect.arrayContaining([
        expect.objectContaining({ field: 'birthDate', after: '1950-02-03' }),
        { field: 'phone', before: '01 555 777', after: '01 555 778' },
      ]) as object,
      withheld: [],
    });
  });

  test('bench, auditor and administrator are told that it changed, and no more than they may see', async () => {
    for (const [role, sees, withheld] of [
      ['technician', [], ['birthDate', 'phone']],
      ['administrator', [], ['birthDate', 'phone']],
      ['auditor', ['birthDate'], ['phone']],
    ] as const) {
      const entry = await changedPhone(role);
      expect(entry?.changes.map(({ field }) => field)).toEqual(sees);
      expect([...(entry?.withheld ?? [])].sort()).toEqual(withheld);
    }
    const { text } = await clinic.as('technician').get(`/api/v1/history/patient/${limb.patientId}`);
    expect(text).not.toMatch(/555|1950-02-03|Inventum|Nomen/);
    for (const file of ['csv', 'json'] as const) {
      const url = `/api/v1/history/patient/${limb.patientId}/file.${file}`;
      const answer = await clinic.as('technician').get(url).buffer(true);
      expect(answer.text).not.toMatch(/555|1950-02-03|Inventum|Nomen/);
    }
  });

  test('who looked is told to who oversees, when it is asked', async () => {
    const kinds = async (role: Role, query: string) =>
      (await history(`patient/${limb.patientId}`, role, query)).items.map(({ kind }) => kind);
    expect(await kinds('auditor', '')).not.toContain('history.read');
    expect(await kinds('auditor', '?looks=yes')).toContain('history.read');
    expect(await kinds('front_desk', '?looks=yes')).not.toContain('history.read');
  });
});

describe('other records', () => {
  test.each([
    ['part', () => shop.parts.lock, 'part.added'],
    ['batch', () => shop.batches['resin'] ?? '', 'batch.received'],
    ['shop_tool', () => shop.wrench, 'shop_tool.added'],
    ['resin_product', () => shop.resinProduct, 'resin_product.added'],
    ['place', () => shop.bin, 'place.made'],
  ])('%s', async (kind, id, first) => {
    expect((await history(`${kind}/${id()}`)).items.at(-1)?.kind).toBe(first);
  });

  test('a clinic: a setting with its value before; money is for those who see costs', async () => {
    await patched('administrator', '/api/v1/clinic', {
      currency: 'EUR',
      labourRatePerHourMinor: 4200,
    });
    await patched('administrator', '/api/v1/clinic', { labourRatePerHourMinor: 4300 });
    const of = `clinic/${clinic.clinicId}`;
    expect((await history(of)).items[0]?.changes).toEqual([
      { field: 'labourRatePerHourMinor', before: 4200, after: 4300 },
    ]);
    expect((await history(of, 'technician')).items[0]).toMatchObject({
      changes: [],
      withheld: ['labourRatePerHourMinor'],
    });
  });

  test('sizes of labels: every version is one history', async () => {
    const sizes = {
      socket: { widthMm: 62, heightMm: 29 },
      model: { widthMm: 76, heightMm: 51 },
      bin: { widthMm: 100, heightMm: 50 },
    };
    for (const [basedOnVersion, marginMm] of [1.5, 2].entries()) {
      await ok(
        clinic
          .as('administrator')
          .post('/api/v1/label-sizes', { basedOnVersion, ...sizes, marginMm }),
      );
    }
    const [row] = await clinic.store.raw<{ id: string }>(
      'select id from label_sizes where clinic_id = $1 and version = 2',
      [clinic.clinicId],
    );
    const { items } = await history(`label_sizes/${row?.id ?? ''}`, 'technician');
    expect(items.map(({ words }) => words)).toEqual(Array(2).fill('sizes of the labels written'));
    expect(items[0]?.changes).toContainEqual({ field: 'marginMm', before: 1.5, after: 2 });
  });

  test('long work: for who asked and who oversees; for others it is not there', async () => {
    const { id } = await ok<{ id: string }>(
      clinic
        .as('prosthetist')
        .post('/api/v1/long-works', { kind: 'recall_of_many', of: 'lot', list: ['NO-LOT'] }),
    );
    for (const role of ['prosthetist', 'auditor', 'administrator'] as const) {
      const { items } = await history(`long_work/${id}`, role);
      expect(items.at(-1)).toMatchObject({ kind: 'long_work.asked', words: 'long work asked for' });
    }
    const desk = clinic.as('front_desk').get(`/api/v1/history/long_work/${id}`);
    expect((await refusedWith(desk, 'not-found')).status).toBe(404);
  });

  test('a route: its versions are one history, the operations before beside those after', async () => {
    const { items } = await ok<{
      items: {
        id: string;
        name: string;
        operations: object[];
        socketKind: string;
        suspension: string;
        version: number;
      }[];
    }>(clinic.as('administrator').get('/api/v1/routes'));
    const route = items.find(({ suspension }) => suspension === 'suction');
    const operations = (route?.operations ?? []).map(
      ({ seq: _, ...rest }: { seq?: number }) => rest,
    );
    const { socketKind, suspension } = route ?? {};
    await ok(
      clinic.as('administrator').post('/api/v1/routes', {
        name: 'With a second look',
        basedOnVersion: route?.version,
        socketKind,
        suspension,
        operations,
      }),
    );
    const [entry] = (await history(`route/${route?.id ?? ''}`)).items;
    expect(entry?.kind).toBe('route.written');
    expect(entry?.changes.find(({ field }) => field === 'name')).toEqual({
      field: 'name',
      before: route?.name,
      after: 'With a second look',
    });
  });

  test('a person: one’s own, and anybody’s for who oversees; an unknown record is not found', async () => {
    const tech = clinic.people.technician.id;
    await history(`person/${tech}`, 'technician');
    await history(`person/${tech}`, 'administrator');
    const others = clinic.as('prosthetist').get(`/api/v1/history/person/${tech}`);
    expect((await refusedWith(others, 'history-not-yours')).status).toBe(403);
    const nobody = clinic.as('auditor').get(`/api/v1/history/order/${tech}`);
    expect((await refusedWith(nobody, 'not-found')).status).toBe(404);
    const noKind = clinic.as('auditor').get(`/api/v1/history/horse/${tech}`);
    expect((await refusedWith(noKind, 'request-invalid')).status).toBe(400);
    const another = await clinic.another('AN');
    await refusedWith(
      another.as('auditor').get(`/api/v1/history/order/${limb.orderId}`),
      'not-found',
    );
  });
});

describe('as a file', () => {
  const url = () => `/api/v1/history/patient/${limb.patientId}/file`;

  test('CSV: a line a field, and nothing that a spreadsheet takes for a formula', async () => {
    await patched('front_desk', `/api/v1/patients/${limb.patientId}`, {
      address: '=HYPERLINK("x")',
    });
    const { text } = await clinic.as('front_desk').get(`${url()}.csv`).expect(200);
    const rows = parse<Record<string, string>>(text, { columns: true, record_delimiter: '\r\n' });
    expect(rows[0]).toMatchObject({
      who: 'Fanni Desk of KL',
      what: 'patient’s particulars changed',
      about: `patient ${limb.chartNumber}`,
      field: 'address',
      before: '',
      after: `'=HYPERLINK("x")`,
    });
    expect(rows.some(({ field, before }) => field === 'phone' && before === '01 555 777')).toBe(
      true,
    );
  });

  test('JSON: the answer as it is on the wire, with its time, version and hash', async () => {
    const { body } = await clinic.as('auditor').get(`${url()}.json`).expect(200);
    const { answer, answerSha256, ...about } = body as {
      answer: History;
      answerSha256: string;
    } & Record<string, unknown>;
    expect(about).toEqual({
      castbook: 'history',
      fileVersion: 1,
      clinic: 'Clinic KL',
      timeZone: 'Europe/Vienna',
      madeAt: clinic.clock.now().toISOString(),
      askedBy: 'Aurel Lens of KL',
    });
    expect(answerSha256).toBe(contentSha256(answer as never));
    expect(answer.items).toEqual((await history(`patient/${limb.patientId}`)).items);
  });

  test('PDF: read back, with a value before and one after', async () => {
    const { body } = await clinic.as('front_desk').get(`${url()}.pdf`).buffer(true).expect(200);
    const { words } = await readPdf(body as Buffer);
    expect(words).toContain('phone: 01 555 777 → 01 555 778');
  });
});
