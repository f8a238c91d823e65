import { z } from 'zod';
import { drawTraveller } from '../../documents/traveller/draw.ts';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { TravellerQuery } from './schemas.ts';
import { readTraveller } from './service.ts';

const params = z.strictObject({ orderId: idOf('Order') });

/** @param publicUrl where people reach the service; the code on the sheet leads there. */
export function travellerRoutes(api: Api, publicUrl: string): void {
  api.document(
    {
      url: '/api/v1/orders/:orderId/traveller.pdf',
      name: 'readTraveller',
      tag: 'Orders',
      summary: 'The traveller: the sheet that goes with the work',
      description:
        'A view of the record at that moment, with its time, version and hash, and a code that opens the order. It names the patient by chart number and initials only.',
      params,
      query: TravellerQuery,
      contentType: 'application/pdf',
    },
    (act, { params: { orderId } }) => readTraveller(act, orderId),
    async ({ record, readAt, clinicPaper }, { query }) => ({
      bytes: await drawTraveller(record, {
        paper: query.paper ?? clinicPaper,
        madeAt: readAt,
        publicUrl,
      }),
      fileName: `traveller-${record.order.number}.pdf`,
    }),
  );
}
