import { z } from 'zod';
import { parseOrderNumber } from '../../domain/orderNumber.ts';
import { drawTraveller } from '../../documents/traveller/draw.ts';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { escapeHtml, htmlPage } from '../../http/page.ts';
import { isWebBuilt } from '../../http/webPages.ts';
import { orRefuse } from '../../store/refused.ts';
import { ScannedOrder, TravellerQuery } from './schemas.ts';
import { readTraveller } from './service.ts';

const params = z.strictObject({ orderId: idOf('Order') });

/** The code opens the bench page of the order, where somebody is signed in; else the page that asks who it is. */
function turnedTo(number: string): string {
  const page = `/bench/o/${number}`;
  return htmlPage(`Order ${number}`, `<p><a href="${page}">Open the order</a></p>`, page);
}

/** @param publicUrl where people reach the service; the code on the sheet leads there. */
export function travellerRoutes(api: Api, publicUrl: string): void {
  api.document(
    {
      url: '/api/v1/orders/:orderId/traveller.pdf',
      name: 'readTraveller',
      tag: 'Traveller',
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
  api.open(
    {
      method: 'GET',
      url: '/o/:number',
      name: 'openScannedOrder',
      tag: 'Traveller',
      summary: 'Where the code on a traveller leads',
      description:
        'Checks the order number’s check character and says where the order is read. It looks nothing up: whether there is such an order, only those signed in to its clinic learn.',
      params: z.strictObject({ number: z.string().min(1).max(40) }),
      answer: ScannedOrder,
      page: ({ number, order }) =>
        isWebBuilt()
          ? turnedTo(number)
          : htmlPage(
              `Order ${number}`,
              `<p>Sign in to read it: <code>GET ${escapeHtml(order)}</code>, as <a href="/api/docs">the pages of the API</a> say.</p>`,
            ),
    },
    ({ params }) => {
      const number = orRefuse(parseOrderNumber(params.number));
      return { number, order: `/api/v1/orders/by-number/${number}` };
    },
  );
}
