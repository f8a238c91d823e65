/** The back-test of a record against the domain's own, and what its script says. */
import { execFile } from 'node:child_process';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { backTestClinics, inWords } from '../../scripts/back-test.ts';
import { backTestPromises } from '../../src/domain/promiseBackTest.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { steadyPast, wentThrough } from '../support/history.ts';
import { CLINIC, MONDAY, went } from '../support/timelines.ts';

let clinic: TestClinic;
/** Besides the steady ones: an order under way, one that was cancelled, one that was remade. */
const PAST = [
  ...steadyPast(60),
  went('under way', MONDAY),
  went('cancelled', MONDAY, ['check_fitting', 2], ['cancelled', 3]),
];
const AT = new Date('2026-03-02T09:00:00Z');
const ASKED = { wantedChance: 0.8, seed: 1 };

beforeAll(async () => {
  clinic = await testClinic();
  await wentThrough(clinic, PAST);
  await clinic.another('YG');
});
afterAll(() => clinic.close());

describe('the back-test of a record', () => {
  test('finds of each clinic what the domain finds of its orders', async () => {
    const [ours, young] = await backTestClinics(clinic.store, { at: AT, ...ASKED });
    const directly = backTestPromises({
      calendar: CLINIC,
      timelines: PAST,
      today: MONDAY,
      ...ASKED,
    });
    expect(ours).toEqual({ clinic: 'Clinic KL', ...directly });
    // The first twenty are delivered before anything is promised, and a few are under way then.
    expect(ours!.kept.of).toBeGreaterThan(30);
    expect(ours!.kept.of + ours!.notPromised).toBe(60);
    // Steady orders keep what was drawn from their like: the interval holds the chance promised.
    expect(ours!.kept.from).toBeLessThan(ours!.meanChance!);
    expect(ours!.kept.to).toBeGreaterThan(ours!.meanChance!);
    expect(young).toMatchObject({ clinic: 'Clinic YG', meanChance: null, notPromised: 0 });
    expect(young!.kept).toMatchObject({ of: 0, share: null });
  });

  test('asked for a higher chance, more is kept', async () => {
    const [usual] = await backTestClinics(clinic.store, { at: AT, ...ASKED });
    const [sure] = await backTestClinics(clinic.store, { at: AT, ...ASKED, wantedChance: 1 });
    expect(sure!.kept).toMatchObject({ count: usual!.kept.of, of: usual!.kept.of });
    expect(sure!.meanChance).toBe(1);
    expect(usual!.kept.count).toBeLessThan(usual!.kept.of);
  });

  test('what is overdue at the time of asking is told, and counted as missed', async () => {
    const [now] = await backTestClinics(clinic.store, { at: AT, ...ASKED });
    const later = new Date('2026-06-01T09:00:00Z');
    const [then] = await backTestClinics(clinic.store, { at: later, ...ASKED });
    // The one under way since Monday 2 March.
    expect([now!.overdue, then!.overdue]).toEqual([0, 1]);
    expect(then!.kept).toMatchObject({ count: now!.kept.count, of: now!.kept.of + 1 });
    expect(inWords(then!).join('\n')).toContain('overdue    1, not delivered yet');
  });

  test('is told with its counts and its interval, never a bare per cent', async () => {
    const [ours, young] = await backTestClinics(clinic.store, { at: AT, ...ASKED });
    const { count, of } = ours!.kept;
    const told = inWords(ours!).join('\n');
    expect(told).toContain(`orders promised     ${of}\n`);
    expect(told).toMatch(
      new RegExp(
        `kept +${count} of ${of}, [\\d.]+ % \\(95 % Wilson interval [\\d.]+ % to [\\d.]+ %\\)`,
      ),
    );
    expect(inWords(young!).join('\n')).toContain('nothing to count');
  });

  test('the script makes no record where there is none, and says what it cannot use', async () => {
    const nowhere = path.join(os.tmpdir(), 'castbook-nothing-here');
    const said = async (...args: string[]) => {
      const { DATABASE_URL: _url, ...env } = process.env;
      const failure = await promisify(execFile)(
        process.execPath,
        ['--import', 'tsx', 'scripts/back-test.ts', ...args],
        { env: { ...env, DATA_DIR: nowhere } },
      ).catch((failed: unknown) => failed as { code: number; stderr: string });
      return 'code' in failure ? [failure.code, failure.stderr] : ['no failure'];
    };
    expect(await said()).toEqual([1, expect.stringContaining(`no record in ${nowhere}`)]);
    expect(await said('--wanted', '80')).toEqual([1, expect.stringContaining('above 0 to 1')]);
  });
});
