/** The second factor: adding it, signing in with it, losing it; and all the ways round it. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PASSWORD, PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';
import { codeAt } from '../support/authenticator.ts';
import {
  enrol,
  eventsAbout,
  expectProblem,
  signedInAnew,
  signInAs,
  takeOn,
} from '../support/factors.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const FACTOR = '/api/v1/me/second-factor';

describe('adding a second factor', () => {
  test('needs the password again, shows a secret once, and counts after a first code', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    expectProblem(
      await vera.client.post(FACTOR, { currentPassword: 'not the password at all' }),
      403,
      'password-not-verified',
    );
    const begun = await vera.client.post(FACTOR, { currentPassword: PASSWORD });
    expect(begun.status).toBe(201);
    expect(begun.body.keyUri).toMatch(/^otpauth:\/\/totp\//);
    expect(begun.body.keyUri).toContain(`secret=${begun.body.secret as string}`);
    expect(begun.body.qrSvg).toMatch(/^<svg .*<\/svg>$/);
    // Not yet confirmed it is asked of nobody.
    await signInAs(clinic, vera.email).expect(200);
    expectProblem(
      await vera.client.post(`${FACTOR}/confirmation`, { oneTimeCode: '000000' }),
      403,
      'code-not-verified',
    );
    const oneTimeCode = codeAt(begun.body.secret as string, clinic.clock.now());
    const confirmed = await vera.client.post(`${FACTOR}/confirmation`, { oneTimeCode });
    expect(confirmed.status).toBe(201);
    expect(new Set(confirmed.body.recoveryCodes as string[]).size).toBe(10);
    expect((await vera.client.get(FACTOR)).body).toMatchObject({
      added: true,
      recoveryCodesLeft: 10,
    });
    expectProblem(
      await vera.client.post(FACTOR, { currentPassword: PASSWORD }),
      409,
      'second-factor-there',
    );
    expectProblem(
      await vera.client.post(`${FACTOR}/confirmation`, { oneTimeCode }),
      409,
      'second-factor-there',
    );
    expect(await eventsAbout(clinic, vera.id)).toContain('person.second_factor_added');
  });

  test('other devices are signed out; this one goes on', async () => {
    const person = await takeOn(clinic, 'technician');
    const other = await signedInAnew(clinic, person);
    const here = await signedInAnew(clinic, person);
    await enrol(clinic, here.client);
    const refresh = (refreshToken: string) =>
      clinic.stranger.post('/api/v1/sign-in/refresh', { refreshToken });
    expectProblem(await refresh(other.refreshToken), 401, 'refresh-token-not-valid');
    expect((await refresh(here.refreshToken)).body.reach).toBe('whole');
  });

  test('a secret that was shown waits a quarter of an hour; begun anew, the old one is nothing', async () => {
    const { client } = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const first = await client.post(FACTOR, { currentPassword: PASSWORD });
    const second = await client.post(FACTOR, { currentPassword: PASSWORD });
    const confirm = (secret: unknown) =>
      client.post(`${FACTOR}/confirmation`, {
        oneTimeCode: codeAt(secret as string, clinic.clock.now()),
      });
    expectProblem(await confirm(first.body.secret), 403, 'code-not-verified');
    clinic.clock.pass(16);
    expectProblem(
      await clinic.bearing('x').post(`${FACTOR}/confirmation`, { oneTimeCode: '123456' }),
      401,
      'not-signed-in',
    );
    const again = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    expectProblem(
      await again.client.post(`${FACTOR}/confirmation`, { oneTimeCode: '123456' }),
      409,
      'second-factor-not-begun',
    );
    expect(second.status).toBe(201);
  });

  test('what is shown once is kept nowhere: not with the key, not in the log, not in an event', async () => {
    const { client, id, email } = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const key = 'the-key-of-this-act';
    const begun = await client.post(FACTOR, { currentPassword: PASSWORD }, { key });
    const { secret } = begun.body as { secret: string };
    const again = await client.post(FACTOR, { currentPassword: PASSWORD }, { key });
    expectProblem(again, 409, 'shown-once');
    const oneTimeCode = codeAt(secret, clinic.clock.now());
    const { body } = await client.post(`${FACTOR}/confirmation`, { oneTimeCode });
    const [recovery = ''] = body.recoveryCodes as string[];
    clinic.clock.pass(1);
    await signInAs(clinic, email, { oneTimeCode: recovery }).expect(200);
    const kept = await clinic.store.raw(
      `select (select coalesce(json_agg(k), '[]') from idempotency_key k where person_id = $1)::text
        || (select coalesce(json_agg(e), '[]') from event e where subject_id = $1)::text
        || (select json_agg(f) from second_factor f where person_id = $1)::text
        || (select json_agg(r) from recovery_code r)::text as everything`,
      [id],
    );
    const everything = JSON.stringify(kept) + clinic.logLines.join('\n');
    for (const hidden of [secret, recovery, oneTimeCode, PASSWORD]) {
      expect(everything).not.toContain(hidden);
    }
  });
});

describe('signing in with it', () => {
  test('the password alone is asked for a code, and opens nothing', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    const app = await enrol(clinic, vera.client);
    const asked = await signInAs(clinic, vera.email);
    expectProblem(asked, 401, 'second-factor-asked');
    expect(JSON.stringify(asked.body)).not.toContain('Token');
    const { body } = await signInAs(clinic, vera.email, { oneTimeCode: app.now() }).expect(200);
    expect(body).toMatchObject({ reach: 'whole', person: { id: vera.id } });
  });

  test('who has not the password learns nothing by a code, right or wrong', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    const password = 'somebody guesses at this one';
    for (const more of [{}, { oneTimeCode: app.now() }, { oneTimeCode: '000000' }]) {
      const answer = await signInAs(clinic, vera.email, { password, ...more });
      expectProblem(answer, 401, 'sign-in-failed');
    }
    // The code that came with a wrong password is not used up by it.
    await signInAs(clinic, vera.email, { oneTimeCode: app.now() }).expect(200);
  });

  test('a code counts once, also after it was used to confirm, and none before it', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const begun = await vera.client.post(FACTOR, { currentPassword: PASSWORD });
    const at = clinic.clock.now();
    const code = (minutes: number) =>
      codeAt(begun.body.secret as string, new Date(at.getTime() + minutes * 60_000));
    await vera.client.post(`${FACTOR}/confirmation`, { oneTimeCode: code(0) }).expect(201);
    const again = await signInAs(clinic, vera.email, { oneTimeCode: code(0) });
    expectProblem(again, 401, 'second-factor-wrong');
    const before = await signInAs(clinic, vera.email, { oneTimeCode: code(-0.5) });
    expectProblem(before, 401, 'second-factor-wrong');
    clinic.clock.pass(0.5);
    await signInAs(clinic, vera.email, { oneTimeCode: code(0.5) }).expect(200);
    const replayed = await signInAs(clinic, vera.email, { oneTimeCode: code(0.5) });
    expectProblem(replayed, 401, 'second-factor-wrong');
  });

  test('two at once with the same code: one comes in', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    const oneTimeCode = app.now();
    const answers = await Promise.all(
      Array.from({ length: 4 }, () => signInAs(clinic, vera.email, { oneTimeCode })),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 401, 401, 401]);
    const recoveryCode = { oneTimeCode: app.recoveryCodes[0] };
    const onPaper = await Promise.all([
      signInAs(clinic, vera.email, recoveryCode),
      signInAs(clinic, vera.email, recoveryCode),
    ]);
    expect(onPaper.map(({ status }) => status).sort()).toEqual([200, 401]);
  });

  test('a clock that is half a minute off is forgiven, one that is more is not', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    const shifted = (minutes: number) =>
      codeAt(app.secret, new Date(clinic.clock.now().getTime() + minutes * 60_000));
    clinic.clock.pass(5);
    for (const minutes of [-1, 1]) {
      const answer = await signInAs(clinic, vera.email, { oneTimeCode: shifted(minutes) });
      expectProblem(answer, 401, 'second-factor-wrong');
    }
    await signInAs(clinic, vera.email, { oneTimeCode: shifted(-0.5) }).expect(200);
    await signInAs(clinic, vera.email, { oneTimeCode: shifted(0.5) }).expect(200);
  });

  test('wrong codes lock like wrong passwords; being asked for the code does not', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    for (let time = 0; time < 8; time += 1) {
      expectProblem(await signInAs(clinic, vera.email), 401, 'second-factor-asked');
    }
    for (let time = 0; time < 5; time += 1) {
      const answer = await signInAs(clinic, vera.email, { oneTimeCode: '000000' });
      expectProblem(answer, 401, 'second-factor-wrong');
    }
    const locked = await signInAs(clinic, vera.email, { oneTimeCode: app.now() });
    expectProblem(locked, 429, 'sign-in-locked');
    // The right password in between ends no count of wrong codes.
    clinic.clock.pass(2);
    expectProblem(await signInAs(clinic, vera.email), 401, 'second-factor-asked');
    const wrong = await signInAs(clinic, vera.email, { oneTimeCode: '000000' });
    expectProblem(wrong, 401, 'second-factor-wrong');
    expectProblem(await signInAs(clinic, vera.email), 429, 'sign-in-locked');
    clinic.clock.pass(3);
    await signInAs(clinic, vera.email, { oneTimeCode: app.now() }).expect(200);
  });

  test('a recovery code signs in once, and the person sees how many are left', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    const [first = ''] = app.recoveryCodes;
    const typed = first.toLowerCase().replaceAll('-', ' ');
    const { client } = await signedInAnew(clinic, vera, { oneTimeCode: typed });
    expect((await client.get(FACTOR)).body.recoveryCodesLeft).toBe(9);
    const twice = await signInAs(clinic, vera.email, { oneTimeCode: first });
    expectProblem(twice, 401, 'second-factor-wrong');
    expect(await eventsAbout(clinic, vera.id)).toContain('person.recovery_code_used');
  });
});

describe('changing it', () => {
  test('new recovery codes need password and code, and end the old ones', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    const renew = (oneTimeCode: string) =>
      vera.client.post(`${FACTOR}/recovery-codes`, { currentPassword: PASSWORD, oneTimeCode });
    expectProblem(await renew('000000'), 403, 'code-not-verified');
    const { body } = await renew(app.now()).expect(201);
    const old = await signInAs(clinic, vera.email, { oneTimeCode: app.recoveryCodes[3] });
    expectProblem(old, 401, 'second-factor-wrong');
    const [fresh] = body.recoveryCodes as string[];
    await signInAs(clinic, vera.email, { oneTimeCode: fresh }).expect(200);
  });

  test('turning it off needs password and code, and codes cannot be guessed behind the password', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const app = await enrol(clinic, vera.client);
    const remove = (currentPassword: string, oneTimeCode: string) =>
      vera.client.post(`${FACTOR}/removal`, { currentPassword, oneTimeCode });
    expectProblem(
      await remove('somebody guesses at this one', app.now()),
      403,
      'password-not-verified',
    );
    for (let time = 0; time < 4; time += 1) {
      expectProblem(await remove(PASSWORD, '000000'), 403, 'code-not-verified');
    }
    expectProblem(await remove(PASSWORD, app.now()), 429, 'sign-in-locked');
    clinic.clock.pass(2);
    await remove(PASSWORD, app.now()).expect(204);
    await signInAs(clinic, vera.email).expect(200);
    expectProblem(await remove(PASSWORD, app.now()), 409, 'second-factor-missing');
    expect(await eventsAbout(clinic, vera.id)).toContain('person.second_factor_removed');
    // The secret is gone with it.
    const rows = await clinic.store.raw('select secret from second_factor where person_id = $1', [
      vera.id,
    ]);
    expect(rows).toEqual([{ secret: null }]);
  });

  test('an administrator resets somebody else’s, signs them out by it, and sees no secret', async () => {
    const vera = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    await enrol(clinic, vera.client);
    const reset = (id: string) => `/api/v1/people/${id}/second-factor/reset`;
    await clinic.as('prosthetist').post(reset(vera.id)).expect(403);
    const done = await clinic.as('administrator').post(reset(vera.id), PASSWORD_AGAIN);
    expect({ status: done.status, text: done.text }).toEqual({ status: 204, text: '' });
    const refreshed = await clinic.stranger.post('/api/v1/sign-in/refresh', {
      refreshToken: vera.refreshToken,
    });
    expectProblem(refreshed, 401, 'refresh-token-not-valid');
    await signInAs(clinic, vera.email).expect(200);
    const again = await clinic.as('administrator').post(reset(vera.id), PASSWORD_AGAIN);
    expectProblem(again, 409, 'second-factor-missing');
    const own = await clinic
      .as('administrator')
      .post(reset(clinic.people.administrator.id), PASSWORD_AGAIN);
    expectProblem(own, 422, 'own-second-factor-not-reset');
    expect(await eventsAbout(clinic, vera.id)).toContain('person.second_factor_reset');
    // Somebody of another clinic is nobody here.
    const elsewhere = await clinic.another('SF');
    const foreign = await elsewhere.as('administrator').post(reset(vera.id), PASSWORD_AGAIN);
    expectProblem(foreign, 404, 'person-unknown');
  });
});

describe('the secret at rest', () => {
  test('lies there encrypted, and opens in nobody else’s row', async () => {
    const [vera, bruno] = await Promise.all(
      ['first', 'second'].map(async () => signedInAnew(clinic, await takeOn(clinic, 'technician'))),
    );
    const app = await enrol(clinic, vera!.client);
    const other = await enrol(clinic, bruno!.client);
    const kept = await clinic.store.raw<{ secret: string }>(
      'select secret from second_factor where person_id = $1',
      [vera!.id],
    );
    expect(kept[0]?.secret).toMatch(/^enc1\./);
    expect(JSON.stringify(kept)).not.toContain(app.secret);
    await clinic.store.raw('update second_factor set secret = $1 where person_id = $2', [
      kept[0]?.secret,
      bruno!.id,
    ]);
    for (const oneTimeCode of [app.now(), other.now()]) {
      expectProblem(
        await signInAs(clinic, bruno!.email, { oneTimeCode }),
        409,
        'column-value-broken',
      );
    }
  });
});
