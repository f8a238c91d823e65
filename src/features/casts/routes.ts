import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { CastRejection, Casts, CastToTake, CastView } from './schemas.ts';
import { acceptCast, listCasts, rejectCast, takeCast } from './service.ts';

const ofOrder = z.strictObject({ orderId: idOf('Order') });
const ofCast = z.strictObject({ castId: idOf('Cast') });

export function castRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/orders/:orderId/casts',
      name: 'listCasts',
      tag: 'Casts',
      summary: 'Casts of an order with their measures',
      params: ofOrder,
      answer: Casts,
    },
    (act, { params: { orderId } }) => listCasts(act, orderId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/casts',
      name: 'takeCast',
      tag: 'Casts',
      summary: 'Record a cast with the measures taken at it, in millimetres',
      params: ofOrder,
      body: CastToTake,
      answer: CastView,
    },
    (act, { params: { orderId }, body }) => takeCast(act, orderId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/casts/:castId/accept',
      name: 'acceptCast',
      tag: 'Casts',
      summary: 'Accept a cast: sockets may be made from it',
      params: ofCast,
      answer: CastView,
      status: 200,
    },
    (act, { params: { castId } }) => acceptCast(act, castId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/casts/:castId/reject',
      name: 'rejectCast',
      tag: 'Casts',
      summary: 'Reject a cast, with the reason',
      params: ofCast,
      body: CastRejection,
      answer: CastView,
      status: 200,
    },
    (act, { params: { castId }, body }) => rejectCast(act, castId, body.reason),
  );
}
