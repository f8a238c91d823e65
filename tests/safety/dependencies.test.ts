/** What the checks of the dependencies and of secrets find, and that they do find it. */
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { verdictOf } from '../../scripts/ci/audit.ts';
import { breachesOf, type Lock, type Manifest } from '../../scripts/ci/dependencies.ts';
import { secretsIn } from '../../scripts/ci/secrets.ts';
import { writeSbom } from '../../scripts/sbom.ts';

const read = (file: string): string => fs.readFileSync(path.resolve(file), 'utf8');
const lock = (): Lock => JSON.parse(read('package-lock.json')) as Lock;
const manifest = (): Manifest => JSON.parse(read('package.json')) as Manifest;
const npmrc = read('.npmrc');

describe('what the lockfile must be', () => {
  test('it is', () => {
    expect(breachesOf(lock(), manifest(), npmrc)).toEqual([]);
  });

  const PACKAGE = 'node_modules/fastify';
  test.each<[string, (of: Lock) => void, RegExp]>([
    [
      'without a hash',
      ({ packages }) => delete packages[PACKAGE]!.integrity,
      /fastify: no SHA-512/,
    ],
    ['with a weak hash', ({ packages }) => (packages[PACKAGE]!.integrity = 'sha1-x'), /no SHA-512/],
    [
      'from a repository',
      ({ packages }) => (packages[PACKAGE]!.resolved = 'git+ssh://git@host/x.git'),
      /comes from git/,
    ],
    [
      'over plain http',
      ({ packages }) => (packages[PACKAGE]!.resolved = 'http://registry.npmjs.org/x.tgz'),
      /comes from http:/,
    ],
    ['as a link', ({ packages }) => (packages[PACKAGE]!.link = true), /is a link/],
    [
      'with a script',
      ({ packages }) => (packages[PACKAGE]!.hasInstallScript = true),
      /script for the install/,
    ],
    [
      'under a licence not looked at',
      ({ packages }) => (packages[PACKAGE]!.license = 'AGPL-3.0-only'),
      /licence AGPL/,
    ],
    [
      'under two, one not looked at',
      ({ packages }) => (packages[PACKAGE]!.license = 'MIT AND SSPL-1.0'),
      /licence MIT AND SSPL/,
    ],
    ['without a licence', ({ packages }) => delete packages[PACKAGE]!.license, /licence none/],
    [
      'of another version',
      ({ packages }) => (packages[PACKAGE]!.version = '0.0.1'),
      /another version/,
    ],
  ])('a package %s is found', (_what, change, said) => {
    const changed = lock();
    change(changed);
    expect(breachesOf(changed, manifest(), npmrc).join('\n')).toMatch(said);
  });

  test('so is a version that is not pinned, and leave to run scripts', () => {
    const loose = manifest();
    loose.dependencies['fastify'] = '^5.0.0';
    expect(breachesOf(lock(), loose, npmrc).join('\n')).toContain('fastify is not pinned');
    expect(breachesOf(lock(), manifest(), 'save-exact=true')).toHaveLength(1);
  });
});

describe('the audit', () => {
  const answer = (high: number, critical: number) =>
    JSON.stringify({
      vulnerabilities: {
        left: { name: 'left', severity: 'high' },
        low: { name: 'low', severity: 'low' },
      },
      metadata: { vulnerabilities: { low: 1, high, critical }, dependencies: { prod: 120 } },
    });
  test('that was answered is clean or names what it found', () => {
    expect(verdictOf(answer(0, 0))).toEqual({ kind: 'clean', dependencies: 120 });
    expect(verdictOf(answer(1, 0))).toEqual({ kind: 'found', names: ['left (high)'] });
  });
  test.each([
    [
      'a registry that does not know the question',
      '{"message":"405 Method Not Allowed"}',
      undefined,
    ],
    ['no answer', '', 'ended by SIGTERM'],
    ['a page of a proxy', '<html>', undefined],
    ['an empty object', '{}', undefined],
    ['null', 'null', undefined],
  ])('%s is said to be no audit', (_what, stdout, failure) => {
    expect(verdictOf(stdout, failure)).toMatchObject({ kind: 'not answered' });
  });
});

describe('a secret in a file', () => {
  const made = (...parts: string[]) => parts.join('');
  test.each([
    ['a private key', made('-----BEGIN ', 'PRIVATE KEY-----\nMIIEvQIBADANBgkqhkiG9w0BAQEF')],
    [
      'a JSON Web Token',
      made(
        'eyJhbGciOiJIUzI1NiIsInR5',
        '.eyJzdWIiOiIxMjM0NTY3',
        '.SflKxwRJSMeKKF2QT4fwpMeJf36POk6y',
      ),
    ],
    ['a key of a cloud', made('AK', 'IAIOSFODNN7EXAMPLE')],
    ['a token of a registry', made('npm', `_${'a1B2'.repeat(9)}`)],
    ['a sign-in in an address', made('postgres://castbook', ':hunter2hunter2@db/castbook')],
    ['a setting with its secret', made('JWT', '_SECRET=Zm9vYmFyYmF6cXV4Zm9vYmFyYmF6')],
    [
      'a hash of a password',
      made('$argon2id', '$v=19$m=19456,t=2,p=1$', 'c29tZXNhbHRzb21lc2FsdA$', 'a'.repeat(43)),
    ],
  ])('%s is found', (what, text) => {
    expect(secretsIn(`before\n${text}\nafter`)).toContain(what);
  });

  test('what names a secret without giving it is none', () => {
    expect(secretsIn('JWT_SECRET: ${JWT_SECRET:?at least 32 random bytes}')).toEqual([]);
    expect(secretsIn('postgres://postgres@127.0.0.1:5432/postgres')).toEqual([]);
    expect(secretsIn('export JWT_SECRET=$(openssl rand -base64 48)')).toEqual([]);
  });

  test('stands in no file of this repository', () => {
    const said = execFileSync(process.execPath, ['--import', 'tsx', 'scripts/ci/secrets.ts'], {
      encoding: 'utf8',
    });
    expect(said).toMatch(/^\d{3,} files looked at, 0 with a secret\n$/);
  });
});

test('the list of what the service is made of names each direct dependency, and fits CycloneDX', () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-sbom-'));
  const file = path.join(folder, 'castbook.cdx.json');
  expect(writeSbom(file)).toBeUndefined();
  const written = JSON.parse(fs.readFileSync(file, 'utf8')) as {
    bomFormat: string;
    specVersion: string;
    metadata: { component: { name: string; type: string } };
    components: {
      group?: string;
      name: string;
      version: string;
      purl: string;
      licenses?: unknown[];
    }[];
  };
  fs.rmSync(folder, { recursive: true });
  expect(written).toMatchObject({
    bomFormat: 'CycloneDX',
    specVersion: '1.6',
    metadata: { component: { name: 'castbook', type: 'application' } },
  });
  const names = written.components.map(
    ({ group, name, version }) => `${group === undefined ? '' : `${group}/`}${name}@${version}`,
  );
  for (const [name, version] of Object.entries(manifest().dependencies)) {
    expect(names).toContain(`${name}@${version}`);
  }
  // What only builds and tests is not part of the service.
  expect(names.filter((name) => /^(vitest|eslint|stryker)@/.test(name))).toEqual([]);
  for (const { purl } of written.components) expect(purl).toMatch(/^pkg:npm\//);
  // Its manifest names none; scripts/ci/dependencies.ts says what its file does.
  const bare = written.components.filter(({ licenses = [] }) => licenses.length === 0);
  expect(bare.map(({ name }) => name)).toEqual(['png-js']);
  // Once more by hand: the tool checks before it writes, but a check of a check is cheap.
  const schema = read(
    'node_modules/@cyclonedx/cyclonedx-library/res/schema/bom-1.6.SNAPSHOT.schema.json',
  );
  const ajv = new Ajv({ strict: false, validateFormats: false });
  for (const [id, name] of [
    ['http://cyclonedx.org/schema/spdx.SNAPSHOT.schema.json', 'spdx'],
    ['http://cyclonedx.org/schema/jsf-0.82.SNAPSHOT.schema.json', 'jsf-0.82'],
  ] as const) {
    ajv.addSchema(
      JSON.parse(
        read(`node_modules/@cyclonedx/cyclonedx-library/res/schema/${name}.SNAPSHOT.schema.json`),
      ) as object,
      id,
    );
  }
  const validate = ajv.compile(JSON.parse(schema) as object);
  expect(validate(written), ajv.errorsText(validate.errors)).toBe(true);
}, 180_000);
