import { whenInWords } from '../dayWords.ts';
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
  'cap-depth-disagrees': entry<{ capDepthMm: number; lowestMm: number; withinMm: number }>({
    rule: null,
    kind: 'invalid',
    title: 'The depth of the cap and the lowest height disagree',
    words: (f, m) =>
      `The lowest circumference is ${m.length.of(f.lowestMm, 1)} ${m.length.unit} above the distal end, and the cap below it is given as ${m.length.of(f.capDepthMm, 1)} ${m.length.unit} deep; the two may differ by ${m.length.of(f.withinMm)} ${m.length.unit}.`,
    wayOut: () =>
      'Measure both from the distal end again. A cap below a lowest height of 0 is given alone; else leave it out: it is the lowest height.',
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
    words: (f, m) =>
      `One set runs from ${m.length.of(f.firstFromMm, 1)} to ${m.length.of(f.firstToMm, 1)} ${m.length.unit} above the distal end, the other from ${m.length.of(f.secondFromMm, 1)} to ${m.length.of(f.secondToMm, 1)} ${m.length.unit}; at least ${m.length.of(f.leastCommonMm)} ${m.length.unit} must be in both.`,
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
    words: (f, m) =>
      `Between ${m.length.of(f.fromMm, 1)} and ${m.length.of(f.toMm, 1)} ${m.length.unit} the limb has ${f.differenceMl < 0 ? 'lost' : 'gained'} ${figure(Math.abs(f.differenceMl), 0)} mL (${figure(Math.abs(f.percent), 1)} %), about ${Math.abs(f.ply)} ply of sock ${f.ply < 0 ? 'less' : 'more'}; the clinic asks past ${figure(f.limitPercent)} %.`,
    wayOut: () => 'A prosthetist decides and records it: a new cast, socks, or as it is.',
  }),
  'measure-set-with-itself': entry<{ takenOn: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Twice the same set of measures',
    words: (f) => `Both are the set of ${whenInWords(f.takenOn)}.`,
    wayOut: () => 'Name two different sets of measures of the limb.',
  }),
  'measure-sets-of-two-limbs': entry<{ first: string; second: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Measures of two limbs are not compared',
    words: (f) => `One set is of ${f.first}, the other of ${f.second}.`,
    wayOut: () => 'Name two sets of one limb: same patient, same side, same level.',
  }),
  'socket-of-another-order': entry<{ socket: string; order: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The socket on trial is of another order',
    words: (f) => `${f.socket} is not a socket of order ${f.order}.`,
    wayOut: () => 'Name the socket of this order that was on trial, or none.',
  }),
  'no-decision-asked': entry<{ percent: number; limitPercent: number }>({
    rule: null,
    kind: 'rule',
    title: 'Nothing to decide',
    words: (f) =>
      `The limb has changed by ${figure(f.percent, 1)} %; the clinic asks past ${figure(f.limitPercent)} %.`,
    wayOut: () => 'Go on; a fit that is not right is judged as a fit.',
  }),
  'volume-already-decided': entry<{ decision: string; by: string; at: string }>({
    rule: 'R10',
    kind: 'conflict',
    title: 'It was decided already',
    words: (f) =>
      `${f.by} decided on these two sets on ${whenInWords(f.at)}: ${f.decision.replaceAll('_', ' ')}.`,
    wayOut: () => 'If the limb has changed since, measure it again and decide on the new set.',
  }),
  'limb-change-undecided': entry<{
    socket: string;
    cast: number;
    takenOn: string;
    differenceMl: number;
    percent: number;
    limitPercent: number;
    laterCast: number | null;
  }>({
    rule: 'R8',
    kind: 'rule',
    title: 'The limb has changed since its cast, and nobody has decided',
    words: (f) =>
      `${f.socket} comes from cast ${f.cast}; by the measures of ${whenInWords(f.takenOn)} the limb has ${f.differenceMl < 0 ? 'lost' : 'gained'} ${figure(Math.abs(f.differenceMl), 0)} mL (${figure(Math.abs(f.percent), 1)} %) since, and the clinic asks past ${figure(f.limitPercent)} %.`,
    wayOut: (f) =>
      f.laterCast === null
        ? 'A prosthetist decides on the two sets of measures: a new cast, socks, or as it is.'
        : `Cast ${f.laterCast} is accepted: make the socket from it.`,
  }),
  'not-the-newest-measures': entry<{
    first: string;
    second: string;
    cast: string | null;
    newest: string | null;
  }>({
    rule: 'R8',
    kind: 'rule',
    title: 'These are not the newest measures',
    words: (f) =>
      `The decision named is on the sets of ${f.first} and ${f.second}; the newest accepted cast of the order ${f.cast === null ? 'is none' : `was taken on ${f.cast}`}, the newest measures of the limb ${f.newest === null ? 'are none' : `on ${f.newest}`}.`,
    wayOut: () => 'Decide on the set of the newest accepted cast and the newest set of the limb.',
  }),
  'new-cast-decided': entry<{ socket: string | null; cast: number; takenOn: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'A new cast was decided',
    words: (f) =>
      `After the measures of ${whenInWords(f.takenOn)} a prosthetist decided on a new cast; ${f.socket === null ? `nothing more is made from cast ${f.cast}` : `${f.socket} still comes from cast ${f.cast}`}.`,
    wayOut: () => 'Take the new cast and make the socket from it.',
  }),
};
