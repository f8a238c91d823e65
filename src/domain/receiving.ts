/**
 * Stock by its label (C9): which pieces a label stands for, when they are
 * received. What the label says counts; what it leaves out is typed from the
 * package; what contradicts it, or could be read in two ways, is refused.
 */
import { isBefore, type Day } from './days.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { Udi } from './udi.ts';
import { unless, type Verdict } from './verdict.ts';

/** What may be typed beside a label that leaves it out. */
export interface TypedBeside {
  readonly serial: string | null;
  readonly lot: string | null;
  readonly expiresOn: Day | null;
  readonly count: number | null;
}

/** Pieces to be received: one with a serial, or so many of a lot. */
export interface LabelledPieces {
  readonly serial: string | null;
  readonly lot: string | null;
  readonly count: number;
  readonly expiresOn: Day | null;
  readonly madeOn: Day | null;
}

/** Pieces that one act receives; more come in several. */
const PIECES: Range = {
  what: 'The number of pieces',
  least: 1,
  greatest: 200,
  unit: '',
  usual: '1 to 50 of a lot',
};

/**
 * Everything against the days of a piece that comes in: 'label-expired',
 * 'day-in-future', 'day-order-wrong'.
 * @param today the clinic's day
 */
export function judgeReceivedDays(
  part: string,
  { expiresOn, madeOn }: { readonly expiresOn: Day | null; readonly madeOn: Day | null },
  today: Day,
): Reason[] {
  const against: Reason[] = [];
  if (expiresOn !== null && isBefore(expiresOn, today)) {
    against.push(reason('label-expired', { part, expiresOn, on: today }, '/expiresOn'));
  }
  if (madeOn !== null && isBefore(today, madeOn)) {
    const facts = { what: 'The day it was made', day: madeOn, today };
    against.push(reason('day-in-future', facts, '/madeOn'));
  }
  if (madeOn !== null && expiresOn !== null && isBefore(expiresOn, madeOn)) {
    const facts = { what: 'The day of expiry', day: expiresOn, earliest: madeOn };
    against.push(reason('day-order-wrong', facts, '/expiresOn'));
  }
  return against;
}

/**
 * Serials of one part that differ only in capital and small letters: two pieces, or one
 * that was typed twice. Makers do print both, so it is a warning ('serial-differs-in-case')
 * and no refusal.
 * @param serials those that come in
 * @param known those of the part that are in the book
 */
export const serialLookAlikes = (
  part: string,
  serials: readonly string[],
  known: readonly string[],
): Reason[] =>
  serials.flatMap((serial, at) =>
    [...known, ...serials.slice(at + 1)]
      .filter((other) => other !== serial && other.toLowerCase() === serial.toLowerCase())
      .map((other) => reason('serial-differs-in-case', { part, serial, other })),
  );

const TYPED_WORDS = { serial: 'serial number', lot: 'lot', expiresOn: 'last day of use' } as const;

const saysOtherwise = (field: string, what: string, label: string, byHand: string): Reason =>
  reason('label-says-otherwise', { what, label, byHand }, `/${field}`);

/** The pieces that serial, lot and counts stand for, and what stands against them. */
function counted(
  part: string,
  { serial, lot }: Pick<LabelledPieces, 'serial' | 'lot'>,
  quantity: number | null,
  typed: number | null,
): { readonly count: number; readonly against: readonly Reason[] } {
  if (serial !== null) {
    // A package may have a serial of its own; which serials are inside, its label does not say.
    if (quantity !== null && quantity > 1) {
      return { count: 1, against: [reason('label-of-a-package', { serial, quantity })] };
    }
    return {
      count: 1,
      against:
        typed === null || typed === 1
          ? []
          : [saysOtherwise('count', 'number of pieces', '1, as of any serial', String(typed))],
    };
  }
  if (lot === null) {
    return { count: 0, against: [reason('label-without-serial-or-lot', { part })] };
  }
  const count = quantity ?? typed;
  if (count === null) {
    return { count: 0, against: [reason('label-count-missing', { lot }, '/count')] };
  }
  return {
    count,
    against: [
      ...(typed === null || typed === count
        ? []
        : [saysOtherwise('count', 'number of pieces', String(count), String(typed))]),
      ...questionRange(count, PIECES, '/count'),
    ],
  };
}

/**
 * Which pieces of a known part a label stands for.
 * @param today the clinic's day
 * @returns the pieces, or every one of 'label-says-otherwise',
 *   'label-without-serial-or-lot', 'label-of-a-package', 'label-count-missing',
 *   'value-out-of-range', 'label-expired', 'day-in-future', 'day-order-wrong'
 */
export function judgeLabelled(
  part: string,
  label: Pick<Udi, 'serial' | 'lot' | 'expiresOn' | 'madeOn' | 'quantity'>,
  typed: TypedBeside,
  today: Day,
): Verdict<LabelledPieces> {
  const { quantity, madeOn } = label;
  const [serial, lot, expiresOn] = [
    label.serial ?? typed.serial,
    label.lot ?? typed.lot,
    label.expiresOn ?? typed.expiresOn,
  ];
  const { count, against } = counted(part, { serial, lot }, quantity, typed.count);
  return unless(
    [
      ...(['serial', 'lot', 'expiresOn'] as const).flatMap((field) => {
        const [says, hand] = [label[field], typed[field]];
        return says === null || hand === null || says === hand
          ? []
          : [saysOtherwise(field, TYPED_WORDS[field], says, hand)];
      }),
      ...against,
      ...judgeReceivedDays(part, { expiresOn, madeOn }, today),
    ],
    { serial, lot, count, expiresOn, madeOn },
  );
}
