import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  mustHaveSecondFactor,
  reachOf,
  readCode,
  readRecoveryCode,
  recoveryCode,
  rolesWithin,
  SECOND_FACTOR_FOR,
  stepAt,
  stepsThatCount,
} from '../../src/domain/secondFactor.ts';
import { ROLES } from '../../src/domain/words.ts';

const instants = fc.date({
  min: new Date('1970-01-02T00:00:00Z'),
  max: new Date('2100-01-01T00:00:00Z'),
  noInvalidDate: true,
});
const roles = fc.uniqueArray(fc.constantFrom(...ROLES));

describe('The steps whose codes count', () => {
  test('a code counts in its own half minute, the one before and the one after', () => {
    const at = new Date('2026-03-02T09:00:15Z');
    const now = stepAt(at);
    expect(stepsThatCount(at, null)).toEqual([now, now - 1, now + 1]);
    expect(stepAt(new Date('2026-03-02T09:00:29.999Z'))).toBe(now);
    expect(stepAt(new Date('2026-03-02T09:00:30Z'))).toBe(now + 1);
  });

  test('a step that was used does not count again, nor any before it', () => {
    const at = new Date('2026-03-02T09:00:15Z');
    const now = stepAt(at);
    expect(stepsThatCount(at, now - 1)).toEqual([now, now + 1]);
    expect(stepsThatCount(at, now)).toEqual([now + 1]);
    expect(stepsThatCount(at, now + 1)).toEqual([]);
  });

  test('in the first half minute of 1970 there is none before', () => {
    expect(stepsThatCount(new Date(0), null)).toEqual([0, 1]);
  });

  test('whatever comes in whatever order, no step is ever taken twice', () => {
    fc.assert(
      fc.property(fc.array(instants, { maxLength: 30 }), (tries) => {
        const taken: number[] = [];
        for (const at of tries) {
          const [step] = stepsThatCount(at, taken.at(-1) ?? null);
          if (step === undefined) continue;
          expect(Math.abs(step - stepAt(at))).toBeLessThanOrEqual(1);
          taken.push(step);
        }
        expect(taken).toEqual([...new Set(taken)].sort((a, b) => a - b));
      }),
    );
  });
});

describe('Recovery codes', () => {
  const bytes = fc.uint8Array({ minLength: 25, maxLength: 25 });

  test('what was given is read again as it was given, however it is typed', () => {
    fc.assert(
      fc.property(bytes, (random) => {
        const code = recoveryCode(random);
        expect(code).toMatch(/^[0-9A-Z]{5}(-[0-9A-Z]{5}){4}$/);
        expect(readRecoveryCode(code)).toBe(code);
        expect(readRecoveryCode(` ${code.toLowerCase().replaceAll('-', ' ')} `)).toBe(code);
        expect(readRecoveryCode(code.replaceAll('0', 'o').replaceAll('1', 'l'))).toBe(code);
      }),
    );
  });

  test('less than a code is none, and less chance makes none', () => {
    expect(readRecoveryCode('ABCDE-FGHJK')).toBeUndefined();
    expect(readRecoveryCode('UUUUU-UUUUU-UUUUU-UUUUU-UUUUU')).toBeUndefined();
    expect(() => recoveryCode(new Uint8Array(10))).toThrow(RangeError);
  });

  test('six figures are a code of an app, with gaps or without', () => {
    expect(readCode('123 456')).toBe('123456');
    expect(readCode('12345')).toBeUndefined();
    expect(readCode('12345a')).toBeUndefined();
  });
});

describe('Who must have a second factor, and what a sign-in reaches without', () => {
  test('administrators and signers are those who keep the clinic, and prosthetists', () => {
    const must = ROLES.filter((role) => mustHaveSecondFactor('administrators_and_signers', [role]));
    expect(must).toEqual(['prosthetist', 'administrator']);
    expect(mustHaveSecondFactor('nobody', ROLES)).toBe(false);
    expect(mustHaveSecondFactor('everybody', [])).toBe(true);
  });

  test('who must and has none can only add it; by PIN it is the bench and no more', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...SECOND_FACTOR_FOR),
        roles,
        fc.boolean(),
        fc.boolean(),
        (asked, held, byPin, withSecondFactor) => {
          const reach = reachOf({ byPin, withSecondFactor }, asked, held);
          const lacks = mustHaveSecondFactor(asked, held) && !withSecondFactor;
          expect(reach).toBe(lacks ? 'enrolment' : byPin ? 'bench' : 'whole');
          const within = rolesWithin(reach, held);
          const atBench = held.filter((role) => role === 'technician' || role === 'prosthetist');
          expect(within).toEqual(reach === 'bench' ? atBench : held);
        },
      ),
    );
  });
});
