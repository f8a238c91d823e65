/**
 * The recall of a lot: where each piece of it is, and whether the count closes.
 * The book has three accounts of a lot that are kept apart: the pieces that were
 * entered, the receipts in the ledger of custody, and where each piece is now.
 * Every piece must stand in each of them exactly once; whether that is so is
 * computed each time, never assumed.
 */
import type { PlaceKind, SocketState } from './words.ts';

/** Where a recalled piece can be, as those who must act on the recall ask. */
export const RECALL_STATIONS = [
  /** In a delivered socket: a patient wears it. */
  'worn',
  /** In a socket that is being made or tried. */
  'inWork',
  /** In a socket that was retired or scrapped with the piece still in it. */
  'inRetired',
  'bench',
  'bins',
  'receiving',
  'quarantine',
  'scrap',
] as const;
export type RecallStation = (typeof RECALL_STATIONS)[number];

const STATION_OF_SOCKET = {
  in_work: 'inWork',
  accepted: 'inWork',
  rejected: 'inWork',
  delivered: 'worn',
  retired: 'inRetired',
  scrapped: 'inRetired',
} as const satisfies Record<SocketState, RecallStation>;

const STATION_OF_PLACE = {
  bench: 'bench',
  bin: 'bins',
  receiving: 'receiving',
  quarantine: 'quarantine',
  scrap: 'scrap',
} as const satisfies Record<Exclude<PlaceKind, 'socket_position'>, RecallStation>;

/** Where something in a socket of this state stands. */
export const stationOfSocket = (state: SocketState): RecallStation => STATION_OF_SOCKET[state];

/** The present place of a piece. `socketState` is given where, and only where, it is in a socket. */
export interface PresentPlace {
  readonly placeKind: PlaceKind;
  readonly socketState: SocketState | null;
}

/** The station of a place; null for a socket's position whose socket is not known. */
export function stationOf(place: PresentPlace): RecallStation | null {
  if (place.placeKind !== 'socket_position') return STATION_OF_PLACE[place.placeKind];
  return place.socketState === null ? null : stationOfSocket(place.socketState);
}

/** The three accounts of a lot. Ids are the pieces'. */
export interface LotAccounts {
  readonly enteredIds: readonly string[];
  readonly receiptIds: readonly string[];
  readonly placed: readonly (PresentPlace & { readonly itemId: string })[];
}

export type RecallCounts = Readonly<Record<RecallStation, number>>;

export interface RecallReckoning {
  /** Pieces by the receipts in the ledger. */
  readonly received: number;
  readonly counts: RecallCounts;
  /** The sum of the counts. */
  readonly accountedFor: number;
  /** True where every piece stands in each account exactly once. */
  readonly reconciles: boolean;
  /** Pieces that are not once in each account, sorted: what to look into first. */
  readonly unclear: readonly string[];
}

/** Counts a lot by station and says whether the accounts agree. */
export function reckonLot(accounts: LotAccounts): RecallReckoning {
  const counts = zeroes();
  const placedIds: string[] = [];
  for (const piece of accounts.placed) {
    const station = stationOf(piece);
    if (station === null) continue;
    counts[station] += 1;
    placedIds.push(piece.itemId);
  }
  const tallies = [accounts.enteredIds, accounts.receiptIds, placedIds].map(tally);
  const all = new Set(tallies.flatMap((each) => [...each.keys()]));
  const unclear = [...all].filter((id) => tallies.some((each) => each.get(id) !== 1)).sort();
  return {
    received: accounts.receiptIds.length,
    counts,
    accountedFor: placedIds.length,
    reconciles: unclear.length === 0,
    unclear,
  };
}

/** One use of a batch on a socket. `amount` is in the batch's unit; null where it was not weighed. */
export interface BatchUseOnRecord {
  readonly socketId: string;
  readonly socketState: SocketState;
  readonly amount: number | null;
}

export interface BatchReckoning {
  readonly received: number;
  readonly used: number;
  readonly usesWithoutAmount: number;
  /** Received less used. */
  readonly leftByBook: number;
  /** Whether no more was used than received; null where a use without amount leaves it open. */
  readonly reconciles: boolean | null;
  /** Sockets that the batch went into, each counted once. */
  readonly counts: Pick<RecallCounts, 'worn' | 'inWork' | 'inRetired'>;
}

/** What sums of decimal weights may be off in binary; far below any scale. Common practice, no source. */
const WEIGHING_EPSILON = 1e-3;

/**
 * Counts a batch: how much of it is booked on sockets, and into which sockets it went.
 * @param received in the batch's unit
 */
export function reckonBatch(received: number, uses: readonly BatchUseOnRecord[]): BatchReckoning {
  const used = uses.reduce((sum, use) => sum + (use.amount ?? 0), 0);
  const usesWithoutAmount = uses.filter((use) => use.amount === null).length;
  const states = new Map(uses.map((use) => [use.socketId, use.socketState]));
  const counts = zeroes();
  for (const state of states.values()) counts[stationOfSocket(state)] += 1;
  return {
    received,
    used,
    usesWithoutAmount,
    leftByBook: received - used,
    reconciles: judgeBalance(received, used, usesWithoutAmount),
    counts: { worn: counts.worn, inWork: counts.inWork, inRetired: counts.inRetired },
  };
}

function judgeBalance(received: number, used: number, usesWithoutAmount: number): boolean | null {
  if (used > received + WEIGHING_EPSILON) return false;
  return usesWithoutAmount === 0 ? true : null;
}

const zeroes = (): Record<RecallStation, number> => ({
  worn: 0,
  inWork: 0,
  inRetired: 0,
  bench: 0,
  bins: 0,
  receiving: 0,
  quarantine: 0,
  scrap: 0,
});

function tally(ids: readonly string[]): ReadonlyMap<string, number> {
  const times = new Map<string, number>();
  for (const id of ids) times.set(id, (times.get(id) ?? 0) + 1);
  return times;
}

/** How a call to a wearer ended. Who is reached is called no more; the rest are called again. */
export const CALL_OUTCOMES = ['reached', 'message_left', 'not_reached', 'number_wrong'] as const;
export type CallOutcome = (typeof CALL_OUTCOMES)[number];

/** Of those who wear it, how many were told, and how many are still to be reached. */
export function callsLeft(
  wearers: readonly { readonly calls: readonly { readonly outcome: CallOutcome }[] }[],
): { readonly reached: number; readonly left: number } {
  const reached = wearers.filter(({ calls }) =>
    calls.some(({ outcome }) => outcome === 'reached'),
  ).length;
  return { reached, left: wearers.length - reached };
}
