/**
 * What the service refuses, made anew in the browser: its instants at the clinic, its days as
 * the language writes them. The clock of Zurich is two hours ahead of UTC in summer, one in
 * winter (IANA time zone database).
 */
import fc from 'fast-check';
import { afterEach, describe, expect, test } from 'vitest';
import { isInstant, whenInWords } from '../../src/domain/dayWords.ts';
import { reason, REASONS, type ReasonCode } from '../../src/domain/reasons/index.ts';
import type { Facts } from '../../src/domain/reasons/reason.ts';
import { METRIC } from '../../src/domain/units.ts';
import { saidIn } from '../../src/domain/saidIn.ts';
import { allSaid, readySaid, said } from '../../src/web/words/said.ts';
import { units } from '../../src/web/words/units.ts';
import { turnTo } from '../../src/web/words/words.ts';
import { clinicZone } from '../../src/web/words/zone.ts';
import { FACTS_BY_CODE } from '../support/factsOfReasons.ts';

const POUNDS = { length: 'in', mass: 'lb', torque: 'lbf.in' } as const;
const WINTER = '2026-11-25T13:05:00Z';
const SUMMER = '2026-07-31T22:30:00.000Z';

afterEach(async () => {
  units.value = METRIC;
  clinicZone.value = null;
  await turnTo('en');
});

/** As it comes over the wire: the facts as they are, the sentences as the service says them. */
const refused = (measuredAt: string) =>
  saidIn('Europe/Zurich', reason('alignment-superseded', { socket: 'S1', measuredAt }));

async function shownIn(language: 'en' | 'de', zone: string | null): Promise<void> {
  await turnTo(language);
  if (language === 'en') units.value = POUNDS;
  await readySaid();
  clinicZone.value = zone;
}

describe('an instant in a refusal', () => {
  test.each([
    [WINTER, '25.11.2026, 14:05'],
    // Past midnight at the clinic, it is the next day there.
    [SUMMER, '01.08.2026, 00:30'],
  ])('%s is %s in German', async (instant, german) => {
    await shownIn('de', 'Europe/Zurich');
    expect(said(refused(instant)).detail).toBe(
      `Der genannte Aufbau ist nicht der neueste von S1: dieser wurde am ${german} gemessen.`,
    );
  });

  test.each([WINTER, SUMMER])('%s is in other units as the service says it', async (instant) => {
    await shownIn('en', 'Europe/Zurich');
    expect(said(refused(instant)).detail).toBe(refused(instant).detail);
  });

  test('is in UTC, and says so, until the zone is known', async () => {
    await shownIn('de', null);
    expect(said(refused(WINTER)).detail).toContain('25.11.2026, 13:05 UTC');
    await shownIn('en', null);
    expect(said(refused(WINTER)).detail).toContain('25 Nov 2026, 13:05 UTC');
  });

  test('stays an instant among the facts', async () => {
    await shownIn('de', 'Europe/Zurich');
    expect(said(refused(WINTER)).facts).toEqual({ socket: 'S1', measuredAt: WINTER });
  });

  test('is said wherever in an answer the refusal stands', async () => {
    await shownIn('de', 'Europe/Zurich');
    const { against } = allSaid({ against: [refused(WINTER)] });
    expect(against.map(({ detail }) => detail)).toEqual([said(refused(WINTER)).detail]);
  });
});

describe('a day in a refusal', () => {
  const late = reason('date-is-past', { promisedOn: '2026-11-25', workingDaysLate: 3 });
  const expired = reason('batch-expired', { lot: '2026-01-05', expiredOn: '2026-03-02' });

  test('is written as the language does', async () => {
    await shownIn('de', 'Europe/Zurich');
    expect(said(late).detail).toBe('Zugesagt war der 25.11.2026, vor 3 Arbeitstagen.');
    await shownIn('en', 'Europe/Zurich');
    expect(said(late).detail).toBe(late.detail);
    expect(said(late).detail).toContain('25 Nov 2026');
  });

  test('is not made of a lot that looks like one', async () => {
    await shownIn('de', 'Europe/Zurich');
    expect(said(expired).detail).toBe('Charge 2026-01-05 ist am 02.03.2026 abgelaufen.');
  });

  test.each([
    ['25 Nov 2026', '25.11.2026'],
    ['25 Nov 2026, 14:05', '25.11.2026, 14:05'],
    ['Wed 25 Nov 2026 14:05', '25.11.2026, 14:05'],
  ])(
    'that the service has worded, %s, is %s in German and stays in English',
    async (at, german) => {
      const moved = reason('recorded-since', { what: 'Cup 2', by: 'A', at });
      await shownIn('de', 'Europe/Zurich');
      expect(said(moved).detail).toContain(`(${german})`);
      expect(whenInWords(at)).toBe(at);
      await shownIn('en', 'Europe/Zurich');
      expect(said(moved).detail).toBe(moved.detail);
    },
  );
});

describe('no sentence shows a raw day or instant where the service shows none', () => {
  const codes = Object.keys(REASONS) as ReasonCode[];
  const RAW = /\d{4}-\d\d-\d\d/g;
  const rawIn = (sentence: string): number => (sentence.match(RAW) ?? []).length;
  const withAll = (made: Facts, text: string): Facts =>
    Object.fromEntries(
      Object.entries(made).map(([name, fact]) => [name, typeof fact === 'string' ? text : fact]),
    );

  test.each(codes)('%s', async (code) => {
    const facts = FACTS_BY_CODE.get(code);
    if (facts === undefined) throw new Error(code);
    await shownIn('de', 'Europe/Zurich');
    fc.assert(
      fc.property(facts, fc.constantFrom('2026-11-25', WINTER), (made, text) => {
        const sent = saidIn('Europe/Zurich', reason(code, withAll(made, text) as never));
        const german = said(sent).detail;
        expect(
          isInstant(text) ? rawIn(german) : Math.max(rawIn(german) - rawIn(sent.detail), 0),
        ).toBe(0);
      }),
      { numRuns: 10 },
    );
  });
});
