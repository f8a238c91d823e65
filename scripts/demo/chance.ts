/** Seeded chance: the same seed and name give the same draws on every machine. */
import { createHash } from 'node:crypto';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

export interface Chance {
  /** A whole number between both ends, included. */
  whole(from: number, to: number): number;
  /** True in so many of a hundred draws. */
  inHundred(percent: number): boolean;
  one<T>(of: readonly T[]): T;
}

/** @param name what the draws are for: each story draws from its own, so that none disturbs another. */
export function chanceOf(seed: number, name: string): Chance {
  const digest = createHash('sha256').update(`${seed} ${name}`).digest();
  const source = xoroshiro128plus(digest.readInt32LE(0));
  const whole = (from: number, to: number) => uniformInt(source, from, to);
  return {
    whole,
    inHundred: (percent) => whole(1, 100) <= percent,
    one: (of) => {
      const drawn = of[whole(0, of.length - 1)];
      if (drawn === undefined) throw new RangeError('Nothing to draw from.');
      return drawn;
    },
  };
}
