/** What happens in each order; the stories fill in who, when and with what. */
import type { HoldReason, Level, Side, Suspension } from '../../src/domain/words.ts';
import type { HardwareKey } from './catalogue.ts';
import { chanceOf } from './chance.ts';
import { FAMILY_NAMES } from './names.ts';

/** How far an order has come when its story stops. */
export const MILESTONES = [
  'opened',
  'cast_taken',
  'cast_rejected',
  'cast_accepted',
  'check_started',
  'check_formed',
  'check_ready',
  'fit_rejected',
  'fit_accepted',
  'sealed',
  'laid_up',
  'laminated',
  'finding_at_cure',
  'dummy_out',
  'inspected',
  'hardware_in',
  'lock_out_for_trimming',
  'torqued',
  'finished',
  'delivered',
] as const;
export type Milestone = (typeof MILESTONES)[number];

/** Turns that an order's story takes. */
export type Twist =
  | 'cast_rejected'
  | 'new_cast_at_fitting'
  | 'same_socket_changed'
  | 'fitting_skipped'
  | 'check_scrapped'
  | 'edges_reworked'
  | 'cup_put_right'
  | 'laminate_remade'
  | 'streak_accepted'
  | 'operation_left_out'
  | 'torque_out_of_band'
  | 'lock_failed_first'
  | 'lock_fails_now'
  | 'trimmed'
  | 'alignment_outside'
  | 'alignment_signed'
  | 'rattle_open'
  | 'skin_redness_open'
  | 'near_rating'
  | 'grew_past_rating'
  | 'lock_replaced'
  | 'remade'
  | 'recheck_missed'
  | 'recalled_lot'
  | 'reserved_batch';

export interface Plan {
  readonly key: string;
  readonly patient: number;
  /** Working day on which it is opened. */
  readonly startsAt: number;
  readonly side: Side;
  readonly level: Level;
  readonly suspension: Suspension;
  readonly hardware: HardwareKey;
  /** Check sockets that are tried; the last one fits. */
  readonly checkSockets: number;
  readonly until: Milestone;
  readonly hold: HoldReason | undefined;
  readonly cancelledBecause: string | undefined;
  readonly twists: ReadonlySet<Twist>;
}

/** The working day on which the lot to recall arrives. */
export const RECALL_LOT_ARRIVES_AT = 235;

type Start = Pick<Plan, 'patient' | 'startsAt'> & { readonly side?: Side };

interface Ending {
  readonly until: Milestone;
  readonly hold?: HoldReason;
  readonly cancelledBecause?: string;
  readonly checkSockets?: number;
  readonly hardware?: HardwareKey;
  readonly twists?: readonly Twist[];
  /** Working days that have passed since it came so far. */
  readonly ago?: number;
}

/** Delivered orders of a patient each, early ones and later ones: they make the history long enough to draw dates from. */
const EARLY_DELIVERED = 13;
const LATER_DELIVERED = 18;
/** Those of whom something particular is told. */
const PATIENTS = FAMILY_NAMES.length - EARLY_DELIVERED - LATER_DELIVERED;
/** The first so many patients have a limb from the first year and a second order now. */
const RETURNING = 22;
const BOTH_SIDES = 8;
const SINGLE_DELIVERED = 19;

/** The orders that are open today: at least one of everything that can be waited for. */
const OPEN: readonly Ending[] = [
  { until: 'opened', ago: 0 },
  { until: 'cast_taken' },
  { until: 'cast_rejected', twists: ['cast_rejected'] },
  { until: 'opened', hold: 'authorization_awaited', ago: 9 },
  { until: 'cast_taken', hold: 'limb_volume_not_stable', ago: 14 },
  { until: 'cast_accepted' },
  { until: 'check_started' },
  { until: 'check_formed', hardware: 'lockOne' },
  { until: 'check_ready', hardware: 'lockOne', twists: ['recalled_lot'] },
  { until: 'check_ready', checkSockets: 2, hardware: 'lockTwo' },
  { until: 'fit_rejected', checkSockets: 3 },
  { until: 'check_ready', hardware: 'lockOne', hold: 'patient_not_ready', ago: 12 },
  { until: 'check_formed', twists: ['check_scrapped'], hardware: 'lockTwo' },
  { until: 'fit_accepted', hardware: 'lockOne', hold: 'parts_awaited', ago: 6 },
  { until: 'fit_accepted', hardware: 'lockOne', twists: ['recalled_lot'], checkSockets: 2 },
  { until: 'sealed', hardware: 'lockOne' },
  { until: 'laid_up', hardware: 'lockTwo' },
  { until: 'laminated', hardware: 'lockOne', twists: ['operation_left_out'] },
  { until: 'finding_at_cure', hardware: 'lockTwo' },
  { until: 'dummy_out', hardware: 'lockOne', checkSockets: 2 },
  { until: 'inspected', hardware: 'lockTwo' },
  { until: 'hardware_in', hardware: 'lockOne', twists: ['recalled_lot'] },
  { until: 'lock_out_for_trimming', hardware: 'lockOne', twists: ['recalled_lot'] },
  { until: 'torqued', hardware: 'lockOne', twists: ['lock_fails_now'] },
  { until: 'torqued', hardware: 'lockTwo', twists: ['alignment_outside'] },
  { until: 'finished', hardware: 'lockOne', twists: ['rattle_open', 'trimmed'] },
  { until: 'finished', hardware: 'lockOne', twists: ['reserved_batch'] },
  { until: 'finished', hardware: 'lockTwo', ago: 3 },
];

const CANCELLED: readonly Ending[] = [
  {
    until: 'opened',
    cancelledBecause: 'The payer declined; the patient goes elsewhere.',
    ago: 120,
  },
  { until: 'cast_accepted', cancelledBecause: 'The patient fell ill.', ago: 70 },
  { until: 'fit_rejected', cancelledBecause: 'The patient moved away.', ago: 50, checkSockets: 2 },
  {
    until: 'fit_accepted',
    cancelledBecause: 'The patient wants another suspension; a new order follows.',
    ago: 90,
    hardware: 'lockOne',
    twists: ['recalled_lot'],
  },
  { until: 'laminated', cancelledBecause: 'The patient died.', ago: 40, hardware: 'lockTwo' },
];

/** Turns dealt out among the delivered orders, so that each is told at least once. */
const DELIVERED_TWISTS: readonly (readonly Twist[])[] = [
  ['trimmed'],
  ['torque_out_of_band', 'trimmed'],
  ['lock_failed_first'],
  ['cup_put_right'],
  ['near_rating', 'recalled_lot'],
  ['edges_reworked', 'alignment_signed'],
  ['laminate_remade'],
  ['streak_accepted', 'trimmed'],
  ['same_socket_changed', 'recalled_lot'],
  ['new_cast_at_fitting'],
  ['lock_replaced', 'trimmed'],
  [],
  ['operation_left_out', 'torque_out_of_band'],
  ['check_scrapped'],
  ['cast_rejected', 'recalled_lot'],
  ['fitting_skipped'],
  ['recheck_missed'],
  ['trimmed', 'lock_failed_first', 'recalled_lot'],
  ['skin_redness_open'],
];

/** Working days from opening to each milestone at most, with one check socket. */
const DAYS_TO: Readonly<Record<Milestone, number>> = {
  opened: 0,
  cast_taken: 4,
  cast_rejected: 5,
  cast_accepted: 6,
  check_started: 7,
  check_formed: 8,
  check_ready: 9,
  fit_rejected: 10,
  fit_accepted: 11,
  sealed: 12,
  laid_up: 12,
  laminated: 13,
  finding_at_cure: 13,
  dummy_out: 14,
  inspected: 14,
  hardware_in: 14,
  lock_out_for_trimming: 15,
  torqued: 15,
  finished: 16,
  delivered: 18,
};
/** And for what comes on top. */
const DAYS_MORE = { checkSocket: 5, anyTwist: 1 } as const;

/** One order for each patient, and for some a second one. @param lastDay index of the last working day */
export function planOrders(seed: number, lastDay: number): Plan[] {
  const plans: Plan[] = [];
  const add = (where: Start, ending: Ending) => {
    plans.push(planFrom(seed, `order ${plans.length}`, where, ending));
  };
  const delivered = (n: number): Ending => {
    const twists = DELIVERED_TWISTS[n % DELIVERED_TWISTS.length] ?? [];
    const needsLock = twists.some((twist) => LOCK_ONE_TWISTS.includes(twist));
    return {
      until: 'delivered',
      checkSockets: n === 20 ? 3 : n % 7 === 2 || n % 14 === 6 ? 2 : 1,
      twists: [
        ...twists,
        ...(n === 30 || n === 44 ? (['remade'] as const) : []),
        ...(n === 40 || n === 47 ? (['grew_past_rating'] as const) : []),
        ...(n === 52 || n === 53 ? (['reserved_batch'] as const) : []),
      ],
      ...(needsLock || n % 12 === 0 || n === 40 || n === 47 ? { hardware: 'lockOne' } : {}),
    };
  };
  let told = 0;
  for (let n = 0; n < RETURNING; n += 1) {
    add({ patient: n, startsAt: 4 + n * 9 }, delivered(told++));
  }
  for (let n = 0; n < BOTH_SIDES; n += 1) {
    const patient = RETURNING + n;
    const startsAt = 190 + n * 22;
    add({ patient, startsAt, side: 'left' }, delivered(told++));
    add({ patient, startsAt: startsAt + 3, side: 'right' }, delivered(told++));
  }
  const singlesFrom = RETURNING + BOTH_SIDES;
  for (let n = 0; n < SINGLE_DELIVERED; n += 1) {
    const startsAt = Math.round(110 + ((lastDay - 190) * n) / (SINGLE_DELIVERED - 1));
    add({ patient: singlesFrom + n, startsAt }, delivered(told++));
  }
  const newFrom = singlesFrom + SINGLE_DELIVERED;
  for (const [n, ending] of [...OPEN, ...CANCELLED].entries()) {
    const days =
      DAYS_TO[ending.until] +
      ((ending.checkSockets ?? 1) - 1) * DAYS_MORE.checkSocket +
      (ending.twists ?? []).length * DAYS_MORE.anyTwist;
    const startsAt = Math.max(3, lastDay - days - (ending.ago ?? 1));
    const isNew = newFrom + n < PATIENTS;
    add({ patient: isNew ? newFrom + n : newFrom + n - PATIENTS, startsAt }, ending);
  }
  for (let n = 0; n < EARLY_DELIVERED + LATER_DELIVERED; n += 1) {
    const later = n - EARLY_DELIVERED;
    const startsAt =
      later < 0 ? 2 + n * 4 : Math.round(100 + ((lastDay - 180) * later) / (LATER_DELIVERED - 1));
    add({ patient: PATIENTS + n, startsAt }, delivered(told++));
  }
  return plans;
}

const LOCK_ONE_TWISTS: readonly Twist[] = ['near_rating', 'recalled_lot', 'lock_failed_first'];

/** One limb for each patient, so that a second order is for the same one. */
function limbOf(seed: number, patient: number): Pick<Plan, 'side' | 'level'> {
  const chance = chanceOf(seed, `limb ${patient}`);
  return {
    side: chance.one(['left', 'right']),
    level:
      patient % 9 === 4
        ? 'trans_femoral'
        : patient % 13 === 6
          ? 'knee_disarticulation'
          : 'trans_tibial',
  };
}

function planFrom(seed: number, key: string, where: Start, ending: Ending): Plan {
  const chance = chanceOf(seed, key);
  const limb = limbOf(seed, where.patient);
  const hardware =
    ending.hardware ??
    (limb.level === 'trans_tibial'
      ? chance.one(['lockTwo', 'lockTwo', 'noLock'] as const)
      : 'noLock');
  const twists = (ending.twists ?? []).filter(
    (twist) => twist !== 'recalled_lot' || where.startsAt > RECALL_LOT_ARRIVES_AT,
  );
  return {
    key,
    ...limb,
    ...where,
    hardware,
    suspension:
      hardware === 'noLock'
        ? chance.one(['suction', 'vacuum', 'sleeve', 'lanyard'] as const)
        : 'pin_lock',
    checkSockets: ending.checkSockets ?? 1,
    until: ending.until,
    hold: ending.hold,
    cancelledBecause: ending.cancelledBecause,
    twists: new Set(twists),
  };
}
