import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  itemsAt,
  jointStates,
  judgeLock,
  judgeReadyForHardware,
  leastClicksOf,
  LOCK_POSITIONS,
  missingHardware,
  moveIdsAt,
  openJoints,
  type HeldItem,
} from '../../src/domain/assembly.ts';
import { JOINTS, SUSPENSIONS, type JointKind, type Position } from '../../src/domain/words.ts';
import {
  codes,
  day,
  definitiveAwaitingLock,
  evidenceOn,
  itemIn,
  movedSince,
  pinLockHardware,
  settingOf,
  torquedOn,
  untouchedSocket,
} from '../support/limbs.ts';

const SOCKET = 'KL-26-00001-X/D1';
const without = (held: readonly HeldItem[], ...positions: Position[]): HeldItem[] =>
  held.filter((item) => !positions.includes(item.position));
/** Which joints there are, and why each is open. */
const jointsOf = (
  held: readonly HeldItem[],
  torqued = torquedOn(held),
): Partial<Record<JointKind, string | null>> =>
  Object.fromEntries(jointStates(held, torqued).map((j) => [j.kind, j.openBecause]));

describe('what a limb needs before it is worn (R8)', () => {
  it('a pin-lock limb has everything with lock, pin, pyramid and screws', () => {
    expect(missingHardware(SOCKET, 'pin_lock', pinLockHardware())).toEqual([]);
    const adapterInstead = [...without(pinLockHardware(), 'pyramid'), itemIn('adapter')];
    expect(missingHardware(SOCKET, 'pin_lock', adapterInstead)).toEqual([]);
  });

  it('an untouched socket is missing all of it, and no suspension goes without pyramid and screws', () => {
    const { held } = untouchedSocket();
    for (const suspension of SUSPENSIONS) {
      const missing = missingHardware(SOCKET, suspension, held).map(
        ({ facts }) => facts['position'],
      );
      expect(missing).toEqual([
        ...(suspension === 'pin_lock' ? ['lock', 'pin'] : []),
        'pyramid or adapter',
        'distal_screws',
      ]);
    }
  });
});

describe('joints and their torque (R4)', () => {
  it('an untouched socket has no joint', () => {
    const { held, newest } = untouchedSocket();
    expect(jointStates(held, newest)).toEqual([]);
  });

  it('are confirmed where each was torqued on the hardware as it is now', () => {
    expect(jointsOf(pinLockHardware())).toEqual({
      distal: null,
      lock_plate: null,
      release_valve: null,
    });
    expect(
      openJoints(SOCKET, jointStates(pinLockHardware(), torquedOn(pinLockHardware()))),
    ).toEqual([]);
  });

  it('tell which part carries the setting, and which moves a confirmation must cover', () => {
    const [distal] = jointStates(pinLockHardware(), {});
    expect(distal).toMatchObject({
      kind: 'distal',
      settingFrom: 'Pyramid',
      setting: { id: 'distal-setting' },
      moveIds: ['lock-in', 'lock_plate-in', 'pyramid-in', 'distal_screws-in'],
      confirmed: false,
      openBecause: 'never torqued on this socket',
    });
  });

  it('are opened by a part that moved since, and only those that the part belongs to', () => {
    const held = pinLockHardware();
    const moved = 'a part of it moved after the last torque confirmation';
    const since = (position: Position) => jointsOf(movedSince(held, position), torquedOn(held));
    expect(since('pyramid')).toEqual({ distal: moved, lock_plate: null, release_valve: null });
    expect(since('plate_screws')).toEqual({ distal: null, lock_plate: moved, release_valve: null });
    // The lock is in all three: taken out for trimming, it opens them all.
    expect(since('lock')).toEqual({ distal: moved, lock_plate: moved, release_valve: moved });
    expect(since('pin')).toEqual({ distal: null, lock_plate: null, release_valve: null });
  });

  it('are open where the last readings did not confirm them', () => {
    const held = pinLockHardware();
    const outOfBand = evidenceOn(held, JOINTS.distal.positions, false);
    expect(jointsOf(held, { ...torquedOn(held), distal: outOfBand })).toMatchObject({
      distal: 'the last torque readings do not confirm it',
    });
  });

  it('are open again where the tool that closed them was found out of tolerance afterwards', () => {
    const held = pinLockHardware();
    const found = {
      tool: 'Torque wrench 1',
      calibratedOn: day('2026-03-20'),
      certificate: 'INV-CAL-7',
    };
    const distal = { ...torquedOn(held).distal, toolFound: found };
    const joints = jointStates(held, { ...torquedOn(held), distal });
    expect(joints.map(({ kind, confirmed, inDoubt }) => [kind, confirmed, inDoubt])).toEqual([
      ['distal', false, found],
      ['lock_plate', true, null],
      ['release_valve', true, null],
    ]);
    const [against, ...others] = openJoints(SOCKET, joints);
    expect(others).toEqual([]);
    expect(against).toMatchObject({ code: 'joint-in-doubt', rule: 'R4' });
    expect(against?.detail).toContain('Torque wrench 1, which closed it, was found beyond');
    expect(against?.detail).toContain('2026-03-20 (certificate INV-CAL-7)');
    // Moved since, it is simply to be torqued: the tool adds nothing.
    const moved = jointStates(movedSince(held, 'pyramid'), { ...torquedOn(held), distal });
    expect(codes(openJoints(SOCKET, moved))).toEqual(['joint-open']);
  });

  it('are open without their screws, whatever was torqued', () => {
    const held = without(pinLockHardware(), 'distal_screws', 'plate_screws');
    expect(jointsOf(held)).toEqual({
      distal: 'its screws are not in',
      lock_plate: 'its screws are not in',
      release_valve: null,
    });
    expect(codes(openJoints(SOCKET, jointStates(held, torquedOn(held))))).toEqual([
      'joint-open',
      'joint-open',
    ]);
  });

  it('a pyramid without a setting on record leaves its joint open and says so', () => {
    const held = pinLockHardware().map((item) =>
      item.position === 'pyramid' ? { ...item, settings: [] } : item,
    );
    const joints = jointStates(held, torquedOn(held));
    expect(joints[0]).toMatchObject({ kind: 'distal', setting: null, settingFrom: null });
    expect(openJoints(SOCKET, joints)).toMatchObject([
      {
        code: 'joint-without-setting',
        facts: { joint: 'distal', part: 'Lock L, Lock plate, Pyramid, Distal screws' },
      },
    ]);
  });

  it('a part’s settings for other joints are not its own joint’s', () => {
    const [pyramid, screws] = [itemIn('pyramid'), itemIn('distal_screws')];
    const plates = { ...pyramid, settings: [settingOf('lock_plate')] };
    expect(jointStates([plates, screws], {})).toMatchObject([
      { kind: 'distal', setting: null, settingFrom: null },
    ]);
    const both = { ...pyramid, settings: [settingOf('lock_plate'), settingOf('distal')] };
    expect(jointStates([both, screws], {})).toMatchObject([
      { kind: 'distal', setting: { id: 'distal-setting' }, settingFrom: 'Pyramid' },
    ]);
  });

  it('there is no plate joint where the plate carries no setting for it', () => {
    const held = pinLockHardware().map((item) =>
      item.position === 'lock_plate' ? { ...item, settings: [] } : item,
    );
    expect(Object.keys(jointsOf(held))).toEqual(['distal', 'release_valve']);
  });

  it('with both pyramid and adapter the pyramid’s setting governs, in whatever order they are listed', () => {
    const both = [itemIn('adapter'), itemIn('pyramid'), itemIn('distal_screws')];
    for (const held of [both, both.toReversed()]) {
      expect(jointStates(held, {})[0]?.settingFrom).toBe('Pyramid');
    }
  });

  it('say the same whatever the order in which the hardware is listed', () => {
    const held = pinLockHardware();
    fc.assert(
      fc.property(
        fc.shuffledSubarray(held),
        fc.subarray(Object.keys(JOINTS) as JointKind[]),
        (some, torqued) => {
          const all = torquedOn(some);
          const newest = Object.fromEntries(torqued.map((kind) => [kind, all[kind]]));
          const inOrder = held.filter((item) => some.includes(item));
          const told = (items: readonly HeldItem[]) =>
            jointStates(items, newest).map(({ kind, confirmed, openBecause, settingFrom }) => ({
              kind,
              confirmed,
              openBecause,
              settingFrom,
            }));
          expect(told(some)).toEqual(told(inOrder));
        },
      ),
    );
  });
});

describe('the lock check in its socket (R7)', () => {
  const held = pinLockHardware();
  const judge = (over: Partial<Parameters<typeof judgeLock>[0]>): unknown =>
    judgeLock({
      socket: SOCKET,
      suspension: 'pin_lock',
      held,
      newest: evidenceOn(held, LOCK_POSITIONS),
      ...over,
    }).map(({ code, facts }) => [code, facts['why']]);

  it('stands while lock and pin are where they were checked', () => {
    expect(judge({})).toEqual([]);
    expect(judge({ held: movedSince(held, 'pyramid') })).toEqual([]);
  });

  it('is open before the first, after a failed one, and after lock or pin moved', () => {
    expect(judge({ newest: null })).toEqual([
      ['lock-check-not-valid', 'never checked on this socket'],
    ]);
    expect(judge({ newest: evidenceOn(held, LOCK_POSITIONS, false) })).toEqual([
      ['lock-check-not-valid', 'the last check failed'],
    ]);
    for (const position of LOCK_POSITIONS) {
      expect(judge({ held: movedSince(held, position) })).toEqual([
        ['lock-check-not-valid', 'lock or pin moved after the last check'],
      ]);
    }
  });

  it('is asked of pin-lock limbs only', () => {
    for (const suspension of SUSPENSIONS.filter((each) => each !== 'pin_lock')) {
      expect(judge({ suspension, newest: null })).toEqual([]);
    }
  });

  it('asks for the clicks of lock and pin as they are together', () => {
    expect(leastClicksOf(held)).toBe(5);
    expect(leastClicksOf(without(held, 'pin'))).toBe(3);
    expect(leastClicksOf(without(held, 'lock', 'pin'))).toBe(1);
    expect(itemsAt(held, LOCK_POSITIONS).map(({ label }) => label)).toEqual([
      'Lock L serial 1',
      'Pin P serial 1',
    ]);
    expect(moveIdsAt(held, LOCK_POSITIONS)).toEqual(['lock-in', 'pin-in']);
  });
});

describe('hardware into the definitive socket (R6)', () => {
  const codesOf = (over: object): string[] =>
    codes(judgeReadyForHardware({ ...definitiveAwaitingLock(), ...over }));

  it('waits until it is cured, the dummy out and the chamber inspected', () => {
    expect(codesOf({})).toEqual([]);
    expect(codesOf({ cured: false })).toEqual(['definitive-not-ready']);
    expect(codesOf({ chamberInspected: false })).toEqual(['definitive-not-ready']);
    expect(codesOf({ dummyIn: true })).toEqual(['definitive-not-ready']);
  });

  it('a check socket takes it at once', () => {
    expect(codesOf({ kind: 'check', cured: false, chamberInspected: false })).toEqual([]);
  });
});
