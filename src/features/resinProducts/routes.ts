import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import {
  ResinProductChange,
  ResinProductPage,
  ResinProductQuery,
  ResinProductToAdd,
  ResinProductView,
} from './schemas.ts';
import {
  addResinProduct,
  changeResinProduct,
  findResinProducts,
  readResinProduct,
} from './service.ts';

const params = z.strictObject({ resinProductId: idOf('Resin product') });
const tag = 'Catalogue';

export function resinProductRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/resin-products',
      name: 'listResinProducts',
      tag,
      summary: 'Resin products by name',
      query: ResinProductQuery,
      answer: ResinProductPage,
    },
    (act, { query }) => findResinProducts(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/resin-products',
      name: 'addResinProduct',
      tag,
      summary: "Enter a resin product from its maker's sheet",
      description:
        'Ratio by mass, its tolerance, pot life with mass and temperature, cup limit (C3).',
      body: ResinProductToAdd,
      answer: ResinProductView,
      versioned: true,
    },
    (act, { body }) => addResinProduct(act, body),
  );
  api.read(
    {
      url: '/api/v1/resin-products/:resinProductId',
      name: 'readResinProduct',
      tag,
      summary: 'One resin product',
      params,
      answer: ResinProductView,
      versioned: true,
    },
    (act, { params: { resinProductId } }) => readResinProduct(act, resinProductId),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/resin-products/:resinProductId',
      name: 'changeResinProduct',
      tag,
      summary: 'Change the entry of a resin product, or withdraw it',
      description: 'Recipes that were made keep the product as it stood then.',
      params,
      body: ResinProductChange,
      answer: ResinProductView,
      versioned: true,
    },
    (act, { params: { resinProductId }, body, expectedVersion }) =>
      changeResinProduct(act, resinProductId, body, expectedVersion),
  );
}
