/** The organisation's fresh word in the place of the password of one signature (21 CFR 11.200). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outwardBy } from '../../src/access/openidFetch.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { fakeOpenIdProvider, type FakeProvider } from '../support/fakeOpenIdProvider.ts';
import { acceptedCast, openedOrder, stockedShop, type Shop } from '../support/job.ts';
import { enterProvider, expectRefused, link, tabSecret } from '../support/openid.ts';
import { CLIENT } from '../support/openidProvider.ts';

const outward = outwardBy({ allowedHosts: [], loopbackHttp: true });
let fake: FakeProvider;
let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  fake = await fakeOpenIdProvider(CLIENT.secret);
  clinic = await testClinic({ at: new Date().toISOString(), outward });
  shop = await stockedShop(clinic);
  await enterProvider(clinic, fake.issuer);
  expect(
    (await link(clinic, 'prosthetist', (page) => Promise.resolve(fake.goThere(page)))).status,
  ).toBe(201);
}, 240_000);
afterAll(async () => {
  await clinic.close();
  await outward.close();
  await fake.close();
});

const paula = () => clinic.as('prosthetist');

/** To the provider and back; what the service says then. */
async function asked() {
  const tab = tabSecret();
  const { body } = await paula()
    .post('/api/v1/me/openid/sign/begin', { browserSha256: tab.browserSha256 })
    .expect(200);
  const { address } = body as { address: string };
  const answer = await paula().post('/api/v1/me/openid/sign', {
    back: fake.goThere(address),
    browserSecret: tab.browserSecret,
  });
  return { ...tab, address, answer };
}
async function word() {
  const { answer, browserSecret } = await asked();
  expect(answer.status).toBe(201);
  return { proofId: (answer.body as { proofId: string }).proofId, browserSecret };
}
const skip = async (organisation: object) => {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  return paula().post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
    reason: 'same limb, same shape',
    signature: { organisation },
  });
};

describe('the organisation’s word', () => {
  test('is asked for anew: prompt=login and max_age=0', async () => {
    const { address } = await asked();
    const said = Object.fromEntries(new URL(address).searchParams);
    expect(said).toMatchObject({ prompt: 'login', max_age: '0' });
  });

  test('is good for one signature', async () => {
    const organisation = await word();
    const signed = await skip(organisation);
    expect(signed.status).toBeLessThan(300);
    expectRefused(await skip(organisation), 'openid-proof-not-valid');
    const [event] = await clinic.store.raw(
      `select kind from event where kind = 'person.openid_asked_to_sign'`,
    );
    expect(event).toBeDefined();
  });

  test('is good for three minutes, with the secret of its tab, and for nobody else', async () => {
    const organisation = await word();
    expectRefused(
      await skip({ ...organisation, browserSecret: tabSecret().browserSecret }),
      'openid-proof-not-valid',
    );
    const now = clinic.clock.now().toISOString();
    clinic.clock.pass(3);
    expectRefused(await skip(organisation), 'openid-proof-not-valid');
    clinic.clock.set(now);
    // Another sign-in of the same person.
    await clinic.store.raw(
      'update openid_attempt set family_id = gen_random_uuid() where id = $1',
      [organisation.proofId],
    );
    expectRefused(await skip(organisation), 'openid-proof-not-valid');
  });

  test('of two at once one signs', async () => {
    const organisation = await word();
    const answers = await Promise.all([skip(organisation), skip(organisation)]);
    expect(answers.filter(({ status }) => status < 300)).toHaveLength(1);
  });

  test('an older sign-in there is none, nor one that does not say when', async () => {
    const now = Math.floor(clinic.clock.now().getTime() / 1000);
    fake.faults = { claims: (c) => ({ ...c, auth_time: now - 600 }) };
    expectRefused((await asked()).answer, 'openid-not-fresh');
    fake.faults = { claims: ({ auth_time: _, ...c }) => c };
    expectRefused((await asked()).answer, 'openid-not-fresh');
    fake.faults = {};
  });

  test('nor is somebody else’s account', async () => {
    fake.faults = { claims: (c) => ({ ...c, sub: 'somebody-else' }) };
    expectRefused((await asked()).answer, 'openid-not-yours');
    fake.faults = {};
  });

  test('comes alone or not at all: never beside a password', async () => {
    const organisation = await word();
    for (const signature of [{}, { password: 'lamination cures overnight', organisation }]) {
      const { orderId } = await openedOrder(shop);
      const answer = await paula().post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
        reason: 'same limb, same shape',
        signature,
      });
      expect(answer.status).toBe(400);
    }
    expect((await skip(organisation)).status).toBeLessThan(300);
  });

  test('ends with the link', async () => {
    const organisation = await word();
    // Taken from the link alone: the service ends the sign-in with it, by which nothing is signed either.
    await clinic.store.raw(
      'update openid_link set ended_at = $2, ended_by_id = person_id where person_id = $1 and ended_at is null',
      [clinic.people.prosthetist.id, clinic.clock.now()],
    );
    expectRefused(await skip(organisation), 'openid-proof-not-valid');
  });
});
