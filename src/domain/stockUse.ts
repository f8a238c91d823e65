/**
 * C3: how long a material on the shelf lasts at the pace of the shop, and
 * whether to reorder. Batches are used up in the order in which they expire;
 * what would outlive its last day is not counted on.
 */
import { addDays, daysBetween, isBefore, type Day } from './days.ts';
import { questionFields, type Range } from './ranges.ts';
import type { Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

export interface ShelfBatch {
  readonly left: number;
  /** The last day on which it may be used; null where it does not expire. */
  readonly expiresOn: Day | null;
  readonly quarantined: boolean;
}

/** measured: by amounts on record · not_known: used, but never with an amount · none: not used. */
export const SHELF_PACES = ['measured', 'not_known', 'none'] as const;
export type ShelfPace = (typeof SHELF_PACES)[number];

/** One material (a product or a fabric) on the shelf; all amounts in one unit. */
export interface ShelfFacts {
  readonly batches: readonly ShelfBatch[];
  /** What was used up in the last `paceDays`, as far as amounts were recorded. */
  readonly used: number;
  /** Uses in that time without an amount. */
  readonly usesNotMeasured: number;
  readonly paceDays: number;
  /** From the order to the shelf. */
  readonly leadDays: number;
  /** For how long an order should last. */
  readonly coverDays: number;
  readonly today: Day;
}

export interface ShelfOutlook {
  readonly pace: ShelfPace;
  readonly usedPerDay: number;
  /** What can be used before it expires, at this pace; where that is not known, what may be used today. */
  readonly usable: number;
  /** What is there and will not be used in time: expired, quarantined, or (at a known pace) too much. */
  readonly notCountedOn: number;
  /** Whole days until the shelf is empty; null where no pace says so, and past ten years. */
  readonly lastsDays: number | null;
  readonly emptyOn: Day | null;
  readonly reorder: boolean;
  /** What brings the shelf to lead time and cover; 0 where nothing is to be ordered. */
  readonly orderAmount: number;
  /** How long it lasts, said in a sentence. */
  readonly inWords: string;
}

export const SHELF_RANGES = {
  used: { what: 'Amount used', least: 0, greatest: 1e9, unit: '', usual: 'what the records say' },
  usesNotMeasured: {
    what: 'Uses without an amount',
    least: 0,
    greatest: 1e9,
    unit: '',
    usual: 'what the records say',
  },
  paceDays: { what: 'Window', least: 7, greatest: 730, unit: 'days', usual: '90 days' },
  leadDays: { what: 'Delivery time', least: 0, greatest: 365, unit: 'days', usual: '7 to 30 days' },
  coverDays: { what: 'Cover', least: 1, greatest: 730, unit: 'days', usual: '30 to 90 days' },
} as const satisfies Record<string, Range>;

/** How a new clinic looks at its shelves. Common practice, no source. */
export const STARTING_SHELF_SETTINGS = { windowDays: 90, leadDays: 14, coverDays: 60 } as const;

const BATCH_LEFT = {
  left: { what: 'Amount left', least: 0, greatest: 1e9, unit: '', usual: 'what the records say' },
} as const satisfies Record<string, Range>;

/**
 * Over how many days the pace is taken: the window, or the days that the clinic has
 * records for where these are fewer; never less than a week, which is no pace.
 */
export const paceDaysOf = (windowDays: number, recordDays: number): number =>
  Math.min(windowDays, Math.max(SHELF_RANGES.paceDays.least, recordDays));

/** Ten years: past that a day on which a shelf is empty says nothing. */
const FAR_DAYS = 3_652;

/** Days whose whole number is only missed by binary fractions. */
const ROUND_OFF = 1e-9;

/** First to expire first; what does not expire last. */
const byExpiry = (a: ShelfBatch, b: ShelfBatch): number => {
  if (a.expiresOn === null) return b.expiresOn === null ? 0 : 1;
  if (b.expiresOn === null) return -1;
  return daysBetween(b.expiresOn, a.expiresOn);
};

function paceOf(usedPerDay: number, usesNotMeasured: number): ShelfPace {
  if (usedPerDay > 0) return 'measured';
  return usesNotMeasured > 0 ? 'not_known' : 'none';
}

/** The days, today counted, on which a batch may be used; none where it is past or quarantined. */
function daysUsable({ expiresOn, quarantined }: ShelfBatch, today: Day): number {
  if (quarantined) return 0;
  if (expiresOn === null) return Infinity;
  return isBefore(expiresOn, today) ? 0 : daysBetween(today, expiresOn) + 1;
}

/** What is used until a batch's last day, at a pace; all of it where the pace is not known. */
const usedUntil = (daysOfUse: number, usedPerDay: number, pace: ShelfPace): number =>
  daysOfUse === Infinity || pace === 'not_known' ? Infinity : usedPerDay * daysOfUse;

function inWords(
  pace: ShelfPace,
  { usesNotMeasured, paceDays }: ShelfFacts,
  lastsDays: number | null,
): string {
  const uses = usesNotMeasured === 1 ? '1 use' : `${usesNotMeasured} uses`;
  if (pace === 'none') return `Not used in ${paceDays} days.`;
  if (pace === 'not_known') {
    return `Pace not known: ${uses} in ${paceDays} days, none of them with an amount.`;
  }
  const lasts =
    lastsDays === null
      ? 'At this pace it lasts more than ten years.'
      : `At this pace it lasts ${lastsDays} days.`;
  return usesNotMeasured === 0 ? lasts : `${lasts} It goes faster: ${uses} without an amount.`;
}

/**
 * Looks ahead on a material at the pace of its last `paceDays`.
 * @returns the outlook, or 'value-out-of-range'
 */
export function shelfOutlook(facts: ShelfFacts): Verdict<ShelfOutlook> {
  const { batches, today, leadDays, coverDays } = facts;
  const against: Reason[] = [
    ...questionFields(facts, SHELF_RANGES),
    ...batches.flatMap((batch, index) => questionFields(batch, BATCH_LEFT, `/batches/${index}`)),
  ];
  if (against.length > 0) return refused(against);

  const usedPerDay = facts.used / facts.paceDays;
  const pace = paceOf(usedPerDay, facts.usesNotMeasured);
  const there = batches.reduce((sum, { left }) => sum + left, 0);
  let usable = 0;
  for (const batch of batches.toSorted(byExpiry)) {
    const daysOfUse = daysUsable(batch, today);
    // All that is used until this batch's last day, less what was used of those before it.
    const room = usedUntil(daysOfUse, usedPerDay, pace) - usable;
    usable += daysOfUse === 0 ? 0 : Math.max(0, Math.min(batch.left, room));
  }
  const wanted = usedPerDay * (leadDays + coverDays);
  const days = pace === 'measured' ? Math.floor(usable / usedPerDay + ROUND_OFF) : Infinity;
  const lastsDays = days > FAR_DAYS ? null : days;
  const reorder = lastsDays !== null && lastsDays <= leadDays;
  return granted({
    pace,
    usedPerDay,
    usable,
    notCountedOn: there - usable,
    lastsDays,
    emptyOn: lastsDays === null ? null : addDays(today, lastsDays),
    reorder,
    orderAmount: reorder ? wanted - usable : 0,
    inWords: inWords(pace, facts, lastsDays),
  });
}
