/**
 * C7: what a socket and an order cost: materials by batch price, hardware,
 * recorded minutes. Money is whole minor units (cents). Every line is rounded
 * to the unit, half up, and totals are the exact sums of the lines, so that a
 * printed account adds up. What has no price is named, never taken for nothing.
 */
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** So much of a batch, which held `batchQuantity` for `batchPriceMinor`; null where nobody entered the price. */
export interface MaterialUse {
  readonly what: string;
  readonly amount: number;
  readonly batchQuantity: number;
  readonly batchPriceMinor: number | null;
}

/** A piece of hardware; it may serve in a check socket and again in the definitive one. */
export interface HardwareUse {
  readonly itemId: string;
  readonly what: string;
  readonly priceMinor: number | null;
}

/** Minutes of one operation; null where nobody recorded them. */
export interface LabourUse {
  readonly what: string;
  readonly minutes: number | null;
  readonly ratePerHourMinor: number | null;
}

export interface SocketUses {
  readonly socket: string;
  /** Made in the place of an earlier socket. */
  readonly remake: boolean;
  readonly materials: readonly MaterialUse[];
  readonly hardware: readonly HardwareUse[];
  readonly labour: readonly LabourUse[];
}

export const COST_KINDS = ['material', 'hardware', 'labour'] as const;
export type CostKind = (typeof COST_KINDS)[number];

export interface CostLine {
  readonly kind: CostKind;
  readonly what: string;
  /** Whole minor units; null where a price or the minutes are not known. */
  readonly costMinor: number | null;
}

/** Sums in whole minor units. */
export interface CostTotals {
  readonly materialMinor: number;
  readonly hardwareMinor: number;
  readonly labourMinor: number;
  readonly totalMinor: number;
  /** What is not in the sums, for want of a price or of minutes. */
  readonly notCosted: readonly string[];
}

export interface SocketCost extends CostTotals {
  readonly socket: string;
  readonly remake: boolean;
  readonly lines: readonly CostLine[];
}

export interface OrderCost extends CostTotals {
  readonly sockets: readonly SocketCost[];
  /** The part of the total that was spent on remakes. */
  readonly remakeMinor: number;
}

const MONEY: Range = {
  what: 'Price',
  least: 0,
  greatest: 1_000_000_000,
  unit: 'minor units',
  usual: 'whole cents, such as 12950 for 129.50',
};
const AMOUNT: Range = {
  what: 'Amount',
  least: 0,
  greatest: 1_000_000,
  unit: '',
  usual: 'in the unit of the batch',
};
const BATCH_QUANTITY: Range = {
  what: 'Quantity of the batch',
  least: 0.001,
  greatest: 1_000_000,
  unit: '',
  usual: 'what it held when it came',
};
const MINUTES: Range = {
  what: 'Minutes',
  least: 0,
  greatest: 10_000,
  unit: 'min',
  usual: '5 to 240 min',
};

function questionMoney(what: string, amountMinor: number | null, field: string): Reason[] {
  if (amountMinor === null) return [];
  const against = questionRange(amountMinor, MONEY, field);
  if (against.length > 0 || Number.isInteger(amountMinor)) return against;
  return [reason('money-not-whole', { what, amountMinor }, field)];
}

/** Amounts are kept to the thousandth of a gram, a millilitre, a metre or a minute. */
const thousandths = (value: number): bigint => BigInt(Math.round(value * 1_000));

/** price·part/whole in whole units, half up, without binary fractions. */
function share(priceMinor: number, part: number, whole: number): number {
  const [numerator, denominator] = [BigInt(priceMinor) * thousandths(part), thousandths(whole)];
  return Number((2n * numerator + denominator) / (2n * denominator));
}

const MINUTES_PER_HOUR = 60;

function questionUses({ materials, hardware, labour }: SocketUses, at: string): Reason[] {
  return [
    ...materials.flatMap(({ what, amount, batchQuantity, batchPriceMinor }, index) => [
      ...questionRange(amount, AMOUNT, `${at}/materials/${index}/amount`),
      ...questionRange(batchQuantity, BATCH_QUANTITY, `${at}/materials/${index}/batchQuantity`),
      ...questionMoney(what, batchPriceMinor, `${at}/materials/${index}/batchPriceMinor`),
    ]),
    ...hardware.flatMap(({ what, priceMinor }, index) =>
      questionMoney(what, priceMinor, `${at}/hardware/${index}/priceMinor`),
    ),
    ...labour.flatMap(({ what, minutes, ratePerHourMinor }, index) => [
      ...(minutes === null ? [] : questionRange(minutes, MINUTES, `${at}/labour/${index}/minutes`)),
      ...questionMoney(what, ratePerHourMinor, `${at}/labour/${index}/ratePerHourMinor`),
    ]),
  ];
}

function linesOf({ materials, hardware, labour }: SocketUses): CostLine[] {
  return [
    ...materials.map(({ what, amount, batchQuantity, batchPriceMinor }): CostLine => ({
      kind: 'material',
      what,
      costMinor: batchPriceMinor === null ? null : share(batchPriceMinor, amount, batchQuantity),
    })),
    ...hardware.map(({ what, priceMinor }): CostLine => ({
      kind: 'hardware',
      what,
      costMinor: priceMinor,
    })),
    ...labour.map(({ what, minutes, ratePerHourMinor }): CostLine => ({
      kind: 'labour',
      what,
      costMinor:
        minutes === null || ratePerHourMinor === null
          ? null
          : share(ratePerHourMinor, minutes, MINUTES_PER_HOUR),
    })),
  ];
}

function totalsOf(lines: readonly CostLine[]): CostTotals {
  const of = (kind: CostKind): number =>
    lines.reduce((sum, line) => sum + (line.kind === kind ? (line.costMinor ?? 0) : 0), 0);
  const materialMinor = of('material');
  const hardwareMinor = of('hardware');
  const labourMinor = of('labour');
  return {
    materialMinor,
    hardwareMinor,
    labourMinor,
    totalMinor: materialMinor + hardwareMinor + labourMinor,
    notCosted: lines.filter((line) => line.costMinor === null).map(({ what }) => what),
  };
}

function costOf(uses: SocketUses): SocketCost {
  const lines = linesOf(uses);
  return { socket: uses.socket, remake: uses.remake, lines, ...totalsOf(lines) };
}

/**
 * The cost of one socket.
 * @returns its lines and totals, or 'value-out-of-range', 'money-not-whole'
 */
export function socketCost(uses: SocketUses): Verdict<SocketCost> {
  const against = questionUses(uses, '');
  return against.length > 0 ? refused(against) : granted(costOf(uses));
}

/** The sockets with each piece of hardware only where it served last. */
function hardwareOnce(sockets: readonly SocketUses[]): SocketUses[] {
  const lastIn = new Map(
    sockets.flatMap(({ hardware }, index) =>
      hardware.map(({ itemId }) => [itemId, index] as const),
    ),
  );
  return sockets.map((uses, index) => ({
    ...uses,
    hardware: uses.hardware.filter(({ itemId }) => lastIn.get(itemId) === index),
  }));
}

/**
 * The cost of an order. Hardware that went from a check socket into the
 * definitive one is counted once, where it served last.
 * @param sockets in the order in which they were made
 * @returns totals, each socket's cost and the remakes' part, or the reasons of `socketCost`
 */
export function orderCost(sockets: readonly SocketUses[]): Verdict<OrderCost> {
  const against = sockets.flatMap((uses, index) => questionUses(uses, `/sockets/${index}`));
  if (against.length > 0) return refused(against);
  const costs = hardwareOnce(sockets).map(costOf);
  return granted({
    ...totalsOf(costs.flatMap(({ lines }) => lines)),
    sockets: costs,
    remakeMinor: costs.reduce((sum, cost) => sum + (cost.remake ? cost.totalMinor : 0), 0),
  });
}

/**
 * Costs gathered under a key (a month "2026-03", a cause of remake): sums and
 * counts, in the order in which the keys first come.
 */
export function costsBy<K extends string>(
  costs: readonly { readonly key: K; readonly totals: CostTotals }[],
): {
  readonly key: K;
  readonly count: number;
  readonly totalMinor: number;
  readonly notCosted: number;
}[] {
  const keys = [...new Set(costs.map(({ key }) => key))];
  return keys.map((key) => {
    const group = costs.filter((cost) => cost.key === key);
    return {
      key,
      count: group.length,
      totalMinor: group.reduce((sum, { totals }) => sum + totals.totalMinor, 0),
      notCosted: group.reduce((sum, { totals }) => sum + totals.notCosted.length, 0),
    };
  });
}

/** What is kept in a clinic's currency. */
export interface MoneyKept {
  /** How many batches and pieces have a price. */
  readonly batches: number;
  readonly items: number;
  /** The labour rate, where a change leaves it as it is. */
  readonly labourRate: boolean;
}

/** 'currency-in-use' where a currency cannot be changed or taken back for what is kept in it. */
export function judgeNewCurrency(
  currency: string,
  { batches, items, labourRate }: MoneyKept,
): Reason[] {
  const kept = [
    ...(batches > 0 ? [`prices of batches (${batches})`] : []),
    ...(items > 0 ? [`prices of pieces (${items})`] : []),
    ...(labourRate ? ['the labour rate'] : []),
  ];
  return kept.length > 0 ? [reason('currency-in-use', { currency, kept }, '/currency')] : [];
}
