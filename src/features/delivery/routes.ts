import type { Reason } from '../../domain/reasons/index.ts';
import { JOINT_KINDS, type JointKind } from '../../domain/words.ts';
import type { Api } from '../../http/api.ts';
import {
  AcknowledgeMass,
  Deliver,
  DeliveredView,
  DeliveryGate,
  MassAcknowledged,
  OrderParams,
  SocketParams,
} from './schemas.ts';
import { acknowledgeMass, deliver, readGate } from './service.ts';

const tag = 'Delivery';

/** The gate, the signed delivery, and the acknowledgement of a mass near a rating. */
export function deliveryRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/orders/:orderId/delivery-gate',
      name: 'readDeliveryGate',
      tag,
      summary: 'What is missing before the limb may be delivered',
      description: 'R8: the whole list, in words, each with its way. Empty means open.',
      params: OrderParams,
      answer: DeliveryGate,
    },
    async (act, { params }) => {
      const gate = await readGate(act, params.orderId);
      const missing = gate.missing.map((each) => ({ ...each, joint: jointOf(each) }));
      return { ...gate, missing };
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/delivery',
      name: 'deliver',
      tag,
      summary: 'Release and deliver the definitive socket, signed',
      description:
        'Refused with the full list while anything is missing. The signature is bound to what was released: hardware, joints, checks, operations (21 CFR 11.50, 11.70). The licensed prosthetist answers for the release.',
      params: OrderParams,
      body: Deliver,
      answer: DeliveredView,
      reauthenticates: true,
    },
    async (act, { params, body, signer }) => {
      const made = await deliver(act, params.orderId, body, signer);
      return { ...made, retired: [...made.retired] };
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/mass-acknowledgements',
      name: 'acknowledgeMass',
      tag,
      summary: 'Acknowledge by signature that a part is used between 90 and 100 % of its rating',
      description: "R3. Past the rating no signature helps; the part's own label decides.",
      params: SocketParams,
      body: AcknowledgeMass,
      answer: MassAcknowledged,
      reauthenticates: true,
    },
    (act, { params, body, signer }) => acknowledgeMass(act, params.socketId, body.partId, signer),
  );
}

const jointOf = ({ facts: { joint } }: Reason): JointKind | null =>
  JOINT_KINDS.find((kind) => kind === joint) ?? null;
