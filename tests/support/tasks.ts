/** Single requests of the job, to be sent as they are, twice, twenty times, or half. */
import type { Task } from './benchLoad.ts';
import { PASSWORD } from './clinic.ts';
import {
  acceptedCast,
  acceptFit,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  finishDefinitive,
  goodReadings,
  laidUpWithoutLock,
  makeRecipe,
  ok,
  openedOrder,
  transferTo,
  type Hardware,
  type ResinBody,
  type Shop,
} from './job.ts';

export interface TwoSockets {
  readonly orderId: string;
  readonly checkId: string;
  readonly definitiveId: string;
  /** In the check socket. */
  readonly hardware: Hardware;
}

/** An accepted check socket with its hardware in, and a definitive one that awaits it. */
export async function betweenTwoSockets(shop: Shop): Promise<TwoSockets> {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const { socketId: checkId, hardware } = await checkSocketOnTheLimb(shop, orderId);
  await ok(acceptFit(shop, checkId));
  const definitiveId = await definitiveAwaitingLock(shop, orderId);
  return { orderId, checkId, definitiveId, hardware };
}

/** Everything done on a definitive socket but the signature. */
export async function awaitingRelease(
  shop: Shop,
): Promise<{ orderId: string; definitiveId: string }> {
  const { orderId, checkId, definitiveId, hardware } = await betweenTwoSockets(shop);
  await transferTo(shop, checkId, definitiveId, hardware);
  await finishDefinitive(shop, definitiveId);
  return { orderId, definitiveId };
}

/** A cup short of hardener: its reading, a finding, the lamination stopped, two batches drawn. */
export async function stoppedCupTask(shop: Shop): Promise<Task> {
  const socketId = await laidUpWithoutLock(shop);
  const { pours } = await ok<ResinBody['recipe']>(makeRecipe(shop, socketId));
  const { resinG = 0, hardenerG = 0 } = pours[0] ?? {};
  return {
    who: 'technician',
    url: `/api/v1/sockets/${socketId}/resin-weighings`,
    body: {
      pour: 1,
      resinG,
      hardenerG: hardenerG / 2,
      pigmentG: 0,
      resinBatchId: shop.batches['resin'],
      hardenerBatchId: shop.batches['hardener'],
    },
    event: 'cup.stopped',
  };
}

export const orderTask = (patientId: string): Task => ({
  who: 'front_desk',
  url: '/api/v1/orders',
  body: {
    patientId,
    side: 'left',
    level: 'trans_tibial',
    suspension: 'pin_lock',
    functionalLevel: 'K3',
    anotherOpenOrderIsMeant: true,
  },
  event: 'order.opened',
});

export const moveTask = (itemId: string, from: object, to: object, reason: string): Task => ({
  who: 'technician',
  url: '/api/v1/moves',
  body: { thing: { itemId }, from, to, reason },
  event: 'custody.moved',
});

export const torqueTask = (shop: Shop, socketId: string): Task => ({
  who: 'technician',
  url: `/api/v1/sockets/${socketId}/joints/distal/confirmations`,
  body: {
    toolId: shop.wrench,
    threadlockerBatchId: shop.batches['threadlocker'],
    readings: goodReadings,
  },
  event: 'torque.confirmed',
});

/** Everything reusable from one socket to another, with fresh screws and a fresh spring: seven moves. */
export async function transferTask(
  shop: Shop,
  fromSocketId: string,
  toSocketId: string,
  hardware: Hardware,
): Promise<Task> {
  const [screws = ''] = await shop.receive('distal_screws', 1);
  const [spring = ''] = await shop.receive('spring', 1);
  const { lock, lock_plate, release_valve, pin, pyramid } = hardware;
  return {
    who: 'technician',
    url: '/api/v1/transfers',
    body: {
      fromSocketId,
      toSocketId,
      itemIds: [lock, lock_plate, release_valve, pin, pyramid],
      fresh: [
        { itemId: screws, fromPlaceId: shop.bin, position: 'distal_screws' },
        { itemId: spring, fromPlaceId: shop.bin, position: 'lock_spring' },
      ],
    },
    event: 'hardware.transferred',
  };
}

/** The signed delivery, of what the service shows at this moment. */
export async function deliveryTask(shop: Shop, orderId: string, socketId: string): Promise<Task> {
  const url = `/api/v1/orders/${orderId}/delivery`;
  const shown = { socketId, receivedByName: 'Nomen Inventum', receivedByRelation: 'patient' };
  const { contentSha256 } = await ok<{ contentSha256: string }>(
    shop.clinic.as('prosthetist').post(`${url}/to-sign`, shown),
  );
  return {
    who: 'prosthetist',
    url,
    body: { ...shown, signature: { password: PASSWORD, contentSha256 } },
    event: 'socket.delivered',
  };
}
