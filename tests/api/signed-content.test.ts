/** What is signed is what was shown: the content asked for first, and refused where it changed since (21 CFR 11.70). */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PERMISSIONS } from '../../src/access/permissions.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { signing } from '../../src/web/words/en/signing.ts';
import { everything } from '../support/integrity.ts';
import {
  acceptedCast,
  ALIGNMENT,
  checkSocketOnTheLimb,
  limbToDeliver,
  makeSocket,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  type Shop,
} from '../support/job.ts';

interface Shown {
  meaning: string;
  printedName: string;
  content: Record<string, unknown>;
  contentSha256: string;
}

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const prosthetist = () => clinic.as('prosthetist');

describe('what would be signed', () => {
  test('is asked by the sister of every signed act, of the same roles', () => {
    const permissions: Readonly<Record<string, readonly string[] | string>> = PERMISSIONS;
    const sisters = Object.keys(permissions).filter((route) => route.endsWith('/to-sign'));
    expect(sisters).toHaveLength(10);
    for (const sister of sisters) {
      expect(permissions[sister]).toEqual(permissions[sister.replace(/\/to-sign$/, '')]);
    }
  });

  test('is told whole with its hash, writes nothing, and is what the signature then binds', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    const url = `/api/v1/sockets/${socketId}/fit-acceptance`;
    const judged = { alignment: ALIGNMENT, note: 'Walks well.' };

    const before = await everything(clinic.store.raw);
    const shown = await ok<Shown>(prosthetist().post(`${url}/to-sign`, judged));
    expect(await everything(clinic.store.raw)).toEqual(before);
    expect(shown).toMatchObject({
      meaning: 'fit_accepted',
      printedName: 'Paula Fitting of KL',
      content: { alignment: ALIGNMENT, note: 'Walks well.' },
    });
    expect(shown.content['hardware']).toHaveLength(7);
    // RFC 8785, 3.2.3: members sorted, no blanks; numbers and strings as ECMAScript writes them.
    const canonical = JSON.stringify(shown.content, (_key, value: unknown) =>
      typeof value === 'object' && value !== null && !Array.isArray(value)
        ? Object.fromEntries(Object.entries(value).toSorted(([a], [b]) => (a < b ? -1 : 1)))
        : value,
    );
    expect(shown.contentSha256).toBe(createHash('sha256').update(canonical).digest('hex'));

    const signature = { password: PASSWORD, contentSha256: shown.contentSha256 };
    const { signatureId } = await ok<{ signatureId: string }>(
      prosthetist().post(url, { ...judged, signature }),
    );
    const [row] = await clinic.store.raw(
      'select content, content_sha256 from signature where id = $1',
      [signatureId],
    );
    expect(row).toEqual({ content: shown.content, content_sha256: shown.contentSha256 });
  });

  test('is refused as the act would be, before any password is typed', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { id } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
    const url = `/api/v1/sockets/${id}/fit-acceptance/to-sign`;
    const { body } = await refusedWith(
      prosthetist().post(url, { alignment: ALIGNMENT }),
      'operation-not-done',
    );
    expect(JSON.stringify(body['errors'])).toContain('hardware-missing');
    await refusedWith(prosthetist().post(url, {}), 'request-invalid');
    await refusedWith(clinic.as('technician').post(url, { alignment: ALIGNMENT }), 'role-may-not');
  });
});

/** Every member's name in a content, however deep. */
const namesOf = (value: unknown): string[] =>
  Array.isArray(value)
    ? value.flatMap(namesOf)
    : typeof value === 'object' && value !== null
      ? Object.entries(value).flatMap(([name, inside]) => [name, ...namesOf(inside)])
      : [];

describe('what stands now is not what was shown', () => {
  test('other words than those shown are not signed; nor is anything without its hash', async () => {
    const { orderId, socketId } = await limbToDeliver(shop);
    const url = `/api/v1/orders/${orderId}/delivery`;
    const toMother = { socketId, receivedByName: 'Mater Inventi', receivedByRelation: 'mother' };
    const { contentSha256 } = await ok<Shown>(prosthetist().post(`${url}/to-sign`, toMother));
    const signature = { password: PASSWORD, contentSha256 };
    const refused = await refusedWith(
      prosthetist().post(url, { ...toMother, receivedByName: 'Nomen Inventum', signature }),
      'signed-content-changed',
    );
    expect(refused.status).toBe(409);
    const hashless = { ...toMother, signature: { password: PASSWORD, contentSha256: 'unseen' } };
    await refusedWith(prosthetist().post(url, hashless), 'request-invalid');
    expect((await readSocket(shop, socketId)).state).toBe('in_work');
    await ok(prosthetist().post(url, { ...toMother, signature }));
    expect((await readSocket(shop, socketId)).state).toBe('delivered');
  });

  test('a body mass measured meanwhile: shown at one, not signed at the other', async () => {
    const { orderId, socketId, patientId } = await limbToDeliver(shop);
    const url = `/api/v1/orders/${orderId}/delivery`;
    const released = { socketId, receivedByName: 'Nomen Inventum', receivedByRelation: 'patient' };
    const { contentSha256, content } = await ok<Shown>(
      prosthetist().post(`${url}/to-sign`, released),
    );
    expect(content['bodyMassKg']).toBe(82);
    await ok(
      clinic.as('front_desk').post(`/api/v1/patients/${patientId}/body-masses`, {
        massKg: 84,
        measuredOn: '2026-03-02',
      }),
    );
    const signature = { password: PASSWORD, contentSha256 };
    await refusedWith(
      prosthetist().post(url, { ...released, signature }),
      'signed-content-changed',
    );
    expect((await readSocket(shop, socketId)).state).toBe('in_work');
    // Shown anew, it is signed.
    await ok(prosthetist().post(url, { ...released, signature: { password: PASSWORD } }));
  });
});

test('the client has words for every field that was ever signed here', async () => {
  const contents = await clinic.store.raw('select meaning, content from signature');
  const meanings = new Set(contents.map(({ meaning }) => meaning));
  expect(meanings).toEqual(new Set(['fit_accepted', 'layup_approved', 'delivery_released']));
  const names = new Set(contents.flatMap(({ content }) => namesOf(content)));
  expect(names.size).toBeGreaterThan(60);
  expect([...names].filter((name) => !(name in signing.fields))).toEqual([]);
});
