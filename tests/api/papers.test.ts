/** Labels, the move slip and the papers of a delivery over HTTP. */
import type supertest from 'supertest';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  deliver,
  id,
  inPosition,
  limbToDeliver,
  move,
  ok,
  onBench,
  refusedWith,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { decodeCodes, readPdf, renderPage } from '../support/pdf.ts';

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await limbToDeliver(shop);
});
afterAll(() => clinic.close());

async function pdfOf(test: supertest.Test): Promise<Buffer> {
  const { status, body, headers } = await test.buffer(true).parse((response, done) => {
    const chunks: Buffer[] = [];
    response.on('data', (chunk: Buffer) => chunks.push(chunk));
    response.on('end', () => {
      done(null, Buffer.concat(chunks));
    });
  });
  expect(status, String(body)).toBe(200);
  expect(headers['content-type']).toBe('application/pdf');
  return body as Buffer;
}
const socketUrl = (paper: string): string => `/api/v1/sockets/${limb.socketId}/${paper}`;

describe('labels', () => {
  interface Sizes {
    version: number;
    socket: { widthMm: number; heightMm: number };
    createdBy: string | null;
  }
  const sizes = (): Promise<Sizes> => ok<Sizes>(clinic.as('technician').get('/api/v1/label-sizes'));
  const write = (body: object) => clinic.as('administrator').post('/api/v1/label-sizes', body);
  const ours = {
    socket: { widthMm: 62, heightMm: 29 },
    model: { widthMm: 76, heightMm: 51 },
    bin: { widthMm: 100, heightMm: 50 },
    marginMm: 1.5,
  };

  test('have starting sizes; an administrator’s are a new version, and one made from an old is refused', async () => {
    expect(await sizes()).toMatchObject({ version: 0, createdBy: null });
    const written = await ok<Sizes>(write({ basedOnVersion: 0, ...ours }));
    expect(written).toMatchObject({ ...ours, version: 1, createdBy: 'Ada Keys of KL' });
    expect(await sizes()).toEqual(written);
    await refusedWith(write({ basedOnVersion: 0, ...ours }), 'version-is-stale');
    const { body } = await refusedWith(
      write({ basedOnVersion: 1, ...ours, socket: { widthMm: 20, heightMm: 10 } }),
      'label-size-impossible',
    );
    expect(JSON.stringify(body['errors'])).toContain('/socket/heightMm');
    await refusedWith(
      clinic.as('prosthetist').post('/api/v1/label-sizes', { basedOnVersion: 1, ...ours }),
      'role-may-not',
    );
    const [event] = await clinic.store.raw<{ data: { before: object; after: object } }>(
      `select data from event where kind = 'label_sizes.written'`,
    );
    expect(event?.data.after).toEqual(ours);
    expect(event?.data.before).toMatchObject({ socket: { widthMm: 57, heightMm: 32 } });
  });

  test('two administrators at once: one version, and the other is told', async () => {
    const both = await Promise.all([1, 2].map(() => write({ basedOnVersion: 1, ...ours })));
    expect(both.map(({ status }) => status).toSorted()).toEqual([201, 412]);
    expect((await sizes()).version).toBe(2);
  });

  test('of socket, model and bin come on the clinic’s stock, each with its own code', async () => {
    const { number } = await ok<{ number: string }>(
      clinic.as('auditor').get(`/api/v1/sockets/${limb.socketId}`),
    );
    const label = await pdfOf(clinic.as('technician').get(`${socketUrl('label.pdf')}?copies=2`));
    const { pages } = await readPdf(label);
    expect(pages).toHaveLength(2);
    expect(pages[0]?.widthPt).toBeCloseTo((62 * 72) / 25.4, 1);
    const codeOn = async (pdf: Buffer) => decodeCodes(await renderPage(pdf, 1, 300 / 72));
    expect(await codeOn(label)).toEqual([`https://castbook.test/o/${number}`]);

    const { items } = await ok<{ items: { id: string }[] }>(
      clinic.as('technician').get(`/api/v1/orders/${limb.orderId}/casts`),
    );
    const model = await pdfOf(
      clinic.as('technician').get(`/api/v1/casts/${items[0]?.id ?? ''}/label.pdf`),
    );
    expect((await readPdf(model)).words).toMatch(
      /Model, cast 1, Mon 2 Mar 2026 CH-\d+ · N\.I\. LEFT/,
    );
    const bin = await pdfOf(clinic.as('technician').get(`/api/v1/places/${shop.bin}/label.pdf`));
    expect(await codeOn(bin)).toEqual([`https://castbook.test/p/${shop.bin}`]);
    await refusedWith(
      clinic.as('technician').get(`/api/v1/places/${limb.socketId}/label.pdf`),
      'not-found',
    );
    await refusedWith(
      clinic.as('technician').get(`${socketUrl('label.pdf')}?copies=51`),
      'request-invalid',
    );
  });

  test('lead, for who is not signed in, to a page that looks nothing up', async () => {
    const { number } = await ok<{ number: string }>(
      clinic.as('auditor').get(`/api/v1/sockets/${limb.socketId}`),
    );
    const scanned = await ok<{ number: string; order: string }>(
      clinic.stranger.get(`/o/${number}`),
    );
    expect(scanned).toEqual({ number, order: `/api/v1/orders/by-number/${limb.number}` });
    const page = await clinic.stranger.get(`/o/${number}`, { accept: 'text/html' });
    expect(page.text).toContain(`/bench/o/${number}`);
    await refusedWith(clinic.stranger.get(`/o/${limb.number}/Z9`), 'socket-number-mistyped');
    const place = await clinic.stranger.get(`/p/${shop.bin}`, { accept: 'text/html' });
    expect(place.text).toContain(`/bench/p/${shop.bin}`);
    await refusedWith(clinic.stranger.get('/p/drawer-one'), 'request-invalid');
  });
});

describe('the move slip', () => {
  test('tells every piece’s way into the socket and out, and what it opened', async () => {
    const pin = { itemId: limb.hardware.pin };
    const at = inPosition(limb.socketId, 'pin');
    await ok(move(shop, pin, at, onBench, 'taken_out_for_trimming'));
    await ok(move(shop, pin, onBench, at, 'put_back'));
    const { words } = await readPdf(
      await pdfOf(clinic.as('technician').get(socketUrl('move-slip.pdf'))),
    );
    expect(words).toContain('transferred');
    expect(words).toContain('taken out for trimming');
    expect(words).toContain('(gone on since)');
    expect(words).toMatch(/lock or pin moved after the last check/);
  });
});

describe('the papers of a delivery', () => {
  test('there are none before it is signed', async () => {
    for (const paper of ['delivery-record.pdf', 'wearer-sheet.pdf']) {
      const { status, body } = await refusedWith(
        clinic.as('prosthetist').get(socketUrl(paper)),
        'socket-not-delivered',
      );
      expect(status).toBe(422);
      expect(body['wayOut']).toContain('the delivery gate says what is missing');
    }
  });

  test('are read from what was signed, whatever moved since', async () => {
    const other = await limbToDeliver(shop);
    await ok(
      deliver(shop, other.orderId, other.socketId, {
        receivedByName: 'Mater Inventi',
        receivedByRelation: 'mother',
      }),
    );
    const url = (paper: string) => `/api/v1/sockets/${other.socketId}/${paper}`;
    const record = () =>
      pdfOf(clinic.as('prosthetist').get(url('delivery-record.pdf'))).then(readPdf);
    const before = await record();
    expect(before.words).toContain('Mater Inventi');
    expect(before.words).toMatch(/1 Shuttle lock, four-hole serial S\d+-1 lock/);
    const [signed] = await clinic.store.raw<{ content_sha256: string }>(
      `select g.content_sha256 from delivery d
       join signature g on g.clinic_id = d.clinic_id and g.id = d.signature_id where d.socket_id = $1`,
      [other.socketId],
    );
    expect(before.words).toContain(signed?.content_sha256);

    // Years of service: the lock is replaced.
    const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
      clinic.as('technician').post(`/api/v1/orders/${other.orderId}/service-visits`, {
        socketId: other.socketId,
        kind: 'part_replaced',
        note: 'Lock worn.',
      }),
    );
    await ok(
      move(
        shop,
        { itemId: other.hardware.lock },
        inPosition(other.socketId, 'lock'),
        onBench,
        'replaced_in_service',
        { serviceVisitId },
      ),
    );
    expect((await record()).words).toBe(before.words);

    const sheet = await pdfOf(clinic.as('front_desk').get(url('wearer-sheet.pdf'))).then(readPdf);
    expect(sheet.words).toContain('Your left leg, trans-tibial');
    expect(sheet.words).toMatch(/By \w{3} \d+ \w{3} 2026: we check every screw and the lock/);
  });

  test('say no more of the patient than the reader may see', async () => {
    const other = await limbToDeliver(shop);
    const { patientId } = other;
    const { version } = await ok<{ version: number }>(
      clinic.as('front_desk').get(`/api/v1/patients/${patientId}`),
    );
    await clinic
      .as('front_desk')
      .patch(
        `/api/v1/patients/${patientId}`,
        { address: '7 Invented Lane' },
        `"${String(version)}"`,
      )
      .expect(200);
    await ok(deliver(shop, other.orderId, other.socketId));
    const url = `/api/v1/sockets/${other.socketId}/delivery-record.pdf`;
    const seenBy = async (who: 'front_desk' | 'auditor') =>
      (await readPdf(await pdfOf(clinic.as(who).get(url)))).words;
    expect(await seenBy('front_desk')).toContain('7 Invented Lane');
    expect(await seenBy('auditor')).not.toContain('7 Invented Lane');
    for (const role of ['technician', 'administrator'] as const) {
      await refusedWith(clinic.as(role).get(url), 'role-may-not');
    }
  });
});

test('an id of another clinic finds nothing', async () => {
  const theirs = await clinic.another('THR');
  const them = theirs.as('prosthetist');
  for (const paper of ['label.pdf', 'move-slip.pdf', 'delivery-record.pdf', 'wearer-sheet.pdf']) {
    await refusedWith(them.get(socketUrl(paper)), 'not-found');
  }
  await refusedWith(them.get(`/api/v1/places/${shop.bin}/label.pdf`), 'not-found');
  const bin = await id(theirs.as('administrator').post('/api/v1/places', { name: 'Their drawer' }));
  await pdfOf(them.get(`/api/v1/places/${bin}/label.pdf`));
});
