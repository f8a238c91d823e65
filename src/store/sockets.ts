import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import type { Wearer } from '../domain/fit.ts';
import { reason } from '../domain/reasons/index.ts';
import type { OrderStage } from '../domain/stages.ts';
import {
  HOLD_REASONS,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
} from '../domain/words.ts';
import type { Tx } from './act.ts';
import { NEW_CAST_DECIDED_AFTER } from './casts.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const storedDay = z.string().transform((text) => text as Day);

const SocketRow = z.object({
  id: z.string(),
  number: z.string(),
  kind: z.enum(SOCKET_KINDS),
  state: z.enum(SOCKET_STATES),
  castId: z.string(),
  castNumber: z.number(),
  /** A new cast was decided after measures of this day: no more is made of this one. */
  newCastDecidedAfter: storedDay.nullable(),
  modelBrokenOutAt: z.date().nullable(),
  replacesSocketId: z.string().nullable(),
  sheetThicknessMm: z.number().nullable(),
  curedAt: z.date().nullable(),
  chamberInspectedAt: z.date().nullable(),
  deliveredAt: z.date().nullable(),
  startedAt: z.date(),
  version: z.number(),
  orderId: z.string(),
  orderNumber: z.string(),
  stage: z.enum(STAGES),
  holdReason: z.enum(HOLD_REASONS).nullable(),
  suspension: z.enum(SUSPENSIONS),
  side: z.enum(SIDES),
  patientId: z.string(),
  chartNumber: z.string(),
  bodyMassKg: z.number().nullable(),
});

/** A socket with what its order and wearer are, as the rules ask for it. */
export type SocketFacts = z.infer<typeof SocketRow>;

/**
 * Loads a socket; with `lock` its row is locked, so that a delivery, a move and
 * a torque confirmation of one socket cannot pass each other.
 */
export async function loadSocket(
  tx: Tx,
  clinicId: string,
  socketId: string,
  lock = false,
): Promise<SocketFacts> {
  if (lock) {
    await tx.$queryRaw`
      select 1 from socket where clinic_id = ${clinicId}::uuid and id = ${socketId}::uuid for no key update`;
  }
  const row = parseFirst(
    SocketRow,
    await tx.$queryRaw`
      select s.id, s.number, s.kind, s.state, s.cast_id as "castId", k.number as "castNumber",
        ${NEW_CAST_DECIDED_AFTER} as "newCastDecidedAfter",
        k.model_broken_out_at as "modelBrokenOutAt", s.replaces_socket_id as "replacesSocketId",
        s.sheet_thickness_mm as "sheetThicknessMm", s.cured_at as "curedAt",
        s.chamber_inspected_at as "chamberInspectedAt", s.delivered_at as "deliveredAt", s.started_at as "startedAt",
        s.version, o.id as "orderId", o.number as "orderNumber", o.stage, o.hold_reason as "holdReason",
        o.suspension, o.side, t.id as "patientId", t.chart_number as "chartNumber",
        (select b.mass_kg from body_mass b where b.clinic_id = t.clinic_id and b.patient_id = t.id
          order by b.measured_on desc, b.id desc limit 1) as "bodyMassKg"
      from socket s
      join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      join limb_cast k on k.clinic_id = s.clinic_id and k.id = s.cast_id
      where s.clinic_id = ${clinicId}::uuid and s.id = ${socketId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'socket', id: socketId }));
}

export const orderStageOf = (socket: SocketFacts): OrderStage => ({
  number: socket.orderNumber,
  stage: socket.stage,
  holdReason: socket.holdReason,
});

export const wearerOf = (socket: SocketFacts): Wearer => ({
  chartNumber: socket.chartNumber,
  bodyMassKg: socket.bodyMassKg,
  side: socket.side,
});

/** Up to which body mass a prosthetist acknowledged each part for an order (R3). */
export async function acknowledgedMasses(
  tx: Tx,
  clinicId: string,
  orderId: string,
): Promise<Record<string, number>> {
  const rows = parseRows(
    z.object({ partId: z.string(), upToKg: z.number() }),
    await tx.$queryRaw`
      select part_id as "partId", max(up_to_kg) as "upToKg" from mass_acknowledgement
      where clinic_id = ${clinicId}::uuid and order_id = ${orderId}::uuid group by part_id`,
  );
  return Object.fromEntries(rows.map((row) => [row.partId, row.upToKg]));
}
