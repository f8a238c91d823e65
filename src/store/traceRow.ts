import { z } from 'zod';
import type { TraceKind } from '../domain/trace.ts';
import { TRACE_DETAILS } from './traceDetails.ts';

/**
 * One row of the timeline. `head` holds what differs between the store and the
 * wire: the instant (a Date here, RFC 3339 there), and what is said of it in words.
 */
export function traceRowWith<Head extends { at: z.ZodType; recordedAt: z.ZodType }>(head: Head) {
  const row = <Kind extends TraceKind>(kind: Kind) =>
    z.object({
      ...head,
      kind: z.literal(kind),
      recordId: z.string(),
      socketId: z.string().nullable(),
      socketNumber: z.string().nullable(),
      orderId: z.string().nullable(),
      orderNumber: z.string().nullable(),
      chartNumber: z.string().nullable(),
      who: z.string().nullable().describe('Printed name of the person of the clinic.'),
      details: TRACE_DETAILS[kind],
    });
  return z.discriminatedUnion('kind', [
    row('order'),
    row('cast'),
    row('measures'),
    row('volume_decision'),
    row('stage'),
    row('socket'),
    row('move'),
    row('operation'),
    row('batch_use'),
    row('layup'),
    row('recipe'),
    row('weighing'),
    row('torque'),
    row('lock_check'),
    row('alignment'),
    row('fitting'),
    row('finding'),
    row('delivery'),
    row('service'),
    row('signature'),
    row('calibration'),
    row('part_draft'),
  ]);
}
