/**
 * Files that are two things at once. A picture is what its bytes say, is kept byte for byte,
 * and goes out as that and nothing else: no name or type that was sent is believed.
 */
import { deflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { acceptedCast, checkSocketOnTheLimb, openedOrder, stockedShop } from '../support/job.ts';
import { picture } from '../support/pictures.ts';

// A shop is stocked first, on machines that may be busy.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 300_000 });

let clinic: TestClinic;
let socketId = '';
beforeAll(async () => {
  clinic = await testClinic();
  const shop = await stockedShop(clinic);
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  ({ socketId } = await checkSocketOnTheLimb(shop, orderId));
});
afterAll(() => clinic.close());

const report = (bytes: Buffer) =>
  clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
    kind: 'rattle',
    note: 'It rattles.',
    photos: [{ base64: bytes.toString('base64') }],
  });

/** CRC-32 of PNG (ISO 3309), bit by bit. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}

function chunk(type: string, data: Uint8Array): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  const crc = Buffer.alloc(4);
  crc.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, crc]);
}

/** A whole PNG of that size, all black, that packs to nearly nothing. */
function blackPng(widthPx: number, heightPx: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(widthPx, 0);
  header.writeUInt32BE(heightPx, 4);
  header.set([1, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc((Math.ceil(widthPx / 8) + 1) * heightPx);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', new Uint8Array()),
  ]);
}

const HTML = '<html><script>alert(1)</script></html>';
const jpeg = picture().bytes;

describe('what is not a picture, whatever it calls itself', () => {
  test.each<[string, Buffer]>([
    [
      'a drawing with a script',
      Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'),
    ],
    ['a page', Buffer.from(HTML)],
    ['a page that begins like a GIF', Buffer.from(`GIF89a/*${HTML}*/`)],
    ['a paper', Buffer.from('%PDF-1.7\n1 0 obj<</JS(alert)>>')],
    ['an archive', Buffer.from('PK\u0003\u0004 and so on')],
    ['a program', Buffer.from('\u007fELF and so on')],
    [
      'the beginning of a JPEG, then a page',
      Buffer.concat([jpeg.subarray(0, 20), Buffer.from(HTML)]),
    ],
    ['nothing', Buffer.alloc(0)],
  ])('%s is refused', async (_what, bytes) => {
    const { status, body } = await report(bytes);
    expect([400, 422]).toContain(status);
    expect(body.code).toMatch(/^picture-|^request-invalid$/);
  });

  test('a picture of a few bytes that would fill the memory when drawn', async () => {
    const bomb = blackPng(30_000, 30_000);
    expect(bomb.length).toBeLessThan(200_000);
    expect((await report(bomb)).body.code).toBe('picture-edge-too-long');
  });

  test('edges that overflow', async () => {
    const huge = blackPng(8, 8);
    huge.writeUInt32BE(0xffffffff, 16);
    expect((await report(huge)).body.code).toMatch(/^picture-/);
  });
});

describe('a picture with something behind it', () => {
  test.each<[string, Buffer]>([
    ['a page after the end of a JPEG', Buffer.concat([jpeg, Buffer.from(HTML)])],
    ['a page after the end of a PNG', Buffer.concat([blackPng(8, 8), Buffer.from(HTML)])],
    ['an archive after the end of a JPEG', Buffer.concat([jpeg, Buffer.from('PK\u0003\u0004')])],
  ])('%s is refused, or goes out as a picture that runs nothing', async (_what, bytes) => {
    const { status, body } = await report(bytes);
    if (status >= 400) {
      expect(body.code).toMatch(/^picture-/);
      return;
    }
    const { body: list } = await clinic.as('technician').get(`/api/v1/sockets/${socketId}/photos`);
    const newest = (list as { items: { id: string }[] }).items.at(-1);
    const { headers } = await clinic.as('technician').get(`/api/v1/photos/${newest?.id ?? ''}`);
    expect(headers['content-type']).toMatch(/^image\/(jpeg|png)$/);
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['content-security-policy']).toContain('sandbox');
    expect(headers['content-disposition']).toMatch(/^inline; filename="photo-[\w-]+\.(jpg|png)"$/);
  });
});
