import { z } from 'zod';
import { signatureGiven, text, uuid } from '../../http/fields.ts';
import { JOINT_KINDS } from '../../domain/words.ts';
import { ReasonView } from '../../http/reasonView.ts';

export const OrderParams = z.strictObject({ orderId: uuid() });
export const SocketParams = z.strictObject({ socketId: uuid() });

const MissingForDelivery = ReasonView.extend({
  joint: z.enum(JOINT_KINDS).nullable().describe('The joint that it is about, where it is one.'),
}).meta({ id: 'MissingForDelivery' });

export const DeliveryGate = z
  .object({
    socketId: z.uuid().nullable(),
    socketNumber: z.string().nullable(),
    open: z.boolean(),
    missing: z
      .array(MissingForDelivery)
      .describe('Everything that stands in the way, each with its way out.'),
  })
  .meta({ id: 'DeliveryGate' });

export const Deliver = z
  .strictObject({
    socketId: uuid(),
    receivedByName: text(120).describe('The patient, or the designee who received the limb.'),
    receivedByRelation: text(60).describe('“patient”, or the relation of the designee.'),
    signature: signatureGiven,
  })
  .meta({ id: 'Deliver' });
export const DeliveredView = z
  .object({
    deliveryId: z.uuid(),
    signatureId: z.uuid(),
    retired: z.array(z.string()).describe('Sockets retired because their hardware moved on (R9).'),
    releaserWasSoleWorker: z.boolean(),
  })
  .meta({ id: 'Delivered' });

export const AcknowledgeMass = z
  .strictObject({ partId: uuid(), signature: signatureGiven })
  .meta({ id: 'AcknowledgeMass' });
export const MassAcknowledged = z
  .object({
    acknowledgementId: z.uuid(),
    upToKg: z.number().describe('Body mass, kg, up to which it holds.'),
    signatureId: z.uuid(),
  })
  .meta({ id: 'MassAcknowledged' });
