/**
 * The service as docker-compose.yml runs it: signed in to the server as a role that owns
 * nothing, made by the very script that the database's image runs.
 */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import { foundClinic } from '../../src/store/clinics.ts';
import { silentLog } from '../../src/store/database.ts';
import { withPrisma, type Store } from '../../src/store/open.ts';
import { openServer } from '../../src/store/server.ts';
import { testCipher } from '../support/columnKeys.ts';
import { clinicOn, PASSWORD, TestClock, type TestClinic } from '../support/clinic.ts';
import { databaseKind, testDatabase, type TestDatabase } from '../support/database.ts';
import { breaches } from '../support/integrity.ts';
import { deliveredLimb, stockedShop } from '../support/job.ts';
import { tableNames } from '../support/plainSql.ts';

const SCRIPT = path.resolve(
  import.meta.dirname,
  '../../scripts/docker/database/10-service-sign-in.sql',
);
const needsServer = databaseKind === 'server' ? '' : ' [needs a server: roles that sign in]';

describe.skipIf(needsServer !== '')(`a sign-in that owns nothing${needsServer}`, () => {
  // A role belongs to the whole server, so it has a name of its own here.
  const role = `castbook_service_${randomBytes(4).toString('hex')}`;
  const password = randomBytes(24).toString('hex');
  let db: TestDatabase;
  let service: Store;
  let clinic: TestClinic;

  beforeAll(async () => {
    db = await testDatabase();
    const url = new URL(db.url!);
    const database = url.pathname.slice(1);
    await db.store.ownerTransaction((sql) =>
      sql.script(
        fs
          .readFileSync(SCRIPT, 'utf8')
          .replaceAll(/^\\.*$/gm, '')
          // The migrations have made it already on this server.
          .replace(/^create role castbook_app .*$/m, '')
          .replaceAll('castbook_service', role)
          .replaceAll('database castbook', `database ${database}`)
          .replaceAll(":'service_password'", `'${password}'`),
      ),
    );
    url.username = role;
    url.password = password;
    service = withPrisma(openServer(url.href, { log: silentLog }), testCipher);
    const clock = new TestClock('2026-03-02T09:00:00Z');
    const logLines: string[] = [];
    const app = await buildApp({
      store: service,
      config: {
        jwtSecret: randomBytes(48).toString('base64'),
        publicUrl: 'https://castbook.test',
        trustProxy: false,
        requestsPerMinute: 1_000_000,
        signInsPerMinute: 1_000_000,
      },
      log: makeLog('info', { write: (line) => void logLines.push(line) }),
      now: clock.now,
    });
    const address = await app.listen({ port: 0, host: '127.0.0.1' });
    const close = async () => {
      await app.close();
      await service.close();
      await db.store.raw(`drop owned by ${role}`);
      await db.store.raw(`drop role ${role}`);
      await db.close();
    };
    // Founded by the owner; spoken to at the service.
    clinic = await clinicOn(
      { app, store: db.store, clock, address, logLines, close },
      'KL',
      'Europe/Vienna',
    );
  });
  afterAll(() => clinic.close());

  test('is nobody special and owns no table', async () => {
    const [is] = await service.raw(
      `select rolsuper, rolbypassrls, rolcreaterole, rolcreatedb,
         exists (select from pg_class where relowner = r.oid) as owns,
         pg_has_role('castbook_app', 'member') as member
       from pg_roles r where rolname = current_user`,
    );
    expect(is).toEqual({
      rolsuper: false,
      rolbypassrls: false,
      rolcreaterole: false,
      rolcreatedb: false,
      owns: false,
      member: true,
    });
  });

  test('the service is ready, and people sign in', async () => {
    await clinic.stranger.get('/readyz').expect(200);
    const { email } = clinic.people.prosthetist;
    const { body } = await clinic.stranger
      .post('/api/v1/sign-in', { email, password: PASSWORD }, { key: null })
      .expect(200);
    expect((body as { person: { email: string } }).person.email).toBe(email);
  });

  test('an order goes from the desk to the patient, and the record holds', async () => {
    const { orderId } = await deliveredLimb(await stockedShop(clinic));
    const { body } = await clinic.as('auditor').get(`/api/v1/orders/${orderId}`).expect(200);
    expect((body as { stage: string }).stage).toBe('delivered');
    expect(await breaches(db.store.raw)).toEqual([]);
  });

  test('sees no row of any clinic on its own, and cannot turn the policies off', async () => {
    for (const table of await tableNames(db.store)) {
      expect(await service.raw(`select 1 from "${table}" limit 1`), table).toEqual([]);
    }
    for (const attempt of [
      'set row_security = off; select 1 from patient',
      'alter table patient disable row level security',
      'drop policy patient_own_clinic on patient',
      'grant castbook_app to current_user with admin option',
      `set role ${new URL(db.url!).username}`,
      `alter role ${role} bypassrls`,
      'alter table event disable trigger all',
      'delete from event',
      'truncate event',
      'create table spy (id int)',
    ]) {
      await expect(
        service.ownerTransaction((sql) => sql.script(attempt)),
        attempt,
      ).rejects.toMatchObject({ code: '42501' });
    }
  });

  test('founds no clinic: that is the owner’s', async () => {
    const founding = foundClinic(
      service,
      { name: 'Another', numberPrefix: 'AN', timeZone: 'Europe/Vienna', paper: 'A4' },
      [],
      new Date('2026-03-02T09:00:00Z'),
    );
    await expect(founding).rejects.toThrowError(/permission denied|row-level security/i);
  });
});
