/** Where the clinic asks for a second factor: forced adding, and signing in one's own strong sign-in. */
import { randomUUID } from 'node:crypto';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { PERMISSIONS, PUBLIC } from '../../src/access/permissions.ts';
import {
  type Client,
  PASSWORD,
  PASSWORD_AGAIN,
  testClinic,
  type TestClinic,
} from '../support/api.ts';
import {
  askSecondFactorOf,
  enrol,
  expectProblem,
  signedInAnew,
  signInAs,
  takeOn,
} from '../support/factors.ts';
import { orderAtCheckFitting } from '../support/orders.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterEach(() => askSecondFactorOf(clinic, 'nobody'));
afterAll(() => clinic.close());

const refresh = (refreshToken: string) =>
  clinic.stranger.post('/api/v1/sign-in/refresh', { refreshToken });

const skip = (signer: Client, orderId: string, password = PASSWORD) =>
  signer.post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
    reason: 'Replica of the delivered socket; limb unchanged for two years.',
    signature: { password },
  });

describe('who must have a second factor and has none', () => {
  test('an administrator sets whom the clinic asks, and the record tells it', async () => {
    const admin = clinic.as('administrator');
    const read = await admin.get('/api/v1/clinic');
    expect(read.body).toMatchObject({ secondFactorFor: 'nobody', pinHours: 12 });
    const etag = String(read.headers['etag']);
    await clinic
      .as('prosthetist')
      .patch('/api/v1/clinic', { secondFactorFor: 'everybody' }, etag)
      .expect(403);
    const long = await admin.patch('/api/v1/clinic', { pinHours: 25 }, etag);
    expectProblem(long, 400, 'request-invalid');
    const change = { secondFactorFor: 'administrators_and_signers', benchLockMinutes: 5 };
    expect((await admin.patch('/api/v1/clinic', change, etag)).body).toMatchObject(change);
  });

  test('can do nothing but add it, on any route, and then all', async () => {
    await askSecondFactorOf(clinic, 'administrators_and_signers');
    const paula = await takeOn(clinic, 'prosthetist');
    const { body } = await signInAs(clinic, paula.email).expect(200);
    expect(body.reach).toBe('enrolment');
    const client = clinic.bearing(body.accessToken as string);
    const allowed: string[] = [];
    for (const [permission, who] of Object.entries(PERMISSIONS)) {
      if (who === PUBLIC) continue;
      const [method = '', url = ''] = permission.split(' ');
      const answer = await client.send(method as 'GET', url.replaceAll(/:\w+/g, randomUUID()));
      if (answer.body.code !== 'second-factor-required') allowed.push(permission);
    }
    expect(allowed).toEqual([
      'POST /api/v1/sign-out',
      'GET /api/v1/me',
      'GET /api/v1/me/second-factor',
      'POST /api/v1/me/second-factor',
      'POST /api/v1/me/second-factor/confirmation',
    ]);
    // The tests' own call with an empty body signed nobody out: it had no key.
    await enrol(clinic, client);
    const renewed = await refresh(body.refreshToken as string);
    expect(renewed.body.reach).toBe('whole');
    await clinic
      .bearing(renewed.body.accessToken as string)
      .get('/api/v1/orders')
      .expect(200);
  });

  test('is asked from the next renewal on, also in a sign-in that stood before', async () => {
    const paula = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    const tina = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    await askSecondFactorOf(clinic, 'administrators_and_signers');
    expect((await refresh(paula.refreshToken)).body.reach).toBe('enrolment');
    expect((await refresh(tina.refreshToken)).body.reach).toBe('whole');
    await askSecondFactorOf(clinic, 'everybody');
    expect((await signInAs(clinic, tina.email)).body.reach).toBe('enrolment');
  });

  test('a role that is given makes somebody one who must', async () => {
    await askSecondFactorOf(clinic, 'administrators_and_signers');
    const tina = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${tina.id}`, { roles: ['prosthetist'], ...PASSWORD_AGAIN }, tina.etag)
      .expect(200);
    expect((await refresh(tina.refreshToken)).body.reach).toBe('enrolment');
  });

  test('a token cannot claim more than it was given', async () => {
    await askSecondFactorOf(clinic, 'everybody');
    const tina = await takeOn(clinic, 'technician');
    const { body } = await signInAs(clinic, tina.email).expect(200);
    const [head = '', claims = '', mac = ''] = (body.accessToken as string).split('.');
    const raised = JSON.parse(Buffer.from(claims, 'base64url').toString()) as object;
    const forged = Buffer.from(JSON.stringify({ ...raised, reach: 'whole' })).toString('base64url');
    const answer = await clinic.bearing(`${head}.${forged}.${mac}`).get('/api/v1/orders');
    expectProblem(answer, 401, 'not-signed-in');
  });
});

describe('signing (R8)', () => {
  test('needs a sign-in with the second factor where the clinic asks it, at once and by every way', async () => {
    const paula = await takeOn(clinic, 'prosthetist');
    const before = await signedInAnew(clinic, paula);
    const { id } = await orderAtCheckFitting(clinic);
    await askSecondFactorOf(clinic, 'administrators_and_signers');
    // The access token of before still opens pages for some minutes; it signs nothing.
    const asked = await before.client.post(`/api/v1/orders/${id}/skip-check-fitting/to-sign`, {
      reason: 'Replica of the delivered socket.',
    });
    expectProblem(asked, 403, 'signing-needs-second-factor');
    expectProblem(await skip(before.client, id), 403, 'signing-needs-second-factor');
    await askSecondFactorOf(clinic, 'nobody');
    const app = await enrol(clinic, before.client);
    await askSecondFactorOf(clinic, 'administrators_and_signers');
    const strong = await signedInAnew(clinic, paula, { oneTimeCode: app.now() });
    await skip(strong.client, id).expect(200);
    const [signed] = await clinic.store.raw(
      `select g.person_id = s.person_id as own, s.with_second_factor as strong
       from signature g join session s on s.clinic_id = g.clinic_id and s.id = g.session_id
       where g.person_id = $1`,
      [paula.id],
    );
    expect(signed).toEqual({ own: true, strong: true });
  });

  test('a second factor that was turned off signs no more where it is asked', async () => {
    const paula = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    const app = await enrol(clinic, paula.client);
    const { id } = await orderAtCheckFitting(clinic);
    await askSecondFactorOf(clinic, 'everybody');
    await paula.client
      .post('/api/v1/me/second-factor/removal', {
        currentPassword: PASSWORD,
        oneTimeCode: app.now(),
      })
      .expect(204);
    expectProblem(await skip(paula.client, id), 403, 'signing-needs-second-factor');
  });

  test('at another’s open sign-in a prosthetist signs neither as oneself nor as the other', async () => {
    const paula = await takeOn(clinic, 'prosthetist');
    const otherPassword = 'paula has a sentence of her own';
    await clinic
      .as(paula)
      .post('/api/v1/me/password', { currentPassword: PASSWORD, newPassword: otherPassword })
      .expect(204);
    const { id } = await orderAtCheckFitting(clinic);
    // At a technician's: the role may not, whatever password is typed.
    const tina = await signedInAnew(clinic, await takeOn(clinic, 'technician'));
    expectProblem(await skip(tina.client, id, otherPassword), 403, 'role-may-not');
    expectProblem(await skip(tina.client, id, PASSWORD), 403, 'role-may-not');
    // At another prosthetist's: only the password of the person whose sign-in it is.
    const olga = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    expectProblem(await skip(olga.client, id, otherPassword), 403, 'signature-not-verified');
    const shown = await olga.client.post(`/api/v1/orders/${id}/skip-check-fitting/to-sign`, {
      reason: 'Replica of the delivered socket; limb unchanged for two years.',
    });
    expect(shown.body.printedName).toBe('Nova Hand');
    await skip(olga.client, id).expect(200);
    const signed = await clinic.store.raw(
      'select person_id, printed_name from signature order by signed_at desc, id desc limit 1',
    );
    expect(signed).toEqual([{ person_id: olga.id, printed_name: 'Nova Hand' }]);
  });

  test('in a sign-in that was ended meanwhile nothing is signed', async () => {
    const paula = await signedInAnew(clinic, await takeOn(clinic, 'prosthetist'));
    const { id } = await orderAtCheckFitting(clinic);
    await paula.client.post('/api/v1/sign-out').expect(204);
    expectProblem(await skip(paula.client, id), 401, 'session-ended');
  });
});
