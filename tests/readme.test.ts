/** The README keeps its word: its tour runs, its scripts exist, its settings are those that are read. */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const readme = fs.readFileSync('README.md', 'utf8');
const developers = fs.readFileSync('DEVELOPERS.md', 'utf8');
const { scripts } = JSON.parse(fs.readFileSync('package.json', 'utf8')) as {
  scripts: Record<string, string>;
};

/** The environment of a machine that has no database server. */
const bareEnvironment = Object.fromEntries(
  Object.entries(process.env).filter(([name]) => !/DATABASE|VITEST|NODE_ENV/.test(name)),
);

describe('the tour', () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-tour-'));
  let service: ChildProcess;
  let address = '';
  let printed = '';

  beforeAll(async () => {
    service = spawn(process.execPath, ['--import', 'tsx', 'scripts/start.ts', '--demo'], {
      env: {
        ...bareEnvironment,
        DATA_DIR: path.join(folder, 'data'),
        PORT: '0',
        LOG_LEVEL: 'warn',
      },
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    await new Promise<void>((resolve, reject) => {
      service.once('exit', (code) => {
        reject(new Error(`ended with ${String(code)}: ${printed}`));
      });
      service.stdout?.setEncoding('utf8').on('data', (text: string) => {
        printed += text;
        const found = /Castbook listens on (http:\S+)[\s\S]*Stop with/.exec(printed)?.[1];
        if (found === undefined) return;
        address = found;
        resolve();
      });
    });
  }, 240_000);
  afterAll(async () => {
    service.removeAllListeners('exit');
    service.kill('SIGTERM');
    const [code] = (await once(service, 'exit')) as [number | null];
    fs.rmSync(folder, { recursive: true, force: true });
    expect(code).toBe(0);
  });

  it('prints a sign-in for each role and where the pages of the API are', () => {
    for (const role of ['front desk', 'technician', 'prosthetist', 'auditor', 'administrator']) {
      expect(printed).toMatch(new RegExp(`${role}\\s+\\S+@kestrel-lane\\.example`));
    }
    expect(printed).toContain(`${address}/api/docs`);
    expect(printed).toContain('invented');
  });

  it('runs as it stands in the README', () => {
    const blocks = [...readme.matchAll(/```sh tour\n([\s\S]*?)```/g)].map(
      (block) => block[1] ?? '',
    );
    expect(blocks.length).toBeGreaterThan(5);
    const run = spawnSync('bash', ['-euc', blocks.join('\n')], {
      cwd: folder,
      env: { ...bareEnvironment, BASE: address },
      encoding: 'utf8',
    });
    expect(run.status, run.stderr + run.stdout).toBe(0);
    expect(run.stdout).toMatch(/^KLN-\d\d-\d{5}-[0-9A-Z]$/m);
    expect(run.stdout).toContain('is at casting; it cannot start a check socket now');
    expect(run.stdout).toContain('1. Prepare the model: waiting');
    expect(run.stdout).toMatch(/move: .*received/);
    expect(run.stdout).toMatch(/worn: \d+/);
    expect(run.stdout).not.toContain('undefined');
    expect(fs.readFileSync(path.join(folder, 'traveller.pdf')).subarray(0, 5).toString()).toBe(
      '%PDF-',
    );
  });
});

describe('what the pages name', () => {
  it('every npm script and every file named there exists', () => {
    for (const page of [readme, developers]) {
      for (const [, name] of page.matchAll(/npm run ([\w:-]+)/g)) {
        expect(Object.keys(scripts)).toContain(name);
      }
      for (const [, file] of page.matchAll(
        /[`(]((?:src|scripts|tests|prisma)\/[\w./-]+\.\w+)[`)]/g,
      )) {
        expect(fs.existsSync(file ?? ''), file).toBe(true);
      }
    }
  });

  it('the settings in the README are those that the service reads', () => {
    const config = fs.readFileSync('src/config.ts', 'utf8');
    const read = [...config.matchAll(/^ {2}([A-Z_]+):/gm)].map((line) => line[1] ?? '');
    expect(read.length).toBeGreaterThan(8);
    for (const name of read) expect(readme).toContain(`\`${name}\``);
  });
});
