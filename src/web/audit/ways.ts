/** The way of each piece through places and time, told by the moves of a trace. */
import type { Schemas } from '../api.ts';

type Trace = Schemas['Trace'];
type Row = Trace['rows'][number];
type MoveRow = Extract<Row, { kind: 'move' }>;
type Chain = Trace['chain'];

/** The time in one place. */
export interface StayThere {
  readonly place: string;
  /** RFC 3339; null where the trace begins later than the stay. */
  readonly from: string | null;
  /** Null where it is there now. */
  readonly until: string | null;
  readonly why: Schemas['Stay']['enteredWhy'] | 'delivered' | null;
  readonly who: string | null;
  /** Chart number of the patient whose socket it is in, and whether that socket is worn. */
  readonly chartNumber: string | null;
  readonly worn: boolean;
}

export interface Way {
  readonly thingId: string;
  readonly thing: string;
  readonly stays: readonly StayThere[];
}

/** @param rows in the order of time */
export function waysOf(rows: readonly Row[], chain: Chain): Way[] {
  const moves = new Map<string, MoveRow[]>();
  for (const row of rows) {
    if (row.kind !== 'move') continue;
    const { thingId } = row.details;
    moves.set(thingId, [...(moves.get(thingId) ?? []), row]);
  }
  const told = [...moves].map(([thingId, own]) =>
    withDeliveries(wayByMoves(thingId, own, chain), rows),
  );
  // Where the moves themselves are not among the rows, the stays in sockets are.
  const others = [...new Set(chain.map(({ thingId }) => thingId))].filter((id) => !moves.has(id));
  return [...told, ...others.map((thingId) => wayByStays(thingId, chain))];
}

function wayByMoves(thingId: string, moves: readonly MoveRow[], chain: Chain): Way {
  const stays: StayThere[] = [];
  for (const [at, { at: from, details, who }] of moves.entries()) {
    const before = stays.at(-1);
    // A move that the trace does not hold lies between: the place it left is told all the same.
    if (details.from !== null && before?.place !== details.from) {
      const since = before === undefined ? null : before.until;
      stays.push({ ...nowhere, place: details.from, from: since, until: from });
    }
    const inSocket = chain.find(
      (stay) =>
        stay.thingId === thingId &&
        stay.enteredAt === from &&
        details.to.startsWith(`${stay.socketNumber} `),
    );
    stays.push({
      place: details.to,
      from,
      until: moves[at + 1]?.at ?? inSocket?.leftAt ?? null,
      why: details.reason,
      who,
      chartNumber: inSocket?.chartNumber ?? null,
      worn: inSocket?.socketState === 'delivered' && inSocket.leftAt === null,
    });
  }
  return { thingId, thing: moves[0]?.details.thing ?? '', stays };
}

/** A stay in a socket that was delivered meanwhile is two: at the bench, and with the patient. */
function withDeliveries(way: Way, rows: readonly Row[]): Way {
  const deliveries = rows.filter(({ kind }) => kind === 'delivery');
  const stays = way.stays.flatMap((stay): StayThere[] => {
    const { place, from, until } = stay;
    const delivery = deliveries.find(
      ({ at, socketNumber }) =>
        socketNumber !== null &&
        place.startsWith(`${socketNumber} `) &&
        (from === null || at >= from) &&
        (until === null || at <= until),
    );
    if (delivery === undefined) return [stay];
    const { at, who } = delivery;
    const worn = { ...stay, from: at, who, why: 'delivered', worn: true } as const;
    return [{ ...stay, until: at, worn: false }, worn];
  });
  return { ...way, stays };
}

const nowhere = { why: null, who: null, chartNumber: null, worn: false } as const;

function wayByStays(thingId: string, chain: Chain): Way {
  const own = chain.filter((stay) => stay.thingId === thingId);
  const stays = own.flatMap((stay, at): StayThere[] => {
    const here: StayThere = {
      place: `${stay.socketNumber} ${stay.position}`,
      from: stay.enteredAt,
      until: stay.leftAt,
      why: stay.enteredWhy,
      who: stay.enteredBy,
      chartNumber: stay.chartNumber,
      worn: stay.socketState === 'delivered' && stay.leftAt === null,
    };
    const next = own[at + 1]?.enteredAt ?? null;
    if (stay.leftAt === null || stay.leftTo === null || stay.leftAt === next) return [here];
    return [
      here,
      { ...nowhere, place: stay.leftTo, from: stay.leftAt, until: next, who: stay.leftBy },
    ];
  });
  return { thingId, thing: own[0]?.thing ?? '', stays };
}
