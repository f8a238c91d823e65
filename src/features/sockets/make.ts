/** A new socket of an order: its number, its cast, its route's operations. */
import { v7 as uuidv7 } from 'uuid';
import { questionCast } from '../../domain/limbVolume.ts';
import { makeSocketNumber } from '../../domain/orderNumber.ts';
import { reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import type { SocketKind, Stage } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { newCastDecidedAfter } from '../../store/casts.ts';
import { holdOrder, type OrderRecord } from '../../store/orders.ts';
import { found, orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { changeStage } from '../orders/stage.ts';

export interface MakeSocketInput {
  readonly kind: SocketKind;
  /** Without it, the newest accepted cast of the order. */
  readonly castId?: string | undefined;
  readonly replacesSocketId?: string | undefined;
  readonly sheetThicknessMm?: number | undefined;
}

const STAGES_FOR: Record<SocketKind, readonly Stage[]> = {
  check: ['check_fitting'],
  definitive: ['lamination', 'delivery'],
};

/**
 * Starts a socket under an order: check sockets at check fitting, definitive
 * ones at lamination (a further one at delivery takes the order back there).
 */
export async function makeSocket(
  act: Act,
  orderId: string,
  input: MakeSocketInput,
): Promise<{ socketId: string }> {
  const { tx, clinicId } = act;
  let order = await holdOrder(act, orderId);
  orRefuse(mayWork(order, STAGES_FOR[input.kind], `start a ${input.kind} socket`));
  const cast = await castFor(act, order, input.castId);
  refuseIfAny(questionCast(null, cast.number, await newCastDecidedAfter(act, cast.id)));
  const earlier = await tx.socket.findMany({
    where: { clinicId, orderId, kind: input.kind },
    orderBy: { running: 'desc' },
  });
  // Unless said otherwise a new socket replaces the last one, where that one failed.
  const failed = earlier[0]?.state === 'rejected' || earlier[0]?.state === 'scrapped';
  const replaced =
    input.replacesSocketId === undefined
      ? failed
        ? earlier[0]
        : undefined
      : earlier.find((socket) => socket.id === input.replacesSocketId);
  if (input.replacesSocketId !== undefined && replaced === undefined) {
    throw new Refused([
      reason('replaces-foreign-socket', { socket: input.replacesSocketId }, '/replacesSocketId'),
    ]);
  }
  const open = earlier.find((socket) => socket.state === 'in_work');
  if (open !== undefined && open.id !== input.replacesSocketId) {
    throw new Refused([
      reason('socket-state-does-not-allow', {
        socket: open.number,
        state: open.state,
        attempt: 'be left beside a new one; judge its fit, dispose of it, or name it as replaced',
      }),
    ]);
  }
  const route = found(
    await tx.route.findFirst({
      where: {
        clinicId,
        socketKind: input.kind,
        suspension: order.suspension,
        supersededAt: null,
      },
      include: { routeOperationRoute: { orderBy: { seq: 'asc' } } },
    }),
    () => reason('no-route', { socketKind: input.kind, suspension: order.suspension }),
  );

  const running = (earlier[0]?.running ?? 0) + 1;
  const socket = {
    clinicId,
    id: uuidv7(),
    orderId,
    kind: input.kind,
    running,
    number: makeSocketNumber(order.number, input.kind, running),
    state: 'in_work',
    castId: cast.id,
    replacesSocketId: replaced?.id ?? null,
    routeId: route.id,
    sheetThicknessMm: input.sheetThicknessMm ?? null,
    startedAt: act.at,
    startedById: act.by.personId,
  };
  await tx.socket.create({ data: socket });
  await tx.operation.createMany({
    data: route.routeOperationRoute.map((step) => ({
      clinicId,
      id: uuidv7(),
      socketId: socket.id,
      seq: step.seq,
      kind: step.kind,
      title: step.title,
      checks: step.checks ?? [],
      caution: step.caution,
      benchId: step.benchId,
      plannedMinutes: step.plannedMinutes,
      state: 'waiting',
    })),
  });
  if (replaced?.state === 'in_work') {
    await tx.socket.update({
      where: { clinicId_id: { clinicId, id: replaced.id } },
      data: { state: 'rejected', version: { increment: 1 } },
    });
    act.record({
      kind: 'socket.rejected',
      subjectKind: 'socket',
      subjectId: replaced.id,
      orderId,
      data: {
        number: replaced.number,
        before: replaced.state,
        after: 'rejected',
        why: `replaced by ${socket.number}`,
      },
    });
  }
  act.record({
    kind: 'socket.started',
    subjectKind: 'socket',
    subjectId: socket.id,
    orderId,
    data: {
      number: socket.number,
      kind: input.kind,
      cast: cast.number,
      routeVersion: route.version,
      replaces: replaced?.number ?? null,
    },
  });
  if (order.stage === 'delivery') {
    order = await changeStage(act, order, 'another_definitive_wanted', 'another definitive socket');
  }
  return { socketId: socket.id };
}

async function castFor(
  act: Act,
  order: OrderRecord,
  castId: string | undefined,
): Promise<{ id: string; number: number }> {
  const cast = found(
    castId === undefined
      ? await act.tx.cast.findFirst({
          where: { clinicId: act.clinicId, orderId: order.id, state: 'accepted' },
          orderBy: { number: 'desc' },
        })
      : await act.tx.cast.findFirst({
          where: { clinicId: act.clinicId, orderId: order.id, id: castId },
        }),
    () => reason('not-found', { what: 'accepted cast', id: castId ?? order.number }),
  );
  if (cast.state !== 'accepted') {
    throw new Refused([
      reason('cast-not-accepted', { cast: cast.number, state: cast.state }, '/castId'),
    ]);
  }
  if (cast.modelBrokenOutAt !== null) {
    throw new Refused([reason('model-is-gone', { cast: cast.number }, '/castId')]);
  }
  return cast;
}
