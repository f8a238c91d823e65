import { entry } from './reason.ts';

/** Refusals about our own numbers (C9). */
export const IDENTIFIER_REASONS = {
  'order-number-mistyped': entry<{ typed: string; problem: 'shape' | 'check_character' }>({
    rule: null,
    kind: 'invalid',
    title: 'Order number is mistyped',
    words: (f) =>
      f.problem === 'shape'
        ? `"${f.typed}" does not look like an order number.`
        : `"${f.typed}" has a wrong character: its check character does not agree.`,
    wayOut: () =>
      'Scan the traveller, or type the number again as printed: letters, year, five digits, check character.',
  }),
  'socket-number-mistyped': entry<{ typed: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Socket number is mistyped',
    words: (f) => `"${f.typed}" is not an order number followed by /C or /D and a number.`,
    wayOut: () =>
      'Scan the label of the socket, or type its number again: order number, /C1 for a first check socket, /D1 for a first definitive one.',
  }),
};
