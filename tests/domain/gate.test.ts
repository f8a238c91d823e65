import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LOCK_POSITIONS } from '../../src/domain/assembly.ts';
import {
  judgeDelivery,
  judgeWearable,
  judgeWithoutSocket,
  type DeliveryFacts,
} from '../../src/domain/gate.ts';
import { STARTING_VOLUME_SETTINGS, type LimbSinceCast } from '../../src/domain/limbVolume.ts';
import { OPERATION_STATES, SOCKET_STATES, STAGES, type Position } from '../../src/domain/words.ts';
import {
  codes,
  day,
  evidenceOn,
  goodBatch,
  limbReadyForDelivery,
  movedSince,
  NEUTRAL,
  orderAt,
  PIN_LOCK_POSITIONS,
  WEARER,
  withHardware,
} from '../support/limbs.ts';

const missing = (over: Partial<DeliveryFacts> = {}): string[] =>
  codes(judgeDelivery({ ...limbReadyForDelivery(), ...over }));

const atCast = [0, 40, 80, 120].map((heightMm, at) => ({
  heightMm,
  circumferenceMm: [232, 268, 297, 321][at] ?? 0,
}));
/** Measured a week after the cast, `girth` times as thick, by a clinic that asks past 5 %. */
const measuredSince = (girth: number, over: Partial<LimbSinceCast> = {}): LimbSinceCast => ({
  castNumber: 1,
  castMeasures: atCast,
  newestTakenOn: day('2026-03-09'),
  newestMeasures: atCast.map((each) => ({
    ...each,
    circumferenceMm: each.circumferenceMm * girth,
  })),
  settings: STARTING_VOLUME_SETTINGS,
  decision: null,
  newCastDecidedAfter: null,
  laterCast: null,
  ...over,
});

describe('the delivery gate (R8)', () => {
  it('is open where everything is done, torqued, checked, measured and accepted', () => {
    expect(missing()).toEqual([]);
    expect(missing({ socketState: 'accepted' })).toEqual([]);
    expect(judgeWearable(limbReadyForDelivery())).toEqual([]);
  });

  it('answers for an untouched socket with the whole list, each with its way', () => {
    const reasons = judgeDelivery({
      ...limbReadyForDelivery(),
      held: [],
      joints: [],
      lockCheck: null,
      measuredAlignment: null,
      order: orderAt('lamination'),
      operations: [{ title: 'Laminate', state: 'waiting' }],
      batches: [],
      fitAccepted: false,
      shopToolsIn: ['Dummy 1'],
      openFindings: ['void: at the brim'],
    });
    expect(codes(reasons)).toEqual([
      'stage-does-not-allow',
      'fit-not-accepted',
      'operation-not-done',
      'hardware-missing',
      'hardware-missing',
      'hardware-missing',
      'hardware-missing',
      'shop-tool-stays-here',
      'lock-check-not-valid',
      'finding-open',
      'alignment-missing',
    ]);
    for (const { wayOut, detail } of reasons) {
      expect(wayOut).not.toBe('');
      expect(detail).not.toBe('');
    }
  });

  it('says that no definitive socket is begun, and all else that the order itself is missing', () => {
    const asked = (stage: Parameters<typeof orderAt>[0], fitAccepted: boolean) =>
      codes(judgeWithoutSocket({ order: orderAt(stage), fitAccepted }));
    expect(asked('casting', false)).toEqual([
      'no-definitive-socket',
      'stage-does-not-allow',
      'fit-not-accepted',
    ]);
    expect(asked('lamination', true)).toEqual(['no-definitive-socket', 'stage-does-not-allow']);
    expect(asked('delivery', true)).toEqual(['no-definitive-socket']);
  });

  it('opens for the definitive socket in work only, at the stage of delivery, not on hold', () => {
    expect(missing({ socketKind: 'check' })).toEqual(['not-the-socket-to-deliver']);
    for (const socketState of SOCKET_STATES) {
      const deliverable = socketState === 'in_work' || socketState === 'accepted';
      expect(missing({ socketState })).toEqual(deliverable ? [] : ['not-the-socket-to-deliver']);
    }
    for (const stage of STAGES.filter((each) => each !== 'delivery')) {
      expect(missing({ order: orderAt(stage) })).toEqual(['stage-does-not-allow']);
    }
    expect(missing({ order: orderAt('delivery', 'parts_awaited') })).toEqual(['order-on-hold']);
  });

  it('asks for every operation to be done, or left out by a prosthetist', () => {
    for (const state of OPERATION_STATES) {
      expect(missing({ operations: [{ title: 'Cure', state }] })).toEqual(
        state === 'done' || state === 'left_out' ? [] : ['operation-not-done'],
      );
    }
  });

  it('closes again when the lock came out for trimming and went back: joints and lock check are open', () => {
    const limb = limbReadyForDelivery();
    const trimmed = withHardware(limb, movedSince(limb.held, 'lock'));
    expect(judgeDelivery(trimmed).map(({ code, facts }) => [code, facts['joint']])).toEqual([
      ['joint-open', 'distal'],
      ['joint-open', 'lock_plate'],
      ['joint-open', 'release_valve'],
      ['lock-check-not-valid', undefined],
    ]);
  });

  it('closes when the pyramid moved: its joint and the alignment are open', () => {
    const limb = limbReadyForDelivery();
    expect(codes(judgeDelivery(withHardware(limb, movedSince(limb.held, 'pyramid'))))).toEqual([
      'joint-open',
      'alignment-missing',
    ]);
  });

  it('asks for an alignment within tolerance, or one whose difference is signed', () => {
    const limb = limbReadyForDelivery();
    const turned = {
      measuredAlignment: { ...NEUTRAL, toeOutDeg: 9, coversMoveIds: limb.alignmentMoveIds },
    };
    expect(missing(turned)).toEqual(['alignment-out-of-tolerance']);
    expect(missing({ ...turned, alignmentDifferenceSigned: true })).toEqual([]);
  });

  it('judges hardware that fits each other but for one pair: the pair is named once', () => {
    const limb = limbReadyForDelivery();
    const held = limb.held.map((item) =>
      item.position === 'pin' ? { ...item, part: { ...item.part, pinFit: 'notch 6' } } : item,
    );
    expect(codes(judgeDelivery({ ...limb, held }))).toEqual(['pin-does-not-fit-lock']);
  });

  it('a patient who was never weighed is named once, not once for each part', () => {
    expect(missing({ wearer: { ...WEARER, bodyMassKg: null } })).toEqual(['body-mass-missing']);
  });

  it('a heavier patient closes it for each part that is rated for less', () => {
    const heavy = missing({ wearer: { ...WEARER, bodyMassKg: 130 } });
    expect(heavy).toEqual(['lock', 'lock_plate', 'pin', 'pyramid'].map(() => 'mass-over-rating'));
    const near = { wearer: { ...WEARER, bodyMassKg: 120 } };
    expect(new Set(missing(near))).toEqual(new Set(['mass-near-rating']));
    const acknowledgedUpToKg = Object.fromEntries(
      PIN_LOCK_POSITIONS.map((position) => [`${position}-part`, 120]),
    );
    expect(missing({ ...near, acknowledgedUpToKg })).toEqual([]);
  });

  it('a batch that was expired when it was used, or is in quarantine, closes it until accepted as is', () => {
    const expired = { lot: 'RES-2', expiresOn: day('2026-03-01') };
    expect(missing({ batches: [goodBatch({ expiresOn: day('2026-03-02') })] })).toEqual([]);
    expect(missing({ batches: [goodBatch({ expiresOn: null })] })).toEqual([]);
    expect(missing({ batches: [goodBatch(), goodBatch(expired)] })).toEqual(['batch-not-good']);
    expect(missing({ batches: [goodBatch({ ...expired, acceptedAsIs: true })] })).toEqual([]);
    const both = judgeDelivery({
      ...limbReadyForDelivery(),
      batches: [goodBatch({ ...expired, quarantined: true })],
    });
    expect(both.map(({ facts }) => facts['why'])).toEqual([
      'is in quarantine',
      'expired on 1 Mar 2026, before it was used',
    ]);
  });

  it('closes where the limb lost or gained more than the clinic lets pass, until it is decided', () => {
    // 0.97² and 1.03² are 5.9 % less and 6.1 % more; 0.98² is 4.0 % less.
    for (const girth of [0.97, 1.03]) {
      const limb = measuredSince(girth);
      expect(missing({ limb })).toEqual(['limb-change-undecided']);
      expect(missing({ limb: { ...limb, decision: 'socks' } })).toEqual([]);
      expect(missing({ limb: { ...limb, decision: 'as_is' } })).toEqual([]);
    }
    expect(missing({ limb: measuredSince(0.98) })).toEqual([]);
    const lax = { ...STARTING_VOLUME_SETTINGS, limitPercent: 6 };
    expect(missing({ limb: measuredSince(0.97, { settings: lax }) })).toEqual([]);
    const [said] = judgeDelivery({ ...limbReadyForDelivery(), limb: measuredSince(0.97) });
    expect(said?.detail).toContain('cast 1; by the measures of 9 Mar 2026 the limb has lost');
    expect(said?.wayOut).toContain('decides on the two sets of measures');
  });

  it('a new cast that was decided keeps the socket of the old one in, whatever the limit is by now', () => {
    const newCastDecidedAfter = day('2026-03-09');
    const limb = measuredSince(0.97, { decision: 'new_cast', newCastDecidedAfter });
    expect(missing({ limb })).toEqual(['new-cast-decided']);
    const lax = { ...STARTING_VOLUME_SETTINGS, limitPercent: 20 };
    expect(missing({ limb: { ...limb, settings: lax } })).toEqual(['new-cast-decided']);
  });

  it('a new cast that was decided binds for good: a limb that has come back, and socks decided since, open nothing', () => {
    const newCastDecidedAfter = day('2026-03-09');
    for (const limb of [
      measuredSince(1, { newestTakenOn: day('2026-03-16'), newCastDecidedAfter }),
      measuredSince(0.93, { decision: 'socks', newCastDecidedAfter }),
    ]) {
      const [said] = judgeDelivery({ ...limbReadyForDelivery(), limb });
      expect(said).toMatchObject({ code: 'new-cast-decided', facts: { takenOn: '2026-03-09' } });
      expect(said?.detail).toContain('KL-26-00001-X/D1 still comes from cast 1');
    }
  });

  it('a change nobody decided on asks for the socket of the later cast, where one is accepted', () => {
    const [said] = judgeDelivery({
      ...limbReadyForDelivery(),
      limb: measuredSince(0.97, { laterCast: 2 }),
    });
    expect(said).toMatchObject({
      code: 'limb-change-undecided',
      wayOut: 'Cast 2 is accepted: make the socket from it.',
    });
  });

  it('measures that cannot be compared with those of the cast do not open it', () => {
    const newestMeasures = [100, 140, 180].map((heightMm) => ({ heightMm, circumferenceMm: 320 }));
    expect(missing({ limb: measuredSince(1, { newestMeasures }) })).toEqual([
      'measures-do-not-overlap',
    ]);
  });

  it('the releasing prosthetist did not do all the bench work alone, unless the clinic lets it be', () => {
    expect(missing({ workers: ['prosthetist'] })).toEqual(['releaser-did-the-work']);
    expect(missing({ workers: ['prosthetist'], releaserMayBeSoleWorker: true })).toEqual([]);
    expect(missing({ workers: [] })).toEqual([]);
    // Asked without a releaser, the list tells only what is missing from the limb.
    expect(missing({ workers: ['prosthetist'], releaser: null })).toEqual([]);
  });
});

/** Each takes one thing away that the gate asks for, or adds one that it does not allow. */
const TAKEN_AWAY: Readonly<Record<string, (limb: DeliveryFacts) => DeliveryFacts>> = {
  'the stage': (limb) => ({ ...limb, order: orderAt('lamination') }),
  'the order is held': (limb) => ({ ...limb, order: orderAt('delivery', 'patient_not_ready') }),
  'the socket is a check socket': (limb) => ({ ...limb, socketKind: 'check' }),
  'the socket is rejected': (limb) => ({ ...limb, socketState: 'rejected' }),
  'the accepted fit': (limb) => ({ ...limb, fitAccepted: false }),
  'an operation': (limb) => ({
    ...limb,
    operations: limb.operations.map((each, at) =>
      at === 0 ? { ...each, state: 'waiting' } : each,
    ),
  }),
  'the lock check': (limb) => ({ ...limb, lockCheck: null }),
  'the lock check failed': (limb) => ({
    ...limb,
    lockCheck: evidenceOn(limb.held, LOCK_POSITIONS, false),
  }),
  'a torque confirmation': (limb) => ({
    ...limb,
    joints: limb.joints.map((joint) =>
      joint.kind === 'distal'
        ? { ...joint, confirmed: false, openBecause: 'never torqued on this socket' }
        : joint,
    ),
  }),
  'the alignment': (limb) => ({ ...limb, measuredAlignment: null }),
  'a tool left in': (limb) => ({ ...limb, shopToolsIn: ['Dummy 1'] }),
  'an open finding': (limb) => ({ ...limb, openFindings: ['crack: at the brim'] }),
  'a bad batch': (limb) => ({
    ...limb,
    batches: [...limb.batches, goodBatch({ quarantined: true })],
  }),
  'the body mass': (limb) => ({ ...limb, wearer: { ...limb.wearer, bodyMassKg: null } }),
  'a decision on the changed limb': (limb) => ({ ...limb, limb: measuredSince(0.9) }),
  'the second worker': (limb) => ({ ...limb, workers: ['prosthetist'] }),
  ...Object.fromEntries(
    (['lock', 'pin', 'pyramid', 'distal_screws'] as const).map((position: Position) => [
      `the ${position}`,
      (limb: DeliveryFacts) => ({
        ...limb,
        held: limb.held.filter((item) => item.position !== position),
      }),
    ]),
  ),
};

describe('the gate and what is taken away', () => {
  it.each(Object.entries(TAKEN_AWAY))('%s missing closes it', (_what, take) => {
    expect(judgeDelivery(take(limbReadyForDelivery()))).not.toEqual([]);
  });

  it('taking more away never opens it: it is open only with every fact', () => {
    const names = Object.keys(TAKEN_AWAY);
    fc.assert(
      fc.property(fc.shuffledSubarray(names), (taken) => {
        let limb = limbReadyForDelivery();
        for (const name of taken) {
          limb = TAKEN_AWAY[name]?.(limb) ?? limb;
          expect(judgeDelivery(limb), taken.join(', ')).not.toEqual([]);
        }
        if (taken.length === 0) expect(judgeDelivery(limb)).toEqual([]);
      }),
    );
  });

  it('whatever is wrong, putting it all right again opens it: no trace of the way is left', () => {
    fc.assert(
      fc.property(fc.subarray(Object.keys(TAKEN_AWAY)), (taken) => {
        const before = JSON.stringify(limbReadyForDelivery());
        const limb = limbReadyForDelivery();
        for (const name of taken) judgeDelivery(TAKEN_AWAY[name]?.(limb) ?? limb);
        expect(JSON.stringify(limb)).toBe(before);
        expect(judgeDelivery(limb)).toEqual([]);
      }),
    );
  });
});

describe('a wearer heavier than the hardware is rated for (R3)', () => {
  it('every part that the wearer is too heavy for is named, each once', () => {
    const limb = limbReadyForDelivery();
    const heavy = judgeDelivery({ ...limb, wearer: { ...limb.wearer, bodyMassKg: 126 } });
    expect(heavy.map(({ code, facts }) => [code, facts['partName']])).toEqual(
      ['Lock L', 'Lock plate', 'Pin P', 'Pyramid'].map((part) => ['mass-over-rating', part]),
    );
  });
});
