/** The invented clinic as its stories see it: who works there, what it has, and where things lie. */
import type { Caller } from '../../src/store/act.ts';
import type { PartKey } from './catalogue.ts';
import type { Chance } from './chance.ts';
import type { StaffKey } from './names.ts';
import type { DemoTool, Lendable, Materials, Shelves } from './shelves.ts';
import type { Workdays } from './workdays.ts';

export interface House {
  readonly seed: number;
  readonly workdays: Workdays;
  readonly people: Record<StaffKey, Caller>;
  readonly partIds: Record<PartKey, string>;
  /** One for each part, and 'tools'. */
  readonly bins: Record<PartKey | 'tools', string>;
  /** The one resin that the house laminates with. */
  readonly resinProductId: string;
  readonly shelves: Shelves;
  readonly materials: Materials;
  readonly dummies: Lendable;
  /** For the distal joint. */
  readonly wrenches: DemoTool[];
  /** For small screws; the second one shows lbf·in. */
  readonly drivers: DemoTool[];
}

/** The working day on which the former technician leaves. */
export const FORMER_LEAVES_AT = 320;

/** A technician who works there on that day. */
export function technicianOn(house: House, chance: Chance, index: number): Caller {
  const { technician, secondTechnician, thirdTechnician, formerTechnician } = house.people;
  return chance.one([
    technician,
    secondTechnician,
    index < FORMER_LEAVES_AT ? formerTechnician : thirdTechnician,
  ]);
}
