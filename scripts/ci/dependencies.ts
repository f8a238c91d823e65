// Use: node --import tsx scripts/ci/dependencies.ts   What can be said of the dependencies without any network:
// each is held by its hash, comes from the registry, runs nothing at install, and is under a licence
// that was looked at. Prints each breach; exits 1 where there is one.
import { readFileSync } from 'node:fs';
import { isMain } from '../isMain.ts';

export interface Lock {
  lockfileVersion: number;
  packages: Record<string, LockEntry>;
}
interface LockEntry {
  version?: string;
  integrity?: string;
  resolved?: string;
  link?: boolean;
  license?: string;
  hasInstallScript?: boolean;
}
export interface Manifest {
  dependencies: Record<string, string>;
  devDependencies?: Record<string, string>;
  overrides?: Record<string, unknown>;
}

/** Licences that what we run with, or build and test with, may be under. */
const LICENCES = [
  '0BSD', 'Apache-2.0', 'BSD-2-Clause', 'BSD-3-Clause', 'BlueOak-1.0.0', 'CC-BY-3.0', 'CC-BY-4.0', 'CC0-1.0',
  'EPL-2.0', 'ISC', 'MIT', 'MPL-2.0', 'OFL-1.1', 'Python-2.0', 'Unlicense',
]; // prettier-ignore

/** Their package.json names no licence in SPDX; each was read. */
const READ_BY_HAND = {
  'node_modules/png-js': 'MIT, by its LICENSE file',
};
const SEEN = { 'SEE LICENSE IN README.md AND LICENSE': 'MPL-2.0 and what it ships, by its README' };

/** Have a script for the install; .npmrc runs none, and none is needed. */
const WITH_SCRIPTS = [
  'node_modules/@prisma/engines',
  'node_modules/esbuild',
  'node_modules/prisma',
];

const EXACT = /^\d+\.\d+\.\d+(?:-[\w.]+)?$/;
const ALIAS = /^npm:[@\w/.-]+@\d+\.\d+\.\d+$/;

/** Every breach in words. */
export function breachesOf(lock: Lock, manifest: Manifest, npmrc: string): string[] {
  const found: string[] = [];
  if (lock.lockfileVersion !== 3) found.push('package-lock.json is not of version 3');
  if (!/^ignore-scripts=true$/m.test(npmrc))
    found.push('.npmrc lets packages run scripts at install');
  for (const [group, wanted] of [
    ['dependencies', manifest.dependencies],
    ['devDependencies', manifest.devDependencies ?? {}],
  ] as const) {
    for (const [name, version] of Object.entries(wanted)) {
      if (!EXACT.test(version)) found.push(`${group}: ${name} is not pinned (${version})`);
      if (lock.packages[`node_modules/${name}`]?.version !== version) {
        found.push(`${group}: ${name} is another version in package-lock.json`);
      }
    }
  }
  for (const [name, version] of Object.entries(manifest.overrides ?? {})) {
    if (typeof version === 'string' && !EXACT.test(version) && !ALIAS.test(version)) {
      found.push(`overrides: ${name} is not pinned (${version})`);
    }
  }
  for (const [path, entry] of Object.entries(lock.packages)) {
    if (path === '') continue;
    const { integrity, resolved, link, license, hasInstallScript } = entry;
    if (!/^sha512-[A-Za-z0-9+/]{86}==$/.test(integrity ?? '')) found.push(`${path}: no SHA-512`);
    // .npmrc leaves the address out, so that any mirror serves; one that stands there is the registry's.
    if (resolved !== undefined && !resolved.startsWith('https://registry.npmjs.org/'))
      found.push(`${path}: comes from ${resolved}`);
    if (link) found.push(`${path}: is a link`);
    if (hasInstallScript && !WITH_SCRIPTS.includes(path))
      found.push(`${path}: has a script for the install`);
    if (!isLicensed(path, license)) found.push(`${path}: licence ${license ?? 'none'}`);
  }
  return found;
}

function isLicensed(path: string, license: string | undefined): boolean {
  if (path in READ_BY_HAND) return true;
  if (license === undefined) return false;
  if (license in SEEN) return true;
  const names = license.replaceAll(/[()]/g, '').split(/\s+(?:and|or)\s+/i);
  // Of "A OR B" one is enough, but all of ours are good; so all are asked for.
  return names.every((name) => LICENCES.includes(name));
}

if (isMain(import.meta)) {
  const read = (file: string): string =>
    readFileSync(new URL(`../../${file}`, import.meta.url), 'utf8');
  const lock = JSON.parse(read('package-lock.json')) as Lock;
  const found = breachesOf(lock, JSON.parse(read('package.json')) as Manifest, read('.npmrc'));
  for (const each of found) say(each);
  const count = Object.keys(lock.packages).length - 1;
  say(`${count} packages looked at, ${found.length} breaches`);
  process.exitCode = found.length > 0 ? 1 : 0;
}

function say(line: string): void {
  process.stdout.write(`${line}\n`);
}
