/** The short PIN of a bench device: set, unlocked by, ended; and what it is not good for. */
import fs from 'node:fs';
import path from 'node:path';
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PERMISSIONS, PUBLIC, REACHES_ONLY } from '../../src/access/permissions.ts';
import { PASSWORD, PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';
import {
  askSecondFactorOf,
  byPin,
  eventsAbout,
  expectProblem,
  newDevice,
  PIN,
  setPin,
  signedInAnew,
  takeOn,
  type SignedInPerson,
} from '../support/factors.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

/** Somebody of the bench with a PIN on a device of their own. */
async function atBench(...roles: Parameters<typeof takeOn>[1][]) {
  const person = await takeOn(clinic, ...(roles.length === 0 ? ['technician' as const] : roles));
  const signedIn = await signedInAnew(clinic, person);
  const device = newDevice();
  const { body } = await setPin(signedIn.client, device).expect(201);
  return { ...signedIn, device, goodUntil: body.goodUntil as string };
}

const unlocked = async (who: SignedInPerson & { device: string }) => {
  const { body } = await byPin(clinic, who, who.device).expect(200);
  return clinic.bearing(body.accessToken as string);
};

const refresh = (refreshToken: unknown) =>
  clinic.stranger.post('/api/v1/sign-in/refresh', { refreshToken });

describe('setting a PIN', () => {
  test('after a full sign-in, for as long as the clinic says from it on', async () => {
    const began = clinic.clock.now().getTime();
    const { goodUntil, id } = await atBench();
    expect(Date.parse(goodUntil) - began).toBe(12 * 3_600_000);
    expect(await eventsAbout(clinic, id)).toContain('person.pin_set');
  });

  test('easy ones are refused beside the field, and what is no PIN', async () => {
    const { client } = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    const answer = await setPin(client, newDevice(), '123456');
    expectProblem(answer, 400, 'pin-too-easy');
    expect(answer.body.errors).toMatchObject([{ pointer: '/pin' }]);
    for (const pin of ['12345', '1234567', 'abcdef', '']) {
      expectProblem(await setPin(client, newDevice(), pin), 400, 'request-invalid');
    }
    expectProblem(await setPin(client, 'short', PIN), 400, 'request-invalid');
  });

  test('only those of the bench have one, and nobody gets one by PIN', async () => {
    expectProblem(await setPin(clinic.as('front_desk'), newDevice()), 403, 'role-may-not');
    const tina = await atBench();
    const again = await setPin(await unlocked(tina), newDevice());
    expectProblem(again, 403, 'not-by-pin');
  });

  test('a sign-in that is older than a PIN may be has to be a fresh one', async () => {
    const tina = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    clinic.clock.pass(11 * 60);
    const renewed = await refresh(tina.refreshToken);
    clinic.clock.pass(2 * 60);
    const again = await refresh(renewed.body.refreshToken);
    const answer = await setPin(clinic.bearing(again.body.accessToken as string), newDevice());
    expectProblem(answer, 422, 'pin-needs-fresh-sign-in');
  });

  test('neither PIN nor device secret stands anywhere; the hash is no use without the device', async () => {
    const tina = await atBench();
    await byPin(clinic, tina, tina.device, '960473');
    const rows = await clinic.store.raw(
      `select (select json_agg(p) from bench_pin p)::text || (select json_agg(e) from event e)::text
        || (select json_agg(k) from idempotency_key k)::text as everything`,
    );
    const everything = JSON.stringify(rows) + clinic.logLines.join('\n');
    expect(everything).not.toContain(tina.device);
    expect(everything).not.toMatch(/\b(739152|960473)\b/);
  });
});

describe('unlocking', () => {
  test('gives the bench, under the person’s own name, until the PIN is over', async () => {
    const tina = await atBench('technician', 'administrator');
    const { body } = await byPin(clinic, tina, tina.device).expect(200);
    expect(body).toMatchObject({ reach: 'bench', person: { id: tina.id, roles: ['technician'] } });
    const { body: me } = await clinic.bearing(body.accessToken as string).get('/api/v1/me');
    expect(me.person.id).toBe(tina.id);
    const [session] = await clinic.store.raw(
      "select how, bench_pin_id is not null as by_pin from session where person_id = $1 and how = 'pin'",
      [tina.id],
    );
    expect(session).toEqual({ how: 'pin', by_pin: true });
    clinic.clock.pass(11 * 60 + 59);
    const last = await refresh(body.refreshToken);
    expect(last.body.reach).toBe('bench');
    clinic.clock.pass(2);
    expectProblem(await refresh(last.body.refreshToken), 401, 'refresh-token-not-valid');
    expectProblem(await byPin(clinic, tina, tina.device), 401, 'pin-ended');
  });

  test('a clinic may shorten it', async () => {
    await clinic.store.raw('update clinic set pin_hours = 1');
    const tina = await atBench();
    await clinic.store.raw('update clinic set pin_hours = 12');
    clinic.clock.pass(61);
    expectProblem(await byPin(clinic, tina, tina.device), 401, 'pin-ended');
  });

  test('not on another device, not as another person, not in another clinic', async () => {
    const tina = await atBench();
    const toni = await atBench();
    expectProblem(await byPin(clinic, tina, newDevice()), 401, 'pin-ended');
    expectProblem(await byPin(clinic, tina, toni.device), 401, 'pin-ended');
    const elsewhere = await clinic.another('PN');
    expectProblem(await byPin(elsewhere, tina, tina.device), 401, 'pin-ended');
    await byPin(clinic, tina, tina.device).expect(200);
  });

  test('several persons on one phone, each with a PIN of their own', async () => {
    const tina = await atBench();
    const toni = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    await setPin(toni.client, tina.device, '405938').expect(201);
    expectProblem(await byPin(clinic, toni, tina.device, PIN), 401, 'pin-wrong');
    const { body } = await byPin(clinic, toni, tina.device, '405938').expect(200);
    expect(body.person.id).toBe(toni.id);
    expect((await byPin(clinic, tina, tina.device)).body.person.id).toBe(tina.id);
  });

  test('five wrong tries end the PIN on that device, and lock no account', async () => {
    const tina = await atBench();
    const wrong = () => byPin(clinic, tina, tina.device, '960473');
    for (const triesLeft of [4, 3, 2, 1]) {
      expect((await wrong()).body).toMatchObject({ code: 'pin-wrong', facts: { triesLeft } });
    }
    expectProblem(await wrong(), 401, 'pin-ended');
    expectProblem(await byPin(clinic, tina, tina.device), 401, 'pin-ended');
    await signedInAnew(clinic, tina);
    const events = await eventsAbout(clinic, tina.id);
    expect(events.filter((kind) => kind === 'person.sign_in_failed')).toHaveLength(5);
    expect(events.filter((kind) => kind === 'person.pin_ended')).toHaveLength(1);
  });

  test('the right PIN ends the count', async () => {
    const tina = await atBench();
    for (let round = 0; round < 3; round += 1) {
      for (let time = 0; time < 4; time += 1) {
        expectProblem(await byPin(clinic, tina, tina.device, '960473'), 401, 'pin-wrong');
      }
      await byPin(clinic, tina, tina.device).expect(200);
    }
  });

  test('twenty tries at once are no more than five', async () => {
    const tina = await atBench();
    const guesses = Array.from({ length: 20 }, (_, at) => String(530_000 + at * 7));
    await Promise.all(guesses.map((pin) => byPin(clinic, tina, tina.device, pin)));
    const [pin] = await clinic.store.raw(
      'select tries, ended_how, pin_hash from bench_pin where person_id = $1',
      [tina.id],
    );
    expect(pin).toEqual({ tries: 5, ended_how: 'tries', pin_hash: null });
    const events = await eventsAbout(clinic, tina.id);
    expect(events.filter((kind) => kind === 'person.sign_in_failed')).toHaveLength(5);
  });
});

describe('what it is good for', () => {
  test('the bench’s work and nothing else: every route is asked', async () => {
    const tina = await atBench('technician', 'prosthetist', 'administrator', 'front_desk');
    const client = await unlocked(tina);
    for (const [permission, who] of Object.entries(PERMISSIONS)) {
      if (who === PUBLIC || permission === 'POST /api/v1/sign-out') continue;
      const [method = '', url = ''] = permission.split(' ');
      if (permission === 'GET /api/v1/changes') continue;
      const { body } = await client.send(method as 'GET', url.replaceAll(/:\w+/g, randomUUID()));
      const stopped = ['not-by-pin', 'signing-not-by-pin'].includes(body.code as string);
      expect({ permission, stopped }).toEqual({
        permission,
        stopped: !REACHES_ONLY.bench.has(permission),
      });
    }
    const signs = await client.post(`/api/v1/orders/${randomUUID()}/delivery`, {
      signature: { password: PASSWORD },
    });
    expectProblem(signs, 403, 'signing-not-by-pin');
  });

  test('holds no act that is signed, and all that the bench’s own pages ask for', () => {
    const bench = [...REACHES_ONLY.bench];
    expect(bench.filter((each) => `${each}/to-sign` in PERMISSIONS)).toEqual([]);
    const folder = path.resolve(import.meta.dirname, '../../src/web/bench');
    const sources = fs.readdirSync(folder, { recursive: true, encoding: 'utf8' });
    const asked = sources
      .filter((file) => /\.tsx?$/.test(file))
      .flatMap((file) => {
        const text = fs.readFileSync(path.join(folder, file), 'utf8');
        return [...text.matchAll(/(?:api\.(GET|POST)\(\s*)?'(\/api\/v1\/[^']+)'/g)];
      })
      // What an act keeps for later is named by its address alone, and is a POST.
      .map(([, method = 'POST', url = '']) => `${method} ${url.replaceAll(/\{(\w+)\}/g, ':$1')}`);
    expect(asked.length).toBeGreaterThan(15);
    expect(asked.filter((each) => !bench.includes(each))).toEqual([]);
  });
});

describe('what ends it, with all that was unlocked by it', () => {
  const expectEnded = async (who: SignedInPerson & { device: string }, refreshToken: unknown) => {
    expectProblem(await byPin(clinic, who, who.device), 401, 'pin-ended');
    expectProblem(await refresh(refreshToken), 401, 'refresh-token-not-valid');
  };
  const endings: readonly [
    string,
    (who: Awaited<ReturnType<typeof atBench>>) => PromiseLike<unknown>,
  ][] = [
    [
      'signing out of the sign-in that it came from',
      ({ client }) => client.post('/api/v1/sign-out').expect(204),
    ],
    [
      'one’s own new password',
      ({ client }) =>
        client
          .post('/api/v1/me/password', {
            currentPassword: PASSWORD,
            newPassword: 'a new sentence for the bench',
          })
          .expect(204),
    ],
    [
      'a code for a new password, given by an administrator',
      ({ id }) =>
        clinic.as('administrator').post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN).expect(201),
    ],
    [
      'leaving the clinic',
      ({ id, etag }) =>
        clinic
          .as('administrator')
          .patch(`/api/v1/people/${id}`, { active: false }, etag)
          .expect(200),
    ],
    [
      'losing a role',
      ({ id, etag }) =>
        clinic
          .as('administrator')
          .patch(`/api/v1/people/${id}`, { roles: ['front_desk'], ...PASSWORD_AGAIN }, etag)
          .expect(200),
    ],
    [
      'taking it off, also by whoever unlocked by it',
      async (who) =>
        (await unlocked(who))
          .post('/api/v1/me/bench-pin/removal', { deviceSecret: who.device })
          .expect(204),
    ],
    [
      'setting another',
      async ({ client, device }) => {
        await setPin(client, device, '405938').expect(201);
      },
    ],
  ];
  test.each(endings)('%s', async (what, end) => {
    const tina = await atBench();
    const { body } = await byPin(clinic, tina, tina.device).expect(200);
    await end(tina);
    if (what === 'setting another') {
      expectProblem(await byPin(clinic, tina, tina.device, PIN), 401, 'pin-wrong');
      expectProblem(await refresh(body.refreshToken), 401, 'refresh-token-not-valid');
    } else await expectEnded(tina, body.refreshToken);
  });

  test('a clinic that asks for a second factor from now on gets no bench without', async () => {
    const tina = await atBench();
    await askSecondFactorOf(clinic, 'everybody');
    const { body } = await byPin(clinic, tina, tina.device);
    await askSecondFactorOf(clinic, 'nobody');
    expect(body.reach).toBe('enrolment');
  });
});
