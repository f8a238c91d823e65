import type { Api } from '../../http/api.ts';
import {
  CloseVisit,
  DueList,
  DueQuery,
  OpenRemake,
  OpenVisit,
  OrderParams,
  RemakeOpened,
  VisitClosed,
  VisitOpened,
  VisitParams,
} from './schemas.ts';
import { closeVisit, listDue, openRemake, openVisit } from './service.ts';

const tag = 'After delivery';

/** Service visits, what is due, remakes. */
export function afterDeliveryRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/service-visits',
      name: 'openServiceVisit',
      tag,
      summary: 'Open a service visit for a delivered socket',
      description: 'While it is open, hardware moves and joints are torqued under the same rules.',
      params: OrderParams,
      body: OpenVisit,
      answer: VisitOpened,
    },
    (act, { params, body }) => openVisit(act, params.orderId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/service-visits/:serviceVisitId/closing',
      name: 'closeServiceVisit',
      tag,
      summary: 'Close a service visit, signed',
      description:
        'The limb must be fit to be worn again: hardware in and rated, joints confirmed, lock checked, alignment measured, no open finding.',
      params: VisitParams,
      body: CloseVisit,
      answer: VisitClosed,
      reauthenticates: true,
    },
    (act, { params, body, signer }) => closeVisit(act, params.serviceVisitId, body.outcome, signer),
  );
  api.read(
    {
      url: '/api/v1/service/due',
      name: 'listDue',
      tag,
      summary: 'Wearers whose joints are due',
      description: "R15: first re-check after delivery, then the parts' shortest service interval.",
      query: DueQuery,
      answer: DueList,
    },
    (act, { query }) => listDue(act, query.withinDays),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/remake',
      name: 'openRemake',
      tag,
      summary: 'Remake after delivery, under the same order',
      params: OrderParams,
      body: OpenRemake,
      answer: RemakeOpened,
    },
    (act, { params, body }) => openRemake(act, params.orderId, body),
  );
}
