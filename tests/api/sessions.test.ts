/** Where a person is signed in, and how a sign-in is ended from elsewhere. */
import { randomUUID } from 'node:crypto';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { PASSWORD, PASSWORD_AGAIN, takeOn, testClinic, type TestClinic } from '../support/api.ts';
import { of, readLive, type LiveReader } from '../support/liveReader.ts';

let clinic: TestClinic;
let readers: LiveReader[] = [];
beforeAll(async () => {
  clinic = await testClinic();
});
afterEach(() => {
  for (const reader of readers) reader.leave();
  readers = [];
});
afterAll(() => clinic.close());

const PHONE = 'Mozilla/5.0 (Android 14; Mobile; rv:128.0) Gecko/128.0 Firefox/128.0';
const signIn = async (email: string, userAgent = 'curl/8') => {
  const { body } = await clinic.stranger
    .post(
      '/api/v1/sign-in',
      { email, password: PASSWORD },
      { headers: { 'user-agent': userAgent } },
    )
    .expect(200);
  return { ...clinic.bearing(body.accessToken as string), ...(body as Tokens) };
};
interface Tokens {
  readonly accessToken: string;
  readonly refreshToken: string;
}
interface Session {
  readonly id: string;
  readonly thisOne: boolean;
  readonly device: { readonly kind: string };
}
const refresh = (refreshToken: string) =>
  clinic.stranger.post('/api/v1/sign-in/refresh', { refreshToken });
const said = ({ status, body }: { status: number; body: { code?: string } }) => ({
  status,
  code: body.code,
});
const ENDED = { status: 401, code: 'session-ended' };
const person = () => takeOn(clinic, { roles: ['technician'] });

describe('one’s own sign-ins', () => {
  test('are listed with how, on what and since when; this one is marked', async () => {
    const { email } = await person();
    const phone = await signIn(email, PHONE);
    clinic.clock.pass(5);
    const here = await signIn(email);
    clinic.clock.pass(5);
    const renewed = (await refresh(phone.refreshToken)).body as Tokens;
    const { body } = await clinic
      .bearing(renewed.accessToken)
      .get('/api/v1/me/sessions')
      .expect(200);
    const now = clinic.clock.now().getTime();
    const at = (minutesAgo: number) => new Date(now - minutesAgo * 60_000).toISOString();
    expect(body.items).toEqual([
      {
        id: expect.any(String),
        how: 'password',
        device: { kind: 'phone', names: 'Android, Firefox' },
        beganAt: at(10),
        lastUsedAt: at(0),
        thisOne: true,
      },
      {
        id: expect.any(String),
        how: 'password',
        device: { kind: 'other', names: '' },
        beganAt: at(5),
        lastUsedAt: at(5),
        thisOne: false,
      },
    ]);
    const [row] = await clinic.store.raw('select * from session where id = $1', [body.items[0].id]);
    expect(JSON.stringify(row)).not.toMatch(/Gecko|128|14/);
    await here.get('/api/v1/me').expect(200);
  });

  test('what idled for twelve hours is no longer among them', async () => {
    const { email } = await person();
    await signIn(email);
    clinic.clock.pass(12 * 60);
    const { body } = await (await signIn(email)).get('/api/v1/me/sessions').expect(200);
    expect(body.items).toHaveLength(1);
  });

  test('one is ended from elsewhere: neither of its tokens opens anything from then on', async () => {
    const { email, id } = await person();
    const lost = await signIn(email, PHONE);
    const here = await signIn(email);
    const { items } = (await here.get('/api/v1/me/sessions')).body as { items: Session[] };
    const phone = items.find(({ device }) => device.kind === 'phone');
    await here.post(`/api/v1/me/sessions/${String(phone?.id)}/end`).expect(204);
    expect(said(await lost.get('/api/v1/me'))).toEqual(ENDED);
    expect(said(await lost.post('/api/v1/sign-out'))).toEqual(ENDED);
    expect(said(await refresh(lost.refreshToken))).toEqual({
      status: 401,
      code: 'refresh-token-not-valid',
    });
    await here.get('/api/v1/me').expect(200);
    expect((await refresh(here.refreshToken)).status).toBe(200);
    const again = await here.post(`/api/v1/me/sessions/${String(phone?.id)}/end`);
    expect(said(again)).toEqual({ status: 404, code: 'session-unknown' });
    const told = await clinic.store.raw(
      `select person_id, data from event where subject_id = $1 and kind = 'person.session_ended'`,
      [id],
    );
    expect(told).toEqual([{ person_id: id, data: { familyId: phone?.id } }]);
  });

  test('all others are ended at once', async () => {
    const { email } = await person();
    const [one, two, here] = [await signIn(email), await signIn(email), await signIn(email)];
    await here.post('/api/v1/me/sessions/end-others').expect(204);
    for (const other of [one, two]) expect(said(await other.get('/api/v1/me'))).toEqual(ENDED);
    const { body } = await here.get('/api/v1/me/sessions').expect(200);
    expect(body.items).toHaveLength(1);
  });

  test('another person’s is not there to be ended, nor another clinic’s', async () => {
    const [mine, theirs] = [await person(), await person()];
    const victim = await signIn(theirs.email);
    const me = await signIn(mine.email);
    const ended = await me.post(`/api/v1/me/sessions/${theirs.caller.familyId}/end`);
    expect(said(ended)).toEqual({ status: 404, code: 'session-unknown' });
    const elsewhere = (await clinic.another('SE')).as('administrator');
    const base = `/api/v1/people/${theirs.id}/sessions`;
    expect(said(await elsewhere.get(base))).toEqual({ status: 404, code: 'person-unknown' });
    for (const url of [`${base}/${theirs.caller.familyId}/end`, `${base}/end-all`]) {
      expect((await elsewhere.post(url)).status).toBe(404);
    }
    await victim.get('/api/v1/me').expect(200);
  });
});

describe('an administrator', () => {
  test('sees where a person is signed in, and ends one or all', async () => {
    const { email, id } = await person();
    const [one, two] = [await signIn(email, PHONE), await signIn(email)];
    const admin = clinic.as('administrator');
    const url = `/api/v1/people/${id}/sessions`;
    const { items } = (await admin.get(url).expect(200)).body as { items: Session[] };
    expect(items.map(({ thisOne }) => thisOne)).toEqual([false, false]);
    const phone = items.find(({ device }) => device.kind === 'phone');
    await admin.post(`${url}/${String(phone?.id)}/end`).expect(204);
    expect(said(await one.get('/api/v1/me'))).toEqual(ENDED);
    await two.get('/api/v1/me').expect(200);
    await admin.post(`${url}/end-all`).expect(204);
    expect(said(await two.get('/api/v1/me'))).toEqual(ENDED);
  });

  test('ends none of somebody else under this person’s name', async () => {
    const [one, two] = [await person(), await person()];
    const url = `/api/v1/people/${one.id}/sessions/${two.caller.familyId}/end`;
    expect(said(await clinic.as('administrator').post(url))).toEqual({
      status: 404,
      code: 'session-unknown',
    });
  });
});

describe('a token is worth what stands at the moment', () => {
  test('who signed out does nothing more with it', async () => {
    const here = await signIn((await person()).email);
    await here.post('/api/v1/sign-out').expect(204);
    expect(said(await here.get('/api/v1/clinic'))).toEqual(ENDED);
  });

  test('nor who left', async () => {
    const { email, id, etag } = await person();
    const here = await signIn(email);
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${id}`, { active: false }, etag)
      .expect(200);
    expect(said(await here.get('/api/v1/clinic'))).toEqual(ENDED);
  });

  test('a role that was taken away, or given, asks for a new token', async () => {
    const { email, id, etag } = await person();
    const here = await signIn(email);
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${id}`, { roles: ['auditor', 'technician'], ...PASSWORD_AGAIN }, etag)
      .expect(200);
    expect(said(await here.get('/api/v1/clinic'))).toEqual({ status: 401, code: 'access-changed' });
    const next = (await refresh(here.refreshToken)).body as Tokens;
    await clinic.bearing(next.accessToken).get('/api/v1/people').expect(200);
  });

  test('an answer that was kept is not given to an ended session', async () => {
    const { email } = await person();
    const here = await signIn(email);
    const key = randomUUID();
    const ask = () => here.post('/api/v1/me/sessions/end-others', undefined, { key });
    await ask().expect(204);
    await here.post('/api/v1/sign-out').expect(204);
    expect(said(await ask())).toEqual(ENDED);
  });

  test('nothing is signed from an ended session, and the password is not even tried', async () => {
    const { email, id } = await takeOn(clinic, { roles: ['prosthetist'] });
    const here = await signIn(email);
    await clinic.as('administrator').post(`/api/v1/people/${id}/sessions/end-all`).expect(204);
    const signing = await here.post(`/api/v1/findings/${randomUUID()}/acceptance`, {
      why: 'Within what the brim bears.',
      signature: { password: 'a wrong password', contentSha256: 'a'.repeat(64) },
    });
    expect(said(signing)).toEqual(ENDED);
    const [row] = await clinic.store.raw('select failed_sign_ins as n from person where id = $1', [
      id,
    ]);
    expect(row).toEqual({ n: 0 });
  });

  test('a live stream ends with its session', async () => {
    const { email, id } = await person();
    const here = await signIn(email);
    const reader = await readLive(clinic.address, here.accessToken);
    readers.push(reader);
    await reader.next(of('listening'));
    await clinic.as('administrator').post(`/api/v1/people/${id}/sessions/end-all`).expect(204);
    expect((await reader.next(of('ended'))).data).toEqual({ why: 'sign-in-ended' });
  });
});
