import type { Api } from '../../http/api.ts';
import { OrderParams, SignatureList, SignatureParams, SignatureView } from './schemas.ts';
import { listSignatures, readSignature } from './service.ts';

const tag = 'Signatures';

export function signatureRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/orders/:orderId/signatures',
      name: 'listSignatures',
      tag,
      summary: 'Every signature on an order, the oldest first',
      description:
        'With whether its content is kept as it was signed, and whether the thing signed is otherwise now.',
      params: OrderParams,
      answer: SignatureList,
    },
    (act, { params }) => listSignatures(act, params.orderId),
  );
  api.read(
    {
      url: '/api/v1/signatures/:signatureId',
      name: 'readSignature',
      tag,
      summary: 'A signature with exactly what was signed, and what is otherwise since',
      params: SignatureParams,
      answer: SignatureView,
    },
    (act, { params }) => readSignature(act, params.signatureId),
  );
}
