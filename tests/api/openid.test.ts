/** Signing in by the organisation, at a real and certified provider on this machine. */
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { outwardBy } from '../../src/access/openidFetch.ts';
import { PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';
import { PASSWORD } from '../support/clinic.ts';
import {
  begin,
  codeOf,
  enterProvider,
  expectRefused,
  finish,
  known,
  link,
  REDIRECT_URI,
  tabSecret,
} from '../support/openid.ts';
import { openIdProvider, signInThere, type TestProvider } from '../support/openidProvider.ts';

const outward = outwardBy({ allowedHosts: [], loopbackHttp: true });
let provider: TestProvider;
let clinic: TestClinic;

beforeAll(async () => {
  provider = await openIdProvider(REDIRECT_URI);
  clinic = await testClinic({ at: new Date().toISOString(), outward });
  await enterProvider(clinic, provider.issuer);
}, 240_000);
afterAll(async () => {
  await clinic.close();
  await outward.close();
  await provider.close();
});
beforeEach(() => {
  provider.accounts.clear();
});

const there = (as: string) => (page: string) => signInThere(page, as);
const signInAs = async (account: string, prefix = 'KL') => {
  const { page, browserSecret } = await begin(clinic, prefix);
  return finish(clinic, await signInThere(page, account), browserSecret);
};
const eventsOf = async (personId: string) =>
  clinic.store.raw<{ kind: string; data: Record<string, unknown> }>(
    'select kind, data from event where subject_id = $1 order by seq',
    [personId],
  );

describe('the way there', () => {
  test('goes by code flow with S256, state, nonce and the exact address of return', async () => {
    const { page } = await begin(clinic);
    const asked = Object.fromEntries(new URL(page).searchParams);
    expect(new URL(page).origin).toBe(provider.issuer);
    expect(asked).toMatchObject({
      response_type: 'code',
      client_id: 'castbook',
      redirect_uri: REDIRECT_URI,
      code_challenge_method: 'S256',
      scope: 'openid email',
    });
    expect(asked['code_challenge']).toMatch(/^[\w-]{43}$/);
    expect(asked['nonce']).toMatch(/^[\w-]{43}$/);
    expect(asked['state']).toMatch(/\.[\w-]{43}$/);
  });

  test('a link of a clinic without a provider and one of no clinic are answered alike', async () => {
    await clinic.another('QQ');
    const none = await clinic.stranger.get('/api/v1/sign-in/openid/zz');
    const without = await clinic.stranger.get('/api/v1/sign-in/openid/qq');
    expectRefused(none, 'openid-not-available');
    const { instance: _one, ...noneSays } = none.body as Record<string, unknown>;
    const { instance: _other, ...withoutSays } = without.body as Record<string, unknown>;
    expect(withoutSays).toEqual(noneSays);
    await clinic.stranger
      .get('/api/v1/sign-in/openid/kl')
      .expect(200, { buttonName: 'Sign in with the hospital' });
  });

  test('the description of the API tells how the way there and back is refused', async () => {
    const { body } = await clinic.stranger.get('/api/openapi.json').expect(200);
    const { paths } = body as { paths: Record<string, { post: { responses: object } }> };
    const refusals = (url: string) => Object.keys(paths[url]?.post.responses ?? {});
    const browserSha256 = '0'.repeat(64);
    const begun = await clinic.stranger.post('/api/v1/sign-in/openid/begin', {
      prefix: 'zz',
      browserSha256,
    });
    expectRefused(begun, 'openid-not-available');
    expect(refusals('/api/v1/sign-in/openid/begin')).toContain(String(begun.status));
    // No provider that answers: 'openid-provider-unreachable'.
    for (const url of ['/api/v1/sign-in/openid/begin', '/api/v1/sign-in/openid'])
      expect(refusals(url)).toContain('409');
  });

  test('what is kept for the way back stands in the record hashed or encrypted only', async () => {
    const { page, browserSecret } = await begin(clinic);
    const asked = new URL(page).searchParams;
    const rows = JSON.stringify(
      await clinic.store.raw('select * from openid_attempt order by begun_at, id'),
    );
    for (const secret of [asked.get('state'), asked.get('nonce'), browserSecret]) {
      expect(rows).not.toContain(secret);
    }
  });
});

describe('linking from the settings', () => {
  test('needs the password, and then lets the account in', async () => {
    provider.accounts.set('tamas', { email: 'someone@else.example', verified: false });
    const refused = await clinic.as('technician').post('/api/v1/me/openid/link/begin', {
      currentPassword: 'not this one, for sure',
      browserSha256: tabSecret().browserSha256,
    });
    expectRefused(refused, 'password-not-verified');

    const linked = await link(clinic, 'technician', there('tamas'));
    expect(linked.status).toBe(201);
    expect(linked.body).toMatchObject({ state: 'linked' });

    const answer = await signInAs('tamas');
    expect(answer.status).toBe(200);
    const { person, accessToken } = answer.body as {
      person: { id: string };
      accessToken: string;
    };
    expect(person.id).toBe(clinic.people.technician.id);
    await clinic.bearing(accessToken).get('/api/v1/me').expect(200);
    const [session] = await clinic.store.raw<{ how: string }>(
      `select how from session where person_id = $1 and how <> 'password'`,
      [person.id],
    );
    expect(session).toEqual({ how: 'openid' });
    const events = await eventsOf(person.id);
    expect(events.map(({ kind }) => kind)).toContain('person.openid_linked');
    expect(events.at(-1)).toMatchObject({ kind: 'person.signed_in', data: { how: 'openid' } });
  });

  test('an account is one person’s only, and a person has one account', async () => {
    provider.accounts.set('shared', { email: 'a@b.example', verified: true });
    expect((await link(clinic, 'auditor', there('shared'))).status).toBe(201);
    expectRefused(await link(clinic, 'front_desk', there('shared')), 'openid-account-taken');
    expectRefused(await link(clinic, 'auditor', there('other')), 'openid-already-linked');
  });

  test('another who is signed in cannot finish what one began, nor in another sign-in', async () => {
    const tab = tabSecret();
    const { body } = await clinic
      .as('front_desk')
      .post('/api/v1/me/openid/link/begin', {
        currentPassword: PASSWORD,
        browserSha256: tab.browserSha256,
      })
      .expect(200);
    const back = known(await signInThere((body as { address: string }).address, 'fanni'));
    const asked = { back, browserSecret: tab.browserSecret };
    const other = await clinic.as('prosthetist').post('/api/v1/me/openid/link', asked);
    expectRefused(other, 'openid-attempt-not-valid');
    // Nor as a way in.
    expectRefused(
      await clinic.stranger.post('/api/v1/sign-in/openid', asked),
      'openid-attempt-not-valid',
    );
    await clinic.as('front_desk').post('/api/v1/me/openid/link', asked).expect(201);
    await clinic
      .as('front_desk')
      .post('/api/v1/me/openid/unlink', { currentPassword: PASSWORD })
      .expect(204);
  });

  test('unlinking needs the password; then the account is nobody’s', async () => {
    provider.accounts.set('paula', { email: 'p@b.example', verified: true });
    await link(clinic, 'prosthetist', there('paula'));
    expect((await signInAs('paula')).status).toBe(200);
    const paula = clinic.as('prosthetist');
    expectRefused(
      await paula.post('/api/v1/me/openid/unlink', { currentPassword: 'not it at all, no' }),
      'password-not-verified',
    );
    await paula.post('/api/v1/me/openid/unlink', { currentPassword: PASSWORD }).expect(204);
    expectRefused(await signInAs('paula'), 'openid-not-linked');
    expectRefused(
      await paula.post('/api/v1/me/openid/unlink', { currentPassword: PASSWORD }),
      'openid-no-link',
    );
    const kinds = (await eventsOf(clinic.people.prosthetist.id)).map(({ kind }) => kind);
    expect(kinds.at(-1)).toBe('person.openid_unlinked');
  });
});

describe('an administrator’s invitation', () => {
  const invited = async (name: string) => {
    const admin = clinic.as('administrator');
    const email = `${name}@kl.example`;
    const { body } = await admin
      .post('/api/v1/people', {
        email,
        printedName: `${name} New`,
        roles: ['technician'],
        ...PASSWORD_AGAIN,
      })
      .expect(201);
    const { id } = body as { id: string };
    await admin.post(`/api/v1/people/${id}/openid/invitation`, PASSWORD_AGAIN).expect(201);
    return { id, email };
  };

  test('is taken up by the address that the provider vouches for, once', async () => {
    const { id, email } = await invited('nora');
    provider.accounts.set('n-1', { email: email.toUpperCase(), verified: true });
    provider.accounts.set('n-2', { email, verified: true });
    expect((await signInAs('n-1')).status).toBe(200);
    expectRefused(await signInAs('n-2'), 'openid-not-linked');
    expect((await signInAs('n-1')).status).toBe(200);
    const kinds = (await eventsOf(id)).map(({ kind }) => kind);
    expect(kinds).toEqual([
      'person.added',
      'person.invited',
      'person.openid_invited',
      'person.openid_linked',
      'person.signed_in',
      'person.signed_in',
    ]);
  });

  test('never by an address that is not verified, nor by another, nor without an invitation', async () => {
    const { email } = await invited('olga');
    provider.accounts.set('o-1', { email, verified: false });
    provider.accounts.set('o-2', { email: 'olga@other.example', verified: true });
    expectRefused(await signInAs('o-1'), 'openid-not-linked');
    expectRefused(await signInAs('o-2'), 'openid-not-linked');
    provider.accounts.set('o-3', { email: 'administrator@kl.example', verified: true });
    expectRefused(await signInAs('o-3'), 'openid-not-linked');
  });

  test('can be taken back, and gives way to a new one', async () => {
    const { id, email } = await invited('rosa');
    provider.accounts.set('r-1', { email, verified: true });
    const admin = clinic.as('administrator');
    await admin.post(`/api/v1/people/${id}/openid/unlink`).expect(204);
    expectRefused(await signInAs('r-1'), 'openid-not-linked');
    await admin.post(`/api/v1/people/${id}/openid/invitation`, PASSWORD_AGAIN).expect(201);
    await admin.post(`/api/v1/people/${id}/openid/invitation`, PASSWORD_AGAIN).expect(201);
    expect((await signInAs('r-1')).status).toBe(200);
    expectRefused(
      await admin.post(`/api/v1/people/${id}/openid/invitation`, PASSWORD_AGAIN),
      'openid-already-linked',
    );
  });

  test('a person who left stays out, and says no more than an unknown account', async () => {
    const { id, email } = await invited('vera');
    provider.accounts.set('v-1', { email, verified: true });
    expect((await signInAs('v-1')).status).toBe(200);
    const admin = clinic.as('administrator');
    const { headers } = await admin.get(`/api/v1/people/${id}`).expect(200);
    await admin
      .patch(`/api/v1/people/${id}`, { active: false }, String(headers['etag']))
      .expect(200);
    const left = await signInAs('v-1');
    const unknown = await signInAs('nobody-here');
    const { instance: _left, ...leftSays } = left.body as Record<string, unknown>;
    const { instance: _unknown, ...unknownSays } = unknown.body as Record<string, unknown>;
    expect(leftSays).toEqual(unknownSays);
    expect(codeOf(left)).toBe('openid-not-linked');
  });
});

describe('two clinics at one issuer', () => {
  test('the same account does not cross', async () => {
    const other = await clinic.another('XY');
    await enterProvider(other, provider.issuer);
    provider.accounts.set('both', { email: 'both@b.example', verified: true });
    const { id } = await newcomer(other);
    await link(other, 'technician', there('both'));
    // Known there, not here.
    expectRefused(await signInAs('both', 'KL'), 'openid-not-linked');
    expect((await signInAs('both', 'XY')).status).toBe(200);
    expect(id).not.toBe(clinic.people.technician.id);
    // A state of one clinic with the other's name in front is nothing.
    const { page, browserSecret } = await begin(clinic, 'XY');
    const back = await signInThere(page, 'both');
    const [, secret = ''] = (back['state'] ?? '').split('.');
    const moved = { ...back, state: `${clinic.clinicId}.${secret}` };
    expectRefused(await finish(clinic, moved, browserSecret), 'openid-attempt-not-valid');
  });
  const newcomer = async (other: TestClinic) => other.people.technician;
});

describe('the way back', () => {
  test('counts once, in the browser that began it, for ten minutes', async () => {
    provider.accounts.set('once', { email: 'once@b.example', verified: true });
    await link(clinic, 'administrator', there('once'));
    const { page, browserSecret } = await begin(clinic);
    const back = await signInThere(page, 'once');
    const elsewhere = await finish(clinic, back, tabSecret().browserSecret);
    expectRefused(elsewhere, 'openid-attempt-not-valid');
    expect((await finish(clinic, back, browserSecret)).status).toBe(200);
    expectRefused(await finish(clinic, back, browserSecret), 'openid-attempt-not-valid');

    const late = await begin(clinic);
    const lateBack = await signInThere(late.page, 'once');
    const now = clinic.clock.now().toISOString();
    clinic.clock.pass(10);
    expectRefused(await finish(clinic, lateBack, late.browserSecret), 'openid-attempt-not-valid');
    clinic.clock.set(now);
  });

  test('of two at once one signs in', async () => {
    const { page, browserSecret } = await begin(clinic);
    const back = await signInThere(page, 'once');
    const answers = await Promise.all([1, 2, 3].map(() => finish(clinic, back, browserSecret)));
    expect(answers.map(({ status }) => status).toSorted()).toEqual([200, 401, 401]);
  });

  test('a code of one sign-in is not taken for another, nor a state of nobody’s', async () => {
    const one = await begin(clinic);
    const other = await begin(clinic);
    const oneBack = await signInThere(one.page, 'once');
    const otherBack = await signInThere(other.page, 'once');
    const mixed = { ...otherBack, code: oneBack['code'] ?? '' };
    expectRefused(await finish(clinic, mixed, other.browserSecret), 'openid-answer-refused');
    for (const state of ['x', `${clinic.clinicId}.${'a'.repeat(43)}`, `${clinic.clinicId}.`]) {
      const made = await finish(clinic, { ...oneBack, state }, one.browserSecret);
      expectRefused(made, 'openid-attempt-not-valid');
    }
  });

  test('an answer in another issuer’s name is not taken (RFC 9207), nor one in nobody’s', async () => {
    for (const iss of ['https://evil.example', undefined]) {
      const { page, browserSecret } = await begin(clinic);
      const { iss: _own, ...back } = await signInThere(page, 'once');
      const answer = await finish(
        clinic,
        { ...back, ...(iss === undefined ? {} : { iss }) },
        browserSecret,
      );
      expectRefused(answer, 'openid-answer-refused');
      expect(answer.body).toMatchObject({ facts: { why: 'it comes from another issuer' } });
    }
  });

  test('called off at the provider, nothing is said of what the provider said', async () => {
    const { page, browserSecret } = await begin(clinic);
    const state = new URL(page).searchParams.get('state') ?? '';
    const answer = await finish(
      clinic,
      { state, iss: provider.issuer, error: 'access_denied' },
      browserSecret,
    );
    expectRefused(answer, 'openid-answer-refused');
    expect(answer.body).toMatchObject({ facts: { why: 'the sign-in was called off there' } });
  });

  test('the log holds no code, state, secret or token', async () => {
    const { page, browserSecret } = await begin(clinic);
    const back = await signInThere(page, 'once');
    const answer = await finish(clinic, back, browserSecret);
    const { accessToken, refreshToken } = answer.body as Record<string, string>;
    const log = clinic.logLines.join('\n');
    expect(log).toContain('/api/v1/sign-in/openid');
    for (const secret of [back['code'], back['state'], browserSecret, accessToken, refreshToken]) {
      expect(secret).toBeTruthy();
      expect(log).not.toContain(secret);
    }
  });
});
