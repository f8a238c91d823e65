/** How a person comes to a password that nobody else ever knew: invited, and after a reset. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { PASSWORD, PASSWORD_AGAIN, takeOn, testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const OWN = 'plaster sets in nine minutes';
const WRONG_CODE = '0000-0000-0000-0000';

async function invited(roles: readonly Role[] = ['technician']) {
  const email = `p-${randomUUID()}@kl.example`;
  const { body, headers } = await clinic
    .as('administrator')
    .post('/api/v1/people', { email, printedName: 'Nova Handle', roles, ...PASSWORD_AGAIN })
    .expect(201);
  return { email, id: String(body.id), code: String(body.code), etag: String(headers['etag']) };
}

const use = (email: string, code: string, newPassword = OWN) =>
  clinic.stranger.post('/api/v1/sign-in/code', { email, code, newPassword });
const signIn = (email: string, password: string) =>
  clinic.stranger.post('/api/v1/sign-in', { email, password });
const said = ({ status, body }: { status: number; body: { code?: string } }) => ({
  status,
  code: body.code,
});
const REFUSED = { status: 401, code: 'code-not-valid' };
const eventsOf = (personId: string) =>
  clinic.store.raw<{ kind: string; person_id: string | null; data: Record<string, unknown> }>(
    'select kind, person_id, data from event where subject_id = $1 order by seq',
    [personId],
  );
const kindsOf = async (personId: string) => (await eventsOf(personId)).map(({ kind }) => kind);

describe('an invitation', () => {
  test('the person sets a password by the code, and only then signs in', async () => {
    const { email, id, code } = await invited();
    const before = await clinic.as('administrator').get(`/api/v1/people/${id}`);
    const until = new Date(clinic.clock.now().getTime() + 72 * 3_600_000).toISOString();
    expect(before.body).toMatchObject({ passwordSet: false, codeExpiresAt: until });
    expect(said(await signIn(email, OWN))).toEqual({ status: 401, code: 'sign-in-failed' });
    // As it is read out and typed.
    const typed = ` ${code.toLowerCase().replaceAll('-', ' ').replaceAll('0', 'o')}`;
    const set = await use(email.toUpperCase(), typed);
    expect({ status: set.status, body: set.body }).toEqual({
      status: 200,
      body: { passwordSet: true },
    });
    expect((await signIn(email, OWN)).status).toBe(200);
    const after = await clinic.as('administrator').get(`/api/v1/people/${id}`);
    expect(after.body).toMatchObject({ passwordSet: true, codeExpiresAt: null });
    const events = await eventsOf(id);
    expect(events.map(({ kind }) => kind)).toEqual([
      'person.added',
      'person.invited',
      // Before there was a password.
      'person.sign_in_failed',
      'person.password_set',
      'person.signed_in',
    ]);
    expect(events[1]).toMatchObject({
      person_id: clinic.people.administrator.id,
      data: { expiresAt: until },
    });
    expect(events[3]).toMatchObject({ person_id: id, data: { purpose: 'invitation' } });
  });

  test('only the code’s hash is kept, in no table the code, and it is in no log', async () => {
    const { id, code } = await invited();
    const bare = code.replaceAll('-', '');
    const rows = await clinic.store.raw('select * from access_code where person_id = $1', [id]);
    expect(rows[0]?.['code_hash']).toMatch(/^\$argon2id\$/);
    const kept = [
      ...rows,
      ...(await clinic.store.raw('select data from event where subject_id = $1', [id])),
      ...(await clinic.store.raw('select answer from idempotency_key')),
    ];
    for (const text of [JSON.stringify(kept), clinic.logLines.join('\n')]) {
      expect(text).not.toContain(code);
      expect(text).not.toContain(bare);
    }
  });

  test('a code works once, and for one of two who use it at once', async () => {
    const { email, id, code } = await invited();
    const answers = await Promise.all([use(email, code), use(email, code, `${OWN} exactly`)]);
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 401]);
    expect(said(await use(email, code))).toEqual(REFUSED);
    expect((await kindsOf(id)).filter((kind) => kind === 'person.password_set')).toHaveLength(1);
    const right = answers[0].status === 200 ? OWN : `${OWN} exactly`;
    expect((await signIn(email, right)).status).toBe(200);
  });

  test('it ends after 72 hours, and not before', async () => {
    const early = await invited();
    const late = await invited();
    clinic.clock.pass(72 * 60 - 1);
    expect((await use(early.email, early.code)).status).toBe(200);
    clinic.clock.pass(1);
    expect(said(await use(late.email, late.code))).toEqual(REFUSED);
    const { body } = await clinic
      .as('administrator')
      .post(`/api/v1/people/${late.id}/code`, PASSWORD_AGAIN);
    expect((await use(late.email, body.code)).status).toBe(200);
    // Another code for who never had a password is another invitation.
    expect(await kindsOf(late.id)).not.toContain('person.reset_code_given');
  });

  test('a new code ends the one before', async () => {
    const { email, id, code } = await invited();
    const { body } = await clinic
      .as('administrator')
      .post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN)
      .expect(201);
    expect(said(await use(email, code))).toEqual(REFUSED);
    expect((await use(email, body.code)).status).toBe(200);
  });

  test('it ends when the person leaves, and does not come back with them', async () => {
    const { email, id, code, etag } = await invited();
    const admin = clinic.as('administrator');
    const left = await admin.patch(`/api/v1/people/${id}`, { active: false }, etag).expect(200);
    expect(said(await use(email, code))).toEqual(REFUSED);
    const given = await admin.post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN);
    expect(said(given)).toEqual({ status: 422, code: 'person-has-left' });
    await admin
      .patch(
        `/api/v1/people/${id}`,
        { active: true, ...PASSWORD_AGAIN },
        String(left.headers['etag']),
      )
      .expect(200);
    expect(said(await use(email, code))).toEqual(REFUSED);
  });

  test('ten wrong tries end it, whenever they come, and the right one then does not help', async () => {
    const { email, id, code } = await invited();
    const answers = await Promise.all(Array.from({ length: 14 }, () => use(email, WRONG_CODE)));
    for (const answer of answers) expect(said(answer)).toEqual(REFUSED);
    expect(said(await use(email, code))).toEqual(REFUSED);
    const events = (await eventsOf(id)).filter(({ kind }) => kind === 'person.code_refused');
    expect(events.map(({ data }) => data['tries']).sort()).toEqual(
      [1, 2, 3, 4, 5, 6, 7, 8, 9, 10].sort(),
    );
    expect(events.filter(({ data }) => data['ended'])).toHaveLength(1);
    const [row] = await clinic.store.raw(
      'select tries, ended_because from access_code where person_id = $1',
      [id],
    );
    expect(row).toEqual({ tries: 10, ended_because: 'guessed' });
  });

  test('nine wrong tries do not', async () => {
    const { email, code } = await invited();
    for (let i = 0; i < 9; i += 1) await use(email, WRONG_CODE);
    expect((await use(email, code)).status).toBe(200);
  });

  test('a wrong code, another person’s, an address of nobody and one without a code hear the same, equally late', async () => {
    const [one, two] = [await invited(), await invited()];
    const other = await clinic.another(
      `A${String.fromCharCode(65 + Math.floor(Math.random() * 26))}`,
    );
    const began = performance.now();
    const unknown = await use(`nobody-${randomUUID()}@kl.example`, one.code);
    // Not a measure of speed: the refusal is held back on purpose until it is due.
    expect(performance.now() - began).toBeGreaterThan(240);
    const bare = ({ status, body }: typeof unknown): object => ({
      ...(body as object),
      status,
      instance: '',
    });
    expect(said(unknown)).toEqual(REFUSED);
    for (const answer of [
      await use(one.email, WRONG_CODE),
      await use(one.email, two.code),
      await use(other.people.technician.email, one.code),
      await use(clinic.people.technician.email, one.code),
    ]) {
      expect(bare(answer)).toEqual(bare(unknown));
    }
    expect((await use(one.email, one.code)).status).toBe(200);
    expect((await use(two.email, two.code)).status).toBe(200);
  });

  test('an easily guessed password is refused, and the code stays open', async () => {
    const { email, code } = await invited();
    const unfit: [string, string][] = [
      ['too short', 'password-unfit'],
      ['passwordpassword', 'password-common'],
      [email, 'password-common'],
      // Only who has the right code is told that it is the name.
      ['NovaHandleNovaHandle', 'password-common'],
    ];
    for (const [newPassword, why] of unfit) {
      const { status, body } = await use(email, code, newPassword);
      expect({ status, code: body.code }).toEqual({ status: 400, code: why });
      expect(body.errors[0]).toMatchObject({ in: 'body', pointer: '/newPassword' });
    }
    const guess = await use(email, WRONG_CODE, 'NovaHandleNovaHandle');
    expect(said(guess)).toEqual(REFUSED);
    expect((await use(email, code)).status).toBe(200);
  });
});

describe('a reset', () => {
  test('ends the password and every sign-in at once, and the person sets the next', async () => {
    const { email, id, caller } = await takeOn(clinic, { roles: ['technician'] });
    const session = (await signIn(email, PASSWORD)).body;
    const { body } = await clinic
      .as('administrator')
      .post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN)
      .expect(201);
    expect(said(await signIn(email, PASSWORD))).toEqual({ status: 401, code: 'sign-in-failed' });
    const next = await clinic.bearing(session.accessToken).get('/api/v1/me');
    expect(said(next)).toEqual({ status: 401, code: 'session-ended' });
    expect((await use(email, body.code)).status).toBe(200);
    expect((await signIn(email, OWN)).status).toBe(200);
    const told = (await eventsOf(id)).find(({ kind }) => kind === 'person.reset_code_given');
    expect(told).toMatchObject({
      person_id: clinic.people.administrator.id,
      // The one it signed in with, and the one it was taken on with.
      data: { signedOut: 2 },
    });
    expect(caller.personId).toBe(id);
  });

  test('ends a lock', async () => {
    const { email, id } = await takeOn(clinic, { roles: ['technician'] });
    for (let i = 0; i < 5; i += 1) await signIn(email, 'not the password at all');
    const { body } = await clinic
      .as('administrator')
      .post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN)
      .expect(201);
    await use(email, body.code).expect(200);
    expect((await signIn(email, OWN)).status).toBe(200);
  });

  test('is nobody’s own: whoever holds a device would have the password', async () => {
    const { id } = clinic.people.administrator;
    const own = await clinic.as('administrator').post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN);
    expect(said(own)).toEqual({ status: 422, code: 'own-code-by-another' });
    expect((await clinic.as('administrator').get('/api/v1/me')).status).toBe(200);
  });

  test('a code that was given before one changed the own password counts no more', async () => {
    const { email, id } = await takeOn(clinic, { roles: ['technician'] });
    const admin = clinic.as('administrator');
    const first = await admin.post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN).expect(201);
    await use(email, first.body.code).expect(200);
    expect(said(await use(email, first.body.code))).toEqual(REFUSED);
  });

  test.each(['code', 'second-factor/reset', 'openid/invitation'])(
    'an open screen of an administrator is not enough to become somebody else: …/%s asks the password again',
    async (what) => {
      const { id, email } = await takeOn(clinic, { roles: ['prosthetist'] });
      const admin = clinic.as('administrator');
      const url = `/api/v1/people/${id}/${what}`;
      const before = await kindsOf(clinic.people.administrator.id);
      const without = await admin.post(url);
      expect(said(without)).toEqual({ status: 400, code: 'request-invalid' });
      const wrong = await admin.post(url, { currentPassword: 'not the password at all' });
      expect(said(wrong)).toEqual({ status: 403, code: 'password-not-verified' });
      expect((await signIn(email, PASSWORD)).status).toBe(200);
      const failed = (await kindsOf(clinic.people.administrator.id)).slice(before.length);
      expect(failed).toEqual(['person.sign_in_failed']);
      // Right again, so that no lock is left behind.
      await admin.post(`/api/v1/people/${id}/code`, PASSWORD_AGAIN).expect(201);
    },
  );

  test('nor to let somebody in who was not: an invitation, roles and coming back ask it too', async () => {
    const admin = clinic.as('administrator');
    const invite = { email: `p-${randomUUID()}@kl.example`, printedName: 'X', roles: ['auditor'] };
    const { id, etag } = await takeOn(clinic, { roles: ['technician'] });
    const change = (body: object) => admin.patch(`/api/v1/people/${id}`, body, etag);
    for (const ask of [
      (more: object) => admin.post('/api/v1/people', { ...invite, ...more }),
      (more: object) => change({ roles: ['administrator'], ...more }),
      (more: object) => change({ active: true, ...more }),
    ]) {
      const without = await ask({});
      expect(without.body.errors).toMatchObject([{ pointer: '/currentPassword' }]);
      const wrong = await ask({ currentPassword: 'not the password at all' });
      expect(said(wrong)).toEqual({ status: 403, code: 'password-not-verified' });
    }
    // A name, and that somebody leaves, are no way in.
    const named = await change({ printedName: 'Nova Renamed' }).expect(200);
    expect(named.body).toMatchObject({ roles: ['technician'], version: 2 });
  });

  test('an administrator who signs in by the organisation alone hears that a password is missing, and is not locked', async () => {
    const other = await takeOn(clinic, { roles: ['administrator'] });
    await clinic.store.raw('update person set password_hash = null where id = $1', [other.id]);
    const { id } = await takeOn(clinic, { roles: ['technician'] });
    for (let times = 0; times < 7; times += 1) {
      const refused = await clinic
        .as(other)
        .post(`/api/v1/people/${id}/code`, { currentPassword: 'whatever is typed' });
      expect(said(refused)).toEqual({ status: 403, code: 'own-password-missing' });
    }
    expect(await kindsOf(other.id)).not.toContain('person.sign_in_failed');
  });

  test('no address of the API takes a password for somebody else', async () => {
    const { id } = await takeOn(clinic, { roles: ['technician'] });
    const admin = clinic.as('administrator');
    const old = await admin.post(`/api/v1/people/${id}/password`, { newPassword: OWN });
    expect(old.status).toBe(404);
    const added = await admin.post('/api/v1/people', {
      email: `p-${randomUUID()}@kl.example`,
      printedName: 'Nova',
      roles: [],
      initialPassword: OWN,
      ...PASSWORD_AGAIN,
    });
    expect(said(added)).toEqual({ status: 400, code: 'request-invalid' });
    expect(added.body.errors).toMatchObject([
      { pointer: '/initialPassword', code: 'field-unknown' },
    ]);
  });

  test.each(['front_desk', 'technician', 'prosthetist', 'auditor'] as const)(
    'is not for the role %s, nor is inviting',
    async (role) => {
      const { id } = clinic.people.technician;
      const as = clinic.as(role);
      const invite = { email: 'x@kl.example', printedName: 'X', roles: [] };
      for (const answer of [
        await as.post(`/api/v1/people/${id}/code`),
        await as.post('/api/v1/people', invite),
        await as.get(`/api/v1/people/${id}/sessions`),
      ]) {
        expect(said(answer)).toEqual({ status: 403, code: 'role-may-not' });
      }
    },
  );
});
