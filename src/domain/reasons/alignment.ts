import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals about the range of an adapter (C6). */
export const ALIGNMENT_REASONS = {
  'adapter-range-exceeded': entry<{ tiltDeg: number; rangeDeg: number }>({
    rule: null,
    kind: 'rule',
    title: 'The adapter does not reach this alignment',
    words: (f) =>
      `It needs a tilt of ${figure(f.tiltDeg, 1)}°; the adapter reaches ${figure(f.rangeDeg, 1)}°.`,
    wayOut: () =>
      'Set the distal plate at another angle, or use an adapter that its maker states a greater range for.',
  }),
};
