import { whenInWords } from '../dayWords.ts';
import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals about the range of an adapter (C6), and about signing for a difference (R14). */
export const ALIGNMENT_REASONS = {
  'adapter-range-exceeded': entry<{ item: string | null; tiltDeg: number; rangeDeg: number }>({
    rule: null,
    kind: 'rule',
    title: 'The adapter does not reach this alignment',
    words: (f) =>
      `${f.item === null ? 'It' : `The alignment on ${f.item}`} needs a tilt of ${figure(f.tiltDeg, 1)}°; the adapter reaches ${figure(f.rangeDeg, 1)}°.`,
    wayOut: () =>
      'Set the distal plate at another angle, or use an adapter that its maker states a greater range for; else the prosthetist signs for this very alignment.',
  }),
  'alignment-superseded': entry<{ socket: string; measuredAt: string }>({
    rule: 'R14',
    kind: 'conflict',
    title: 'It was measured again since',
    words: (f) =>
      `The alignment named is not the newest of ${f.socket}: that was measured on ${whenInWords(f.measuredAt)}.`,
    wayOut: () =>
      'Look at the newest alignment of the socket and sign that one, if it may be worn.',
  }),
  'alignment-difference-none': entry<{ socket: string }>({
    rule: 'R14',
    kind: 'rule',
    title: 'Nothing to accept',
    words: (f) =>
      `The alignment of ${f.socket} is within the clinic's tolerance and its adapter's range, or there is nothing to compare it with.`,
    wayOut: () => 'Go on; no signature is needed.',
  }),
  'alignment-difference-signed': entry<{ socket: string; by: string; at: string }>({
    rule: 'R14',
    kind: 'conflict',
    title: 'It is signed already',
    words: (f) => `${f.by} accepted this very alignment of ${f.socket} on ${whenInWords(f.at)}.`,
    wayOut: () => 'Go on; if it was changed since, measure it again.',
  }),
};
