import { whenInWords } from '../dayWords.ts';
import { entry } from './reason.ts';

/** Refusals about opening and changing orders, and about measures taken for them. */
export const ORDER_REASONS = {
  'order-already-open': entry<{ orders: readonly string[]; side: string; level: string }>({
    rule: null,
    kind: 'conflict',
    title: 'There is an open order for this limb',
    words: (f) =>
      `${f.orders.join(', ')} is open for the same patient, ${f.side} ${f.level.replaceAll('_', '-')}.`,
    wayOut: () => 'Go on with that one; if a second one for the same limb is meant, say so.',
  }),
  'promised-day-past': entry<{ promisedOn: string; today: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The promised day is past',
    words: (f) => `${whenInWords(f.promisedOn)} is before ${whenInWords(f.today)}.`,
    wayOut: () => 'Promise today or a later day, or leave it open.',
  }),
  'not-a-prosthetist': entry<{ personId: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Not a prosthetist of this clinic',
    words: (f) => `${f.personId} is not an active prosthetist of this clinic.`,
    wayOut: () => 'Name a prosthetist of the clinic, or none.',
  }),
  'order-already-on-hold': entry<{ order: string; holdReason: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The order is on hold already',
    words: (f) => `Order ${f.order} is on hold: ${f.holdReason}.`,
    wayOut: () => 'Resume it first if the reason has changed.',
  }),
  'order-is-closed': entry<{ order: string; stage: string }>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The order is closed',
    words: (f) => `Order ${f.order} is ${f.stage}.`,
    wayOut: () => 'Open a service visit or a new order for what is to be done.',
  }),
  'limb-length-implausible': entry<{
    level: string;
    limbLengthMm: number;
    shortest: number;
    longest: number;
  }>({
    rule: null,
    kind: 'invalid',
    title: 'A length that no residual limb has',
    words: (f, m) =>
      `${m.length.of(f.limbLengthMm)} ${m.length.unit}; a ${f.level.replaceAll('_', '-')} limb has ${m.length.of(f.shortest)} to ${m.length.of(f.longest)} ${m.length.unit}.`,
    wayOut: (_f, m) => `Measure from the distal end, in ${m.length.unit}.`,
  }),
};
