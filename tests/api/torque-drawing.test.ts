/** Joints drawn (C4): the order of tightening, the passes with their values, and what to mind. */
import { loadImage } from '@napi-rs/canvas';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { tighteningOrder } from '../../src/domain/fasteners.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  inPosition,
  makeSocket,
  move,
  ok,
  onBench,
  openedOrder,
  refusedWith,
  stockedShop,
  type Hardware,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
let socketId: string;
let hardware: Hardware;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  ({ socketId, hardware } = await checkSocketOnTheLimb(shop, orderId));
});
afterAll(() => clinic.close());

const svgAt = async (url: string): Promise<string> => {
  const { status, headers, body } = await clinic
    .as('technician')
    .get(url)
    .buffer(true)
    .parse((response, done) => {
      const chunks: Buffer[] = [];
      response.on('data', (chunk: Buffer) => chunks.push(chunk));
      response.on('end', () => {
        done(null, Buffer.concat(chunks));
      });
    });
  expect(status).toBe(200);
  expect(headers['content-type']).toBe('image/svg+xml; charset=utf-8');
  return (body as Buffer).toString('utf8');
};
/** The words of a drawing in the order in which they were drawn. */
const textsOf = (svg: string): string[] =>
  [...svg.matchAll(/<text [^>]*>([^<]*)<\/text>/g)].map(([, text]) => text ?? '');
const drawingOf = (joint: string, socket = socketId) =>
  `/api/v1/sockets/${socket}/joints/${joint}/drawing.svg`;

describe('the order of tightening', () => {
  test.each([1, 2, 3, 4, 5, 6, 7, 8])(
    'of %d screws is drawn screw by screw, with the three passes as shares',
    async (count) => {
      const svg = await svgAt(`/api/v1/torque/joint.svg?fasteners=${String(count)}`);
      const texts = textsOf(svg);
      const order = tighteningOrder(count);
      // Each screw's number stands before the step in which it is tightened.
      const steps = ['1st', '2nd', '3rd', '4th', '5th', '6th', '7th', '8th'].slice(0, count);
      expect(steps.map((step) => Number(texts[texts.indexOf(step) - 1]))).toEqual(order);
      expect(texts).toContain('Pass 1, snug: about 30 % of the setting');
      expect(texts).toContain('Pass 2, half: about 50 % of the setting');
      expect(texts).toContain('Pass 3, full: within the band of the setting');
      // An arrow's head for each step from one screw to the next.
      expect([...svg.matchAll(/fill="#000000" stroke="none"/g)]).toHaveLength(count - 1);
      expect(svg).not.toMatch(/lateral/);
      // Another program takes it for an image of that size.
      const image = await loadImage(Buffer.from(svg));
      expect(image.width).toBeGreaterThan(image.height);
    },
  );

  test('says which edge is lateral: seen from below, a left leg’s is on the right', async () => {
    const xOf = async (side: string): Promise<number> => {
      const svg = await svgAt(`/api/v1/torque/joint.svg?fasteners=4&side=${side}`);
      return Number(/<text x="([\d.]+)"[^>]*>lateral/.exec(svg)?.[1]);
    };
    expect(await xOf('left')).toBeGreaterThan(await xOf('right'));
  });

  test.each(['', '?fasteners=0', '?fasteners=9', '?fasteners=4&side=both', '?fasteners=2.5'])(
    'is not drawn for "%s"',
    async (query) => {
      await refusedWith(
        clinic.as('technician').get(`/api/v1/torque/joint.svg${query}`),
        'request-invalid',
      );
    },
  );
});

describe('a joint of a socket', () => {
  test('is drawn with the passes in N·m, its document and revision, and what to mind', async () => {
    const svg = await svgAt(drawingOf('distal'));
    const words = textsOf(svg).join(' ');
    // The band is 13.5 to 16.5 N·m: 30 % and 50 % of its middle, 15 N·m.
    expect(words).toContain('13.5 to 16.5 N·m');
    expect(words).toContain('119.5 to 146 lbf·in');
    expect(words).toContain('Pass 1, snug: about 4.5 N·m');
    expect(words).toContain('Pass 2, half: about 7.5 N·m');
    expect(words).toContain('Pass 3, full: within 13.5 to 16.5 N·m');
    expect(words).toContain('Order 1 – 3 – 2 – 4, in each pass');
    expect(words).toContain('Setting of Pyramid, four-hole: Invented sheet 7, revision C');
    expect(words).toContain('4 × M6, class 12.9');
    expect(words).toContain('Threadlocker: REQUIRED');
    expect(words).toContain('The screws are single-use');
    // F = 16.5 N·m / (K · 6 mm) for K 0.2 and 0.15 is 13 750 and 18 333 N, of 19 500 N.
    expect(words).toMatch(/13[78]00 to 18300 N: 71 to 94 %/);
    expect(words).toContain('Confirmed.');
    expect(words).toMatch(/Distal joint of KL-26-\d+-\w\/C1/);
    const description = /<desc>([^<]*)<\/desc>/.exec(svg)?.[1] ?? '';
    for (const said of ['order 1, 3, 2, 4', 'about 7.5 N·m', 'Invented sheet 7', 'single-use']) {
      expect(description).toContain(said);
    }
    expect((await loadImage(Buffer.from(svg))).width).toBeGreaterThan(500);
  });

  test('says that it is open as soon as a part of it has moved', async () => {
    const pyramid = { itemId: hardware.pyramid };
    const position = inPosition(socketId, 'pyramid');
    await ok(move(shop, pyramid, position, onBench, 'taken_out_for_trimming'));
    await refusedWith(clinic.as('technician').get(drawingOf('distal')), 'not-found');
    await ok(move(shop, pyramid, onBench, position, 'put_back'));
    const words = textsOf(await svgAt(drawingOf('distal'))).join(' ');
    expect(words).toContain('OPEN: a part of it moved after the last torque confirmation.');
    expect(words).not.toContain('Confirmed.');
  });

  test('that the socket does not have is not there to be drawn', async () => {
    const { status } = await refusedWith(
      clinic.as('technician').get(drawingOf('release_valve')),
      'not-found',
    );
    expect(status).toBe(404);
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const empty = await makeSocket(shop, orderId, { kind: 'check' });
    await refusedWith(clinic.as('technician').get(drawingOf('distal', empty.id)), 'not-found');
    await refusedWith(clinic.as('technician').get(drawingOf('knee')), 'request-invalid');
    const other = await clinic.another('OTH');
    await refusedWith(other.as('technician').get(drawingOf('distal')), 'not-found');
  });
});
