import type { Api } from '../../http/api.ts';
import {
  CostsView,
  CostWindow,
  OrderCostView,
  OrderOfCost,
  SocketCostView,
  SocketOfCost,
} from './schemas.ts';
import { costOfOrder, costOfSocket, costsOfMonths } from './service.ts';

const HOW =
  'Material: price of the batch × amount ÷ quantity of the batch. Labour: minutes × rate ÷ 60. ' +
  'Each line is rounded to the minor unit, half up, and the totals are the sums of the lines. ' +
  'What has no price is named, never taken for nothing.';

export function costRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/sockets/:socketId/cost',
      name: 'readSocketCost',
      tag: 'Costs',
      summary: 'What a socket cost, line by line',
      description: HOW,
      params: SocketOfCost,
      answer: SocketCostView,
    },
    (act, { params: { socketId } }) => costOfSocket(act, socketId),
  );
  api.read(
    {
      url: '/api/v1/orders/:orderId/cost',
      name: 'readOrderCost',
      tag: 'Costs',
      summary: 'What an order cost: its sockets, and of that the remakes',
      description: HOW,
      params: OrderOfCost,
      answer: OrderCostView,
    },
    (act, { params: { orderId } }) => costOfOrder(act, orderId),
  );
  api.read(
    {
      url: '/api/v1/costs',
      name: 'readCosts',
      tag: 'Costs',
      summary: 'Costs of delivered orders, and of their remakes, by month',
      description: HOW,
      query: CostWindow,
      answer: CostsView,
    },
    (act, { query }) => costsOfMonths(act, query),
  );
}
