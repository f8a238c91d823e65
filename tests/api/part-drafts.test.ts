/** Drafts of catalogue entries (C9): what a scanned label leaves, and how a part is made of it. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { gs1CheckDigit } from '../../src/domain/gs1.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { id, ok, refusedWith } from '../support/shop.ts';

let clinic: TestClinic;
let bin: string;
beforeAll(async () => {
  clinic = await testClinic();
  bin = await id(clinic.as('technician').post('/api/v1/places', { name: 'Drawer 1' }));
});
afterAll(() => clinic.close());

const admin = () => clinic.as('administrator');

let devices = 0;
/** A fresh number of GS1's own range for examples (prefix 952). */
function gtin(): string {
  devices += 1;
  const body = `0952${String(devices).padStart(9, '0')}`;
  return body + String(gs1CheckDigit(body));
}

interface Draft {
  id: string;
  deviceIdentifier: string;
  said: object;
  resolvedAt: string | null;
  partId: string | null;
  note: string | null;
}
interface Scanned {
  outcome: string;
  draft: Draft | null;
  part: { id: string } | null;
  itemIds: string[];
}
const scan = (device: string, elements = '(21)S1') =>
  ok<Scanned>(
    clinic.as('technician').post('/api/v1/items/scan', {
      scans: [`(01)${device}${elements}`],
      toPlaceId: bin,
    }),
  );
const draftOf = async (device: string, elements?: string): Promise<string> =>
  (await scan(device, elements)).draft?.id ?? '';
const list = (state: string) =>
  ok<{ items: Draft[]; next: string | null }>(
    clinic.as('auditor').get(`/api/v1/part-drafts?state=${state}&limit=200`),
  );
const draftNow = async (draftId: string): Promise<Draft | undefined> =>
  (await list('any')).items.find((draft) => draft.id === draftId);

const pin = (given: object = {}) => ({
  kind: 'pin',
  name: 'Pin of a label',
  catalogueNumber: `PD-${randomUUID().slice(0, 8)}`,
  pinFit: 'ratchet pin 10 mm',
  ratedBodyMassKg: 100,
  ...given,
});
const makePart = (draftId: string, given: object = {}) =>
  admin().post(`/api/v1/part-drafts/${draftId}/part`, pin(given));
const eventsOf = async (subjectId: string): Promise<string[]> =>
  (
    await clinic.store.raw<{ kind: string }>(
      'select kind from event where clinic_id = $1 and subject_id = $2 order by seq',
      [clinic.clinicId, subjectId],
    )
  ).map(({ kind }) => kind);

describe('a draft of a scanned label', () => {
  test('keeps what the label said, and waits in the order of scanning', async () => {
    const [first, second] = [gtin(), gtin()];
    const ids = [await draftOf(first, '(17)271231(10)A7(21)S1'), await draftOf(second)];
    const { items } = await list('waiting');
    const ours = items.filter((draft) => ids.includes(draft.id));
    expect(pick(ours, 'id')).toEqual(ids);
    expect(ours[0]).toMatchObject({
      issuer: 'GS1',
      deviceIdentifier: first,
      scans: [`(01)${first}(17)271231(10)A7(21)S1`],
      said: { lot: 'A7', serial: 'S1', expiresOn: '2027-12-31', quantity: null },
      scannedBy: 'Tamás Bench of KL',
      resolvedAt: null,
    });
  });

  test('becomes a part with the scanned device, and the next scan receives', async () => {
    const device = gtin();
    const draftId = await draftOf(device);
    const { body, headers } = await makePart(draftId).expect(201);
    expect(body).toMatchObject({
      udiIssuer: 'GS1',
      udiDeviceIdentifier: device,
      kind: 'pin',
      version: 1,
    });
    expect(headers['etag']).toBeDefined();
    expect(await draftNow(draftId)).toMatchObject({
      partId: body.id,
      resolvedBy: 'Ada Keys of KL',
      note: null,
    });
    expect(await eventsOf(draftId)).toEqual(['part_draft.made', 'part_draft.resolved']);
    expect(await scan(device)).toMatchObject({ outcome: 'received', part: { id: body.id } });
  });

  test('is resolved once: a second try and a refused part change nothing', async () => {
    const draftId = await draftOf(gtin());
    await refusedWith(makePart(draftId, { ratedBodyMassKg: null }), 'rating-missing');
    expect(await draftNow(draftId)).toMatchObject({ resolvedAt: null, partId: null });
    const { id: partId } = await ok<{ id: string }>(makePart(draftId));
    await refusedWith(makePart(draftId), 'part-draft-resolved');
    await refusedWith(
      admin().post(`/api/v1/part-drafts/${draftId}/set-aside`, { note: 'Twice.' }),
      'part-draft-resolved',
    );
    expect(await draftNow(draftId)).toMatchObject({ partId, note: null });
  });

  test('of two administrators who make its part at once one does', async () => {
    const draftId = await draftOf(gtin());
    const answers = await Promise.all([makePart(draftId), makePart(draftId), makePart(draftId)]);
    expect(answers.map(({ status }) => status).toSorted()).toEqual([201, 409, 409]);
    for (const { status, body } of answers) {
      if (status === 409) expect(body.code).toBe('part-draft-resolved');
    }
  });

  test('is set aside with the reason, and the next scan of the device makes another', async () => {
    const device = gtin();
    const draftId = await draftOf(device);
    const { body } = await admin()
      .post(`/api/v1/part-drafts/${draftId}/set-aside`, { note: 'A sample; it went back.' })
      .expect(200);
    expect(body).toMatchObject({ id: draftId, partId: null, note: 'A sample; it went back.' });
    expect(body.resolvedAt).not.toBeNull();
    expect(await eventsOf(draftId)).toEqual(['part_draft.made', 'part_draft.set_aside']);
    const again = await scan(device);
    expect(again.outcome).toBe('draft_made');
    expect(again.draft?.id).not.toBe(draftId);
    expect(pick((await list('resolved')).items, 'id')).toContain(draftId);
    expect(pick((await list('waiting')).items, 'id')).not.toContain(draftId);
  });

  test('is an administrator’s to decide, and no device can be written over its own', async () => {
    const draftId = await draftOf(gtin());
    const url = `/api/v1/part-drafts/${draftId}`;
    await refusedWith(clinic.as('technician').post(`${url}/part`, pin()), 'role-may-not');
    await refusedWith(
      clinic.as('technician').post(`${url}/set-aside`, { note: 'No.' }),
      'role-may-not',
    );
    await refusedWith(makePart(draftId, { udiDeviceIdentifier: gtin() }), 'request-invalid');
    await refusedWith(makePart(randomUUID()), 'not-found');
  });
});

describe('the device of a part', () => {
  const addPart = (given: object) => admin().post('/api/v1/parts', pin(given));
  const gs1 = (udiDeviceIdentifier: string) => ({ udiIssuer: 'GS1', udiDeviceIdentifier });

  test('entered by hand resolves the draft that waits for it', async () => {
    const device = gtin();
    const draftId = await draftOf(device);
    const partId = await id(addPart(gs1(device)));
    expect(await draftNow(draftId)).toMatchObject({ partId });
  });

  test('given to a part that is there already resolves it too', async () => {
    const device = gtin();
    const draftId = await draftOf(device);
    const partId = await id(addPart({}));
    const { body } = await admin().patch(`/api/v1/parts/${partId}`, gs1(device), '"1"').expect(200);
    expect(body).toMatchObject({ ...gs1(device), version: 2 });
    expect(await draftNow(draftId)).toMatchObject({ partId });
  });

  test.each([
    ['an identifier without issuer', { udiDeviceIdentifier: '09520000010072' }, 'udi-half-given'],
    ['an issuer without identifier', { udiIssuer: 'GS1' }, 'udi-half-given'],
    ['a mistyped GTIN', gs1('09520000010073'), 'udi-check-wrong'],
    ['a short GTIN', gs1('9520000010072'), 'udi-element-malformed'],
    [
      'an HIBC device with its plus',
      { udiIssuer: 'HIBCC', udiDeviceIdentifier: '+A99912345G' },
      'udi-element-malformed',
    ],
    [
      'an issuer nobody reads',
      { udiIssuer: 'ICCBBA', udiDeviceIdentifier: '1' },
      'request-invalid',
    ],
  ])('%s is refused, on the entry and on its change', async (_what, given, code) => {
    await refusedWith(addPart(given), code);
    const partId = await id(addPart({}));
    await refusedWith(admin().patch(`/api/v1/parts/${partId}`, given, '"1"'), code);
  });

  test('names one part: the other is told so, on the entry and on its change', async () => {
    const device = gtin();
    await id(addPart(gs1(device)));
    const { status, body } = await addPart(gs1(device));
    expect({ status, code: body.code }).toEqual({ status: 409, code: 'udi-device-taken' });
    const other = await id(addPart({}));
    await refusedWith(
      admin().patch(`/api/v1/parts/${other}`, gs1(device), '"1"'),
      'udi-device-taken',
    );
    // A catalogue number that is taken is still told apart from it.
    const { catalogueNumber } = pin();
    await ok(addPart({ catalogueNumber }));
    await refusedWith(addPart({ catalogueNumber, ...gs1(gtin()) }), 'catalogue-number-taken');
  });

  test('an entry from before issuers were asked for can be changed in everything else', async () => {
    const partId = await id(addPart({}));
    await clinic.store.raw(
      `update part set udi_device_identifier = 'OLD-1' where clinic_id = $1 and id = $2`,
      [clinic.clinicId, partId],
    );
    await ok(admin().patch(`/api/v1/parts/${partId}`, { name: 'Renamed' }, '"1"'));
    await refusedWith(
      admin().patch(`/api/v1/parts/${partId}`, { udiDeviceIdentifier: 'OLD-2' }, '"2"'),
      'udi-half-given',
    );
    await ok(admin().patch(`/api/v1/parts/${partId}`, gs1(gtin()), '"2"'));
    await ok(
      admin().patch(
        `/api/v1/parts/${partId}`,
        { udiIssuer: null, udiDeviceIdentifier: null },
        '"3"',
      ),
    );
  });
});
