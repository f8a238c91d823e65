/** The people of a clinic: who they are, what they may, and that the clinic keeps an administrator. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { PASSWORD_AGAIN, takeOn, testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

/** Somebody new, so that one example's failures are not another's. */
const newPerson = (roles: readonly Role[] = ['technician']) => takeOn(clinic, { roles });

describe('people', () => {
  test('the list comes page by page, each person once, by printed name', async () => {
    for (let i = 0; i < 3; i += 1) await newPerson();
    const seen: { printedName: string; id: string }[] = [];
    let after: string | null = null;
    do {
      const query: string = after === null ? '' : `&after=${after}`;
      const { status, body } = await clinic.as('auditor').get(`/api/v1/people?limit=2${query}`);
      expect(status).toBe(200);
      expect(body.items.length).toBeLessThanOrEqual(2);
      seen.push(...body.items);
      after = body.next;
    } while (after !== null);
    const [count] = await clinic.store.raw<{ n: number }>('select count(*)::int as n from person');
    expect(new Set(seen.map(({ id }) => id)).size).toBe(count?.n);
    expect(seen).toHaveLength(count?.n ?? 0);
  });

  test('an address signs in one person only, in whatever clinic', async () => {
    const other = await clinic.another('ZW');
    const { email } = await newPerson();
    const person = { email, printedName: 'Twin', roles: [], ...PASSWORD_AGAIN };
    const { status, body } = await other.as('administrator').post('/api/v1/people', person);
    expect({ status, code: body.code }).toEqual({ status: 409, code: 'email-is-taken' });
  });

  test('a change is made from the version that was read, and the others are told', async () => {
    const { id, etag } = await newPerson();
    const url = `/api/v1/people/${id}`;
    const admin = clinic.as('administrator');
    expect((await admin.patch(url, { printedName: 'Nova Armstrong' }, null)).status).toBe(428);
    expect((await admin.patch(url, { printedName: 'Nova Armstrong' }, '*')).status).toBe(428);
    const changed = await admin.patch(url, { printedName: 'Nova Armstrong' }, etag);
    expect(changed.body).toMatchObject({ printedName: 'Nova Armstrong', version: 2 });
    const stale = await admin.patch(url, { roles: [], ...PASSWORD_AGAIN }, etag);
    expect({ status: stale.status, code: stale.body.code, facts: stale.body.facts }).toEqual({
      status: 412,
      code: 'version-is-stale',
      facts: { yours: 1, current: 2 },
    });
    const tag = String(changed.headers['etag']);
    const read = await admin.get(url, { 'if-none-match': tag });
    expect(read.status).toBe(304);
    expect(read.headers['etag']).toBe(tag);
    const older = await admin.get(url, { 'if-none-match': etag });
    expect(older.status).toBe(200);
    expect(older.headers['cache-control']).toBe('private, no-cache');
    await admin
      .patch(url, { roles: ['technician', 'auditor'], ...PASSWORD_AGAIN }, '"2"')
      .expect(200);
  });

  test('the clinic keeps an administrator, even when two take the role from each other at once', async () => {
    const lone = await clinic.another('LN');
    const first = lone.people.administrator;
    const admin = lone.as('administrator');
    const refused = await admin.patch(
      `/api/v1/people/${first.id}`,
      { roles: [], ...PASSWORD_AGAIN },
      '"1"',
    );
    expect({ status: refused.status, code: refused.body.code }).toEqual({
      status: 422,
      code: 'last-administrator',
    });
    const { technician } = lone.people;
    const second = technician.id;
    await admin
      .patch(`/api/v1/people/${second}`, { roles: ['administrator'], ...PASSWORD_AGAIN }, '"1"')
      .expect(200);
    const other = lone.as({
      ...technician,
      caller: { ...technician.caller, roles: ['administrator'] },
    });
    const answers = await Promise.all([
      other.patch(`/api/v1/people/${first.id}`, { roles: [], ...PASSWORD_AGAIN }, '"1"'),
      admin.patch(`/api/v1/people/${second}`, { active: false }, '"2"'),
    ]);
    // At the same moment the rule stands in the way; one after the other it is somebody who is no
    // administrator any more, or has been signed out, that asks.
    const late = answers.filter(({ status }) => status !== 200);
    expect(late).toHaveLength(1);
    const said = late.map(({ status, body }) => `${status} ${String(body.code)}`);
    expect(['422 last-administrator', '401 access-changed', '401 session-ended']).toContain(
      said[0],
    );
    const left = await lone.store.raw(
      `select 1 from role_grant g join person p on p.clinic_id = g.clinic_id and p.id = g.person_id
       where g.clinic_id = $1 and g.role = 'administrator' and g.ended_at is null and p.active`,
      [lone.clinicId],
    );
    expect(left).toHaveLength(1);
  });

  test('nobody takes their own access as administrator away; another administrator does', async () => {
    const two = await clinic.another('TW');
    const { administrator: first, technician } = two.people;
    const admin = two.as('administrator');
    await admin
      .patch(
        `/api/v1/people/${technician.id}`,
        { roles: ['administrator'], ...PASSWORD_AGAIN },
        '"1"',
      )
      .expect(200);
    for (const slip of [{ roles: ['auditor'], ...PASSWORD_AGAIN }, { active: false }]) {
      const { status, body } = await admin.patch(`/api/v1/people/${first.id}`, slip, '"1"');
      expect({ status, code: body.code }).toEqual({ status: 422, code: 'own-access-kept' });
    }
    // One's own name, and a further role, are another matter.
    await admin
      .patch(
        `/api/v1/people/${first.id}`,
        { roles: ['administrator', 'auditor'], ...PASSWORD_AGAIN },
        '"1"',
      )
      .expect(200);
    const other = two.as({
      ...technician,
      caller: { ...technician.caller, roles: ['administrator'] },
    });
    await other
      .patch(`/api/v1/people/${first.id}`, { roles: ['auditor'], ...PASSWORD_AGAIN }, '"2"')
      .expect(200);
  });

  test('nobody unknown is read, changed, given a code or signed out', async () => {
    const url = `/api/v1/people/${randomUUID()}`;
    const admin = clinic.as('administrator');
    const answers = [
      await admin.get(url),
      await admin.patch(url, { active: false }, '"1"'),
      await admin.post(`${url}/code`, PASSWORD_AGAIN),
      await admin.get(`${url}/sessions`),
      await admin.post(`${url}/sessions/end-all`),
    ];
    for (const { status, body } of answers) {
      expect({ status, code: body.code }).toEqual({ status: 404, code: 'person-unknown' });
    }
  });
});
