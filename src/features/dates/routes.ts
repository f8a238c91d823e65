import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { OfferQuery, OfferView, OrderDateView, WatchPage, WatchQuery } from './schemas.ts';
import { offerAtOpening, readOrderDate } from './service.ts';
import { datesToWatch } from './watch.ts';

const tag = 'Dates and benches';

export function dateRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/dates/offer',
      name: 'offerDates',
      tag,
      summary: 'Days that could be promised for an order opened today',
      description:
        'Drawn from the clinic’s own finished orders, stage by stage, with the orders that are ahead today. Send the seed as `offerSeed` when the order is opened: the chance of the day promised is then kept with it.',
      query: OfferQuery,
      answer: OfferView,
    },
    (act, { query }) => offerAtOpening(act, query),
  );
  api.read(
    {
      url: '/api/v1/dates/watch',
      name: 'watchDates',
      tag,
      summary: 'Orders that are late, or will probably be',
      query: WatchQuery,
      answer: WatchPage,
    },
    (act, { query }) => datesToWatch(act, query),
  );
  api.read(
    {
      url: '/api/v1/orders/:orderId/date',
      name: 'readOrderDate',
      tag,
      summary: 'How an order stands with its promised day, and what could be promised anew',
      params: z.strictObject({ orderId: idOf('Order') }),
      answer: OrderDateView,
    },
    (act, { params: { orderId } }) => readOrderDate(act, orderId),
  );
}
