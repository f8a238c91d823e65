/**
 * Moves of hardware and shop tools: what may go where is asked of the domain,
 * the ledger (and the database behind it) has the last word.
 */
import { v7 as uuidv7 } from 'uuid';
import { judgeReadyForHardware, type HeldItem } from '../../domain/assembly.ts';
import { judgeExpiry, judgeFit, type FittedPart } from '../../domain/fit.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import type { MoveReason, Position } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { heldItems, shopToolsIn } from '../../store/assembly.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { binPlace, insertMove, positionPlace, singlePlace } from '../../store/custody.ts';
import { freshInBins, loadItems, type FreshItem, type ItemRow } from '../../store/items.ts';
import { found, orRefuse, refuseIfAny } from '../../store/refused.ts';
import {
  acknowledgedMasses,
  loadSocket,
  orderStageOf,
  wearerOf,
  type SocketFacts,
} from '../../store/sockets.ts';

/** A place as a request names it. */
export type PlaceRef =
  | { readonly kind: 'bin'; readonly placeId: string }
  | {
      readonly kind: 'socket_position';
      readonly socketId: string;
      readonly position: Position;
    }
  | { readonly kind: 'receiving' | 'bench' | 'quarantine' | 'scrap' };

export interface MoveInput {
  readonly thing: { readonly itemId: string } | { readonly shopToolId: string };
  readonly from: PlaceRef;
  readonly to: PlaceRef;
  readonly reason: MoveReason;
  readonly note?: string | undefined;
  readonly serviceVisitId?: string | undefined;
}

/** Moves one item or shop tool (R1, R2, R3, R6, R15). */
export async function moveThing(act: Act, input: MoveInput): Promise<{ moveId: string }> {
  const fromPlaceId = await placeIdOf(act, input.from);
  const moveId = await insertMove(act, {
    thing: input.thing,
    fromPlaceId,
    toPlaceId: await judgedTarget(act, input),
    reason: input.reason,
    note: input.note,
    serviceVisitId: input.serviceVisitId,
  });
  return { moveId };
}

/** The place that a move goes to, once nothing of the domain's rules speaks against it. */
async function judgedTarget(act: Act, { thing, to, serviceVisitId }: MoveInput): Promise<string> {
  if (to.kind !== 'socket_position') return placeIdOf(act, to);
  const { tx, clinicId } = act;
  const { position } = to;
  const socket = await loadSocket(tx, clinicId, to.socketId, true);
  refuseIfWorkStands(socket, serviceVisitId);
  if ('itemId' in thing) {
    const [item] = await loadItems(tx, clinicId, [thing.itemId]);
    if (item !== undefined) await refuseUnlessTheyFit(act, socket, [{ item, position }]);
  } else {
    await refuseForeignDummy(act, socket, thing.shopToolId, position);
  }
  return (await positionPlace(tx, clinicId, socket, position)).id;
}

export interface TransferInput {
  readonly fromSocketId: string;
  readonly toSocketId: string;
  readonly itemIds: readonly string[];
  /** Fresh pieces from bins that go in with them, for what is left behind. */
  readonly fresh: readonly {
    readonly itemId: string;
    readonly fromPlaceId: string;
    readonly position: Position;
  }[];
  readonly note?: string | undefined;
  readonly serviceVisitId?: string | undefined;
}

export interface TransferResult {
  readonly transferId: string;
  readonly moved: readonly { itemId: string; label: string; position: Position; moveId: string }[];
  /** What the old socket still holds, single-use parts among it. */
  readonly leftBehind: readonly {
    itemId: string;
    label: string;
    position: Position;
    singleUse: boolean;
  }[];
  /** Fresh pieces in bins for the single-use parts left behind that the new socket still lacks. */
  readonly freshOffered: readonly FreshItem[];
}

/**
 * Moves named items from one socket to another in one transaction. Single-use
 * parts stay where they are: naming one is refused, and fresh ones are offered.
 */
export async function transferHardware(act: Act, input: TransferInput): Promise<TransferResult> {
  const { tx, clinicId } = act;
  // Locked in one order, so that two transfers between the same sockets cannot wait for each other.
  const locked = new Map<string, SocketFacts>();
  for (const id of [input.fromSocketId, input.toSocketId].sort()) {
    locked.set(id, await loadSocket(tx, clinicId, id, true));
  }
  const source = found(locked.get(input.fromSocketId), () =>
    reason('not-found', { what: 'socket', id: input.fromSocketId }),
  );
  const target = found(locked.get(input.toSocketId), () =>
    reason('not-found', { what: 'socket', id: input.toSocketId }),
  );
  refuseIfWorkStands(target, input.serviceVisitId);

  const held = await heldItems(tx, clinicId, source.id);
  const named = input.itemIds.map((id) => held.find((item) => item.itemId === id));
  if (named.includes(undefined)) {
    refuseIfAny([reason('nothing-to-transfer', { socket: source.number }, '/itemIds')]);
  }
  const moving = named.filter((item) => item !== undefined);
  refuseIfAny(
    moving
      .filter((item) => item.part.singleUse && source.id !== target.id)
      .map((item) => reason('single-use-again', { item: item.label }, '/itemIds')),
  );
  const fresh = await loadItems(
    tx,
    clinicId,
    input.fresh.map((piece) => piece.itemId),
  );
  const items = await loadItems(
    tx,
    clinicId,
    moving.map((item) => item.itemId),
  );
  const going = [
    ...moving.flatMap(({ itemId, position }) => pick(items, itemId, position)),
    ...input.fresh.flatMap(({ itemId, position }) => pick(fresh, itemId, position)),
  ];
  await refuseUnlessTheyFit(act, target, going);

  const transferId = uuidv7();
  const moved: TransferResult['moved'][number][] = [];
  for (const { item, position } of going) {
    const from = input.fresh.find((piece) => piece.itemId === item.id);
    const moveId = await insertMove(act, {
      thing: { itemId: item.id },
      fromPlaceId: from === undefined ? item.placeId : from.fromPlaceId,
      toPlaceId: (await positionPlace(tx, clinicId, target, position)).id,
      reason: from === undefined ? 'transferred' : 'issued',
      note: input.note,
      transferId,
      serviceVisitId: input.serviceVisitId,
    });
    moved.push({ itemId: item.id, label: item.label, position, moveId });
  }
  act.record({
    kind: 'hardware.transferred',
    subjectKind: 'socket',
    subjectId: target.id,
    orderId: target.orderId,
    data: {
      transferId,
      fromSocket: source.number,
      toSocket: target.number,
      items: moved.map((line) => line.itemId),
    },
  });
  return { transferId, moved, ...(await leftBehind(act, source, target)) };
}

const pick = (
  rows: readonly ItemRow[],
  itemId: string,
  position: Position,
): { item: ItemRow; position: Position }[] => {
  const item = rows.find((row) => row.id === itemId);
  return item === undefined ? [] : [{ item, position }];
};

async function leftBehind(
  act: Act,
  source: SocketFacts,
  target: SocketFacts,
): Promise<Pick<TransferResult, 'leftBehind' | 'freshOffered'>> {
  const stayed = await heldItems(act.tx, act.clinicId, source.id);
  const filled = await heldItems(act.tx, act.clinicId, target.id);
  const lacking = stayed.filter(
    (item) => item.part.singleUse && !filled.some((other) => other.position === item.position),
  );
  return {
    leftBehind: stayed.map((item) => ({
      itemId: item.itemId,
      label: item.label,
      position: item.position,
      singleUse: item.part.singleUse,
    })),
    freshOffered:
      lacking.length === 0
        ? []
        : await freshInBins(
            act.tx,
            act.clinicId,
            lacking.map((item) => item.part.id),
            { each: 3, on: await todayAtClinic(act) },
          ),
  };
}

/** An order on hold or cancelled takes no hardware; a delivered one only in a service visit. */
function refuseIfWorkStands(socket: SocketFacts, serviceVisitId: string | undefined): void {
  if (socket.state === 'delivered' && serviceVisitId !== undefined) return;
  orRefuse(
    mayWork(
      orderStageOf(socket),
      ['check_fitting', 'lamination', 'delivery'],
      `take hardware into ${socket.number}`,
    ),
  );
}

/** R3 and R6 for everything that goes into a socket together; nothing of it past its last day of use. */
async function refuseUnlessTheyFit(
  act: Act,
  socket: SocketFacts,
  going: readonly { readonly item: ItemRow; readonly position: Position }[],
): Promise<void> {
  const { tx, clinicId } = act;
  const tools = await shopToolsIn(tx, clinicId, socket.id);
  const held: readonly HeldItem[] = await heldItems(tx, clinicId, socket.id);
  const acknowledged = await acknowledgedMasses(tx, clinicId, socket.orderId);
  const staying: FittedPart[] = held.filter(
    (item) => !going.some((line) => line.item.id === item.itemId),
  );
  const coming: (FittedPart & { readonly partId: string })[] = going.map(({ item, position }) => ({
    position,
    part: item.part,
    partId: item.part.id,
  }));
  const reasons: Reason[] = judgeReadyForHardware({
    socket: socket.number,
    kind: socket.kind,
    cured: socket.curedAt !== null,
    chamberInspected: socket.chamberInspectedAt !== null,
    dummyIn: tools.some((tool) => tool.position === 'dummy'),
  });
  const on = await todayAtClinic(act);
  reasons.push(...going.flatMap(({ item }) => judgeExpiry(item, on)));
  for (const candidate of coming) {
    reasons.push(
      ...judgeFit({
        candidate,
        neighbours: [...staying, ...coming.filter((other) => other !== candidate)],
        wearer: wearerOf(socket),
        acknowledgedUpToKg: acknowledged[candidate.partId] ?? null,
      }),
    );
  }
  refuseIfAny(reasons);
}

/**
 * A dummy holds the place of the lock: its holes must be those of the lock that
 * the accepted check socket of the order holds, or the lock will not go in.
 */
async function refuseForeignDummy(
  act: Act,
  socket: SocketFacts,
  shopToolId: string,
  position: Position,
): Promise<void> {
  if (position !== 'dummy') return;
  const tool = found(
    await act.tx.shopTool.findUnique({
      where: { clinicId_id: { clinicId: act.clinicId, id: shopToolId } },
    }),
    () => reason('thing-unknown', { thing: shopToolId }),
  );
  const tried = await act.tx.socket.findFirst({
    where: {
      clinicId: act.clinicId,
      orderId: socket.orderId,
      kind: 'check',
      state: 'accepted',
    },
    orderBy: { running: 'desc' },
  });
  if (tool.holePattern === null || tried === null) return;
  const lock = (await heldItems(act.tx, act.clinicId, tried.id)).find(
    (item) => item.position === 'lock',
  );
  if (lock === undefined || lock.part.holePattern === null) return;
  if (lock.part.holePattern !== tool.holePattern) {
    refuseIfAny([
      reason('hole-pattern-differs', {
        part: tool.name,
        pattern: tool.holePattern,
        other: lock.part.name,
        otherPattern: lock.part.holePattern,
      }),
    ]);
  }
}

async function placeIdOf(act: Act, ref: PlaceRef): Promise<string> {
  switch (ref.kind) {
    case 'bin':
      return (await binPlace(act.tx, act.clinicId, ref.placeId)).id;
    case 'socket_position': {
      const socket = await loadSocket(act.tx, act.clinicId, ref.socketId);
      return (await positionPlace(act.tx, act.clinicId, socket, ref.position)).id;
    }
    default:
      return (await singlePlace(act.tx, act.clinicId, ref.kind)).id;
  }
}
