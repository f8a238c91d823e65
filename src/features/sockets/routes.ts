import type { Api } from '../../http/api.ts';
import { makeSocket } from './make.ts';
import { leaveOutOperation, recordOperation } from './operations.ts';
import {
  LeaveOutOperation,
  MakeSocket,
  OperationParams,
  OperationRecorded,
  OrderParams,
  RecordOperation,
  SocketParams,
  SocketView,
} from './schemas.ts';
import { readSocket } from './view.ts';

const tag = 'Sockets';

/** Sockets under an order, and the operations of their routes. */
export function socketRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/sockets',
      name: 'makeSocket',
      tag,
      summary: 'Start a socket under an order',
      description:
        'A check socket at check fitting, a definitive one at lamination. Its operations are copied from the current route; a route changed later leaves it as it is.',
      params: OrderParams,
      body: MakeSocket,
      answer: SocketView,
      versioned: true,
    },
    async (act, { params, body }) => {
      const { socketId } = await makeSocket(act, params.orderId, body);
      return readSocket(act, socketId);
    },
  );
  api.read(
    {
      url: '/api/v1/sockets/:socketId',
      name: 'readSocket',
      tag,
      summary: 'A socket: operations, hardware, joints, findings',
      params: SocketParams,
      answer: SocketView,
      versioned: true,
    },
    (act, { params }) => readSocket(act, params.socketId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/operations/:operationId/records',
      name: 'recordOperation',
      tag,
      summary: 'Say that an operation is done, with the answers to its checks',
      description:
        'In the order of the route. A no, or a value outside its limits, is kept, stops the operation and opens a finding. Batches are checked for kind, expiry, quarantine and what is left.',
      params: OperationParams,
      body: RecordOperation,
      answer: OperationRecorded,
    },
    async (act, { params, body }) => {
      const recorded = await recordOperation(act, params.operationId, body);
      return { ...recorded, because: [...recorded.because] };
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/operations/:operationId/leave-out',
      name: 'leaveOutOperation',
      tag,
      summary: 'Leave an operation out, with the reason',
      description:
        'A prosthetist’s decision. Operations that a rule asks for (cure, chamber, joints, lock check, alignment) cannot be left out.',
      params: OperationParams,
      body: LeaveOutOperation,
      status: 201,
    },
    async (act, { params, body }) => {
      await leaveOutOperation(act, params.operationId, body.why);
    },
  );
}
