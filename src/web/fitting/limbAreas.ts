/** Where the areas of a limb lie on a drawn one, seen from the front and from behind. */
import type { Schemas } from '../api.ts';

export type LimbArea = NonNullable<Schemas['RejectFitInput']['areas']>[number];
type Level = Schemas['Order']['level'];

/** Half axes and middle of an area; x counts outwards (lateral +) from the limb's axis, y down. */
export interface AreaOnLimb {
  readonly area: LimbArea;
  readonly view: 'front' | 'back';
  readonly x: number;
  readonly y: number;
  readonly rx: number;
  readonly ry: number;
}

const at = (
  area: LimbArea,
  [x, y]: readonly [number, number],
  [rx, ry]: readonly [number, number],
  view: AreaOnLimb['view'] = 'front',
): AreaOnLimb => ({ area, view, x, y, rx, ry });

const BELOW_KNEE: readonly AreaOnLimb[] = [
  at('proximal_brim', [0, 26], [46, 10]),
  at('patellar_tendon', [0, 56], [16, 11]),
  at('medial_tibial_flare', [-30, 82], [13, 17]),
  at('fibular_head', [34, 80], [11, 13]),
  at('tibial_crest', [-3, 132], [10, 46]),
  at('fibular_end', [25, 200], [11, 13]),
  at('tibial_end', [-8, 206], [13, 14]),
  at('distal_end', [0, 241], [25, 11]),
  at('popliteal', [0, 70], [28, 17], 'back'),
];
const ABOVE_KNEE: readonly AreaOnLimb[] = [
  at('proximal_brim', [0, 26], [46, 10]),
  at('adductor_roll', [-34, 58], [13, 19]),
  at('femoral_end', [4, 204], [14, 15]),
  at('distal_end', [0, 241], [25, 11]),
  at('ischium', [-14, 54], [17, 13], 'back'),
];
const ON_LIMB: Readonly<Record<Level, readonly AreaOnLimb[]>> = {
  trans_tibial: BELOW_KNEE,
  ankle_disarticulation: BELOW_KNEE,
  trans_femoral: ABOVE_KNEE,
  knee_disarticulation: ABOVE_KNEE,
};

export const areasOn = (level: Level): readonly AreaOnLimb[] => ON_LIMB[level];

/** The outline about the limb's axis; the same from the front and from behind. */
export const OUTLINE = 'M-46 24C-53 90,-41 175,-35 215C-31 262,31 262,35 215C41 175,53 90,46 24Z';
export const VIEW = { width: 150, height: 268 } as const;
