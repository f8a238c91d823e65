/** What a refusal says depends on what is known: what is not known is not made up, and the wrong way round is not said. */
import { describe, expect, test } from 'vitest';
import { reason, REASONS, type FactsOf, type ReasonCode } from '../../src/domain/reasons/index.ts';
import { SI, type Measures } from '../../src/domain/reasons/measures.ts';
import { saidIn, tellsInstants } from '../../src/domain/saidIn.ts';

const detail = <C extends ReasonCode>(code: C, facts: FactsOf<C>) => reason(code, facts).detail;
const wayOut = <C extends ReasonCode>(code: C, facts: FactsOf<C>) => reason(code, facts).wayOut;

describe('the words of a refusal', () => {
  test('tell days and instants as people do: instants in UTC, until it is said in which zone', () => {
    const lock = { item: 'Lock L', expected: 'bin A3', place: 'the shelf', movedBy: 'Toni Bench' };
    const made = reason('item-is-elsewhere', { ...lock, movedAt: '2026-03-02T08:10:00Z' });
    expect(made.detail).toContain('(Toni Bench, 2 Mar 2026, 08:10 UTC)');
    expect(tellsInstants(made)).toBe(true);
    const said = saidIn('Europe/Vienna', made);
    expect(said.detail).toContain('(Toni Bench, 2 Mar 2026, 09:10)');
    expect(said.facts).toEqual(made.facts);
    const expired = reason('batch-expired', { lot: 'B-7', expiredOn: '2026-02-28' });
    expect(expired.detail).toBe('Batch B-7 expired on 28 Feb 2026.');
    expect(tellsInstants(expired)).toBe(false);
  });

  test('never name an address of the API to who is signed in', () => {
    // Who is not signed in, or no longer as the token says, is told where to.
    const wayIn = ['not-signed-in', 'token-expired', 'access-changed'];
    for (const [code, line] of Object.entries(REASONS)) {
      const facts = new Proxy({}, { get: () => '2026-03-02' });
      const tell = (say: (facts: never, measures: Measures) => string) => {
        try {
          return say(facts as never, SI);
        } catch {
          return ''; // it wants a figure or a list: no sentence of days alone
        }
      };
      const said = `${tell(line.words)} ${tell(line.wayOut)}`;
      if (!wayIn.includes(code)) expect(said, code).not.toContain('/api/v1/');
    }
  });

  test('count one working day in the singular', () => {
    const late = (workingDaysLate: number) =>
      detail('date-is-past', { promisedOn: '2026-11-24', workingDaysLate });
    expect(late(1)).toBe('It was promised for 24 Nov 2026, 1 working day ago.');
    expect(late(2)).toContain('2 working days ago.');
  });

  test('tell where an item is and who moved it there, as far as the book knows', () => {
    const lock = { item: 'Lock L', expected: 'bin A3', place: 'the shelf' };
    expect(
      detail('item-is-elsewhere', { ...lock, movedBy: 'Toni Bench', movedAt: '2 March, 09:10' }),
    ).toBe('Lock L is not at bin A3: it is at the shelf (Toni Bench, 2 March, 09:10).');
    expect(
      detail('item-is-elsewhere', { ...lock, expected: null, movedBy: null, movedAt: null }),
    ).toBe('Lock L is not at nowhere: it is at the shelf (somebody, unknown time).');
    expect(
      detail('item-is-elsewhere', { ...lock, place: null, movedBy: null, movedAt: null }),
    ).toBe('Lock L was never received.');
  });

  test('tell limits that are there, and of those that are not that they are not', () => {
    const check = 'What is the vacuum?';
    expect(detail('route-limits-wrong', { check, min: 90, max: 50 })).toContain('from 90 to 50.');
    expect(detail('route-limits-wrong', { check, min: null, max: null })).toContain(
      'from nothing to nothing.',
    );
  });

  test('tell a tool in service from one that is not', () => {
    const tool = 'Wrench 2';
    expect(detail('tool-service-unchanged', { tool, outOfService: true })).toBe(
      'Wrench 2 is out of service already.',
    );
    expect(detail('tool-service-unchanged', { tool, outOfService: false })).toBe(
      'Wrench 2 is in service already.',
    );
  });

  test('tell a question without a key from one with two', () => {
    const keys = ['lot', 'serial'];
    expect(detail('trace-needs-one-key', { keys, given: [] })).toBe(
      'Nothing was asked for; the keys are lot, serial.',
    );
    expect(detail('trace-needs-one-key', { keys, given: keys })).toBe(
      'Asked by lot and serial at once.',
    );
  });

  test('tell an order number that is none from one typed wrong', () => {
    expect(detail('order-number-mistyped', { typed: 'KL-26', problem: 'shape' })).toMatch(
      /does not look like an order number/,
    );
    expect(
      detail('order-number-mistyped', { typed: 'KL-26-00001-Y', problem: 'check_character' }),
    ).not.toMatch(/does not look like/);
  });

  test('tell a limb that has lost from one that has gained, in figures without a sign', () => {
    const slice = { fromMm: 0, toMm: 50, limitPercent: 3 };
    expect(
      detail('limb-volume-changed', { ...slice, differenceMl: -31, percent: -4.2, ply: -3 }),
    ).toMatch(/lost 31 mL \(4\.2 %\), about 3 ply of sock less/);
    expect(
      detail('limb-volume-changed', { ...slice, differenceMl: 31, percent: 4.2, ply: 3 }),
    ).toMatch(/gained 31 mL \(4\.2 %\), about 3 ply of sock more/);
  });

  test('tell a stage as people say it, and a figure without a unit without a blank', () => {
    expect(
      detail('stage-takes-long', { stage: 'check_fitting', workingDays: 9, daysUsual: 8 }),
    ).toBe('It has been in check fitting for 9 working days; 8 are usual.');
    const chance = { what: 'The chance', least: 0.5, greatest: 0.99, unit: '', usual: '0.8' };
    expect(detail('value-out-of-range', { ...chance, value: 80 })).toBe(
      'The chance is 80; taken are 0.5 to 0.99. Usual: 0.8.',
    );
    expect(detail('value-out-of-range', { ...chance, value: Number.NaN })).toMatch(
      /^The chance is not a number;/,
    );
  });

  test('tell a service without any key from one that lacks this one', () => {
    expect(detail('column-key-missing', { keyId: '' })).toContain('without the keys');
    expect(detail('column-key-missing', { keyId: '2026a' })).toContain('“2026a”');
  });

  test('tell an erasure that was withdrawn from one that was carried out', () => {
    expect(detail('erasure-settled', { state: 'withdrawn' })).toBe('It was withdrawn already.');
    expect(detail('erasure-settled', { state: 'carried_out' })).toBe('It was carried out already.');
  });

  test('tell too little hardener from too much', () => {
    const cup = { resinG: 500, hardenerG: 9, tolerancePercent: 5, addTo: 'hardener', addG: 1 };
    expect(detail('resin-off-ratio', { ...cup, offPercent: -10 })).toMatch(/10 % too little/);
    expect(detail('resin-off-ratio', { ...cup, offPercent: 10 })).toMatch(/10 % too much/);
  });

  test('tell the pull at which a pin came out only where it was measured', () => {
    expect(detail('lock-check-not-held', { cycle: 2, pullN: null })).toBe(
      'Cycle 2: the pin came out under pull.',
    );
    expect(detail('lock-check-not-held', { cycle: 2, pullN: 150 })).toContain('150 N');
  });

  test('ask for the unit that would make the reading right, where there is one', () => {
    const reading = { fastener: 1, pass: 1, value: 133, torqueNm: 133, torqueMaxNm: 16.5 };
    expect(
      wayOut('torque-reading-implausible', { ...reading, unit: 'N.m', perhapsUnit: 'lbf.in' }),
    ).toMatch(/^Does the tool show lbf·in rather than N·m\?/);
    expect(
      wayOut('torque-reading-implausible', { ...reading, unit: 'N.m', perhapsUnit: null }),
    ).toMatch(/^Does the tool show N·m\?/);
  });

  test('tell columns that are too many from columns that are missing, and which line was first', () => {
    const columns = ['kind', 'name'];
    expect(detail('import-columns-wrong', { unknown: ['colour'], missing: [], columns })).toBe(
      'No column is called colour. The first line names the columns, each once.',
    );
    expect(detail('import-columns-wrong', { unknown: [], missing: ['name'], columns })).toBe(
      'There is no column name. The first line names the columns, each once.',
    );
    expect(
      detail('import-line-twice', { field: 'catalogueNumber', value: 'S-1', firstLine: 2 }),
    ).toBe('Line 2 has catalogueNumber S-1 already.');
  });
});
