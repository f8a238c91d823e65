/** R11 in the database itself: a head that does not follow is not written, whoever writes it. */

import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { HeadSigner } from '../../src/features/record/signer.ts';
import type { HeadStatement, KeyStatement } from '../../src/domain/signedHeads.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, expectRefused, insertInto, type Values } from '../support/plainSql.ts';
import { ClinicRows } from '../support/rows.ts';
import { aSigner, headRow, keyRow } from '../support/signedHeads.ts';

let db: TestDatabase;
let rows: ClinicRows;
let signer: HeadSigner;
let n = 0;

beforeAll(async () => {
  db = await testDatabase();
});
afterAll(() => db.close());
beforeEach(async () => {
  n += 1;
  rows = await ClinicRows.found(db.store, `H${String.fromCharCode(64 + n)}`);
  signer = aSigner();
  await rows.event();
  await rows.event();
  await write('signing_key', keyRow(rows, signer));
});

/** As the service's own role, in the clinic's scope. */
const write = (table: string, values: Values): Promise<Values> =>
  asApp(db.store, rows.clinicId, (app) => insertInto<Values>(app, table, values));
const head = async (over: Partial<HeadStatement> = {}): Promise<Values> =>
  write('signed_head', await headRow(rows, signer, over));

const refused = async (table: string, values: Values, code: string, field: string) =>
  expectRefused(db.store, () => write(table, values), {
    state: table === 'signed_head' ? 'R1101' : 'R1102',
    code,
    facts: { field },
  });

describe('a signed head', () => {
  test.each([
    {
      what: 'a number too high',
      over: { number: 2, previousHeadSha256: 'a'.repeat(64) },
      field: 'number',
    },
    { what: 'more events than there are', over: { treeSize: 3 }, field: 'treeSize' },
    { what: 'another chain value', over: { chainSha256: 'a'.repeat(64) }, field: 'chainSha256' },
    { what: 'a key that is not the newest', over: { keyId: 'A'.repeat(43) }, field: 'keyId' },
    {
      what: 'the purpose of something else',
      over: { purpose: 'else' as never },
      field: 'statement',
    },
  ])('with $what is not written', async ({ over, field }) => {
    await refused('signed_head', await headRow(rows, signer, over), 'signed-head-unfit', field);
  });

  test('whose columns say other than what was signed is not written', async () => {
    const row = await headRow(rows, signer);
    await refused(
      'signed_head',
      { ...row, root_sha256: 'b'.repeat(64) },
      'signed-head-unfit',
      'statement',
    );
    await refused(
      'signed_head',
      { ...row, head_sha256: 'b'.repeat(64) },
      'signed-head-unfit',
      'headSha256',
    );
  });

  test('grows, and names the one before', async () => {
    const first = await head();
    await rows.event();
    const named = { number: 2, previousHeadSha256: String(first['head_sha256']) };
    const other = { number: 2, previousHeadSha256: 'c'.repeat(64) };
    const again = { ...named, treeSize: 2, chainSha256: String(first['chain_sha256']) };
    await refused(
      'signed_head',
      await headRow(rows, signer, other),
      'signed-head-unfit',
      'previousHeadSha256',
    );
    await refused(
      'signed_head',
      await headRow(rows, signer, again),
      'signed-head-unfit',
      'treeSize',
    );
    expect(await head(named)).toMatchObject({ number: 2, tree_size: 3 });
  });

  test('of one day is signed once, and any number when they are asked for', async () => {
    const first = await head({ cause: 'daily' });
    await rows.event();
    const next = { number: 2, previousHeadSha256: String(first['head_sha256']) };
    const daily = await headRow(rows, signer, { ...next, cause: 'daily' });
    await expectRefused(db.store, () => write('signed_head', daily), { state: '23505' });
    await head({ ...next, cause: 'asked' });
  });

  test('is kept as it is, and so are keys and nodes', async () => {
    await head();
    await rows.insert('merkle_node', { level: 6, index: 0, sha256: 'a'.repeat(64) });
    for (const table of ['signed_head', 'signing_key', 'merkle_node']) {
      for (const sql of [`update ${table} set clinic_id = clinic_id`, `delete from ${table}`]) {
        await expectRefused(db.store, () => db.store.raw(sql), {
          state: 'R1001',
          code: 'record-is-kept',
        });
        // The service's role has not even the right to try.
        const attempt = () => asApp(db.store, rows.clinicId, (app) => app.query(sql));
        await expectRefused(db.store, attempt, { state: '42501' });
      }
    }
  });
});

describe('a key', () => {
  const next = (over: Partial<KeyStatement> = {}): Values =>
    keyRow(rows, aSigner(), { number: 2, entry: 'rotation', previousKeyId: signer.keyId, ...over });

  test('follows the newest, from the heads that there are', async () => {
    await head();
    await refused('signing_key', next({ number: 3, afterHead: 1 }), 'signing-key-unfit', 'number');
    await refused('signing_key', next(), 'signing-key-unfit', 'afterHead');
    await refused(
      'signing_key',
      next({ afterHead: 1, previousKeyId: 'A'.repeat(43) }),
      'signing-key-unfit',
      'previousKeyId',
    );
    await refused(
      'signing_key',
      next({ afterHead: 1, validFrom: '2026-03-01T09:00:00.000Z' }),
      'signing-key-unfit',
      'validFrom',
    );
    await refused(
      'signing_key',
      { ...next({ afterHead: 1 }), public_key: 'A'.repeat(43) },
      'signing-key-unfit',
      'statement',
    );
    expect(await write('signing_key', next({ afterHead: 1 }))).toMatchObject({ number: 2 });
  });

  test('is signed in or marked as not, never both', async () => {
    const lost = next({ entry: 'lost' });
    const both = { ...lost, previous_signature: String(lost['own_signature']) };
    await expectRefused(db.store, () => write('signing_key', both), { state: '23514' });
    const neither = { ...next(), previous_signature: null };
    await expectRefused(db.store, () => write('signing_key', neither), { state: '23514' });
    await write('signing_key', lost);
  });

  test('of a clinic is of no other', async () => {
    const theirs = await ClinicRows.found(db.store, `${String.fromCharCode(64 + n)}X`);
    const attempt = () => write('signing_key', keyRow(theirs, aSigner()));
    await expectRefused(db.store, attempt, { state: '42501' });
  });
});
