/** One order's story while it is told. */
import type { Alignment } from '../../src/domain/alignment.ts';
import type { Caller } from '../../src/store/act.ts';
import type { Bench } from './bench.ts';
import type { Chance } from './chance.ts';
import { technicianOn, type House } from './house.ts';
import type { Milestone, Plan, Twist } from './plans.ts';
import type { Diary } from './workdays.ts';

/** A patient as the stories of all orders for them know it. */
export interface DemoPatient {
  readonly index: number;
  /** Set when the patient is entered. */
  id: string;
  readonly givenName: string;
  readonly familyName: string;
  massKg: number;
}

export interface Limb {
  readonly house: House;
  readonly plan: Plan;
  readonly chance: Chance;
  readonly diary: Diary;
  readonly patient: DemoPatient;
  readonly prosthetist: Caller;
  orderId: string;
  bench: Bench;
  /** Null while no fit is accepted, or where check fitting was skipped. */
  accepted: Alignment | null;
}

/** Thrown by `reached` where a story stops; caught by the story of its order. */
export class StoryStops extends Error {
  override readonly name = 'StoryStops';
}

/** Ends the story where its plan says so. @throws StoryStops */
export function reached(limb: Limb, milestone: Milestone): void {
  if (limb.plan.until === milestone) throw new StoryStops(milestone);
}

export const takes = (limb: Limb, twist: Twist): boolean => limb.plan.twists.has(twist);

/** Whoever of the technicians is at the bench on the diary's day. */
export const atBench = (limb: Limb): Caller =>
  technicianOn(limb.house, limb.chance, limb.diary.index);

export function newBench(
  house: House,
  chance: Chance,
  plan: Pick<Plan, 'hardware' | 'twists'>,
): Bench {
  return {
    house,
    chance,
    hardware: plan.hardware,
    recalled: plan.twists.has('recalled_lot'),
    reservedBatch: plan.twists.has('reserved_batch'),
    socketId: '',
    operations: [],
    hardwareIn: '',
    holds: new Map(),
  };
}
