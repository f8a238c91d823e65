import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { lockedUntil, Strangers } from '../../src/access/lockOut.ts';
import { hashPassword, isOutdated, passwordFits } from '../../src/access/passwords.ts';
import { sign } from '../../src/access/signatures.ts';
import { reauthenticate } from '../../src/access/signIn.ts';
import { accessTokens, type SignedIn } from '../../src/access/tokens.ts';
import type { Role } from '../../src/domain/words.ts';
import { perform } from '../../src/store/act.ts';
import { contentSha256 } from '../../src/store/events.ts';
import { Refused } from '../../src/store/refused.ts';
import { PASSWORD, PASSWORD_AGAIN, takeOn, testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const WRONG = 'not the password at all';

const signIn = (email: string, password: string) =>
  clinic.stranger.post('/api/v1/sign-in', { email, password });
const refresh = (refreshToken: string) =>
  clinic.stranger.post('/api/v1/sign-in/refresh', { refreshToken });

/** Somebody new, so that one example's failures are not another's. */
const newPerson = (roles: readonly Role[] = ['technician']) => takeOn(clinic, { roles });

const tokenOf = (caller: SignedIn) =>
  accessTokens(clinic.app.jwt).issue(caller, clinic.clock.now());

const eventsOf = async (personId: string): Promise<string[]> =>
  (
    await clinic.store.raw<{ kind: string }>(
      'select kind from event where subject_id = $1 order by seq',
      [personId],
    )
  ).map(({ kind }) => kind);

describe('signing in', () => {
  test('a person signs in, and the token opens the door', async () => {
    const { id, email } = await newPerson();
    const { status, body } = await signIn(email.toUpperCase(), PASSWORD);
    expect(status).toBe(200);
    expect(body).toMatchObject({
      tokenType: 'Bearer',
      expiresInS: 600,
      person: { id, email, roles: ['technician'] },
    });
    const me = await clinic.bearing(body.accessToken).get('/api/v1/me');
    expect(me.body.person).toMatchObject({ id, printedName: 'Nova Hand' });
    expect(me.body.clinic).toMatchObject({ id: clinic.clinicId, timeZone: 'Europe/Vienna' });
    expect(await eventsOf(id)).toEqual(['person.added', 'person.invited', 'person.signed_in']);
  });

  test('a password typed in another Unicode form is the same password', async () => {
    const { email, id } = await newPerson();
    const password = 'Ångström fügt Harz';
    const hash = await hashPassword(password);
    await clinic.store.raw('update person set password_hash = $1 where id = $2', [hash, id]);
    expect((await signIn(email, password.normalize('NFD'))).status).toBe(200);
  });

  test('a wrong password, an unknown name and a person who left hear the same, equally late', async () => {
    const { email, id, etag } = await newPerson();
    const wrong = await signIn(email, WRONG);
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${id}`, { active: false }, etag)
      .expect(200);
    const left = await signIn(email, PASSWORD);
    const began = performance.now();
    const unknown = await signIn(`nobody-${randomUUID()}@kl.example`, PASSWORD);
    // Not a measure of speed: the refusal is held back on purpose until it is due.
    expect(performance.now() - began).toBeGreaterThan(240);
    const said = ({ status, body }: typeof wrong): object => ({
      ...(body as object),
      status,
      instance: '',
    });
    expect(said(wrong)).toMatchObject({ status: 401, code: 'sign-in-failed' });
    expect(said(left)).toEqual(said(wrong));
    expect(said(unknown)).toEqual(said(wrong));
    expect(await eventsOf(id)).toContain('person.sign_in_failed');
  });

  test('five wrong passwords lock the name, known or not, and then the right one does not help', async () => {
    const { email, id } = await newPerson();
    const unknown = `nobody-${randomUUID()}@kl.example`;
    for (const name of [email, unknown]) {
      for (let i = 0; i < 5; i += 1) expect((await signIn(name, WRONG)).status).toBe(401);
      const locked = await signIn(name, PASSWORD);
      expect(locked.status).toBe(429);
      expect(locked.body.code).toBe('sign-in-locked');
      expect(locked.headers['retry-after']).toBe('60');
    }
    clinic.clock.pass(1);
    expect((await signIn(email, WRONG)).status).toBe(401);
    const longer = await signIn(email, PASSWORD);
    expect(longer.headers['retry-after']).toBe('120');
    clinic.clock.pass(2);
    expect((await signIn(email, PASSWORD)).status).toBe(200);
    expect((await signIn(email, WRONG)).status).toBe(401);
    const [row] = await clinic.store.raw<{ n: number }>(
      'select failed_sign_ins as n from person where id = $1',
      [id],
    );
    expect(row?.n).toBe(1);
  });

  test('thirty guesses at once are five guesses', async () => {
    const { email, id } = await newPerson();
    const answers = await Promise.all(Array.from({ length: 30 }, () => signIn(email, WRONG)));
    expect(answers.filter(({ status }) => status === 401)).toHaveLength(5);
    expect(answers.filter(({ status }) => status === 429)).toHaveLength(25);
    expect((await eventsOf(id)).filter((kind) => kind === 'person.sign_in_failed')).toHaveLength(5);
  });

  test('locks grow from a minute to an hour and no further', () => {
    const at = new Date('2026-03-02T09:00:00Z');
    const minutes = (failures: number) =>
      ((lockedUntil(failures, at)?.getTime() ?? at.getTime()) - at.getTime()) / 60_000;
    expect([4, 5, 6, 7, 10, 11, 12, 400].map(minutes)).toEqual([0, 1, 2, 4, 32, 60, 60, 60]);
  });

  test('the names of strangers do not fill the memory', () => {
    const strangers = new Strangers();
    const at = new Date('2026-03-02T09:00:00Z');
    for (let i = 0; i < 5; i += 1) strangers.attempt('first', at);
    expect(strangers.attempt('first', at)).toBe(60);
    for (let i = 0; i < 10_000; i += 1) strangers.attempt(`name ${i}`, at);
    expect(strangers.attempt('first', at)).toBeUndefined();
  });
});

describe('passwords', () => {
  test('a hash carries its parameters, and weaker ones are renewed at the next sign-in', async () => {
    const strong = await hashPassword(PASSWORD);
    // OWASP Password Storage Cheat Sheet (from memory): argon2id, 19 MiB, two passes, one lane.
    expect(strong).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
    expect(isOutdated(strong)).toBe(false);
    const { hash } = await import('@node-rs/argon2');
    const weak = await hash(PASSWORD, { memoryCost: 8_192, timeCost: 1 });
    expect(isOutdated(weak)).toBe(true);
    const { email, id } = await newPerson();
    await clinic.store.raw('update person set password_hash = $1 where id = $2', [weak, id]);
    expect((await signIn(email, PASSWORD)).status).toBe(200);
    const [row] = await clinic.store.raw<{ hash: string }>(
      'select password_hash as hash from person where id = $1',
      [id],
    );
    expect(isOutdated(row?.hash ?? '')).toBe(false);
    expect(await passwordFits(row?.hash, PASSWORD)).toBe(true);
  });

  test.each([
    ['fourteen characters', 'a'.repeat(14)],
    ['two hundred and one', 'a'.repeat(201)],
    ['seven emoji, which are fourteen UTF-16 units', '🦿'.repeat(7)],
  ])('a password of %s is refused', async (_what, newPassword) => {
    const { caller } = await newPerson();
    const as = clinic.bearing(tokenOf(caller));
    const change = { currentPassword: PASSWORD, newPassword };
    const { status, body } = await as.post('/api/v1/me/password', change);
    expect(status).toBe(400);
    expect(body.code).toBe('password-unfit');
    expect(body.errors[0]).toMatchObject({ in: 'body', pointer: '/newPassword' });
  });

  test.each([
    ['a listed one twice', 'passwordpassword'],
    ['rows of the keyboard', '1qaz2wsx3edc4rfv'],
    ['the service and a year', 'CastbookCastbook2026'],
    ['the clinic’s name', 'Clinic KL Clinic KL'],
    ['one’s own name', 'Nova Hand Nova Hand'],
    ['one character', 'zzzzzzzzzzzzzzzzzzz'],
  ])('%s is refused as easily guessed, and told nowhere', async (_what, newPassword) => {
    const { caller } = await newPerson();
    const as = clinic.bearing(tokenOf(caller));
    const change = { currentPassword: PASSWORD, newPassword };
    const { status, body, text } = await as.post('/api/v1/me/password', change);
    expect({ status, code: body.code }).toEqual({ status: 400, code: 'password-common' });
    expect(body.errors[0]).toMatchObject({ in: 'body', pointer: '/newPassword' });
    expect(body.wayOut).toMatch(/several words/);
    for (const said of [text, ...clinic.logLines]) expect(said).not.toContain(newPassword);
  });

  test('one changes the own password with the present one, and other devices are signed out', async () => {
    const { email } = await newPerson();
    const here = (await signIn(email, PASSWORD)).body;
    const there = (await signIn(email, PASSWORD)).body;
    const newPassword = 'a wholly different sentence';
    const as = clinic.bearing(here.accessToken);
    const change = (currentPassword: string, key?: string) =>
      as.post('/api/v1/me/password', { currentPassword, newPassword }, key ? { key } : {});
    const wrong = await change(WRONG);
    expect({ status: wrong.status, code: wrong.body.code }).toEqual({
      status: 403,
      code: 'password-not-verified',
    });
    const key = randomUUID();
    await change(PASSWORD, key).expect(204);
    // Sent again after the network was lost: done already, though the present password is another now.
    const again = await change(PASSWORD, key);
    expect(again.status).toBe(204);
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect((await refresh(there.refreshToken)).body.code).toBe('refresh-token-not-valid');
    expect((await refresh(here.refreshToken)).status).toBe(200);
    expect((await signIn(email, PASSWORD)).status).toBe(401);
    expect((await signIn(email, newPassword)).status).toBe(200);
  });
});

describe('staying signed in', () => {
  test('a refresh token gives the next pair, with the roles of now', async () => {
    const { email, id, etag } = await newPerson();
    const first = (await signIn(email, PASSWORD)).body;
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${id}`, { roles: ['auditor'], ...PASSWORD_AGAIN }, etag)
      .expect(200);
    const next = await refresh(first.refreshToken);
    expect(next.status).toBe(200);
    expect(next.body.person.roles).toEqual(['auditor']);
    await clinic.bearing(next.body.accessToken).get('/api/v1/people').expect(200);
    const { status, body } = await clinic.bearing(first.accessToken).get('/api/v1/me');
    expect({ status, code: body.code }).toEqual({ status: 401, code: 'access-changed' });
    expect((await refresh(next.body.refreshToken)).status).toBe(200);
  });

  test('a used refresh token shown again ends the whole family, and that is on record', async () => {
    const { email, id } = await newPerson();
    const first = (await signIn(email, PASSWORD)).body;
    const elsewhere = (await signIn(email, PASSWORD)).body;
    const second = (await refresh(first.refreshToken)).body;
    clinic.clock.pass(1);
    const reused = await refresh(first.refreshToken);
    expect({ status: reused.status, code: reused.body.code }).toEqual({
      status: 401,
      code: 'refresh-token-reused',
    });
    expect((await refresh(second.refreshToken)).body.code).toBe('refresh-token-not-valid');
    expect((await refresh(elsewhere.refreshToken)).status).toBe(200);
    await refresh(first.refreshToken);
    const reuses = (await eventsOf(id)).filter((kind) => kind === 'person.refresh_token_reused');
    expect(reuses).toHaveLength(1);
  });

  test('of ten refreshes at once two are answered at most, and none of their tokens stays', async () => {
    const { email } = await newPerson();
    const { refreshToken } = (await signIn(email, PASSWORD)).body;
    const answers = await Promise.all(Array.from({ length: 10 }, () => refresh(refreshToken)));
    const given = answers.filter(({ status }) => status === 200);
    // One wins, one is forgiven as an answer that was lost; the third is a thief.
    expect(given).toHaveLength(2);
    const codes = answers
      .filter(({ status }) => status !== 200)
      .map(({ body }): unknown => body.code);
    expect(codes).toContain('refresh-token-reused');
    for (const { body } of given) expect((await refresh(body.refreshToken)).status).toBe(401);
  });

  describe('where the answer to a refresh was lost', () => {
    const startedOver = async () => {
      const { email, id } = await newPerson();
      const first = (await signIn(email, PASSWORD)).body;
      const lost = (await refresh(first.refreshToken)).body;
      return { id, first, lost };
    };

    test('the same token gives another pair within half a minute, once, and that is on record', async () => {
      const { id, first } = await startedOver();
      const again = await refresh(first.refreshToken);
      expect(again.status).toBe(200);
      await clinic.bearing(again.body.accessToken).get('/api/v1/clinic').expect(200);
      expect(await eventsOf(id)).toContain('person.refresh_token_shown_again');
      const next = await refresh(again.body.refreshToken);
      expect(next.status).toBe(200);
      // A third showing of the first is nobody's lost answer.
      expect((await refresh(first.refreshToken)).body.code).toBe('refresh-token-reused');
      expect((await refresh(next.body.refreshToken)).status).toBe(401);
    });

    test('not after half a minute: then it ends the family', async () => {
      const { first, lost } = await startedOver();
      clinic.clock.set(new Date(clinic.clock.now().getTime() + 30_001).toISOString());
      expect((await refresh(first.refreshToken)).body.code).toBe('refresh-token-reused');
      expect((await refresh(lost.refreshToken)).status).toBe(401);
    });

    test('not where somebody has gone on with the answer', async () => {
      const { first, lost } = await startedOver();
      const gone = await refresh(lost.refreshToken);
      expect((await refresh(first.refreshToken)).body.code).toBe('refresh-token-reused');
      expect((await refresh(gone.body.refreshToken)).status).toBe(401);
    });

    test('the answer that was taken for lost ends the family when it turns up after all', async () => {
      const { first, lost } = await startedOver();
      const again = (await refresh(first.refreshToken)).body;
      expect((await refresh(lost.refreshToken)).body.code).toBe('refresh-token-reused');
      expect((await refresh(again.refreshToken)).status).toBe(401);
    });

    test('not after signing out', async () => {
      const { first, lost } = await startedOver();
      await clinic.bearing(lost.accessToken).post('/api/v1/sign-out').expect(204);
      expect((await refresh(first.refreshToken)).status).toBe(401);
    });
  });

  test('it ends after twelve idle hours, and after thirty days even when in use', async () => {
    const { email } = await newPerson();
    const idle = (await signIn(email, PASSWORD)).body;
    let { refreshToken } = (await signIn(email, PASSWORD)).body;
    clinic.clock.pass(12 * 60 - 1);
    refreshToken = (await refresh(refreshToken)).body.refreshToken;
    clinic.clock.pass(1);
    expect((await refresh(idle.refreshToken)).body.code).toBe('refresh-token-not-valid');
    let halfDays = 0;
    for (;;) {
      clinic.clock.pass(11 * 60);
      const { status, body } = await refresh(refreshToken);
      if (status !== 200) break;
      refreshToken = body.refreshToken;
      halfDays += 1;
    }
    expect(halfDays).toBe(64); // 12 h, then 64 × 11 h: 716 h; the next would be past 720 h.
  });

  test('signing out and leaving the clinic end it', async () => {
    const { email, id, etag } = await newPerson();
    const { accessToken, refreshToken } = (await signIn(email, PASSWORD)).body;
    await clinic.bearing(accessToken).post('/api/v1/sign-out').expect(204);
    expect((await refresh(refreshToken)).body.code).toBe('refresh-token-not-valid');
    const later = (await signIn(email, PASSWORD)).body;
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${id}`, { active: false }, etag)
      .expect(200);
    expect((await refresh(later.refreshToken)).body.code).toBe('refresh-token-not-valid');
    expect(await eventsOf(id)).toContain('person.signed_out');
  });

  test.each([
    'no token at all',
    `${randomUUID()}.${'a'.repeat(43)}`,
    `not-a-clinic.${'a'.repeat(43)}`,
    `${randomUUID()}.short`,
  ])('%s is no refresh token', async (text) => {
    const { status, body } = await refresh(text);
    expect({ status, code: body.code }).toEqual({ status: 401, code: 'refresh-token-not-valid' });
  });

  test('only hashes of refresh tokens are kept', async () => {
    const { email } = await newPerson();
    const { refreshToken } = (await signIn(email, PASSWORD)).body as { refreshToken: string };
    const rows = await clinic.store.raw('select * from refresh_token');
    expect(JSON.stringify(rows)).not.toContain(refreshToken.split('.')[1]);
  });
});

describe('signatures', () => {
  const caller = () => clinic.people.prosthetist.caller;
  const refusalOf = async (work: Promise<unknown>): Promise<string> => {
    const failure: unknown = await work.then(
      () => undefined,
      (why: unknown) => why,
    );
    if (!(failure instanceof Refused)) throw new Error('was not refused', { cause: failure });
    return failure.reasons[0].code;
  };

  test('a signature binds person, name, time and meaning to the exact content', async () => {
    const { store } = clinic;
    const at = clinic.clock.now();
    const proven = await reauthenticate(store, caller(), PASSWORD, at);
    const signer = { proven, saw: () => true };
    const content = { socket: 'KL-26-00001-X/D1', torqueNm: [4.5, 4.5] };
    const subjectId = randomUUID();
    const view = await perform(store, caller(), at, (act) =>
      sign(act, { signer, meaning: 'fit_accepted', subjectKind: 'socket', subjectId, content }),
    );
    const [row] = await store.raw('select * from signature where id = $1', [view.id]);
    expect(row).toMatchObject({
      person_id: caller().personId,
      printed_name: 'Paula Fitting of KL',
      meaning: 'fit_accepted',
      subject_id: subjectId,
      content,
      content_sha256: contentSha256(content),
    });
    expect(row?.['signed_at']).toEqual(at);
    expect(await eventsOf(subjectId)).toEqual(['record.signed']);
  });

  test('a wrong password signs nothing and counts as a failed sign-in', async () => {
    const at = clinic.clock.now();
    const { store } = clinic;
    for (let i = 0; i < 5; i += 1) {
      expect(await refusalOf(reauthenticate(store, caller(), WRONG, at))).toBe(
        'signature-not-verified',
      );
    }
    expect(await refusalOf(reauthenticate(store, caller(), PASSWORD, at))).toBe('sign-in-locked');
    expect((await signIn(clinic.people.prosthetist.email, PASSWORD)).status).toBe(429);
    clinic.clock.pass(1);
    await reauthenticate(store, caller(), PASSWORD, clinic.clock.now());
  });

  test('nobody signs with somebody else’s proof', async () => {
    const at = clinic.clock.now();
    const { store, people } = clinic;
    const proven = await reauthenticate(store, people.technician.caller, PASSWORD, at);
    const signer = { proven, saw: () => true };
    const signing = perform(store, caller(), at, (act) =>
      sign(act, {
        signer,
        meaning: 'fit_accepted',
        subjectKind: 'socket',
        subjectId: randomUUID(),
        content: {},
      }),
    );
    await expect(signing).rejects.toThrow('a signature is given by the one who acts');
  });
});
