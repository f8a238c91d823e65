/**
 * Which of the answers that a page shows a change concerns. Where it cannot be told they are
 * read again: one question too many is nothing beside an old answer.
 */

/** As the service tells it; ids only. */
export interface LiveChange {
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly orderId: string | null;
}

/** An answer in the cache, by its key. */
export interface Shown {
  readonly queryKey: readonly unknown[];
  readonly data: unknown;
}

/** Each asking of these is noted in the record: they are never asked again by themselves. */
const ASKED_BY_PEOPLE = new Set(['trace', 'recall', 'looks']);
export const isAskedByPeople = (key: readonly unknown[]): boolean =>
  ASKED_BY_PEOPLE.has(String(key[0]));

/** Lists and sheets of the shop, with the subjects that change them. */
const CHANGED_BY: Readonly<Record<string, readonly string[]>> = {
  clinic: ['clinic'],
  people: ['person'],
  prosthetists: ['person'],
  'bench-people': ['person'],
  openings: ['patient'],
  patients: ['patient'],
  'look-alikes': ['patient'],
  parts: ['part', 'part_draft'],
  part: ['part'],
  fabrics: ['fabric'],
  'resin-products': ['resin_product'],
  places: ['place', 'socket'],
  'shop-tools': ['shop_tool', 'socket', 'operation'],
  batches: ['batch', 'operation', 'torque_confirmation', 'resin_weighing'],
  'free-items': ['item', 'part', 'socket', 'finding'],
  'long-works': ['long_work'],
};
/** Lists of orders: whatever becomes of one may move it there. */
const OF_ORDERS = new Set(['orders', 'watch', 'offer']);
/** No order's page shows these. */
const OF_NO_ORDER = new Set(['person', 'long_work']);

/** @param shown all that is in the cache: a socket's answer says whose order it is of */
export function concerns(change: LiveChange, query: Shown, shown: readonly Shown[]): boolean {
  const key = String(query.queryKey[0]);
  const kinds = CHANGED_BY[key];
  if (kinds !== undefined) return kinds.includes(change.subjectKind) || mentions(query, change);
  if (OF_NO_ORDER.has(change.subjectKind)) return mentions(query, change);
  if (OF_ORDERS.has(key) || change.orderId === null) return true;
  if (mentions(query, change)) return true;
  const orders = query.queryKey.flatMap((part) =>
    typeof part === 'string' ? (ordersOf(part, shown) ?? []) : [],
  );
  // Not of another order for certain.
  return orders.length === 0 || orders.includes(change.orderId);
}

function mentions({ queryKey, data }: Shown, { subjectId, orderId }: LiveChange): boolean {
  const text = JSON.stringify([queryKey, data]);
  return text.includes(subjectId) || (orderId !== null && text.includes(orderId));
}

/** The order that an id is of: its own, or that of the socket; undefined where no answer says so. */
function ordersOf(id: string, shown: readonly Shown[]): string | undefined {
  for (const { queryKey, data } of shown) {
    if (queryKey[1] !== id || data === undefined || data === null) continue;
    if (queryKey[0] === 'order' && queryKey.length === 2) return id;
    if (queryKey[0] === 'socket') return (data as { order?: { id: string } }).order?.id;
  }
  return undefined;
}
