/** The bench's part of the stories: operations, hardware, torque, lock checks, alignment. */
import { fromNewtonMetres } from '../../src/domain/torqueUnits.ts';
import type { Alignment } from '../../src/domain/alignment.ts';
import type { Answer, OperationKind } from '../../src/domain/operations.ts';
import type { JointKind, MoveReason, Position } from '../../src/domain/words.ts';
import { measureAlignment } from '../../src/features/fittings/alignment.ts';
import { moveThing, transferHardware, type PlaceRef } from '../../src/features/hardware/custody.ts';
import { recordOperation } from '../../src/features/sockets/operations.ts';
import { makeSocket } from '../../src/features/sockets/make.ts';
import { checkLock, confirmTorque } from '../../src/features/torque/service.ts';
import type { Act } from '../../src/store/act.ts';
import { loadOperations, type OperationRow } from '../../src/store/operations.ts';
import { HARDWARE, isSingleUse, MATERIALS, PARTS, type HardwareKey } from './catalogue.ts';
import type { MaterialKind } from './catalogue.ts';
import type { Chance } from './chance.ts';
import type { House } from './house.ts';
import { calibratedOn, type Piece } from './shelves.ts';

/** A socket as its story keeps it in mind. */
export interface Bench {
  readonly house: House;
  readonly chance: Chance;
  readonly hardware: HardwareKey;
  /** Takes its lock from the lot to recall. */
  readonly recalled: boolean;
  /** Takes its hardener from the batch that is quarantined later. */
  readonly reservedBatch: boolean;
  socketId: string;
  operations: readonly OperationRow[];
  /** The socket that `holds` are in: until the transfer still the check socket. */
  hardwareIn: string;
  readonly holds: Map<Position, Piece>;
}

/** Starts a socket and reads what its route asks. */
export async function start(
  opened: Act,
  bench: Bench,
  orderId: string,
  kind: 'check' | 'definitive',
): Promise<void> {
  const input = kind === 'check' ? { kind, sheetThicknessMm: 12 } : { kind };
  const { socketId } = await makeSocket(opened, orderId, input);
  bench.socketId = socketId;
  bench.operations = await loadOperations(opened.tx, opened.clinicId, socketId);
}

export const operationOf = (bench: Bench, kind: OperationKind): OperationRow | undefined =>
  bench.operations.find((operation) => operation.kind === kind);

/** Records the operations of these kinds that the route has, each with answers that pass. */
export async function work(
  opened: Act,
  bench: Bench,
  kinds: readonly OperationKind[],
  wrong: Readonly<Record<string, Answer>> = {},
): Promise<void> {
  for (const kind of kinds) {
    const operation = operationOf(bench, kind);
    if (operation === undefined) continue;
    await recordOperation(opened, operation.id, {
      answers: { ...answersTo(opened, bench, operation), ...wrong },
      minutes: bench.chance.whole(5, 50),
    });
  }
}

function answersTo(opened: Act, bench: Bench, operation: OperationRow): Record<string, Answer> {
  const { house, chance, reservedBatch } = bench;
  const day = opened.at.toISOString().slice(0, 10) as Parameters<House['materials']['use']>[1];
  const answers: Record<string, Answer> = {};
  for (const check of operation.checks) {
    if (check.kind === 'yes_no') answers[check.key] = true;
    if (check.kind === 'note') answers[check.key] = 'As drawn.';
    if (check.kind === 'measured') {
      const { min, max } = check;
      const low = min ?? (max ?? 0) / 2;
      answers[check.key] = low + (((max ?? low * 2) - low) * chance.whole(2, 8)) / 10;
    }
    if (check.kind === 'batch' && check.batchKind in MATERIALS) {
      const kind = check.batchKind as MaterialKind;
      const { batchId } = house.materials.use(kind, day, 0, reservedBatch);
      answers[check.key] = { batchId };
    }
  }
  return answers;
}

const inSocket = (socketId: string, position: Position): PlaceRef => ({
  kind: 'socket_position',
  socketId,
  position,
});

/** Takes what the socket still lacks out of the bins. */
export async function issueHardware(opened: Act, bench: Bench): Promise<void> {
  for (const [position, part] of hardwareOf(bench)) {
    if (bench.holds.has(position)) continue;
    await issue(opened, bench, position, pieceFor(bench, position, part), 'issued');
  }
}

const hardwareOf = (bench: Bench) =>
  Object.entries(HARDWARE[bench.hardware]) as [Position, Piece['part']][];

const pieceFor = (bench: Bench, position: Position, part: Piece['part']): Piece =>
  position === 'lock' && bench.recalled
    ? bench.house.shelves.takeRecalled()
    : bench.house.shelves.take(part);

export async function issue(
  opened: Act,
  bench: Bench,
  position: Position,
  piece: Piece,
  reason: MoveReason,
  serviceVisitId?: string,
): Promise<void> {
  await moveThing(opened, {
    thing: { itemId: piece.itemId },
    from: { kind: 'bin', placeId: bench.house.bins[piece.part] },
    to: inSocket(bench.socketId, position),
    reason,
    serviceVisitId,
  });
  bench.holds.set(position, piece);
  bench.hardwareIn = bench.socketId;
}

/** Moves one piece out of the socket. */
export async function takeOut(
  opened: Act,
  bench: Bench,
  position: Position,
  to: PlaceRef,
  why: { readonly reason: MoveReason; readonly note?: string; readonly serviceVisitId?: string },
): Promise<Piece> {
  const piece = held(bench, position);
  await moveThing(opened, {
    thing: { itemId: piece.itemId },
    from: inSocket(bench.hardwareIn, position),
    to,
    ...why,
  });
  bench.holds.delete(position);
  return piece;
}

export async function putBack(
  opened: Act,
  bench: Bench,
  position: Position,
  piece: Piece,
): Promise<void> {
  await moveThing(opened, {
    thing: { itemId: piece.itemId },
    from: { kind: 'bench' },
    to: inSocket(bench.socketId, position),
    reason: 'put_back',
  });
  bench.holds.set(position, piece);
}

/** The lock's road: everything but single-use parts goes on, fresh ones come from bins. */
export async function transferFrom(opened: Act, bench: Bench, fromSocketId: string): Promise<void> {
  const going = [...bench.holds].filter(([, piece]) => !isSingleUse(piece.part));
  const fresh = hardwareOf(bench)
    .filter(([, part]) => isSingleUse(part))
    .map(([position, part]) => ({ position, piece: bench.house.shelves.take(part) }));
  await transferHardware(opened, {
    fromSocketId,
    toSocketId: bench.socketId,
    itemIds: going.map(([, piece]) => piece.itemId),
    fresh: fresh.map(({ position, piece }) => ({
      itemId: piece.itemId,
      fromPlaceId: bench.house.bins[piece.part],
      position,
    })),
  });
  for (const { position, piece } of fresh) bench.holds.set(position, piece);
  bench.hardwareIn = bench.socketId;
}

/** Back to the bins what can be used again; what was screwed in once is scrapped. */
export async function clearOut(opened: Act, bench: Bench): Promise<void> {
  for (const [position, piece] of [...bench.holds]) {
    const single = isSingleUse(piece.part);
    await takeOut(
      opened,
      bench,
      position,
      single ? { kind: 'scrap' } : { kind: 'bin', placeId: bench.house.bins[piece.part] },
      single ? { reason: 'scrapped' } : { reason: 'returned_to_bin' },
    );
    bench.house.shelves.putBack(piece);
  }
}

/** What each joint's readings aim at, in N·m: inside the band that every tool here can prove. */
const AIMS = {
  distal: { fasteners: 4, fromNm: 9.5, toNm: 10.4, atNm: 0.1 },
  lock_plate: { fasteners: 4, fromNm: 2.75, toNm: 3.2, atNm: 0.01 },
  release_valve: { fasteners: 1, fromNm: 2.25, toNm: 2.75, atNm: 0.01 },
} as const satisfies Record<JointKind, object>;

export const jointsOf = (bench: Bench): readonly JointKind[] =>
  bench.hardware === 'lockOne' ? ['lock_plate', 'release_valve', 'distal'] : ['distal'];

/** Torques joints with a tool whose certificate is in date. @param misses one screw is left short. */
export async function torque(
  opened: Act,
  bench: Bench,
  index: number,
  { joints = jointsOf(bench), misses = false } = {},
): Promise<void> {
  const { house, chance } = bench;
  for (const kind of joints) {
    const tools = kind === 'distal' ? house.wrenches : house.drivers;
    const tool = chance.one(calibratedOn(tools, index));
    const inPounds = tool === house.drivers[1];
    const { fasteners, fromNm, toNm, atNm } = AIMS[kind];
    const readings = Array.from({ length: fasteners }, (_, at) => at + 1).flatMap((fastener) => {
      const fullNm =
        misses && fastener === fasteners
          ? fromNm * 0.85
          : chance.whole(Math.round(fromNm / atNm), Math.round(toNm / atNm)) * atNm;
      return [fromNm * 0.4, fullNm].map((valueNm, pass) => ({
        fastener,
        pass: pass + 1,
        value: rounded(inPounds ? fromNewtonMetres(valueNm, 'lbf.in') : valueNm, inPounds ? 1 : 2),
        unit: inPounds ? ('lbf.in' as const) : ('N.m' as const),
      }));
    });
    const day = opened.at.toISOString().slice(0, 10) as Parameters<House['materials']['use']>[1];
    const needsLocker = kind === 'distal' && bench.hardware === 'lockOne';
    await confirmTorque(opened, bench.socketId, kind, {
      toolId: tool.toolId,
      readings,
      threadlockerBatchId: needsLocker
        ? house.materials.use('threadlocker', day, 0, false).batchId
        : undefined,
    });
  }
}

const rounded = (value: number, places: number): number => Number(value.toFixed(places));

export const hasLock = (bench: Bench): boolean => bench.hardware !== 'noLock';

/** Two cycles with enough clicks; a failing check has one click too few and lets go under pull. */
export async function tryLock(opened: Act, bench: Bench, fails = false): Promise<void> {
  if (!hasLock(bench)) return;
  const least = bench.hardware === 'lockOne' ? 5 : 3;
  const clicks = () => (fails ? least - 1 : least + bench.chance.whole(0, 3));
  const cycles = [1, 2].map((cycle) => ({
    clicks: clicks(),
    heldUnderPull: !(fails && cycle === 2),
    pullN: 200,
    releasedByButton: true,
  }));
  await checkLock(opened, bench.socketId, { cycles });
}

export const drawAlignment = (chance: Chance, side: 'left' | 'right'): Alignment => ({
  flexionDeg: chance.whole(6, 20) / 2,
  adductionDeg: chance.whole(4, 14) / 2,
  anteriorOffsetMm: chance.whole(0, 14),
  lateralOffsetMm: chance.whole(2, 12),
  toeOutDeg: chance.whole(4, 8) + (side === 'left' ? 0 : 1),
  heightToFloorMm: chance.whole(320, 460),
});

/** Measures again what was accepted, within half a degree and a millimetre, or well outside. @returns the alignment's id */
export async function measureAgain(
  opened: Act,
  bench: Bench,
  accepted: Alignment,
  outside = false,
): Promise<string> {
  const { chance } = bench;
  const { alignmentId } = await measureAlignment(opened, bench.socketId, {
    ...accepted,
    flexionDeg: accepted.flexionDeg + (outside ? 2.5 : chance.whole(-1, 1) / 2),
    anteriorOffsetMm: accepted.anteriorOffsetMm + chance.whole(-1, 1),
    heightToFloorMm: accepted.heightToFloorMm + chance.whole(-2, 2),
  });
  return alignmentId;
}

/** Puts a dummy where the lock will be; @returns it, to be pulled later. */
export async function mountDummy(opened: Act, bench: Bench): Promise<string> {
  const shopToolId = bench.house.dummies.lend();
  await moveThing(opened, {
    thing: { shopToolId },
    from: { kind: 'bin', placeId: bench.house.bins.tools },
    to: inSocket(bench.socketId, 'dummy'),
    reason: 'mounted_for_lamination',
  });
  return shopToolId;
}

export async function pullDummy(opened: Act, bench: Bench, shopToolId: string): Promise<void> {
  await moveThing(opened, {
    thing: { shopToolId },
    from: inSocket(bench.socketId, 'dummy'),
    to: { kind: 'bin', placeId: bench.house.bins.tools },
    reason: 'pulled_after_cure',
  });
  bench.house.dummies.giveBack(shopToolId);
}

export function held(bench: Bench, position: Position): Piece {
  const piece = bench.holds.get(position);
  if (piece === undefined) throw new RangeError(`The socket holds nothing at ${position}.`);
  return piece;
}

/** The name of the part at a position, for findings and notes. */
export const partNameAt = (bench: Bench, position: Position): string =>
  PARTS[held(bench, position).part].entry.name;
