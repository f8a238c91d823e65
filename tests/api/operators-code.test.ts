/** The clinic's only administrator has lost password, phone and recovery codes: whoever runs the service helps. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { codeByOperator } from '../../src/access/codeByOperator.ts';
import { newCode } from '../../src/access/codes.ts';
import { PASSWORD, PASSWORD_AGAIN, takeOn, testClinic, type TestClinic } from '../support/api.ts';
import { enrol, signedInAnew } from '../support/factors.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const NEXT = 'trim lines follow the cast';
const WHY = 'Lost the phone; seen in person.';

async function given(email: string) {
  const { code, codeHash } = await newCode();
  const outcome = await codeByOperator(
    clinic.store,
    { email, why: WHY, codeHash },
    clinic.clock.now(),
  );
  return { code, outcome };
}
const signIn = (email: string, password: string) =>
  clinic.stranger.post('/api/v1/sign-in', { email, password });
const eventsOf = (personId: string) =>
  clinic.store.raw<{ kind: string; person_id: string | null; data: object }>(
    'select kind, person_id, data from event where subject_id = $1 order by seq',
    [personId],
  );

describe('a code from whoever runs the service', () => {
  test('ends password, second factor and sign-ins of an administrator, who sets the next', async () => {
    const ada = await signedInAnew(clinic, await takeOn(clinic, { roles: ['administrator'] }));
    await enrol(clinic, ada.client);
    const { code, outcome } = await given(ada.email.toUpperCase());
    expect(outcome).toMatchObject({ given: true, signedOut: 1, secondFactorEnded: true });
    expect((await ada.client.get('/api/v1/me')).body.code).toBe('session-ended');
    expect((await signIn(ada.email, PASSWORD)).status).toBe(401);
    await clinic.stranger
      .post('/api/v1/sign-in/code', { email: ada.email, code, newPassword: NEXT })
      .expect(200);
    // No code of the lost phone is asked any more.
    expect((await signIn(ada.email, NEXT)).status).toBe(200);
    const told = (await eventsOf(ada.id)).find(
      ({ kind }) => kind === 'person.code_given_by_operator',
    );
    expect(told).toMatchObject({
      person_id: null,
      data: { why: WHY, passwordEnded: true, signedOut: 1, secondFactorEnded: true },
    });
  });

  test('ends a code that an administrator gave before', async () => {
    const { id, email } = await takeOn(clinic, { roles: ['administrator'] });
    const { body } = await clinic
      .as('administrator')
      .post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN)
      .expect(201);
    const { code, outcome } = await given(email);
    expect(outcome).toMatchObject({ given: true, signedOut: 0, secondFactorEnded: false });
    const use = (typed: string) =>
      clinic.stranger.post('/api/v1/sign-in/code', { email, code: typed, newPassword: NEXT });
    expect((await use(String(body.code))).status).toBe(401);
    expect((await use(code)).status).toBe(200);
  });

  test.each(['front_desk', 'technician', 'prosthetist', 'auditor'] as const)(
    'is not for the role %s: an administrator helps them',
    async (role) => {
      const { id, email } = await takeOn(clinic, { roles: [role] });
      const before = await eventsOf(id);
      expect((await given(email)).outcome).toEqual({ given: false, because: 'no-administrator' });
      expect((await signIn(email, PASSWORD)).status).toBe(200);
      const since = (await eventsOf(id)).slice(before.length);
      expect(since.map(({ kind }) => kind)).toEqual(['person.signed_in']);
    },
  );

  test('is for nobody who left, and for nobody at all', async () => {
    const gone = await takeOn(clinic, { roles: ['administrator'] });
    const { headers } = await clinic.as('administrator').get(`/api/v1/people/${gone.id}`);
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${gone.id}`, { active: false }, String(headers['etag']))
      .expect(200);
    expect((await given(gone.email)).outcome).toEqual({ given: false, because: 'left' });
    const nobody = await given(`${randomUUID()}@kl.example`);
    expect(nobody.outcome).toEqual({ given: false, because: 'nobody' });
  });
});
