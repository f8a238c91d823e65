/**
 * How heavy the bench is for a phone that opens it for the first time, and how soon it can
 * be used, by real Chromium: builds the client, starts the service with the demo clinic on a
 * database of its own, opens /bench with an empty cache on a throttled phone, and prints the
 * bytes on the wire and the times. Fails past the limits.
 *
 *   npx tsx scripts/bench/page-weight.ts [--times 3] [--built]
 *
 * --built takes the client as it was built before. The best of so many times counts: a busy
 * machine makes it slower, nothing makes it faster.
 */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';
import { DEMO_PASSWORD, emailOf } from '../demo/names.ts';
import { POOR_PHONE, signedIn, timePage, type Timed } from './weighPage.ts';

const MOST_WIRE_BYTES = 200_000;
const MOST_MS = 2000;
const EXECUTABLE = '/usr/bin/chromium';

const { values } = parseArgs({
  options: { times: { type: 'string', default: '3' }, built: { type: 'boolean', default: false } },
});

/** Resolves with the address as soon as the service prints it. */
function listening(service: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    service.stdout?.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      const address = /Castbook listens on (http:\S+)/.exec(said)?.[1];
      if (address !== undefined) resolve(address);
    });
    service.once('exit', () => reject(new Error(`the service ended:\n${said}`)));
  });
}

async function measure(address: string): Promise<Timed> {
  const browser = await chromium.launch({
    executablePath: EXECUTABLE,
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
  try {
    const context = await browser.newContext({ viewport: { width: 360, height: 740 } });
    await signedIn(context, address, emailOf('technician'), DEMO_PASSWORD);
    const page = await context.newPage();
    return await timePage(page, `${address}/bench`, 'Order number on the traveller', POOR_PHONE);
  } finally {
    await browser.close();
  }
}

const say = (line: string): void => void process.stdout.write(`${line}\n`);
const ms = (value: number): string => `${value.toFixed(0).padStart(6)} ms`;

async function main(): Promise<void> {
  if (!values.built) {
    const { status } = spawnSync('npm', ['run', '--silent', 'build'], { stdio: 'inherit' });
    if (status !== 0) throw new Error('the client could not be built');
  }
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-weight-'));
  const { DATABASE_URL: _, ...env } = process.env;
  const service = spawn(process.execPath, ['--import', 'tsx', 'scripts/start.ts', '--demo'], {
    env: { ...env, PORT: '0', DATA_DIR: folder, LOG_LEVEL: 'silent' },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  try {
    const address = await listening(service);
    const runs: Timed[] = [];
    for (let time = 0; time < Number(values.times); time += 1) runs.push(await measure(address));
    const [best] = runs.toSorted((a, b) => a.usableMs - b.usableMs);
    if (best === undefined) throw new Error('--times is a whole number from 1');
    say(`/bench, first time, ${POOR_PHONE.name}; best of ${String(runs.length)}`);
    for (const { path: file, wireBytes } of best.requests) {
      say(`  ${String(wireBytes).padStart(8)} bytes  ${file}`);
    }
    say(`  ${String(best.wireBytes).padStart(8)} bytes on the wire, of ${MOST_WIRE_BYTES} at most`);
    say(`  largest paint   ${ms(best.largestPaintMs)}`);
    say(`  field there     ${ms(best.fieldThereMs)}`);
    say(`  thread free     ${ms(best.threadFreeMs)}`);
    say(`  answers after   ${ms(best.answerMs)}`);
    say(`  usable          ${ms(best.usableMs)}, of ${MOST_MS} at most`);
    if (best.wireBytes > MOST_WIRE_BYTES || best.usableMs > MOST_MS) process.exitCode = 1;
  } finally {
    service.kill('SIGTERM');
    await new Promise((resolve) => service.once('exit', resolve));
    fs.rmSync(folder, { recursive: true, force: true });
  }
}

await main();
