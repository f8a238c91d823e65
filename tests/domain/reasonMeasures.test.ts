/** Refusals in the units that a person reads: the facts stay, the words are in the unit, and it is named. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { figure } from '../../src/domain/reasons/figures.ts';
import { REASONS, reason } from '../../src/domain/reasons/index.ts';
import { inRange, inUnits, measuresIn, SI, usualIn } from '../../src/domain/reasons/measures.ts';
import { METRIC } from '../../src/domain/units.ts';

const AMERICAN = measuresIn({ length: 'in', mass: 'lb', torque: 'lbf.in' }, figure);
const CENTIMETRES = measuresIn({ ...METRIC, length: 'cm' }, figure);

describe('a refusal in other units', () => {
  test('says a body mass and a rating in pounds', () => {
    const facts = { partName: 'Lock L', ratedBodyMassKg: 125, bodyMassKg: 130 };
    expect(reason('mass-over-rating', facts).detail).toBe(
      'Lock L is rated for 125 kg; the patient weighs 130 kg.',
    );
    expect(REASONS['mass-over-rating'].words(facts, AMERICAN)).toBe(
      'Lock L is rated for 275.6 lb; the patient weighs 286.6 lb.',
    );
  });

  test('says a torque and its band in lbf·in', () => {
    const facts = { fastener: 1, readingNm: 20, acceptedFromNm: 13.5, acceptedToNm: 16.5 };
    expect(REASONS['torque-out-of-band'].words(facts, AMERICAN)).toBe(
      'Fastener 1 reads 177 lbf·in; accepted is 119.5 to 146 lbf·in.',
    );
  });

  test('says measures of a limb in inches, also in the sentence that says why', () => {
    const facts = {
      heightMm: 40,
      circumferenceMm: 254,
      why: '57 % off its neighbour only 40 mm below',
    };
    expect(REASONS['measures-implausible'].words(facts, AMERICAN)).toBe(
      '10 in at height 1.57 in: 57 % off its neighbour only 1.57 in below.',
    );
    expect(REASONS['measures-implausible'].wayOut(facts, CENTIMETRES)).toContain('both are in cm');
    expect(
      REASONS['limb-length-implausible'].words(
        { level: 'trans_tibial', limbLengthMm: 16.5, shortest: 60, longest: 300 },
        CENTIMETRES,
      ),
    ).toBe('1.65 cm; a trans-tibial limb has 6 to 30 cm.');
  });

  test('says walls, widths and offsets in millimetres where a limb is in centimetres', () => {
    const wall = { what: 'Expected wall thickness', value: 9, least: 0.5, greatest: 8 };
    const range = { ...wall, unit: 'mm', usual: '1 to 6 mm' };
    const { words } = REASONS['value-out-of-range'];
    expect(words(range, CENTIMETRES)).toBe(
      'Expected wall thickness is 9 mm; taken are 0.5 to 8 mm. Usual: 1 to 6 mm.',
    );
    expect(words(range, AMERICAN)).toBe(
      'Expected wall thickness is 0.354 in; taken are 0.02 to 0.315 in. Usual: 0.039 to 0.236 in.',
    );
    const cap = { ...range, what: 'Depth of the distal cap' };
    expect(words(cap, CENTIMETRES)).toContain('is 0.9 cm; taken are 0.05 to 0.8 cm');
    expect(words({ ...range, value: NaN }, AMERICAN)).toContain('is not a number;');
  });

  test('names the record’s unit where what is usual has figures without one', () => {
    expect(usualIn('25 to 75 for strip', 'mm', AMERICAN)).toBe('25 to 75 for strip (mm)');
    expect(usualIn('25 to 75 for strip', 'mm', SI)).toBe('25 to 75 for strip');
    expect(usualIn('40,5 bis 50 mm', 'mm', AMERICAN, ',')).toBe('1.59 bis 1.97 in');
  });

  test('leaves what has no such unit as it is, and a name that holds a size whole', () => {
    expect(inRange({ what: 'Pot life', unit: 'min' }, AMERICAN).unit).toBe('min');
    expect(inRange({ what: 'Torque', unit: 'N·m' }, AMERICAN).of(1)).toBe('8.9');
    expect(inUnits('it is 20 mmol and 5 g', AMERICAN)).toBe('it is 20 mmol and 5 g');
    const narrow = {
      fabric: 'Carbon braid 100 mm',
      widthMm: 100,
      reachesMm: 300,
      greatestCircumferenceMm: 320,
    };
    expect(REASONS['fabric-too-narrow'].words(narrow, AMERICAN)).toMatch(/^Carbon braid 100 mm, /);
  });

  test('keeps a sign, and says a range with its unit once', () => {
    expect(inUnits('height to the floor differs by +8 mm', AMERICAN)).toBe(
      'height to the floor differs by +0.31 in',
    );
    expect(inUnits('differs by -8 mm', AMERICAN)).toBe('differs by -0.31 in');
    expect(inUnits('between 100 and 700 mm', AMERICAN)).toBe('between 3.94 and 27.56 in');
  });

  test('changes nothing where the units are the record’s', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -99_999, max: 99_999 }).map((n) => n / 100),
        fc.constantFrom('mm', 'kg', 'N·m'),
        (value, unit) => {
          const sentence = `it is ${String(value)} ${unit} off`;
          expect(inUnits(sentence, SI)).toBe(sentence);
        },
      ),
    );
  });
});
