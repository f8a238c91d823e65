/**
 * Writes the list of what the service is made of (CycloneDX 1.6, JSON), checked against the
 * schema of CycloneDX before it is written.
 *
 *   npm run sbom -- castbook.cdx.json
 */
import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { isMain } from './isMain.ts';

const TOOL = path.resolve(
  import.meta.dirname,
  '../node_modules/@cyclonedx/cyclonedx-npm/bin/cyclonedx-npm-cli.js',
);

/** @returns what the tool said, where it failed */
export function writeSbom(file: string): string | undefined {
  const { status, stderr } = spawnSync(
    process.execPath,
    [
      TOOL,
      '--omit=dev',
      '--spec-version=1.6',
      '--output-format=JSON',
      // The same of the same lockfile: no time, no number of its own.
      '--output-reproducible',
      '--mc-type=application',
      '--validate',
      `--output-file=${path.resolve(file)}`,
    ],
    { encoding: 'utf8', cwd: path.resolve(import.meta.dirname, '..') },
  );
  return status === 0 ? undefined : stderr;
}

if (isMain(import.meta)) {
  const [file] = process.argv.slice(2);
  const failure = file === undefined ? 'Use: npm run sbom -- FILE' : writeSbom(file);
  if (failure !== undefined) {
    process.stderr.write(`${failure}\n`);
    process.exitCode = 1;
  }
}
