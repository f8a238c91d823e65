/** What is kept encrypted: by every way in, in every copy, under keys that change while people work. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import { columnCipher } from '../../src/store/columnCipher.ts';
import { isToRotate, keysMissing, prepareColumns, rotateKeys } from '../../src/store/columnKeys.ts';
import { silentLog, type StoreLog } from '../../src/store/database.ts';
import {
  ENCRYPTED_TABLES,
  encryptAnew,
  valuesByKey,
  valuesThatDoNotOpen,
} from '../../src/store/encryptedColumns.ts';
import type { Store } from '../../src/store/open.ts';
import type { KeptSealed } from '../../src/store/sealedValues.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  CIPHERTEXT,
  openSealed,
  OTHER_KEYS,
  TEST_KEYS,
  testCipher,
} from '../support/columnKeys.ts';
import { addPatient } from '../support/orders.ts';
import { asApp, expectRefused } from '../support/plainSql.ts';

const ENCRYPTED_COLUMNS = ENCRYPTED_TABLES.flatMap(({ table, rowId, columns }) =>
  columns.map(({ name, type }) => ({ table, rowId, column: name, type })),
);

let clinic: TestClinic;
let patientId: string;
const PHONE = '+43 660 7318 2946';
const ADDRESS = 'Quillwort Passage 7318, Upper Fernley';

const patient = () => `/api/v1/patients/${patientId}`;
const desk = () => clinic.as('front_desk');
const change = async (body: object) => {
  const { headers } = await desk().get(patient()).expect(200);
  await desk()
    .patch(patient(), body, headers['etag'] ?? '')
    .expect(200);
};

beforeAll(async () => {
  clinic = await testClinic();
  const added = await addPatient(clinic, { phone: PHONE, address: ADDRESS });
  patientId = added.id;
  await change({ address: `${ADDRESS}, door 2` });
});
afterAll(() => clinic.close());

describe('the database', () => {
  const scoped = (sql: string) =>
    asApp(clinic.store, clinic.clinicId, (app) => app.query(sql, [patientId]));

  test.each([
    [`update patient set phone = '${PHONE}' where id = $1`],
    [`update patient set address = '${ADDRESS}' where id = $1`],
    [`update patient set phone = 'enc1.test.short.body' where id = $1`],
  ])('takes no plain text from whoever runs as the service: %s', async (sql) => {
    await expectRefused(clinic.store, () => scoped(sql), { state: '23514' });
  });

  test('takes no number that is found without being there', async () => {
    const sql = `update patient set phone = null, phone_digests = '{0123456789abcdef}' where id = $1`;
    await expectRefused(clinic.store, () => scoped(sql), { state: '23514' });
  });

  test('lets the service change nothing of what is kept beside an event or a key', async () => {
    for (const [table, column, value] of [
      ['event', 'sealed', `jsonb_build_object('phone', '${CIPHERTEXT}'::text)`],
      ['idempotency_key', 'answer', `to_jsonb('${CIPHERTEXT}'::text)`],
      ['long_work_piece', 'body', `'${CIPHERTEXT}'`],
      ['recall_call', 'note', `'${CIPHERTEXT}'`],
      ['column_key', 'check_value', `'0123456789abcdef'`],
    ]) {
      const sql = `update ${table ?? ''} set ${column ?? ''} = ${value ?? ''} where clinic_id <> $1`;
      await expectRefused(clinic.store, () => scoped(sql), { state: '42501' });
    }
  });

  test.each([
    [
      'the seal’s values by plain ones',
      `sealed = '{"phone": {"salt": "00", "value": "1"}}'`,
      'R1001',
    ],
    ['the seal’s values by none', 'sealed = null', 'R1001'],
    ['anything else of the event', `kind = 'patient.changed'`, 'R1001'],
    [
      'anything else along with it',
      `kind = 'patient.changed', sealed = to_jsonb('${CIPHERTEXT}'::text)`,
      'R1001',
    ],
  ])('lets not even the owner replace %s', async (_what, set, state) => {
    const sql = `update event set ${set} where sealed is not null`;
    await expectRefused(clinic.store, () => clinic.store.raw(sql), { state });
  });

  test('has a check of its own for every column that is kept encrypted', async () => {
    const rows = await clinic.store.raw<{ def: string; table: string }>(
      `select conrelid::regclass::text as "table", pg_get_constraintdef(oid) as def from pg_constraint
       where contype = 'c' and pg_get_constraintdef(oid) like '%is_encrypted%'`,
    );
    for (const { table, column } of ENCRYPTED_COLUMNS) {
      const named = new RegExp(`is_encrypted(?:_each)?\\(\\(?\\(?${column}\\b`);
      const checks = rows.filter((row) => row.table === table && named.test(row.def));
      expect(checks, `${table}.${column}`).toHaveLength(1);
    }
    expect(rows).toHaveLength(ENCRYPTED_COLUMNS.length);
  });
});

describe('a value that was moved', () => {
  test('to another patient does not open, and is told as what it is', async () => {
    const thief = await addPatient(clinic, { givenName: 'Thilo', familyName: 'Thief' });
    await clinic.store.raw(
      `update patient t set phone = p.phone, phone_digests = p.phone_digests from patient p where p.id = $1 and t.id = $2`,
      [patientId, thief.id],
    );
    const { status, body } = await desk().get(`/api/v1/patients/${thief.id}`);
    expect({ status, code: body.code }).toEqual({ status: 409, code: 'column-value-broken' });
    expect(JSON.stringify(body)).not.toMatch(/enc1|7318|sealed|patient\.phone/);
    const found = await valuesThatDoNotOpen(clinic.store.raw, testCipher);
    expect(found).toEqual([`patient.phone of row ${thief.id}: column-value-broken`]);
    await clinic.store.raw(`update patient set phone = null, phone_digests = '{}' where id = $1`, [
      thief.id,
    ]);
    expect(await valuesThatDoNotOpen(clinic.store.raw, testCipher)).toEqual([]);
  });
});

describe('a record from before there were keys', () => {
  /** As an older program left it: plain, and the checks of values to come not yet made valid. */
  async function asBefore(store: Store): Promise<void> {
    const checks = await store.raw<{ table: string; name: string; def: string }>(
      `select conrelid::regclass::text as "table", conname::text as name, pg_get_constraintdef(oid) as def
       from pg_constraint where pg_get_constraintdef(oid) like '%is_encrypted%'`,
    );
    const plain = await plainValues(store);
    await store.ownerTransaction(async (sql) => {
      for (const { table, name } of checks) {
        await sql.script(`alter table ${table} drop constraint "${name}"`);
      }
      await sql.script('set local session_replication_role = replica');
      for (const [statement, params] of plain) await sql.query(statement, params);
      await sql.script(`update patient set phone_digests = '{}'`);
      for (const { table, name, def } of checks) {
        const notValid = def.endsWith('NOT VALID') ? def : `${def} NOT VALID`;
        await sql.script(`alter table ${table} add constraint "${name}" ${notValid}`);
      }
    });
  }

  /** Statements that put the plain value in each ciphertext's place. */
  async function plainValues(store: Store): Promise<[string, unknown[]][]> {
    const statements: [string, unknown[]][] = [];
    for (const { table, column, type, rowId } of ENCRYPTED_COLUMNS) {
      const rows = await store.raw<{ clinic: string; row: string; kept: string }>(
        `select t.clinic_id::text as clinic, ${rowId} as row, ${type === 'jsonb' ? `t.${column} #>> '{}'` : `t.${column}::text`} as kept
         from ${table} t where t.${column} is not null`,
      );
      for (const { clinic: clinicId, row, kept } of rows) {
        const text =
          type === 'each'
            ? JSON.stringify(openSealed(clinicId, row, JSON.parse(kept) as KeptSealed))
            : testCipher.decryptFor({ table, column, clinicId, rowId: row }, kept);
        statements.push([
          `update ${table} t set ${column} = $1${type !== 'text' ? '::text::jsonb' : ''} where ${rowId} = $2`,
          [text, row],
        ]);
      }
    }
    return statements;
  }

  test('is encrypted when the service starts, once, and says so', async () => {
    const { store } = clinic;
    await prepareColumns(store, testCipher, silentLog);
    await asBefore(store);
    const before = await valuesByKey(store.raw);
    expect([...before.keys()]).toEqual(['']);

    // Killed after a batch: what was done counts, the next start goes on.
    const stop = new AbortController();
    await encryptAnew(store, testCipher, {
      plainOnly: true,
      batch: 1,
      signal: stop.signal,
      progress: () => {
        stop.abort();
      },
    });
    const between = await valuesByKey(store.raw);
    // The first row with both of its values.
    expect(between.get('test')).toBe(2);
    expect(between.get('')).toBe((before.get('') ?? 0) - 2);

    const lines: object[] = [];
    const log: StoreLog = { ...silentLog, info: (facts, said) => void lines.push({ facts, said }) };
    await prepareColumns(store, testCipher, log);
    expect(lines).toEqual([
      {
        facts: { values: between.get('') },
        said: 'encrypted what stood in plain text',
      },
    ]);
    expect([...(await valuesByKey(store.raw))]).toEqual([['test', before.get('')]]);
    expect(await valuesThatDoNotOpen(store.raw, testCipher)).toEqual([]);
    const { body } = await desk().get(patient()).expect(200);
    expect(body).toMatchObject({ phone: PHONE, address: `${ADDRESS}, door 2` });
    const { body: found } = await desk()
      .post('/api/v1/patients/search', { phone: PHONE })
      .expect(200);
    expect(found.items).toHaveLength(1);
    const invalid = await store.raw(`select 1 from pg_constraint where not convalidated`);
    expect(invalid).toEqual([]);

    await prepareColumns(store, testCipher, log);
    expect(lines).toHaveLength(1);
  });
});

describe('another key', () => {
  const [second] = OTHER_KEYS;
  if (second === undefined) throw new Error('a second key');
  const both = columnCipher([second, ...TEST_KEYS]);
  const later = columnCipher([second]);

  const serviceWith = (cipher: typeof both) =>
    buildApp({
      store: { ...clinic.store, cipher },
      config: {
        jwtSecret: 'only for the questions below, which nobody signs in for',
        publicUrl: 'https://castbook.test',
        trustProxy: false,
        requestsPerMinute: 1_000_000,
        signInsPerMinute: 1_000_000,
      },
      log: makeLog('silent'),
    });
  const readiness = async (cipher: typeof both) => {
    const app = await serviceWith(cipher);
    const answer = await app.inject({ url: '/readyz' });
    await app.close();
    return { status: answer.statusCode, body: answer.json<Record<string, unknown>>() };
  };

  test('takes the place of the old one: all is under it, and the record tells so', async () => {
    const { store } = clinic;
    await prepareColumns(store, testCipher, silentLog);
    expect(await isToRotate(store.raw, testCipher)).toBe(false);
    expect(await isToRotate(store.raw, both)).toBe(true);
    const values = [...(await valuesByKey(store.raw)).values()].reduce((sum, n) => sum + n, 0);

    const rotated = await rotateKeys({ ...store, cipher: both }, clinic.clock.now(), { batch: 1 });
    expect(rotated).toMatchObject({ written: values, retired: ['test'] });
    expect([...rotated.remaining]).toEqual([['second', values]]);
    expect(await valuesThatDoNotOpen(store.raw, later)).toEqual([]);
    expect(await isToRotate(store.raw, later)).toBe(false);

    // The record tells it, in the chain.
    const told = await store.raw<{ data: object; person: string | null }>(
      `select data, person_id as person from event where kind = 'record.keys_rotated'`,
    );
    expect(told).toEqual([{ data: { key: 'second', retired: ['test'] }, person: null }]);
    const again = await rotateKeys({ ...store, cipher: both }, clinic.clock.now());
    expect(again).toMatchObject({ written: 0, retired: [] });
  });

  test('a service without it answers that a key is missing, and is not ready', async () => {
    const { status, body } = await desk().get(patient());
    expect({ status, code: body.code }).toEqual({ status: 503, code: 'column-key-missing' });
    expect(JSON.stringify(body)).not.toMatch(/enc1|7318|patient\./);
    expect(await keysMissing(clinic.store.raw, testCipher)).toEqual(['second']);
    expect(await readiness(testCipher)).toMatchObject({
      status: 503,
      body: { code: 'column-key-missing', facts: { keyId: 'second' } },
    });
    expect((await readiness(later)).status).toBe(200);
    expect((await readiness(both)).status).toBe(200);
  });

  test('under the name of one that is in use refuses the start', async () => {
    const [, third] = OTHER_KEYS;
    const impostor = columnCipher([{ id: 'second', bytes: third?.bytes ?? new Uint8Array() }]);
    await expect(prepareColumns(clinic.store, impostor, silentLog)).rejects.toMatchObject({
      code: 'column-key-other',
    });
    expect(await readiness(impostor)).toMatchObject({
      status: 503,
      body: { code: 'column-key-missing' },
    });
  });

  test('what is under a key that nobody has is left alone, and the work says which', async () => {
    const [, third] = OTHER_KEYS;
    if (third === undefined) throw new Error('a third key');
    const before = await valuesByKey(clinic.store.raw);
    await expect(encryptAnew(clinic.store, columnCipher([third]))).rejects.toMatchObject({
      reasons: [{ code: 'column-key-missing', facts: { keyId: 'second' } }],
    });
    expect(await valuesByKey(clinic.store.raw)).toEqual(before);
  });

  test('back again: a value that changed after it was read is not overwritten', async () => {
    const { store } = clinic;
    // The batch reads the row; before it writes, another transaction has written.
    let interfered = false;
    const interfering: Pick<Store, 'ownerTransaction'> = {
      ownerTransaction: (work) =>
        store.ownerTransaction((sql) =>
          work({
            ...sql,
            query: async (text, params) => {
              if (text.startsWith('update patient') && !interfered) {
                interfered = true;
                const cell = { table: 'patient', column: 'phone', clinicId: clinic.clinicId };
                await sql.query('update patient set phone = $2 where id = $1', [
                  patientId,
                  later.encryptFor({ ...cell, rowId: patientId }, '+43 1 changed meanwhile'),
                ]);
              }
              return sql.query(text, params);
            },
          }),
        ),
    };
    await encryptAnew(interfering, columnCipher([...TEST_KEYS, second]));
    expect(interfered).toBe(true);
    await encryptAnew(store, columnCipher([...TEST_KEYS, second]));
    const { body } = await desk().get(patient()).expect(200);
    expect(body.phone).toBe('+43 1 changed meanwhile');
  });
});
