/**
 * Migrates once per run. With DATABASE_URL: into a template database of that server, dropped
 * at the end; without: into an embedded one, dumped to a file that every test file loads.
 */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { TestProject } from 'vitest/node';
import { generateClient } from '../../scripts/generate.ts';
import { openEmbeddedInMemory } from '../../src/store/embedded.ts';
import { migrate } from '../../src/store/migrate.ts';
import { openServer } from '../../src/store/server.ts';
import { silentLog } from '../../src/store/database.ts';
import { databaseOn, onServer, type TestTemplate } from './template.ts';

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  generateClient();
  const serverUrl = process.env['DATABASE_URL'];
  const { template, remove } =
    serverUrl === undefined || serverUrl === ''
      ? await dumpTemplate()
      : await serverTemplate(serverUrl);
  project.provide('testTemplate', template);
  return remove;
}

async function dumpTemplate() {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-test-'));
  const dumpFile = path.join(folder, 'migrated.tar');
  const database = await openEmbeddedInMemory();
  await migrate(database);
  fs.writeFileSync(dumpFile, new Uint8Array(await (await database.dump()).arrayBuffer()));
  await database.close();
  const template: TestTemplate = { kind: 'embedded', dumpFile };
  return {
    template,
    remove: async () => {
      await fs.promises.rm(folder, { recursive: true, force: true });
    },
  };
}

async function serverTemplate(serverUrl: string) {
  const name = `castbook_template_${randomBytes(6).toString('hex')}`;
  await onServer(serverUrl, `create database ${name}`);
  const database = openServer(databaseOn(serverUrl, name), { log: silentLog, poolMax: 1 });
  await migrate(database);
  // A database with a connection open cannot be a template.
  await database.close();
  const template: TestTemplate = { kind: 'server', serverUrl, template: name };
  return {
    template,
    remove: () => onServer(serverUrl, `drop database if exists ${name} with (force)`),
  };
}
