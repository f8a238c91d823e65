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

/** One material (a product or a fabric) on the shelf; all amounts in one unit. */
export interface ShelfFacts {
  readonly batches: readonly ShelfBatch[];
  /** What was used up in the last `windowDays`. */
  readonly used: number;
  readonly windowDays: number;
  /** From the order to the shelf. */
  readonly leadDays: number;
  /** For how long an order should last. */
  readonly coverDays: number;
  readonly today: Day;
}

export interface ShelfOutlook {
  readonly usedPerDay: number;
  /** What can be used before it expires, at this pace. */
  readonly usable: number;
  /** What is there and will not be used in time: expired, quarantined, or too much. */
  readonly notCountedOn: number;
  /** Whole days until the shelf is empty; null where nothing is used. */
  readonly lastsDays: number | null;
  readonly emptyOn: Day | null;
  readonly reorder: boolean;
  /** What brings the shelf to lead time and cover; 0 where nothing is to be ordered. */
  readonly orderAmount: number;
}

export const SHELF_RANGES = {
  used: { what: 'Amount used', least: 0, greatest: 1e9, unit: '', usual: 'what the records say' },
  windowDays: { what: 'Window', least: 7, greatest: 730, unit: 'days', usual: '90 days' },
  leadDays: { what: 'Delivery time', least: 0, greatest: 365, unit: 'days', usual: '7 to 30 days' },
  coverDays: { what: 'Cover', least: 1, greatest: 730, unit: 'days', usual: '30 to 90 days' },
} as const satisfies Record<string, Range>;

/** How a new clinic looks at its shelves. Common practice, no source. */
export const STARTING_SHELF_SETTINGS = { windowDays: 90, leadDays: 14, coverDays: 60 } as const;

const BATCH_LEFT = {
  left: { what: 'Amount left', least: 0, greatest: 1e9, unit: '', usual: 'what the records say' },
} as const satisfies Record<string, Range>;

/** Days whose whole number is only missed by binary fractions. */
const ROUND_OFF = 1e-9;

/** First to expire first; what does not expire last. */
const byExpiry = (a: ShelfBatch, b: ShelfBatch): number => {
  if (a.expiresOn === null) return b.expiresOn === null ? 0 : 1;
  if (b.expiresOn === null) return -1;
  return daysBetween(b.expiresOn, a.expiresOn);
};

/** The days, today counted, on which a batch may be used; none where it is past or quarantined. */
function daysUsable({ expiresOn, quarantined }: ShelfBatch, today: Day): number {
  if (quarantined) return 0;
  if (expiresOn === null) return Infinity;
  return isBefore(expiresOn, today) ? 0 : daysBetween(today, expiresOn) + 1;
}

/**
 * Looks ahead on a material at the pace of its last `windowDays`.
 * @returns the outlook, or 'value-out-of-range'
 */
export function shelfOutlook(facts: ShelfFacts): Verdict<ShelfOutlook> {
  const { batches, today, leadDays, coverDays } = facts;
  const against: Reason[] = [
    ...questionFields(facts, SHELF_RANGES),
    ...batches.flatMap((batch, index) => questionFields(batch, BATCH_LEFT, `/batches/${index}`)),
  ];
  if (against.length > 0) return refused(against);

  const usedPerDay = facts.used / facts.windowDays;
  const there = batches.reduce((sum, { left }) => sum + left, 0);
  let usable = 0;
  for (const batch of batches.toSorted(byExpiry)) {
    const daysOfUse = daysUsable(batch, today);
    // All that is used until this batch's last day, less what was used of those before it.
    const room = daysOfUse === Infinity ? Infinity : usedPerDay * daysOfUse - usable;
    usable += daysOfUse === 0 ? 0 : Math.max(0, Math.min(batch.left, room));
  }
  const wanted = usedPerDay * (leadDays + coverDays);
  const lastsDays = usedPerDay === 0 ? null : Math.floor(usable / usedPerDay + ROUND_OFF);
  const reorder = lastsDays !== null && lastsDays <= leadDays;
  return granted({
    usedPerDay,
    usable,
    notCountedOn: there - usable,
    lastsDays,
    emptyOn: lastsDays === null ? null : addDays(today, lastsDays),
    reorder,
    orderAmount: reorder ? wanted - usable : 0,
  });
}
