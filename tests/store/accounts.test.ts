/** What the database itself holds to about codes and sessions, broken by plain SQL. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, expectRefused, insertInto, type Values } from '../support/plainSql.ts';
import { ClinicRows, NOW } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let person: string;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
});
afterAll(() => db.close());

/** Somebody new for each example. */
beforeEach(async () => {
  const row = await clinic.insert('person', {
    email: `p-${randomUUID()}@kl.example`,
    printed_name: 'Nova Hand',
    created_at: NOW,
  });
  person = row.id;
});

const app = (sql: string, params: readonly unknown[] = []) =>
  asApp(db.store, clinic.clinicId, (as) => as.query(sql, params));
const insert = async (table: string, values: Values): Promise<string> => {
  const row = await asApp(db.store, clinic.clinicId, (as) =>
    insertInto<{ id: string }>(as, table, clinic.withKeys(table, values)),
  );
  return row.id;
};
const codeOf = (over: Values = {}): Values => ({
  person_id: person,
  purpose: 'invitation',
  code_hash: 'not a hash',
  given_at: NOW,
  given_by_id: clinic.technicianId,
  expires_at: '2026-03-05T09:00:00.000Z',
  ...over,
});
const SOON = '2026-03-02T10:00:00.000Z';
const use = (id: string, at = SOON) =>
  app(`update access_code set ended_at = $1, ended_because = 'used' where id = $2`, [at, id]);
const tryOnce = (id: string) => app('update access_code set tries = tries + 1 where id = $1', [id]);
const leaves = () => db.store.raw('update person set active = false where id = $1', [person]);
const FINAL = { state: 'R1002', code: 'record-is-final', facts: { table: 'access_code' } };

describe('a one-time code', () => {
  test('is used once, and of two who use it at once by one', async () => {
    const id = await insert('access_code', codeOf());
    await tryOnce(id);
    const spend = `update access_code set ended_at = $1, ended_because = 'used' where id = $2 and ended_at is null returning id`;
    const both = await Promise.all([app(spend, [SOON, id]), app(spend, [SOON, id])]);
    expect(both.flat()).toHaveLength(1);
    await expectRefused(db.store, () => use(id), FINAL);
    const open = 'update access_code set ended_at = null, ended_because = null where id = $1';
    await expectRefused(db.store, () => app(open, [id]), FINAL);
  });

  test('is not used without a try, nor after its time, nor after ten tries', async () => {
    const id = await insert('access_code', codeOf());
    await expect(use(id)).rejects.toMatchObject({ code: '23514' });
    await tryOnce(id);
    await expect(use(id, '2026-03-05T09:00:00.000Z')).rejects.toMatchObject({ code: '23514' });
    for (let tries = 2; tries <= 10; tries += 1) await tryOnce(id);
    await expect(tryOnce(id)).rejects.toMatchObject({ code: '23514' });
  });

  test('forgets no try', async () => {
    const id = await insert('access_code', codeOf());
    await tryOnce(id);
    const forget = 'update access_code set tries = 0 where id = $1';
    await expectRefused(db.store, () => app(forget, [id]), FINAL);
  });

  test('is one at a time, for three days at most, and given by somebody else', async () => {
    const long = codeOf({ expires_at: '2026-03-05T09:00:00.001Z' });
    await expect(insert('access_code', long)).rejects.toMatchObject({ code: '23514' });
    const own = codeOf({ given_by_id: person });
    await expect(insert('access_code', own)).rejects.toMatchObject({ code: '23514' });
    await insert('access_code', codeOf());
    await expect(insert('access_code', codeOf())).rejects.toMatchObject({ code: '23505' });
  });

  test('is neither given to nor used by who has left', async () => {
    const id = await insert('access_code', codeOf());
    await tryOnce(id);
    await leaves();
    const refused = { state: 'RP104', code: 'person-has-left', facts: {} };
    await expectRefused(db.store, () => use(id), refused);
    await app(`update access_code set ended_at = $1, ended_because = 'left' where id = $2`, [
      SOON,
      id,
    ]);
    await expectRefused(db.store, () => insert('access_code', codeOf()), refused);
  });
});

describe('a session', () => {
  const sessionOf = (over: Values = {}): Values => ({
    person_id: person,
    how: 'password',
    device: 'computer Linux Firefox',
    began_at: NOW,
    last_used_at: NOW,
    ...over,
  });
  const tokenOf = (family_id: string, over: Values = {}): Values => ({
    person_id: person,
    family_id,
    token_sha256: randomUUID(),
    issued_at: NOW,
    expires_at: SOON,
    ...over,
  });
  const end = (id: string) => app('update session set ended_at = $1 where id = $2', [SOON, id]);
  const rolesOf = async (id: string, who = person, of = clinic.clinicId) => {
    const sql = 'select session_roles($1, $2, $3) as roles';
    const [row] = await app(sql, [of, id, who]);
    return row?.['roles'];
  };

  test('once ended stays ended, with every token that came of it', async () => {
    const id = await insert('session', sessionOf());
    const token = await insert('refresh_token', tokenOf(id));
    await end(id);
    const [row] = await db.store.raw('select revoked_at from refresh_token where id = $1', [token]);
    expect(row).toEqual({ revoked_at: new Date(SOON) });
    const final = { ...FINAL, facts: { table: 'session' } };
    for (const change of ['ended_at = null', `ended_at = now()`, 'last_used_at = now()']) {
      const again = `update session set ${change} where id = $1`;
      await expectRefused(db.store, () => app(again, [id]), final);
    }
    await expectRefused(db.store, () => insert('refresh_token', tokenOf(id)), {
      state: 'RP103',
      code: 'session-ended',
      facts: {},
    });
  });

  test('gives no token to somebody else, and its tokens are not ended one by one', async () => {
    const id = await insert('session', sessionOf());
    const theirs = tokenOf(id, { person_id: clinic.technicianId });
    await expectRefused(db.store, () => insert('refresh_token', theirs), {
      state: 'RP103',
      code: 'session-ended',
      facts: {},
    });
    const token = await insert('refresh_token', tokenOf(id));
    const revoke = 'update refresh_token set revoked_at = now() where id = $1';
    await expect(app(revoke, [token])).rejects.toMatchObject({ code: '42501' });
    const other = 'update session set person_id = $1 where id = $2';
    await expect(app(other, [clinic.technicianId, id])).rejects.toMatchObject({ code: '42501' });
  });

  test('keeps no user agent', async () => {
    for (const device of ['Mozilla/5.0 (X11)', 'phone Android Firefox 128', 'watch', '']) {
      await expect(insert('session', sessionOf({ device }))).rejects.toMatchObject({
        code: '23514',
      });
    }
  });

  test('is worth the roles of now: none where it ended, or the person left, or is another', async () => {
    const id = await insert('session', sessionOf());
    expect(await rolesOf(id)).toEqual([]);
    await clinic.insert('role_grant', { person_id: person, role: 'technician', granted_at: NOW });
    expect(await rolesOf(id)).toEqual(['technician']);
    expect(await rolesOf(id, clinic.technicianId)).toBeNull();
    expect(await rolesOf(id, person, randomUUID())).toBeNull();
    await leaves();
    expect(await rolesOf(id)).toBeNull();
    await db.store.raw('update person set active = true where id = $1', [person]);
    expect(await rolesOf(id)).toEqual(['technician']);
    await end(id);
    expect(await rolesOf(id)).toBeNull();
  });
});
