import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { pageQuery } from '../../http/paging.ts';
import { findOrders } from './list.ts';
import { cancelOrder, putOnHold, resume, skipCheckFitting } from './flow.ts';
import {
  HoldGiven,
  OrderChange,
  OrderHistory,
  OrderPage,
  OrderQuery,
  OrderToOpen,
  OrderView,
  Prosthetists,
  SkipCheckFitting,
  WhyGiven,
} from './schemas.ts';
import {
  changeOrder,
  listProsthetists,
  openOrder,
  lookAtOrder,
  readOrderByNumber,
  readOrderHistory,
} from './service.ts';

const params = z.strictObject({ orderId: idOf('Order') });

export function orderRoutes(api: Api): void {
  readRoutes(api);
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders',
      name: 'openOrder',
      tag: 'Orders',
      summary: 'Open an order for one side of one patient',
      body: OrderToOpen,
      answer: OrderView,
      versioned: true,
    },
    (act, { body }) => openOrder(act, body),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/orders/:orderId',
      name: 'changeOrder',
      tag: 'Orders',
      summary: 'Change promised day, liner, note, prosthetist or functional level',
      params,
      body: OrderChange,
      answer: OrderView,
      versioned: true,
    },
    (act, { params: { orderId }, body, expectedVersion }) =>
      changeOrder(act, orderId, body, expectedVersion),
  );
  flowRoutes(api);
}

function readRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/orders',
      name: 'listOrders',
      tag: 'Orders',
      summary: 'Orders by promised day, newest first, or what presses first',
      description:
        'q is an order number or a whole chart number; an order number with a wrong character is refused, not searched for.',
      query: OrderQuery,
      answer: OrderPage,
    },
    (act, { query }) => findOrders(act, query),
  );
  api.read(
    {
      url: '/api/v1/orders/by-number/:number',
      name: 'readOrderByNumber',
      tag: 'Orders',
      summary: 'One order by its number, as printed, scanned or typed',
      params: z.strictObject({ number: z.string().min(1).max(60) }),
      answer: OrderView,
      versioned: true,
    },
    (act, { params: { number } }) => readOrderByNumber(act, number),
  );
  api.read(
    {
      url: '/api/v1/orders/:orderId',
      name: 'readOrder',
      tag: 'Orders',
      summary: 'One order with its casts and sockets',
      params,
      answer: OrderView,
      versioned: true,
    },
    (act, { params: { orderId } }) => lookAtOrder(act, orderId),
  );
  api.read(
    {
      url: '/api/v1/orders/:orderId/history',
      name: 'readOrderHistory',
      tag: 'Orders',
      summary: 'Who did what to an order and when, the newest first',
      params,
      query: z.strictObject(pageQuery),
      answer: OrderHistory,
    },
    (act, { params: { orderId }, query }) => readOrderHistory(act, orderId, query),
  );
  api.read(
    {
      url: '/api/v1/prosthetists',
      name: 'listProsthetists',
      tag: 'Orders',
      summary: 'Who may be named as the prosthetist of an order',
      answer: Prosthetists,
    },
    (act) => listProsthetists(act),
  );
}

function flowRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/hold',
      name: 'holdOrder',
      tag: 'Orders',
      summary: 'Put an order on hold beside its stage',
      params,
      body: HoldGiven,
      answer: OrderView,
      status: 200,
      versioned: true,
    },
    (act, { params: { orderId }, body }) => putOnHold(act, orderId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/resume',
      name: 'resumeOrder',
      tag: 'Orders',
      summary: 'Take an order off hold',
      params,
      answer: OrderView,
      status: 200,
      versioned: true,
    },
    (act, { params: { orderId } }) => resume(act, orderId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/cancel',
      name: 'cancelOrder',
      tag: 'Orders',
      summary: 'Cancel an order; all that was recorded stays',
      params,
      body: WhyGiven,
      answer: OrderView,
      status: 200,
      versioned: true,
    },
    (act, { params: { orderId }, body }) => cancelOrder(act, orderId, body.why),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/skip-check-fitting',
      name: 'skipCheckFitting',
      tag: 'Orders',
      summary: 'Go to lamination without a check fitting, signed, with the reason',
      params,
      body: SkipCheckFitting,
      answer: OrderView,
      status: 200,
      versioned: true,
      reauthenticates: true,
    },
    (act, { params: { orderId }, body, signer }) =>
      skipCheckFitting(act, orderId, body.reason, signer),
  );
}
