/** Photos of findings, and operations that ask for a photo or a scan. */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PICTURE_LIMIT_BYTES, PICTURES_MOST } from '../../src/domain/pictures.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  makeSocket,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  sealedWithoutLock,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import { picture } from '../support/pictures.ts';
import { readPdf } from '../support/pdf.ts';

let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

interface PhotoBody {
  readonly id: string;
  readonly findingId: string | null;
  readonly operationId: string | null;
  readonly of: string;
  readonly sha256: string;
  readonly byteCount: number;
  readonly [field: string]: unknown;
}
const sha256 = (bytes: Buffer): string => createHash('sha256').update(bytes).digest('hex');
const report = (socketId: string, body: object, key?: string) =>
  clinic
    .as('technician')
    .post(
      `/api/v1/sockets/${socketId}/findings`,
      { kind: 'crack', note: 'Hairline across the distal end.', ...body },
      key === undefined ? {} : { key },
    );
const photosOf = async (socketId: string): Promise<readonly PhotoBody[]> =>
  (
    await ok<{ items: PhotoBody[] }>(
      clinic.as('technician').get(`/api/v1/sockets/${socketId}/photos`),
    )
  ).items;
const file = (url: string, who: 'auditor' | 'front_desk' = 'auditor') =>
  clinic
    .as(who)
    .get(url)
    .buffer(true)
    .parse((answer, done) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () => {
        done(null, Buffer.concat(parts));
      });
    });

const read = (id: string, who?: 'front_desk') => file(`/api/v1/photos/${id}`, who);
const wordsOf = async (url: string): Promise<string> => {
  const { status, body } = await file(url);
  expect(status).toBe(200);
  return (await readPdf(body as Buffer)).words;
};

describe('a finding with photos', () => {
  it('keeps them in one act, byte for byte, and gives them back as what they are', async () => {
    const socketId = await sealedWithoutLock(shop);
    const sent = [picture(1), picture(2, 'image/png'), picture(3, 'image/webp')];
    const { findingId } = await ok<{ findingId: string }>(
      report(socketId, { photos: sent.map(({ base64 }) => ({ base64 })) }),
    );
    const kept = await photosOf(socketId);
    expect(kept).toMatchObject(
      sent.map(({ bytes }, at) => ({
        findingId,
        operationId: null,
        of: 'Hairline across the distal end.',
        mediaType: ['image/jpeg', 'image/png', 'image/webp'][at],
        widthPx: 160,
        heightPx: 120,
        byteCount: bytes.length,
        sha256: sha256(bytes),
        takenBy: clinic.people.technician.caller.printedName,
      })),
    );
    for (const [at, { id }] of kept.entries()) {
      const answer = await read(id);
      expect(answer.status).toBe(200);
      expect(Buffer.compare(answer.body as Buffer, sent[at]?.bytes ?? Buffer.of())).toBe(0);
      expect(answer.headers).toMatchObject({
        'content-type': ['image/jpeg', 'image/png', 'image/webp'][at],
        'content-disposition': `inline; filename="photo-${id}.${['jpg', 'png', 'webp'][at] ?? ''}"`,
        'x-content-type-options': 'nosniff',
        'cache-control': 'no-store',
      });
    }
    // The event of the finding vouches for them.
    const [event] = await clinic.store.raw<{ data: { photos: object[] } }>(
      `select data from event where subject_id = $1 and kind = 'finding.opened'`,
      [findingId],
    );
    expect(event?.data.photos).toEqual(kept.map(({ id, sha256: sha }) => ({ id, sha256: sha })));
  });

  it('sent twice under one key keeps them once; with another picture it is another request', async () => {
    const socketId = await sealedWithoutLock(shop);
    const body = { photos: [{ base64: picture(4).base64 }] };
    const first = await report(socketId, body, 'once-with-photo');
    const again = await report(socketId, body, 'once-with-photo');
    expect([first.status, again.status]).toEqual([201, 201]);
    expect(again.body).toEqual(first.body);
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect(await photosOf(socketId)).toHaveLength(1);
    await refusedWith(
      report(socketId, { photos: [{ base64: picture(5).base64 }] }, 'once-with-photo'),
      'idempotency-key-reused',
    );
  });

  it('is refused whole where one of them is none, beside the one to blame', async () => {
    const socketId = await sealedWithoutLock(shop);
    const good = { base64: picture().base64 };
    const whole = picture(6).bytes;
    const exif = Buffer.concat([
      whole.subarray(0, 2),
      Buffer.from([0xff, 0xe1, 0, 8, ...Buffer.from('Exif\0\0')]),
      whole.subarray(2),
    ]);
    const large = Buffer.concat([
      whole.subarray(0, -2),
      Buffer.alloc(PICTURE_LIMIT_BYTES),
      whole.subarray(-2),
    ]);
    for (const [bytes, code, words] of [
      [Buffer.from('%PDF-1.7 named picture.jpg'), 'picture-unreadable', 'no JPEG, PNG or WebP'],
      [whole.subarray(0, 400), 'picture-truncated', 'part of it was lost on the way'],
      [exif, 'picture-tells-more', 'perhaps where it was taken'],
      [large, 'picture-too-large', '1048576 are kept at most'],
    ] as const) {
      const { body } = await report(socketId, {
        photos: [good, { base64: bytes.toString('base64') }],
      }).expect(400);
      expect(body).toMatchObject({ code, errors: [{ code, pointer: '/photos/1/base64' }] });
      expect(body.detail).toContain(words);
      expect(body.wayOut).not.toBe('');
    }
    for (const [base64, code] of [
      ['not base64!', 'field-malformed'],
      [good.base64.slice(0, -1), 'field-malformed'],
      ['', 'field-out-of-range'],
    ] as const) {
      const { body } = await report(socketId, { photos: [{ base64 }] }).expect(400);
      expect(body.errors).toMatchObject([{ code, pointer: '/photos/0/base64' }]);
    }
    const five = Array.from({ length: PICTURES_MOST + 1 }, () => good);
    const { body } = await report(socketId, { photos: five }).expect(400);
    expect(body.errors).toMatchObject([{ code: 'field-out-of-range', pointer: '/photos' }]);
    expect(await photosOf(socketId)).toEqual([]);
    expect((await readSocket(shop, socketId)).openFindings).toEqual([]);
  });

  it('a body past its own limit is refused with that limit, and other routes keep theirs', async () => {
    const socketId = await sealedWithoutLock(shop);
    const { body } = await report(socketId, { note: 'x'.repeat(7_000_000) }).expect(413);
    expect(body).toMatchObject({ code: 'body-too-large' });
    expect(body.facts.limitBytes).toBeGreaterThan(PICTURES_MOST * PICTURE_LIMIT_BYTES);
    const elsewhere = await clinic
      .as('technician')
      .post(`/api/v1/sockets/${socketId}/resin-recipes`, { productId: 'x'.repeat(2_000_000) })
      .expect(413);
    expect(elsewhere.body.facts).toEqual({ limitBytes: 1_048_576 });
  });

  it('shows no limb to the front desk, and nothing to another clinic', async () => {
    const socketId = await sealedWithoutLock(shop);
    await ok(report(socketId, { photos: [{ base64: picture(7).base64 }] }));
    const [photo] = await photosOf(socketId);
    expect((await read(photo?.id ?? '', 'front_desk')).status).toBe(403);
    const elsewhere = await clinic.another('ELS');
    const other = elsewhere.as('technician');
    await refusedWith(other.get(`/api/v1/photos/${photo?.id ?? ''}`), 'not-found');
    await refusedWith(other.get(`/api/v1/sockets/${socketId}/photos`), 'not-found');
  });

  it('stands in the trace and on paper; accepted as it is, its photos are signed with it', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { id: socketId } = await makeSocket(shop, orderId, {
      kind: 'check',
      sheetThicknessMm: 12,
    });
    const sent = [picture(8), picture(9)];
    const { findingId } = await ok<{ findingId: string }>(
      report(socketId, { photos: sent.map(({ base64 }) => ({ base64 })) }),
    );
    const kept = await photosOf(socketId);
    const trace = await ok<{ rows: { kind: string; what: string; details: unknown }[] }>(
      clinic.as('auditor').get(`/api/v1/trace?order=${orderId}`),
    );
    expect(trace.rows.filter(({ kind }) => kind === 'finding')).toMatchObject([
      {
        what: 'finding crack: Hairline across the distal end. (2 photos on record)',
        details: { photoIds: kept.map(({ id }) => id) },
      },
    ]);
    for (const url of [
      `/api/v1/trace.pdf?order=${orderId}`,
      `/api/v1/orders/${orderId}/traveller.pdf`,
    ]) {
      expect(await wordsOf(url), url).toContain('2 photos on record');
    }
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/acceptance`, {
        why: 'On the surface only.',
        signature: { password: PASSWORD },
      }),
    );
    const [signed] = await clinic.store.raw<{ content: { photos: string[] } }>(
      'select content from signature where subject_id = $1',
      [findingId],
    );
    expect(signed?.content.photos).toEqual(sent.map(({ bytes }) => sha256(bytes)));
  });
});

describe('an operation that asks for a photo and a scan', () => {
  it('is done with both, keeps what was read, and takes no other order’s traveller', async () => {
    const admin = clinic.as('administrator');
    interface RouteBody {
      readonly socketKind: string;
      readonly suspension: string;
      readonly name: string;
      readonly version: number;
      readonly operations: readonly { readonly seq?: number; readonly checks: readonly object[] }[];
    }
    const { items } = await ok<{ items: RouteBody[] }>(admin.get('/api/v1/routes'));
    const route = items.find(
      ({ socketKind, suspension }) => socketKind === 'check' && suspension === 'pin_lock',
    );
    const [first, ...others] = (route?.operations ?? []).map(({ seq: _, ...rest }) => rest);
    await ok(
      admin.post('/api/v1/routes', {
        basedOnVersion: route?.version,
        name: route?.name,
        socketKind: 'check',
        suspension: 'pin_lock',
        operations: [
          {
            ...first,
            checks: [
              { kind: 'scan', key: 'sheet', ask: 'Scan the traveller.', of: 'traveller' },
              { kind: 'scan', key: 'bag', ask: 'Scan the bag.', of: 'anything' },
              { kind: 'photo', key: 'model', ask: 'Photo of the model' },
            ],
          },
          ...others,
        ],
      }),
    );
    const { orderId, number } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
    const operation = socket.operations[0];
    expect(operation?.checks).toEqual([
      { kind: 'scan', key: 'sheet', ask: 'Scan the traveller.', of: 'traveller' },
      { kind: 'scan', key: 'bag', ask: 'Scan the bag.', of: 'anything' },
      { kind: 'photo', key: 'model', ask: 'Photo of the model' },
    ]);
    const record = (answers: object) =>
      clinic
        .as('technician')
        .post(`/api/v1/operations/${operation?.id ?? ''}/records`, { answers });
    const other = await openedOrder(shop);
    const photos = [{ base64: picture(10).base64 }, { base64: picture(11).base64 }];
    const answers = {
      sheet: { scan: `https://castbook.test/o/${number}` },
      bag: { scan: '(01)09520000010072\u001d(10)A1' },
      model: { photos },
    };
    const wrong = await record({
      ...answers,
      sheet: { scan: `https://castbook.test/o/${other.number}` },
    }).expect(422);
    expect(wrong.body).toMatchObject({
      code: 'scan-of-another-order',
      errors: [{ pointer: '/answers/sheet', facts: { order: number, scanned: other.number } }],
    });
    await refusedWith(record({ ...answers, model: { photos: [] } }), 'request-invalid');
    await refusedWith(record({ sheet: answers.sheet, bag: answers.bag }), 'check-unanswered');
    expect(await photosOf(socket.id)).toEqual([]);

    const { outcome, recordId } = await ok<{ outcome: string; recordId: string }>(record(answers));
    expect(outcome).toBe('done');
    const kept = await photosOf(socket.id);
    expect(kept).toMatchObject(
      photos.map(() => ({ operationId: operation?.id, findingId: null, of: operation?.title })),
    );
    const [row] = await clinic.store.raw<{ results: object }>(
      'select results from operation_record where id = $1',
      [recordId],
    );
    expect(row?.results).toEqual({
      sheet: answers.sheet,
      bag: answers.bag,
      model: { photoIds: kept.map(({ id }) => id) },
    });
    const paper = await wordsOf(`/api/v1/orders/${orderId}/traveller.pdf`);
    expect(paper).toContain('2 photos');
    // A narrow column may break it anywhere.
    expect(paper.replaceAll(' ', '')).toContain('read:(01)09520000010072{GS}(10)A1');
  });
});
