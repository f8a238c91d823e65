/** Where hardware sits in a socket, from the distal end inwards, and which kinds of piece go there. */
import { POSITION_TAKES } from '../../domain/words.ts';
import type { Item, Position, Socket } from './record.ts';

type ItemPosition = Exclude<Position, 'dummy' | 'tooling_plate'>;

const OF_EVERY_LIMB = [
  'pyramid',
  'adapter',
  'distal_screws',
  'lock_plate',
  'plate_screws',
] as const;
const OF_A_LOCK = ['lock', 'lock_spring', 'release_valve', 'pin'] as const;

/** The positions of a socket: those of a lock only where it has one, or something is there all the same. */
export const positionsOf = (
  suspension: Socket['order']['suspension'],
  held: readonly { readonly position: Position }[],
): readonly ItemPosition[] => [
  ...OF_A_LOCK.filter(
    (each) => suspension === 'pin_lock' || held.some(({ position }) => position === each),
  ),
  ...OF_EVERY_LIMB,
];

export const kindAt = (position: ItemPosition): Item['part']['kind'] => POSITION_TAKES[position];
