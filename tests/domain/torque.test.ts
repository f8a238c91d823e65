import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Day } from '../../src/domain/days.ts';
import {
  isStillConfirmed,
  judgeTorqueConfirmation,
  type TorqueConfirmationFacts,
  type TorqueReading,
} from '../../src/domain/torque.ts';
import { fromNewtonMetres } from '../../src/domain/torqueUnits.ts';
import { TORQUE_UNITS } from '../../src/domain/words.ts';

const day = (text: string): Day => text as Day;

/** Four M6 screws of the pyramid, 13.5 to 16.5 N·m with threadlocker, by a ±4 % wrench. */
const distalJoint: TorqueConfirmationFacts = {
  setting: {
    jointKind: 'distal',
    fastenerCount: 4,
    fastenerSize: 'M6',
    propertyClass: '12.9',
    torqueMinNm: 13.5,
    torqueMaxNm: 16.5,
    threadlocker: 'required',
    document: 'Pyramid instructions',
    revision: '3',
  },
  tool: {
    name: 'Bench wrench',
    type: 'setting',
    toolClass: 'A',
    minNm: 5,
    maxNm: 25,
    quarantined: false,
  },
  calibration: {
    calibratedOn: day('2026-03-10'),
    validUntil: null,
    deviationPercent: null,
    deviationAfterPercent: null,
  },
  usesSinceCalibration: 120,
  threadlocker: {
    lot: 'TL-118',
    kind: 'threadlocker',
    expiresOn: day('2027-01-31'),
    quarantined: false,
  },
  on: day('2026-11-25'),
};

/** One pass over all four screws, at the same torque unless said for a screw. */
const passAt = (
  pass: number,
  torqueNm: number,
  but: Readonly<Record<number, number>> = {},
): TorqueReading[] =>
  [1, 3, 2, 4].map((fastener) => ({
    fastener,
    pass,
    value: but[fastener] ?? torqueNm,
    unit: 'N.m',
  }));

const refusals = (facts: TorqueConfirmationFacts, readings: readonly TorqueReading[]): string[] => {
  const verdict = judgeTorqueConfirmation(facts, readings);
  return verdict.ok ? [] : verdict.reasons.map(({ code }) => code);
};
const doubts = (readings: readonly TorqueReading[]): string[] => {
  const verdict = judgeTorqueConfirmation(distalJoint, readings);
  if (!verdict.ok) throw new Error(verdict.reasons.map(({ detail }) => detail).join('\n'));
  expect(verdict.value.confirms).toBe(verdict.value.notConfirmedBecause.length === 0);
  return verdict.value.notConfirmedBecause.map(({ code }) => code);
};

describe('a torque confirmation (R4)', () => {
  it('confirms the joint when every screw ends inside the accepted band', () => {
    const readings = [...passAt(1, 4.5), ...passAt(2, 7.5), ...passAt(3, 15)];
    const verdict = judgeTorqueConfirmation(distalJoint, readings);
    expect(verdict).toMatchObject({
      ok: true,
      value: {
        confirms: true,
        notConfirmedBecause: [],
        toleranceDeviationPercent: 4,
        usesCounted: 12,
      },
    });
    if (!verdict.ok) return;
    expect(verdict.value.acceptedBandNm.fromNm).toBeCloseTo(14.04, 12);
    expect(verdict.value.acceptedBandNm.toNm).toBeCloseTo(15.84, 12);
    expect(verdict.value.readings[0]).toEqual({
      fastener: 1,
      pass: 1,
      value: 4.5,
      unit: 'N.m',
      torqueNm: 4.5,
      inBand: false,
      final: false,
    });
    expect(verdict.value.readings.filter(({ final }) => final)).toHaveLength(4);
    expect(verdict.value.readings.filter(({ inBand }) => inBand).every((r) => r.pass === 3)).toBe(
      true,
    );
  });

  it('is stored in newton-metres from whatever unit the tool shows', () => {
    const readings = [1, 2, 3, 4].map((fastener): TorqueReading => ({
      fastener,
      pass: 1,
      value: 133,
      unit: 'lbf.in',
    }));
    const verdict = judgeTorqueConfirmation(distalJoint, readings);
    expect(verdict.ok && verdict.value.confirms).toBe(true);
    expect(verdict.ok && verdict.value.readings[0]?.torqueNm).toBeCloseTo(15.02698, 5);
    expect(verdict.ok && verdict.value.readings[0]?.value).toBe(133);
  });

  it('takes readings on the very ends of the band, in every unit', () => {
    for (const unit of TORQUE_UNITS) {
      for (const endNm of [13.5 * 1.04, 16.5 * 0.96]) {
        const readings = passAt(1, endNm).map((reading) => ({
          ...reading,
          value: fromNewtonMetres(endNm, unit),
          unit,
        }));
        expect(doubts(readings)).toEqual([]);
      }
    }
  });

  it('is kept but does not confirm when a screw was forgotten', () => {
    expect(doubts(passAt(1, 15).filter(({ fastener }) => fastener !== 2))).toEqual([
      'fastener-without-reading',
    ]);
  });

  it('is kept but does not confirm when a screw ends outside the band, though inside the setting', () => {
    expect(doubts(passAt(1, 15, { 3: 13.6 }))).toEqual(['torque-out-of-band']);
    expect(doubts(passAt(1, 15, { 2: 16.4, 3: 13.6 }))).toEqual([
      'torque-out-of-band',
      'torque-out-of-band',
    ]);
  });

  it('counts the highest pass of each screw, whatever the order of writing', () => {
    const secondTry: TorqueReading = { fastener: 3, pass: 2, value: 15, unit: 'N.m' };
    expect(doubts([secondTry, ...passAt(1, 15, { 3: 12 })])).toEqual([]);
    expect(doubts([...passAt(1, 15), { ...secondTry, value: 12 }])).toEqual(['torque-out-of-band']);
  });

  it('counts the highest pass of each screw, also where another screw went through more', () => {
    const again: TorqueReading = { fastener: 1, pass: 3, value: 15, unit: 'N.m' };
    expect(doubts([...passAt(1, 7.5), ...passAt(2, 15), again])).toEqual([]);
    expect(doubts([...passAt(1, 7.5), ...passAt(2, 15, { 3: 12 }), again])).toEqual([
      'torque-out-of-band',
    ]);
  });

  it('is not saved by a lower reading after a screw was over-torqued', () => {
    const verdict = judgeTorqueConfirmation(distalJoint, [
      ...passAt(1, 7.5, { 4: 19 }),
      ...passAt(2, 15),
    ]);
    expect(verdict).toMatchObject({
      ok: true,
      value: {
        confirms: false,
        notConfirmedBecause: [
          { code: 'fastener-over-torqued', facts: { fastener: 4, pass: 1, readingNm: 19 } },
        ],
      },
    });
    expect(
      verdict.ok && verdict.value.notConfirmedBecause.every(({ wayOut }) => wayOut.length > 0),
    ).toBe(true);
  });

  it('never confirms while any final reading lies outside the accepted band', () => {
    const torqueNm = fc.oneof(
      fc.double({ min: 13, max: 17, noNaN: true }),
      fc.constantFrom(14.039, 14.041, 15.839, 15.841, 7.5),
    );
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            fastener: fc.integer({ min: 1, max: 4 }),
            pass: fc.integer({ min: 1, max: 3 }),
            torqueNm,
            unit: fc.constantFrom(...TORQUE_UNITS),
          }),
          { minLength: 1, maxLength: 16 },
        ),
        (drawn) => {
          const one = new Map(drawn.map((d) => [`${d.fastener}/${d.pass}`, d]));
          const readings = [...one.values()].map((d) => ({
            fastener: d.fastener,
            pass: d.pass,
            value: fromNewtonMetres(d.torqueNm, d.unit),
            unit: d.unit,
          }));
          const verdict = judgeTorqueConfirmation(distalJoint, readings);
          expect(verdict.ok).toBe(true);
          if (!verdict.ok) return;
          // Told apart from the judge by another way: the last of each screw's passes in order.
          const inOrder = [...one.values()].sort((a, b) => a.pass - b.pass);
          const last = new Map(inOrder.map((d) => [d.fastener, d.torqueNm]));
          const allInside =
            last.size === 4 &&
            [...last.values()].every((nm) => nm >= 14.04 - 1e-5 && nm <= 15.84 + 1e-5);
          if (!allInside) expect(verdict.value.confirms).toBe(false);
          if (verdict.value.confirms) {
            expect(inOrder.every((d) => d.torqueNm <= 15.84 + 1e-5)).toBe(true);
          }
        },
      ),
    );
  });

  it('leaves facts and readings as they were', () => {
    const readings = passAt(1, 15).map((reading) => Object.freeze(reading));
    judgeTorqueConfirmation(Object.freeze({ ...distalJoint }), Object.freeze(readings));
    expect(readings).toEqual(passAt(1, 15));
  });
});

describe('a torque confirmation is refused and nothing stored (R4)', () => {
  const readings = passAt(1, 15);

  it('without a reading', () => {
    expect(refusals(distalJoint, [])).toEqual(['torque-readings-missing']);
  });

  it('for a screw that the joint does not have', () => {
    for (const fastener of [0, 5, 1.5]) {
      expect(
        refusals(distalJoint, [...readings, { fastener, pass: 1, value: 15, unit: 'N.m' }]),
      ).toEqual(['torque-fastener-unknown']);
    }
  });

  it('for a pass that cannot be counted', () => {
    for (const pass of [0, 1.5]) {
      expect(
        refusals(distalJoint, [...readings, { fastener: 1, pass, value: 15, unit: 'N.m' }]),
      ).toEqual(['torque-pass-unknown']);
    }
  });

  it('with two readings of one screw in one pass, told by the place of the second', () => {
    const verdict = judgeTorqueConfirmation(distalJoint, [
      ...readings,
      { fastener: 3, pass: 1, value: 14.5, unit: 'N.m' },
    ]);
    expect(verdict).toMatchObject({
      ok: false,
      reasons: [
        {
          code: 'torque-reading-twice',
          field: '/readings/4',
          facts: { fastener: 3, pass: 1 },
        },
      ],
    });
  });

  it('with a reading that cannot be, asking whether the unit was mistaken', () => {
    const verdict = judgeTorqueConfirmation(distalJoint, passAt(1, 15, { 3: 133 }));
    expect(verdict).toMatchObject({
      ok: false,
      reasons: [
        {
          code: 'torque-reading-implausible',
          field: '/readings/1/value',
          facts: { perhapsUnit: 'lbf.in' },
        },
      ],
    });
    expect(!verdict.ok && verdict.reasons[0]?.wayOut).toContain('lbf·in rather than N·m?');
  });

  it('with a torque of nothing, less than nothing, or no number', () => {
    for (const value of [0, -15, Number.NaN, Number.POSITIVE_INFINITY]) {
      const verdict = judgeTorqueConfirmation(distalJoint, passAt(1, 15, { 1: value }));
      expect(verdict).toMatchObject({
        ok: false,
        reasons: [{ code: 'torque-reading-implausible', facts: { perhapsUnit: null } }],
      });
      expect(!verdict.ok && verdict.reasons[0]?.wayOut).toMatch(/^Does the tool show N·m\?/);
    }
  });

  it('by a tool that cannot prove it', () => {
    const { tool } = distalJoint;
    expect(refusals({ ...distalJoint, calibration: null }, readings)).toEqual([
      'tool-calibration-missing',
    ]);
    expect(refusals({ ...distalJoint, on: day('2027-03-10') }, readings)).toContain(
      'tool-calibration-expired',
    );
    expect(refusals({ ...distalJoint, usesSinceCalibration: 4_997 }, readings)).toEqual([
      'tool-uses-exceeded',
    ]);
    expect(refusals({ ...distalJoint, tool: { ...tool, quarantined: true } }, readings)).toEqual([
      'tool-out-of-service',
    ]);
    expect(refusals({ ...distalJoint, tool: { ...tool, maxNm: 16 } }, readings)).toEqual([
      'tool-range-too-small',
    ]);
    expect(
      refusals({ ...distalJoint, tool: { ...tool, type: 'indicating', toolClass: 'G' } }, readings),
    ).toEqual(['tool-class-not-of-type']);
  });

  it('where the tool leaves nothing of the setting', () => {
    const setting = { ...distalJoint.setting, torqueMinNm: 14.8, torqueMaxNm: 15.2 };
    expect(refusals({ ...distalJoint, setting }, readings)).toEqual(['torque-band-empty']);
  });

  it('without the threadlocker that is asked for', () => {
    expect(refusals({ ...distalJoint, threadlocker: null }, readings)).toEqual([
      'threadlocker-missing',
    ]);
    const dry = { ...distalJoint.setting, threadlocker: 'none' } as const;
    expect(refusals({ ...distalJoint, setting: dry, threadlocker: null }, readings)).toEqual([]);
  });

  it('with something else than usable threadlocker', () => {
    const good = {
      lot: 'TL-118',
      kind: 'threadlocker',
      expiresOn: null,
      quarantined: false,
    } as const;
    const named = (threadlocker: TorqueConfirmationFacts['threadlocker']) =>
      refusals({ ...distalJoint, threadlocker }, readings);
    expect(named(good)).toEqual([]);
    expect(named({ ...good, expiresOn: day('2026-11-25') })).toEqual([]);
    expect(named({ ...good, expiresOn: day('2026-11-24') })).toEqual(['threadlocker-expired']);
    expect(named({ ...good, quarantined: true })).toEqual(['threadlocker-quarantined']);
    const wrong = judgeTorqueConfirmation(
      { ...distalJoint, threadlocker: { ...good, kind: 'parting_agent' } },
      readings,
    );
    expect(wrong).toMatchObject({ ok: false, reasons: [{ code: 'threadlocker-wrong-kind' }] });
    expect(!wrong.ok && wrong.reasons[0]?.detail).toBe('Lot TL-118 is parting agent.');
  });

  it('with every reason at once', () => {
    expect(
      refusals(
        {
          ...distalJoint,
          tool: { ...distalJoint.tool, quarantined: true, maxNm: 10 },
          threadlocker: null,
        },
        [{ fastener: 9, pass: 1, value: 0, unit: 'N.m' }],
      ),
    ).toEqual([
      'tool-out-of-service',
      'tool-range-too-small',
      'threadlocker-missing',
      'torque-fastener-unknown',
      'torque-reading-implausible',
    ]);
  });
});

describe('a confirmed joint (R4)', () => {
  const confirmation = { confirms: true, coversMoveIds: ['lock-in', 'pyramid-in', 'screws-in'] };

  it('stays confirmed while nothing in it moves, in whatever order it is listed', () => {
    expect(isStillConfirmed(confirmation, ['screws-in', 'lock-in', 'pyramid-in'])).toBe(true);
  });

  it('is open again by any later move in, out or between', () => {
    expect(isStillConfirmed(confirmation, ['lock-in', 'pyramid-in'])).toBe(false);
    expect(isStillConfirmed(confirmation, ['lock-back', 'pyramid-in', 'screws-in'])).toBe(false);
    expect(isStillConfirmed(confirmation, [...confirmation.coversMoveIds, 'plate-in'])).toBe(false);
  });

  it('was never confirmed by readings that do not confirm, nor is an empty joint', () => {
    expect(isStillConfirmed({ ...confirmation, confirms: false }, confirmation.coversMoveIds)).toBe(
      false,
    );
    expect(isStillConfirmed({ confirms: true, coversMoveIds: [] }, [])).toBe(false);
  });
});
