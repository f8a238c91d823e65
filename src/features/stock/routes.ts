import type { Api } from '../../http/api.ts';
import { StockOutlook } from './schemas.ts';
import { readStockOutlook } from './service.ts';

export function stockRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/stock/outlook',
      name: 'readStockOutlook',
      tag: 'Batches',
      summary: 'How long each material lasts, what expires unused, what to reorder',
      description:
        'At the pace of the clinic’s window, used up in the order of expiry; delivery time and cover are the clinic’s too (C3).',
      answer: StockOutlook,
    },
    (act) => readStockOutlook(act),
  );
}
