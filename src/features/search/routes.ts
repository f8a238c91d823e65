import type { Api } from '../../http/api.ts';
import { SearchAsked, SearchFound } from './schemas.ts';
import { search } from './service.ts';

export function searchRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/search',
      name: 'search',
      tag: 'Orders',
      summary: 'Patients and orders, by what was typed so far',
      description:
        'By the beginning of a name, of a chart number or of an order number, by its running number, or by the last digits of a phone number, four at least. A POST so that no name stands in an address or a log; it changes nothing and needs no Idempotency-Key. The bench finds by numbers of charts and orders only.',
      body: SearchAsked,
      answer: SearchFound,
    },
    (act, { body }) => search(act, body),
  );
}
