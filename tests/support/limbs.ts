/**
 * Limbs on the bench, as the domain sees them: named sockets with their hardware, its last
 * moves and the evidence taken on it. All names and figures are invented.
 */
import type { Alignment } from '../../src/domain/alignment.ts';
import {
  jointStates,
  LOCK_POSITIONS,
  moveIdsAt,
  type Evidence,
  type HeldItem,
} from '../../src/domain/assembly.ts';
import { ALIGNMENT_POSITIONS } from '../../src/domain/alignment.ts';
import type { Day } from '../../src/domain/days.ts';
import type { PartFacts, Wearer } from '../../src/domain/fit.ts';
import type { DeliveryFacts, UsedBatch } from '../../src/domain/gate.ts';
import type { Reason } from '../../src/domain/reasons/index.ts';
import type { OrderStage } from '../../src/domain/stages.ts';
import type { TorqueSetting } from '../../src/domain/torque.ts';
import type { Verdict } from '../../src/domain/verdict.ts';
import {
  JOINTS,
  POSITION_TAKES,
  type JointKind,
  type PartKind,
  type Position,
} from '../../src/domain/words.ts';

export const codes = (reasons: readonly Reason[]): string[] => reasons.map(({ code }) => code);

/** The codes that a verdict refuses with; none where it grants. */
export const refusalCodes = (verdict: Verdict<unknown>): string[] =>
  verdict.ok ? [] : codes(verdict.reasons);

export const day = (text: string): Day => text as Day;

const PLAIN: Omit<PartFacts, 'name' | 'kind'> = {
  holePattern: null,
  thread: null,
  pinFit: null,
  side: null,
  ratedBodyMassKg: null,
  active: true,
};
const RATED = { ratedBodyMassKg: 125 };
const BOLTED = { holePattern: '4-hole 36 mm', ...RATED };

type HardwarePosition = Exclude<Position, 'dummy' | 'tooling_plate'>;

/** Parts that go together: 4-hole 36 mm, M6 distal screws, M5 plate screws, rated for 125 kg. */
export const PARTS: Readonly<Record<HardwarePosition, PartFacts>> = {
  lock: { ...PLAIN, ...BOLTED, name: 'Lock L', kind: 'lock', thread: 'M5', pinFit: 'notch 4' },
  lock_plate: { ...PLAIN, ...BOLTED, name: 'Lock plate', kind: 'lock_plate', thread: 'M6' },
  release_valve: { ...PLAIN, name: 'Valve', kind: 'release_valve' },
  lock_spring: { ...PLAIN, name: 'Spring', kind: 'spring' },
  pin: { ...PLAIN, ...RATED, name: 'Pin P', kind: 'pin', pinFit: 'notch 4' },
  pyramid: { ...PLAIN, ...BOLTED, name: 'Pyramid', kind: 'pyramid', thread: 'M6' },
  adapter: { ...PLAIN, ...BOLTED, name: 'Adapter', kind: 'four_hole_adapter', thread: 'M6' },
  distal_screws: { ...PLAIN, name: 'Distal screws', kind: 'screw_set', thread: 'M6' },
  plate_screws: { ...PLAIN, name: 'Plate screws', kind: 'screw_set', thread: 'M5' },
};

export const settingOf = (jointKind: JointKind): TorqueSetting & { readonly id: string } => ({
  id: `${jointKind}-setting`,
  jointKind,
  fastenerCount: 4,
  fastenerSize: 'M6',
  propertyClass: '12.9',
  torqueMinNm: 13.5,
  torqueMaxNm: 16.5,
  threadlocker: 'required',
  document: 'Invented sheet 7',
  revision: 'C',
});

const SETTINGS_OF: Partial<Record<PartKind, JointKind>> = {
  pyramid: 'distal',
  four_hole_adapter: 'distal',
  lock_plate: 'lock_plate',
  release_valve: 'release_valve',
};

/** A piece of the part that belongs there, moved in by the move `<position>-in`. */
export function itemIn(position: HardwarePosition, part: Partial<PartFacts> = {}): HeldItem {
  const joint = SETTINGS_OF[POSITION_TAKES[position]];
  return {
    itemId: `${position}-item`,
    label: `${PARTS[position].name} serial 1`,
    position,
    lastMoveId: `${position}-in`,
    part: {
      ...PARTS[position],
      ...part,
      id: `${position}-part`,
      leastClicks: position === 'lock' ? 3 : position === 'pin' ? 5 : null,
    },
    settings: joint === undefined ? [] : [settingOf(joint)],
  };
}

export const PIN_LOCK_POSITIONS = [
  'lock',
  'lock_plate',
  'release_valve',
  'lock_spring',
  'pin',
  'pyramid',
  'distal_screws',
  'plate_screws',
] as const;

/** Everything that a pin-lock limb wears, with a pyramid. */
export const pinLockHardware = (): HeldItem[] => PIN_LOCK_POSITIONS.map((each) => itemIn(each));

/** The same pieces, one of them moved (out and in again) since. */
export const movedSince = (held: readonly HeldItem[], position: Position): HeldItem[] =>
  held.map((item) =>
    item.position === position ? { ...item, lastMoveId: `${position}-in-again` } : item,
  );

/** Evidence taken on the hardware as it is now. */
export const evidenceOn = (
  held: readonly HeldItem[],
  positions: readonly Position[],
  good = true,
): Evidence => ({
  id: `evidence on ${positions.join(', ')}`,
  good,
  coversMoveIds: moveIdsAt(held, positions),
});

/** Every joint of the hardware torqued as it is now. */
export const torquedOn = (held: readonly HeldItem[]): Record<JointKind, Evidence> => ({
  distal: evidenceOn(held, JOINTS.distal.positions),
  lock_plate: evidenceOn(held, JOINTS.lock_plate.positions),
  release_valve: evidenceOn(held, JOINTS.release_valve.positions),
});

export const NEUTRAL: Alignment = {
  flexionDeg: 5,
  adductionDeg: 3,
  anteriorOffsetMm: 10,
  lateralOffsetMm: -4,
  toeOutDeg: 6,
  heightToFloorMm: 452,
};

export const WEARER: Wearer = { chartNumber: 'K-0007', bodyMassKg: 80, side: 'left' };

export const orderAt = (
  stage: OrderStage['stage'],
  holdReason: OrderStage['holdReason'] = null,
): OrderStage => ({ number: 'KL-26-00001-X', stage, holdReason });

export const goodBatch = (over: Partial<UsedBatch> = {}): UsedBatch => ({
  lot: 'RES-1',
  usedOn: day('2026-03-02'),
  expiresOn: day('2026-12-31'),
  quarantined: false,
  acceptedAsIs: false,
  ...over,
});

/** A definitive pin-lock socket on which everything is done, torqued, checked, measured and signed. */
export function limbReadyForDelivery(): DeliveryFacts {
  const held = pinLockHardware();
  return {
    socket: 'KL-26-00001-X/D1',
    suspension: 'pin_lock',
    wearer: WEARER,
    held,
    acknowledgedUpToKg: {},
    joints: jointStates(held, torquedOn(held)),
    lockCheck: evidenceOn(held, LOCK_POSITIONS),
    shopToolsIn: [],
    openFindings: [],
    acceptedAlignment: NEUTRAL,
    measuredAlignment: { ...NEUTRAL, coversMoveIds: moveIdsAt(held, ALIGNMENT_POSITIONS) },
    alignmentMoveIds: moveIdsAt(held, ALIGNMENT_POSITIONS),
    alignmentTolerance: { angleDeg: 1, lengthMm: 3 },
    alignmentPastRange: [],
    alignmentDifferenceSigned: false,
    order: orderAt('delivery'),
    socketKind: 'definitive',
    socketState: 'in_work',
    operations: [
      { title: 'Laminate', state: 'done' },
      { title: 'Break out the model', state: 'left_out' },
      { title: 'Torque the joints', state: 'done' },
    ],
    batches: [goodBatch()],
    fitAccepted: true,
    limb: null,
    workers: ['technician', 'prosthetist'],
    releaser: { personId: 'prosthetist', printedName: 'Paula Fitting' },
    releaserMayBeSoleWorker: false,
  };
}

/** The limb with other hardware in it, on which the evidence taken before still lies. */
export const withHardware = (limb: DeliveryFacts, held: readonly HeldItem[]): DeliveryFacts => ({
  ...limb,
  held,
  joints: jointStates(held, torquedOn(limb.held)),
  alignmentMoveIds: moveIdsAt(held, ALIGNMENT_POSITIONS),
});

/** A definitive socket, cured and inspected, its dummy out: the lock may go in. */
export const definitiveAwaitingLock = () =>
  ({
    socket: 'KL-26-00001-X/D1',
    kind: 'definitive',
    cured: true,
    chamberInspected: true,
    dummyIn: false,
  }) as const;

/** A socket that nobody has put anything into or done anything with. */
export const untouchedSocket = () =>
  ({ socket: 'KL-26-00001-X/C1', held: [], newest: {}, lockCheck: null }) as const;
