/**
 * What a socket holds, and what of it is bolted, checked and still so. Evidence
 * counts while the last moves of the items it was taken on are still the last
 * (see lastMoves.ts): any later move opens the joint or the lock check by itself.
 */
import type { Day } from './days.ts';
import type { PartFacts } from './fit.ts';
import { coversLastMoves } from './lastMoves.ts';
import { clicksAskedFor } from './lockCheck.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { TorqueSetting } from './torque.ts';
import {
  JOINTS,
  JOINT_KINDS,
  type JointKind,
  type Position,
  type SocketKind,
  type Suspension,
} from './words.ts';

/** One item in a socket, with its last move and the settings its part carries. */
export interface HeldItem {
  readonly itemId: string;
  readonly label: string;
  readonly position: Position;
  readonly lastMoveId: string;
  readonly part: PartFacts & { readonly id: string; readonly leastClicks: number | null };
  readonly settings: readonly (TorqueSetting & { readonly id: string })[];
}

export interface Evidence {
  readonly id: string;
  readonly good: boolean;
  /**
   * The last moves of the items when it was taken; none where anything has left
   * these positions since. A plate bolted in and taken out again leaves the same
   * items with the same last moves, but not the same joint.
   */
  readonly coversMoveIds: readonly string[];
  /** The tool of a torque confirmation, where a later calibration found it out of tolerance. */
  readonly toolFound?: ToolFound | null;
}

/** A calibration that puts in doubt what the tool had closed before it. */
export interface ToolFound {
  readonly tool: string;
  readonly calibratedOn: Day;
  readonly certificate: string;
}

/** A joint that the socket's hardware makes. */
export interface JointState {
  readonly kind: JointKind;
  readonly setting: (TorqueSetting & { readonly id: string }) | null;
  readonly settingFrom: string | null;
  readonly items: readonly HeldItem[];
  readonly moveIds: readonly string[];
  readonly confirmed: boolean;
  /** Why it is open, in words; null where it is confirmed. */
  readonly openBecause: string | null;
  /** Set where only the tool speaks against it: nothing moved and all readings were in the band. */
  readonly inDoubt: ToolFound | null;
}

/** Positions that must be filled before a limb can be worn, by suspension: any one of each group. */
const REQUIRED: Record<Suspension, readonly (readonly Position[])[]> = {
  pin_lock: [['lock'], ['pin'], ['pyramid', 'adapter'], ['distal_screws']],
  lanyard: [['pyramid', 'adapter'], ['distal_screws']],
  suction: [['pyramid', 'adapter'], ['distal_screws']],
  vacuum: [['pyramid', 'adapter'], ['distal_screws']],
  sleeve: [['pyramid', 'adapter'], ['distal_screws']],
};

/** The items in the given positions. */
export const itemsAt = (
  held: readonly HeldItem[],
  positions: readonly Position[],
): readonly HeldItem[] => held.filter((item) => positions.includes(item.position));

/** The last moves of the items in the given positions: what evidence taken now covers. */
export const moveIdsAt = (
  held: readonly HeldItem[],
  positions: readonly Position[],
): readonly string[] => itemsAt(held, positions).map((item) => item.lastMoveId);

/** What is missing before the limb can be worn. */
export function missingHardware(
  socket: string,
  suspension: Suspension,
  held: readonly HeldItem[],
): Reason[] {
  return REQUIRED[suspension]
    .filter((group) => itemsAt(held, group).length === 0)
    .map((group) => reason('hardware-missing', { socket, position: group.join(' or ') }));
}

/**
 * The joints that the hardware in a socket makes, each with its setting and
 * whether its newest confirmation still counts. A joint exists as soon as the
 * part that carries its setting is in, and the distal joint as soon as a
 * pyramid or adapter is.
 */
export function jointStates(
  held: readonly HeldItem[],
  newest: Partial<Record<JointKind, Evidence>>,
): JointState[] {
  return JOINT_KINDS.flatMap((kind) => {
    const rule = JOINTS[kind];
    const carriers = rule.carriers.flatMap((position) => itemsAt(held, [position]));
    const carrier = carriers.find((item) => item.settings.some((s) => s.jointKind === kind));
    if (carriers.length === 0 || (carrier === undefined && kind !== 'distal')) return [];
    const items = itemsAt(held, rule.positions);
    const moveIds = items.map((item) => item.lastMoveId);
    const evidence = newest[kind];
    const screwsMissing =
      rule.needsScrews !== null && itemsAt(held, [rule.needsScrews]).length === 0;
    const openBefore =
      carrier === undefined
        ? 'no part of it has a torque setting on record'
        : screwsMissing
          ? 'its screws are not in'
          : whyOpen(evidence, moveIds);
    const inDoubt = openBefore === null ? (evidence?.toolFound ?? null) : null;
    const openBecause = inDoubt === null ? openBefore : whyInDoubt(inDoubt);
    return [
      {
        kind,
        setting: carrier?.settings.find((s) => s.jointKind === kind) ?? null,
        settingFrom: carrier?.part.name ?? null,
        items,
        moveIds,
        confirmed: openBecause === null,
        openBecause,
        inDoubt,
      },
    ];
  });
}

/**
 * R4 takes a reading for what the tool's permissible deviation makes of it. A tool found
 * beyond that had readings which prove nothing, whatever they said: the joint is open again.
 */
const whyInDoubt = ({ tool, calibratedOn, certificate }: ToolFound): string =>
  `${tool}, which closed it, was found beyond its permissible deviation on ${calibratedOn} (certificate ${certificate})`;

function whyOpen(evidence: Evidence | undefined, moveIds: readonly string[]): string | null {
  if (evidence === undefined) return 'never torqued on this socket';
  if (!coversLastMoves(evidence.coversMoveIds, moveIds)) {
    return 'a part of it moved after the last torque confirmation';
  }
  if (!evidence.good) return 'the last torque readings do not confirm it';
  return null;
}

/** Every joint that is open, as reasons. */
export function openJoints(socket: string, joints: readonly JointState[]): Reason[] {
  return joints.flatMap((joint) => {
    if (joint.openBecause === null) return [];
    if (joint.setting === null) {
      return [
        reason('joint-without-setting', {
          socket,
          joint: joint.kind,
          part: joint.items.map((item) => item.part.name).join(', '),
        }),
      ];
    }
    const facts = { socket, joint: joint.kind, why: joint.openBecause };
    return [reason(joint.inDoubt === null ? 'joint-open' : 'joint-in-doubt', facts)];
  });
}

/** The least clicks that lock and pin now in the socket ask for together (R7). */
export const leastClicksOf = (held: readonly HeldItem[]): number =>
  clicksAskedFor(
    itemsAt(held, ['lock'])[0]?.part.leastClicks ?? null,
    itemsAt(held, ['pin'])[0]?.part.leastClicks ?? null,
  );

/** The positions whose last moves a lock check covers. */
export const LOCK_POSITIONS: readonly Position[] = ['lock', 'pin'];

/** What of the lock stands between a socket and its use (R7); none where it has no lock to check. */
export function judgeLock(facts: {
  readonly socket: string;
  readonly suspension: Suspension;
  readonly held: readonly HeldItem[];
  readonly newest: Evidence | null;
}): Reason[] {
  if (facts.suspension !== 'pin_lock') return [];
  const not = (why: string): Reason[] => [
    reason('lock-check-not-valid', { socket: facts.socket, why }),
  ];
  if (facts.newest === null) return not('never checked on this socket');
  if (!coversLastMoves(facts.newest.coversMoveIds, moveIdsAt(facts.held, LOCK_POSITIONS))) {
    return not('lock or pin moved after the last check');
  }
  return facts.newest.good ? [] : not('the last check failed');
}

/**
 * R6: what keeps a definitive socket from taking hardware; none for a check
 * socket. The dummy holds the place of the lock until the laminate has cured.
 */
export function judgeReadyForHardware(facts: {
  readonly socket: string;
  readonly kind: SocketKind;
  readonly cured: boolean;
  readonly chamberInspected: boolean;
  readonly dummyIn: boolean;
}): Reason[] {
  const ready = facts.cured && facts.chamberInspected && !facts.dummyIn;
  return facts.kind === 'check' || ready
    ? []
    : [reason('definitive-not-ready', { socket: facts.socket })];
}
