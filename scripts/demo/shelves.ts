/**
 * What the demo remembers of its own stock between acts, as a storekeeper would: which
 * piece to take next, which batch is open. The record itself is the application's.
 */
import { isBefore, type Day } from '../../src/domain/days.ts';
import { isSingleUse, type MaterialKind, type PartKey } from './catalogue.ts';

export interface Piece {
  readonly itemId: string;
  readonly part: PartKey;
}

/** Pieces in bins, the ones received first taken first. */
export class Shelves {
  readonly #pieces = new Map<PartKey, Piece[]>();
  /** The lot to recall later is kept apart, so that it goes where the demo wants it. */
  readonly #recalled: Piece[] = [];

  receive(part: PartKey, itemIds: readonly string[]): void {
    this.#of(part).push(...itemIds.map((itemId) => ({ itemId, part })));
  }

  receiveRecalled(part: PartKey, itemIds: readonly string[]): void {
    this.#recalled.push(...itemIds.map((itemId) => ({ itemId, part })));
  }

  level(part: PartKey): number {
    return this.#of(part).length;
  }

  take(part: PartKey): Piece {
    return taken(this.#of(part).shift(), part);
  }

  takeRecalled(): Piece {
    return taken(this.#recalled.shift(), 'the lot to recall');
  }

  putBack(piece: Piece): void {
    if (!isSingleUse(piece.part)) this.#of(piece.part).push(piece);
  }

  #of(part: PartKey): Piece[] {
    const pieces = this.#pieces.get(part) ?? [];
    this.#pieces.set(part, pieces);
    return pieces;
  }
}

export interface OpenBatch {
  readonly batchId: string;
  readonly lot: string;
  readonly kind: MaterialKind;
  readonly expiresOn: Day;
  left: number;
  /** Kept for the stories that are to have used it. */
  readonly reserved: boolean;
  quarantined: boolean;
}

/** Batches that came in; the oldest good one is used first. */
export class Materials {
  readonly #batches: OpenBatch[] = [];

  receive(batch: OpenBatch): void {
    this.#batches.push(batch);
  }

  /** A batch of which so much is left and may be used that day; the amount is taken off. */
  use(kind: MaterialKind, day: Day, amount: number, reserved: boolean): OpenBatch {
    const usable = this.#batches.filter(
      (each) =>
        each.kind === kind &&
        !each.quarantined &&
        !isBefore(each.expiresOn, day) &&
        each.left >= amount,
    );
    const batch = taken(
      (reserved ? usable.find((each) => each.reserved) : undefined) ??
        usable.find((each) => !each.reserved),
      kind,
    );
    batch.left -= amount;
    return batch;
  }

  reservedOne(): OpenBatch {
    return taken(
      this.#batches.find((each) => each.reserved),
      'the batch to quarantine',
    );
  }
}

export interface DemoTool {
  readonly toolId: string;
  readonly name: string;
  /** Working days on which it was calibrated. */
  readonly calibratedAt: number[];
}

/** Twelve months are 261 working days; the demo asks for a new certificate well before. */
const CALIBRATION_WORKDAYS = 255;

/** The tools that may prove a torque on a working day. */
export const calibratedOn = (tools: readonly DemoTool[], index: number): DemoTool[] =>
  tools.filter((tool) =>
    tool.calibratedAt.some((at) => at <= index && index - at < CALIBRATION_WORKDAYS),
  );

/** Things that one socket has at a time and gives back. */
export class Lendable {
  readonly #free: string[] = [];

  add(id: string): void {
    this.#free.push(id);
  }

  lend(): string {
    return taken(this.#free.shift(), 'a fabrication dummy');
  }

  giveBack(id: string): void {
    this.#free.push(id);
  }
}

function taken<T>(value: T | undefined, what: string): T {
  if (value === undefined) throw new RangeError(`The demo has run out of ${what}.`);
  return value;
}
