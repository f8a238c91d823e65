/**
 * Labels scanned at the bench (C9): drawn by bwip-js, read back by ZXing as a scanner would, and
 * then read and received by the service. GS1 numbers begin with 952, GS1's own range for examples;
 * HIBC labeler A999 is that of the standard's examples.
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { gs1CheckDigit } from '../../src/domain/gs1.ts';
import { hibcCheckCharacter } from '../../src/domain/hibc.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { drawnAndRead } from '../support/drawnCode.ts';
import {
  acceptedCast,
  id,
  inBin,
  inPosition,
  makeSocket,
  move,
  ok,
  openedOrder,
  refusedWith,
  stockedShop,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  // What comes in with its price needs a currency (C7).
  const { headers } = await admin().get('/api/v1/clinic');
  await ok(admin().patch('/api/v1/clinic', { currency: 'EUR' }, String(headers['etag'])));
});
afterAll(() => clinic.close());

const tech = () => clinic.as('technician');
const admin = () => clinic.as('administrator');

let devices = 0;
/** A fresh GTIN of a piece: level 0. */
function gtin(): string {
  devices += 1;
  const body = `0952${String(devices).padStart(9, '0')}`;
  return body + String(gs1CheckDigit(body));
}
/** The same maker's case of that piece. */
function caseOf(piece: string): string {
  const body = `1${piece.slice(1, 13)}`;
  return body + String(gs1CheckDigit(body));
}
const hibc = (text: string): string => `+${text}${hibcCheckCharacter(`+${text}`) ?? ''}`;

/** A lock that the catalogue knows by its device. */
const knownLock = async (
  udiDeviceIdentifier: string,
  udiIssuer: 'GS1' | 'HIBCC' = 'GS1',
): Promise<string> =>
  id(
    admin().post('/api/v1/parts', {
      kind: 'lock',
      catalogueNumber: `SC-${udiDeviceIdentifier}`,
      name: 'Scanned lock',
      ratedBodyMassKg: 125,
      udiIssuer,
      udiDeviceIdentifier,
    }),
  );

interface Read {
  label: Record<string, unknown>;
  part: { id: string; name: string } | null;
  item: { id: string; placeName: string } | null;
  draft: { id: string } | null;
  otherPackages: { id: string }[];
}
interface Scanned extends Omit<Read, 'item'> {
  outcome: string;
  itemIds: string[];
}
interface Warned {
  warnings: { code: string; detail: string }[];
}
const reading = (scans: string[], more: object = {}) =>
  ok<Read>(clinic.as('auditor').post('/api/v1/udi/readings', { scans, ...more }));
const scan = (scans: string[], more: object = {}) =>
  tech().post('/api/v1/items/scan', { scans, toPlaceId: shop.bin, ...more });
const received = (scans: string[], more: object = {}) => ok<Scanned>(scan(scans, more));

const itemOf = async (itemId: string | undefined) =>
  (
    await ok<{ item: Record<string, unknown> }>(
      clinic.as('auditor').get(`/api/v1/items/${itemId ?? ''}`),
    )
  ).item;
const stored = async (itemId: string | undefined) =>
  (
    await clinic.store.raw<{ scans: string[]; price_minor: number | null }>(
      'select scans, price_minor from item where id = $1',
      [itemId],
    )
  )[0];

describe('a lock received by its label', () => {
  test('a GS1 DataMatrix is drawn, read, and received with lot, serial and days', async () => {
    const device = gtin();
    const partId = await knownLock(device);
    const code = await drawnAndRead(
      'gs1datamatrix',
      `(01)${device}(11)260115(17)270331(10)A7(21)S-1`,
    );
    const said = await reading([code]);
    expect(said.label).toMatchObject({
      issuer: 'GS1',
      deviceIdentifier: device,
      lot: 'A7',
      serial: 'S-1',
      madeOn: '2026-01-15',
      expiresOn: '2027-03-31',
      expired: false,
    });
    expect(said).toMatchObject({ part: { id: partId }, item: null, draft: null });

    const { outcome, itemIds } = await received([code], { priceMinor: 41_250 });
    expect(outcome).toBe('received');
    expect(itemIds).toHaveLength(1);
    expect(await itemOf(itemIds[0])).toMatchObject({
      label: 'Scanned lock serial S-1',
      lot: 'A7',
      serial: 'S-1',
      expiresOn: '2027-03-31',
      madeOn: '2026-01-15',
      placeName: 'Drawer 1',
      udi: code.replace('\u001d', '{GS}'),
    });
    expect(code).toContain('\u001d');
    expect(await stored(itemIds[0])).toEqual({ scans: [code], price_minor: 41_250 });
    expect((await reading([code])).item).toMatchObject({ id: itemIds[0], placeName: 'Drawer 1' });

    const again = await refusedWith(scan([code]), 'serial-already-received');
    expect(again.status).toBe(409);
    const trace = await ok<{ subject: { pieces: { expiresOn: string; madeOn: string }[] } }>(
      clinic.as('auditor').get('/api/v1/trace?serial=S-1'),
    );
    expect(trace.subject.pieces).toMatchObject([{ expiresOn: '2027-03-31', madeOn: '2026-01-15' }]);
  });

  test('the udi of a received piece is a label that reads the same again', async () => {
    const device = gtin();
    await knownLock(device);
    const code = await drawnAndRead('gs1datamatrix', `(01)${device}(10)B1(21)S-2`);
    const { itemIds, label } = await received([code]);
    const { udi } = (await itemOf(itemIds[0])) as { udi: string };
    expect((await reading([udi])).label).toEqual(label);
  });

  test('a GS1-128 that counts its lot brings so many pieces, one event and a first move each', async () => {
    const device = gtin();
    const partId = await knownLock(device);
    const code = await drawnAndRead('gs1-128', `(01)${device}(17)261231(30)12(10)LOT-12`);
    const { itemIds } = await received([code], { separatorsKept: true });
    expect(itemIds).toHaveLength(12);
    expect(await itemOf(itemIds[11])).toMatchObject({ lot: 'LOT-12', serial: null });
    const events = await clinic.store.raw<{ kind: string; count: string }>(
      `select kind, count(*)::text as count from event where clinic_id = $1
         and (subject_id = $2 and kind = 'stock.received' or subject_id = any($3::uuid[]) and kind = 'custody.moved')
       group by kind order by kind`,
      [clinic.clinicId, partId, itemIds],
    );
    expect(events).toEqual([
      { kind: 'custody.moved', count: '12' },
      { kind: 'stock.received', count: '1' },
    ]);
  });

  test.each([
    ['hibccode39', ['Code39Std']],
    ['hibccode128', undefined],
    ['hibcdatamatrix', undefined],
  ] as const)('HIBC in %s, primary and secondary in one', async (bcid, formats) => {
    const device = `A999${bcid.slice(4, 14).toUpperCase()}1`;
    const partId = await knownLock(device, 'HIBCC');
    const code = await drawnAndRead(
      bcid,
      `${device}/$$52736510X3/S77`,
      formats === undefined ? undefined : [...formats],
    );
    const { part, itemIds } = await received([code]);
    expect(part).toMatchObject({ id: partId });
    expect(await itemOf(itemIds[0])).toMatchObject({
      lot: '10X3',
      serial: '77',
      expiresOn: '2027-12-31',
    });
  });

  test('two HIBC codes of one label go together; of two labels they do not', async () => {
    await knownLock('A999TWOCODES1', 'HIBCC');
    const primary = hibc('A999TWOCODES1');
    const secondary = hibc(`$LOTTWO${primary.slice(-1)}`);
    const [first, second] = [
      await drawnAndRead('code128', primary),
      await drawnAndRead('code128', secondary),
    ];
    const { itemIds } = await received([second, first], { count: 2 });
    expect(await itemOf(itemIds[1])).toMatchObject({ lot: 'LOTTWO' });
    const foreign = hibc('$LOTTWOX');
    expect(foreign.at(-2)).not.toBe(primary.slice(-1));
    await refusedWith(scan([primary, foreign], { count: 2 }), 'udi-codes-not-of-one-label');
    await refusedWith(scan([secondary]), 'udi-device-identifier-missing');
  });
});

describe('a serial that differs from another only in its capitals', () => {
  test('is received, scanned or typed, and told as a warning', async () => {
    const device = gtin();
    const partId = await knownLock(device);
    const first = await ok<Scanned & Warned>(scan([`(01)${device}(21)Ab-7`]));
    expect(first.warnings).toEqual([]);
    const scanned = await ok<Scanned & Warned>(scan([`(01)${device}(21)AB-7`]));
    expect(scanned.itemIds).toHaveLength(1);
    expect(scanned.warnings).toMatchObject([{ code: 'serial-differs-in-case' }]);
    expect(scanned.warnings[0]?.detail).toContain('Ab-7');
    const typed = await ok<Warned>(
      tech().post('/api/v1/items', { partId, serials: ['ab-7', 'ab-8'], toPlaceId: shop.bin }),
    );
    expect(pick(typed.warnings, 'code')).toEqual([
      'serial-differs-in-case',
      'serial-differs-in-case',
    ]);
    const other = await knownLock(gtin());
    const elsewhere = await ok<Warned>(
      tech().post('/api/v1/items', { partId: other, serials: ['ab-7'], toPlaceId: shop.bin }),
    );
    expect(elsewhere.warnings).toEqual([]);
  });
});

describe('what is not certain is refused, with the way out', () => {
  test('a keyboard scanner that dropped FNC1 is not guessed after; the camera’s reading counts', async () => {
    const device = gtin();
    await knownLock(device);
    const dropped = `01${device}10LOT7211234`;
    const { body } = await refusedWith(scan([dropped]), 'udi-cannot-be-told-apart');
    expect(body['wayOut']).toContain('FNC1');
    expect((await reading([dropped], { separatorsKept: true })).label).toMatchObject({
      lot: 'LOT7211234',
      serial: null,
    });
    expect((await reading([`01${device}10LOT7\u001d211234`])).label).toMatchObject({
      lot: 'LOT7',
      serial: '1234',
    });
  });

  test.each([
    ['a mistyped check digit', ['(01)09520000099998(10)A'], 'udi-check-wrong'],
    ['no code at all', ['Lock, left drawer'], 'udi-not-recognised'],
    [
      'an element that is not read here',
      ['(01)09520000010072(7003)2612311200'],
      'udi-element-unknown',
    ],
  ])('%s', async (_what, scans, code) => {
    await refusedWith(tech().post('/api/v1/udi/readings', { scans }), code);
    await refusedWith(scan(scans), code);
  });

  test.each([
    ['a NUL', ['(01)09520000010072\u0000'], 'body-malformed'],
    ['half a surrogate pair', ['https://x\ud800/01/09520000010072'], 'body-malformed'],
    [
      'a NUL behind a per cent sign',
      ['https://x/01/09520000010072/10/A%00'],
      'udi-element-malformed',
    ],
    ['four codes', ['1', '2', '3', '4'], 'request-invalid'],
    ['none', [], 'request-invalid'],
    ['a code of a thousand characters and one', ['0'.repeat(1001)], 'request-invalid'],
    ['a code longer than any label’s', ['0'.repeat(401)], 'udi-not-recognised'],
  ])('%s is answered as a request that cannot be right', async (_what, scans, code) => {
    const { status } = await refusedWith(scan(scans), code);
    expect(status).toBe(400);
  });

  test('what the label leaves out is typed; what it says is not typed over', async () => {
    const device = gtin();
    await knownLock(device);
    const bare = [`(01)${device}`];
    const noName = await refusedWith(scan(bare), 'label-without-serial-or-lot');
    expect(noName.status).toBe(400);
    await refusedWith(scan(bare, { lot: 'T1' }), 'label-count-missing');
    await refusedWith(scan(bare, { serial: 'T-1', count: 2 }), 'label-says-otherwise');
    await refusedWith(
      scan([`(01)${device}(10)T1`], { lot: 'T2', count: 1 }),
      'label-says-otherwise',
    );
    await refusedWith(scan([`(01)${device}(30)25(21)BOX`]), 'label-of-a-package');
    await refusedWith(scan([`(01)${device}(10)T1(30)99999999`]), 'value-out-of-range');
    const { itemIds } = await received(bare, { serial: 'T-1', lot: 'T1', expiresOn: '2026-12-31' });
    expect(await itemOf(itemIds[0])).toMatchObject({
      serial: 'T-1',
      lot: 'T1',
      expiresOn: '2026-12-31',
    });
    const all = await ok<{ items: unknown[] }>(tech().get('/api/v1/items?lot=T1'));
    expect(all.items).toHaveLength(1);
  });

  test('a label past its expiry, a withdrawn part and a bin of nobody receive nothing', async () => {
    const device = gtin();
    const partId = await knownLock(device);
    const old = `(01)${device}(17)260301(21)OLD`;
    expect((await reading([old])).label).toMatchObject({ expiresOn: '2026-03-01', expired: true });
    const { status } = await refusedWith(scan([old]), 'label-expired');
    expect(status).toBe(422);
    const good = `(01)${device}(17)260300(21)GOOD`;
    expect((await reading([good])).label).toMatchObject({
      expiresOn: '2026-03-31',
      monthOnly: ['expiresOn'],
    });
    await refusedWith(scan([good], { toPlaceId: partId }), 'not-found');
    await ok(admin().patch(`/api/v1/parts/${partId}`, { active: false }, '"1"'));
    await refusedWith(scan([good]), 'part-withdrawn');
    const all = await ok<{ items: unknown[] }>(tech().get(`/api/v1/items?partId=${partId}`));
    expect(all.items).toEqual([]);
  });

  test('typed stock has the same days: none past, none made tomorrow, none upside down', async () => {
    const pin = (days: object) =>
      tech().post('/api/v1/items', {
        partId: shop.parts.pin,
        lot: 'DAYS',
        count: 1,
        toPlaceId: shop.bin,
        ...days,
      });
    await refusedWith(pin({ expiresOn: '2026-03-01' }), 'label-expired');
    await refusedWith(pin({ madeOn: '2026-03-03' }), 'day-in-future');
    await refusedWith(pin({ madeOn: '2026-03-02', expiresOn: '2026-03-01' }), 'day-order-wrong');
    const { itemIds } = await ok<{ itemIds: string[] }>(
      pin({ madeOn: '2026-03-02', expiresOn: '2026-03-02', priceMinor: 900 }),
    );
    expect(await itemOf(itemIds[0])).toMatchObject({ expiresOn: '2026-03-02' });
    expect(await stored(itemIds[0])).toEqual({ scans: [], price_minor: 900 });
  });
});

describe('a device that the catalogue does not know', () => {
  test('leaves one draft, whoever scans it how often, and receives nothing', async () => {
    const device = gtin();
    const code = await drawnAndRead('gs1datamatrix', `(01)${device}(17)271231(10)N1(21)N-1`);
    expect(await reading([code])).toMatchObject({ part: null, draft: null });
    const before = await ok<{ items: unknown[] }>(tech().get('/api/v1/items?limit=200'));
    const first = await received([code]);
    expect(first).toMatchObject({ outcome: 'draft_made', part: null, itemIds: [] });
    const second = await ok<Scanned>(
      admin().post('/api/v1/items/scan', {
        scans: [`(01)${device}(21)N-2`],
        toPlaceId: shop.bin,
      }),
    );
    expect(second).toMatchObject({ outcome: 'draft_waits', draft: { id: first.draft?.id } });
    expect((await reading([code])).draft).toMatchObject({ id: first.draft?.id });
    const after = await ok<{ items: unknown[] }>(tech().get('/api/v1/items?limit=200'));
    expect(after.items).toHaveLength(before.items.length);
    const events = await clinic.store.raw<{ kind: string }>(
      'select kind from event where clinic_id = $1 and subject_id = $2',
      [clinic.clinicId, first.draft?.id],
    );
    expect(pick(events, 'kind')).toEqual(['part_draft.made']);
  });

  test('ten hands that scan it at once make one draft', async () => {
    const device = gtin();
    const answers = await Promise.all(
      Array.from({ length: 10 }, (_, n) => received([`(01)${device}(21)R-${String(n)}`])),
    );
    expect(answers.filter(({ outcome }) => outcome === 'draft_made')).toHaveLength(1);
    expect(new Set(answers.map(({ draft }) => draft?.id)).size).toBe(1);
  });

  test('a case is not taken for its piece, nor a piece for its case: it is said that there is one', async () => {
    const piece = gtin();
    const partId = await knownLock(piece);
    const answer = await received([`(01)${caseOf(piece)}(10)CASE(30)10`]);
    expect(answer).toMatchObject({ outcome: 'draft_made', part: null, itemIds: [] });
    expect(pick(answer.otherPackages, 'id')).toEqual([partId]);
    expect((await reading([`(01)${piece}(10)CASE`])).otherPackages).toEqual([]);
  });

  test('the same characters of another issuer are another device, and another clinic knows neither', async () => {
    const device = gtin();
    await knownLock(device);
    const other = await clinic.another('OTH');
    const theirs = await ok<Read>(
      other.as('technician').post('/api/v1/udi/readings', { scans: [`(01)${device}`] }),
    );
    expect(theirs).toMatchObject({ part: null, draft: null, otherPackages: [] });
  });
});

describe('R3: past its last day of use', () => {
  test('an item goes into no socket, by the day at the clinic; it goes to quarantine', async () => {
    const device = gtin();
    await knownLock(device);
    const { itemIds } = await received([`(01)${device}(17)260305(21)LAST`]);
    const [itemId = ''] = itemIds;
    const [spare = ''] = (await received([`(01)${device}(17)260305(21)SPARE`])).itemIds;
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    const put = (thing: string) =>
      move(shop, { itemId: thing }, inBin(shop), inPosition(socket.id, 'lock'));
    const told = clinic.clock.now().toISOString();

    // Half past midnight in Vienna, where it is the sixth already; in UTC it is still the fifth.
    clinic.clock.set('2026-03-05T23:30:00Z');
    const { body, status } = await refusedWith(put(itemId), 'item-expired');
    expect(status).toBe(422);
    expect(body).toMatchObject({ rule: 'R3' });
    expect(body['detail']).toContain('Scanned lock serial LAST was to be used until 5 Mar 2026');

    clinic.clock.set('2026-03-05T22:30:00Z');
    await ok(put(itemId));
    clinic.clock.set('2026-03-06T09:00:00Z');
    // What is in may come out, and then stays out; the other one never goes in.
    await ok(
      move(
        shop,
        { itemId },
        inPosition(socket.id, 'lock'),
        { kind: 'bench' },
        'taken_out_for_trimming',
      ),
    );
    await refusedWith(
      move(shop, { itemId }, { kind: 'bench' }, inPosition(socket.id, 'lock'), 'put_back'),
      'item-expired',
    );
    await ok(move(shop, { itemId: spare }, inBin(shop), { kind: 'quarantine' }, 'quarantined'));
    clinic.clock.set(told);
  });

  test('a transfer takes none along and offers none as fresh', async () => {
    const told = clinic.clock.now().toISOString();
    const screws = async (days: object) =>
      (
        await ok<{ itemIds: string[] }>(
          tech().post('/api/v1/items', {
            partId: shop.parts.distal_screws,
            lot: 'FRESH',
            count: 1,
            toPlaceId: shop.bin,
            ...days,
          }),
        )
      ).itemIds[0] ?? '';
    const [used, stale, good] = [
      await screws({}),
      await screws({ expiresOn: '2026-03-04' }),
      await screws({ expiresOn: '2026-04-04' }),
    ];
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const from = await makeSocket(shop, orderId, { kind: 'check' });
    const [pin = ''] = await shop.receive('pin', 1);
    await ok(move(shop, { itemId: used }, inBin(shop), inPosition(from.id, 'distal_screws')));
    await ok(move(shop, { itemId: pin }, inBin(shop), inPosition(from.id, 'pin')));
    const to = await makeSocket(shop, orderId, { kind: 'check', replacesSocketId: from.id });
    clinic.clock.set('2026-03-05T09:00:00Z');
    const transfer = (fresh: object[]) =>
      tech().post('/api/v1/transfers', {
        fromSocketId: from.id,
        toSocketId: to.id,
        itemIds: [pin],
        fresh,
      });
    await refusedWith(
      transfer([{ itemId: stale, fromPlaceId: shop.bin, position: 'distal_screws' }]),
      'item-expired',
    );
    const { freshOffered } = await ok<{ freshOffered: { itemId: string }[] }>(transfer([]));
    expect(pick(freshOffered, 'itemId')[0]).toBe(good);
    expect(pick(freshOffered, 'itemId')).not.toContain(stale);
    clinic.clock.set(told);
  });
});
