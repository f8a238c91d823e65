import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals and questions about the shape and volume of a residual limb (C1). */
export const LIMB_REASONS = {
  'measures-too-few': entry<{ count: number; least: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Too few measures for a volume',
    words: (f) => `The table has ${f.count} heights; at least ${f.least} are needed.`,
    wayOut: () => 'Measure the circumference at more heights.',
  }),
  'measures-do-not-overlap': entry<{
    firstFromMm: number;
    firstToMm: number;
    secondFromMm: number;
    secondToMm: number;
    leastCommonMm: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'The two sets of measures have too little in common',
    words: (f) =>
      `One set runs from ${figure(f.firstFromMm, 1)} to ${figure(f.firstToMm, 1)} mm above the distal end, the other from ${figure(f.secondFromMm, 1)} to ${figure(f.secondToMm, 1)} mm; at least ${f.leastCommonMm} mm must be in both.`,
    wayOut: () => 'Measure again at the heights of the first set, then compare.',
  }),
  'limb-volume-changed': entry<{
    differenceMl: number;
    percent: number;
    limitPercent: number;
    ply: number;
    fromMm: number;
    toMm: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'The limb has changed more than the clinic lets pass',
    words: (f) =>
      `Between ${figure(f.fromMm, 1)} and ${figure(f.toMm, 1)} mm the limb has ${f.differenceMl < 0 ? 'lost' : 'gained'} ${figure(Math.abs(f.differenceMl), 0)} mL (${figure(Math.abs(f.percent), 1)} %), about ${Math.abs(f.ply)} ply of sock ${f.ply < 0 ? 'less' : 'more'}; the clinic asks past ${figure(f.limitPercent)} %.`,
    wayOut: () => 'A prosthetist decides and records it: a new cast, socks, or as it is.',
  }),
};
