/** What must never break about the organisation's sign-in, broken by plain SQL. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { CIPHERTEXT } from '../support/columnKeys.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const AT = '2026-03-02T09:00:00Z';
const SHA = 'c'.repeat(64);
const insert = (table: string, row: Record<string, unknown>) => {
  const all = { clinic_id: clinic.clinicId, id: randomUUID(), ...row };
  const names = Object.keys(all);
  return clinic.store.raw(
    `insert into ${table} (${names.join()}) values (${names.map((_, i) => `$${String(i + 1)}`).join()}) returning id`,
    Object.values(all),
  );
};
const link = (row: Record<string, unknown>) =>
  insert('openid_link', {
    issuer: 'https://a.example',
    how: 'self',
    created_at: AT,
    created_by_id: clinic.people.administrator.id,
    linked_at: AT,
    ...row,
  });
const attempt = (row: Record<string, unknown>) =>
  insert('openid_attempt', {
    purpose: 'sign_in',
    state_sha256: randomUUID().replaceAll('-', '').repeat(2),
    browser_sha256: SHA,
    issuer: 'https://a.example',
    provider_version: 1,
    kept: CIPHERTEXT,
    begun_at: AT,
    expires_at: '2026-03-02T09:10:00Z',
    ...row,
  });

describe('a link', () => {
  test('one subject is one person’s, and a person has one; ended, both are free', async () => {
    const { technician, auditor } = clinic.people;
    const [{ id } = { id: '' }] = (await link({ person_id: technician.id, subject: 's-1' })) as {
      id: string;
    }[];
    await expect(link({ person_id: auditor.id, subject: 's-1' })).rejects.toThrow(
      /openid_link_clinic_id_issuer_subject_key/,
    );
    await expect(link({ person_id: technician.id, subject: 's-2' })).rejects.toThrow(
      /openid_link_clinic_id_person_id_key/,
    );
    await expect(
      clinic.store.raw(`update openid_link set subject = 's-3' where id = $1`, [id]),
    ).rejects.toThrow(/record-is-final/);
    await clinic.store.raw(
      'update openid_link set ended_at = $2, ended_by_id = person_id where id = $1',
      [id, AT],
    );
    await expect(
      clinic.store.raw('update openid_link set ended_at = null, ended_by_id = null where id = $1', [
        id,
      ]),
    ).rejects.toThrow(/record-is-final/);
    await link({ person_id: auditor.id, subject: 's-1' });
    await expect(clinic.store.raw('delete from openid_link')).rejects.toThrow(/record-is-kept/);
  });

  test.each([
    ['without a subject and no invitation', { subject: null, linked_at: null }],
    ['a subject without a day', { subject: 'x', linked_at: null }],
    [
      'taken up after its time',
      { subject: 'x', how: 'invited', invited_until: '2026-03-01T09:00:00Z' },
    ],
    ['ended by nobody', { subject: 'x', ended_at: AT }],
  ])('%s cannot be', async (_what, row) => {
    await expect(link({ person_id: clinic.people.prosthetist.id, ...row })).rejects.toThrow(
      /openid_link_/,
    );
  });
});

describe('an attempt', () => {
  test.each([
    ['longer than ten minutes', { expires_at: '2026-03-02T09:10:01Z' }],
    ['used and still with its secrets', { used_at: AT }],
    ['used too late', { used_at: '2026-03-02T09:10:00Z', kept: null }],
    ['to sign, of nobody', { purpose: 'sign' }],
    [
      'a proof of a sign-in',
      { used_at: AT, kept: null, proven_at: AT, proven_until: '2026-03-02T09:01:00Z' },
    ],
    ['spent unproven', { spent_at: AT }],
  ])('%s cannot be', async (_what, row) => {
    await expect(attempt(row)).rejects.toThrow(/openid_attempt_/);
  });

  test('is used once, proves once and is spent once', async () => {
    const of = {
      purpose: 'sign',
      person_id: clinic.people.prosthetist.id,
      family_id: randomUUID(),
    };
    const [{ id } = { id: '' }] = (await attempt(of)) as { id: string }[];
    const set = (change: string) =>
      clinic.store.raw(`update openid_attempt set ${change} where id = $1`, [id]);
    await set(`used_at = '${AT}', kept = null`);
    await expect(set(`used_at = null, kept = '${CIPHERTEXT}'`)).rejects.toThrow(/record-is-final/);
    await expect(set(`proven_at = '${AT}', proven_until = '2026-03-02T09:03:01Z'`)).rejects.toThrow(
      /openid_attempt_proves_to_sign/,
    );
    await set(`proven_at = '${AT}', proven_until = '2026-03-02T09:03:00Z'`);
    await expect(set(`proven_until = '2026-03-02T09:02:00Z'`)).rejects.toThrow(/record-is-final/);
    await set(`spent_at = '${AT}'`);
    await expect(set('spent_at = null')).rejects.toThrow(/record-is-final/);
  });
});

test.each([
  'http://login.example',
  'http://127.0.0.1.evil.example',
  'https://a.example/?x',
  'https://u@a.example',
])('%s is no issuer in the record either', async (issuer) => {
  await expect(
    insert('openid_provider', {
      issuer,
      client_id: 'c',
      client_secret: CIPHERTEXT,
      button_name: 'b',
      active: true,
      version: 1,
      changed_at: AT,
      changed_by_id: clinic.people.administrator.id,
    }),
  ).rejects.toThrow(/openid_provider_issuer/);
});
