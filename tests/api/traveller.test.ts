/** The traveller of a real order, printed while the work goes on. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parseOrderLink } from '../../src/domain/orderLink.ts';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  inPosition,
  laidUpWithoutLock,
  makeRecipe,
  makeSocket,
  move,
  ok,
  onBench,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  torque,
  transferTo,
  type Hardware,
  type Shop,
} from '../support/job.ts';
import { decodeCodes, readPdf, renderPage, type ReadPdf } from '../support/pdf.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const url = (orderId: string, query = ''): string =>
  `/api/v1/orders/${orderId}/traveller.pdf${query}`;

async function printed(orderId: string, query = '', role: Role = 'technician'): Promise<Buffer> {
  const answer = await clinic
    .as(role)
    .get(url(orderId, query))
    .buffer(true)
    .parse((response, done) => {
      const chunks: Buffer[] = [];
      response.on('data', (chunk: Buffer) => chunks.push(chunk));
      response.on('end', () => {
        done(null, Buffer.concat(chunks));
      });
    });
  expect(answer.status).toBe(200);
  expect(answer.headers['content-type']).toBe('application/pdf');
  expect(answer.headers['content-disposition']).toMatch(/filename="traveller-[\w-]+\.pdf"/);
  return answer.body as Buffer;
}

const read = async (orderId: string): Promise<ReadPdf> => readPdf(await printed(orderId));

describe('a traveller just after the order was opened', () => {
  it('opens its order by the code, on the clinic’s paper or the one asked for', async () => {
    const { orderId, number } = await openedOrder(shop);
    for (const [query, widthPt] of [
      ['', 595.28],
      ['?paper=A4', 595.28],
      ['?paper=Letter', 612],
    ] as const) {
      const pdf = await printed(orderId, query);
      const [code = ''] = await decodeCodes(await renderPage(pdf, 1));
      expect(code).toBe(`https://castbook.test/o/${number}`);
      const link = parseOrderLink(code);
      expect(link).toEqual({ ok: true, value: number });
      const opened = await ok<{ id: string }>(
        clinic.as('technician').get(`/api/v1/orders/by-number/${number}`),
      );
      expect(opened.id).toBe(orderId);
      // What a camera does with the code: it follows the link, on this service.
      const followed = await ok<{ number: string; order: string }>(
        clinic.stranger.get(new URL(code).pathname),
      );
      expect(followed.number).toBe(number);
      expect((await ok<{ id: string }>(clinic.as('technician').get(followed.order))).id).toBe(
        orderId,
      );
      expect((await readPdf(pdf)).pages[0]?.widthPt).toBeCloseTo(widthPt, 1);
    }
  });

  it('a mistyped number after the code’s address is refused, and a good one says nothing of the order', async () => {
    const { number } = await openedOrder(shop);
    const last = number.slice(-1);
    const mistyped = number.slice(0, -1) + (last === 'A' ? 'B' : 'A');
    expect((await clinic.stranger.get(`/o/${mistyped}`)).body).toMatchObject({
      code: 'order-number-mistyped',
    });
    const page = await clinic.stranger.get(`/o/${number}`, { accept: 'text/html' });
    expect(page.headers['content-type']).toContain('text/html');
    expect(page.text).toContain(`Order ${number}`);
  });

  it('follows the clinic when it changes its paper', async () => {
    const { orderId } = await openedOrder(shop);
    const admin = clinic.as('administrator');
    const before = await admin.get('/api/v1/clinic');
    const changed = await admin.patch(
      '/api/v1/clinic',
      { paper: 'Letter' },
      String(before.headers['etag']),
    );
    expect(changed.status).toBe(200);
    expect((await read(orderId)).pages[0]?.widthPt).toBeCloseTo(612, 1);
    await admin.patch('/api/v1/clinic', { paper: 'A4' }, String(changed.headers['etag']));
  });

  it('tells nobody who the patient is, whoever prints it', async () => {
    const desk = clinic.as('front_desk');
    const { id: patientId } = await ok<{ id: string }>(
      desk.post('/api/v1/patients', {
        chartNumber: 'PRIV-77',
        givenName: 'Quintessa',
        familyName: 'Zwolenkamp',
        birthDate: '1957-08-23',
        phone: '+43 1 5550188',
        address: 'Unbekannte Zeile 19',
        bodyMass: { massKg: 71, measuredOn: '2026-03-01' },
      }),
    );
    const { id: orderId } = await ok<{ id: string }>(
      desk.post('/api/v1/orders', {
        patientId,
        side: 'right',
        level: 'trans_femoral',
        suspension: 'suction',
        functionalLevel: 'K2',
        note: 'Call Quintessa at home',
      }),
    );
    for (const role of ['technician', 'front_desk', 'prosthetist', 'auditor'] as const) {
      const pdf = await printed(orderId, '', role);
      const { words, info } = await readPdf(pdf);
      expect(words).toContain('Chart PRIV-77 · Q.Z.');
      expect(words).toContain('RIGHT the patient’s right leg');
      const said = `${words} ${JSON.stringify(info)} ${pdf.toString('latin1')}`;
      for (const secret of ['Quintessa', 'Zwolenkamp', 'Unbekannte']) {
        expect(said, role).not.toContain(secret);
      }
      for (const secret of ['1957', '23 Aug', '5550188']) expect(words, role).not.toContain(secret);
    }
  });
});

describe('a traveller while the work goes on', () => {
  let order: { orderId: string; number: string; patientId: string };
  let check: { socketId: string; hardware: Hardware };
  let definitiveId: string;

  beforeAll(async () => {
    order = await openedOrder(shop);
    await acceptedCast(shop, order.orderId);
    check = await checkSocketOnTheLimb(shop, order.orderId);
  });

  it('shows cast, check socket, hardware from its bin, and what was answered', async () => {
    const { words } = await read(order.orderId);
    expect(words).toContain('Cast 1 Plaster, taken Mon 2 Mar 2026, accepted; limb 165 mm long');
    expect(words).toContain('160 338 120 321 80 297 40 268 0 232');
    expect(words).toContain(`Check socket ${order.number}/C1`);
    expect(words).toMatch(
      /Lock Shuttle lock, four-hole \(INV-lock\) rated 125 kg serial S\d+-1 lot L\d+ bin: Drawer 1/,
    );
    expect(words).toMatch(/How thick is the sheet\? \(9 to 16 mm\) 12 mm/);
    expect(words).toMatch(/Which batch is the sheet from\? lot THE-\d+/);
    expect(words).toContain('13.5 to 16.5 N·m');
    expect(words).toContain('Invented sheet 7, revision C');
    expect(words).toMatch(
      /Confirmed \w{3} \d+ \w{3} \d{4} \d\d:\d\d by .+, tool Torque wrench 1, threadlocker lot THR-\d+/,
    );
    expect(words).toMatch(/At least 4 clicks Passed .+: 6, 6 clicks/);
    expect(words).not.toContain('Open findings');
  });

  it('shows the definitive socket waiting for its lock', async () => {
    await ok(acceptFit(shop, check.socketId));
    definitiveId = await definitiveAwaitingLock(shop, order.orderId);
    const { words } = await read(order.orderId);
    expect(words).toContain(`Definitive socket ${order.number}/D1`);
    expect(words).toContain('Lock to be put in');
    expect(words).toContain('Pyramid or adapter to be put in');
    expect(words).toMatch(/Which batch of fabric\? lot FAB-\d+/);
    expect(words).toContain('Least clicks: known when lock and pin are in');
    expect(words).toContain(`Accepted on ${order.number}/C1`);
  });

  it('says after the transfer where each part came from, and that nothing is confirmed yet', async () => {
    await transferTo(shop, check.socketId, definitiveId, check.hardware);
    const { words } = await read(order.orderId);
    expect(words).toMatch(new RegExp(`Lock Shuttle lock.+? socket: ${order.number}/C1`));
    expect(words).toMatch(
      /Distal screws Screw set M6, four \(INV-distal_screws\) SINGLE USE.+? bin: Drawer 1/,
    );
    expect(words).toContain('OPEN: never torqued on this socket.');
    expect(words).toContain('OPEN: never checked on this socket.');
    expect(words).not.toContain('to be put in');
    // Only the spent single-use parts are left in the check socket: it is a line among the sockets.
    expect(words).toContain(`${order.number}/C1 check accepted`);
    expect(words).not.toContain(`Hardware in ${order.number}/C1`);
  });

  it('opens the joint again when the lock was out for trimming, and still knows its origin', async () => {
    await ok(torque(shop, definitiveId));
    expect((await read(order.orderId)).words).toContain('tool Torque wrench 1');
    const thing = { itemId: check.hardware.lock };
    const inIt = inPosition(definitiveId, 'lock');
    await ok(move(shop, thing, inIt, onBench, 'taken_out_for_trimming'));
    await ok(move(shop, thing, onBench, inIt, 'put_back'));
    const { words } = await read(order.orderId);
    expect(words).toContain('OPEN: a part of it moved after the last torque confirmation.');
    expect(words).not.toContain('tool Torque wrench 1');
    expect(words).toMatch(new RegExp(`Lock Shuttle lock.+? socket: ${order.number}/C1`));
  });

  it('names open findings, and a body mass over a rating', async () => {
    await ok(
      clinic.as('technician').post(`/api/v1/sockets/${definitiveId}/findings`, {
        kind: 'rattle',
        note: 'The button rattles when the socket is shaken.',
      }),
    );
    await ok(
      clinic.as('technician').post(`/api/v1/patients/${order.patientId}/body-masses`, {
        massKg: 131,
        confirmed: true,
        measuredOn: '2026-03-02',
      }),
    );
    const { words } = await read(order.orderId);
    expect(words).toContain('Rattle');
    expect(words).toContain('The button rattles when the socket is shaken.');
    expect(words).toContain('Body mass, Mon 2 Mar 2026 131 kg');
    expect(words).toContain('is rated for 125 kg; the patient weighs 131 kg');
  });
});

it('keeps the hardware of a refused check socket in sight until it moves on', async () => {
  const { orderId, number } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const check = await checkSocketOnTheLimb(shop, orderId);
  await ok(
    clinic.as('prosthetist').post(`/api/v1/sockets/${check.socketId}/fit-rejection`, {
      reasons: ['too_tight'],
      areas: [],
      nextStep: 'another_check_socket',
    }),
  );
  const second = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
  const { words } = await read(orderId);
  expect(words).toContain(`Hardware in ${number}/C1`);
  expect(words).not.toContain(`Operations on ${number}/C1`);
  expect(words).toContain(`Operations on ${second.number}`);
});

it('frames a recipe as soon as its layup has given way to another', async () => {
  const socketId = await laidUpWithoutLock(shop);
  await ok(makeRecipe(shop, socketId));
  const { order } = await readSocket(shop, socketId);
  const orderId = order.id;
  const fresh = await read(orderId);
  expect(fresh.words).toContain('Resin to weigh');
  expect(fresh.words).toMatch(/no more than \d+ g in one/);
  const tech = clinic.as('technician');
  const { lines } = await ok<{ lines: object[] }>(
    tech.get(`/api/v1/sockets/${socketId}/layup/proposal`),
  );
  await ok(tech.post(`/api/v1/sockets/${socketId}/layups`, { lines, why: 'Cut anew' }));
  const { words } = await read(orderId);
  expect(words).toContain('Not approved by signature yet: nothing is cut by it.');
  expect(words).toContain('For layup 1, which no longer stands: weigh nothing by it.');
  expect(words).not.toContain('to weigh');
});

it('refuses other papers, and knows no order of another clinic', async () => {
  const { orderId } = await openedOrder(shop);
  const tech = clinic.as('technician');
  expect(
    (await refusedWith(tech.get(url(orderId, '?paper=A5')), 'field-not-a-choice')).status,
  ).toBe(400);
  const another = await clinic.another('AN');
  const foreign = await refusedWith(another.as('technician').get(url(orderId)), 'not-found');
  expect(foreign.status).toBe(404);
  expect((await clinic.stranger.get(url(orderId))).status).toBe(401);
});
