/** Which records belong to a thing, a socket, a batch, a tool or a person: the scopes of the trace. */
import { z } from 'zod';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import { atOf, BRANCH_NAMES, personOf, type Branch, type Sql } from './traceBranches.ts';
import type { TraceScope } from './traceRows.ts';
import { signablesOf } from './traceTold.ts';

const IdRow = z.object({ id: z.string() });
const idsOf = async (act: Act, statement: Sql): Promise<string[]> =>
  parseRows(IdRow, await act.tx.$queryRaw(statement)).map(({ id }) => id);

/** What happened on a socket itself: the same for one socket and for all of a patient's. */
const ON_SOCKETS = [
  'batch_use',
  'layup_drafted',
  'layup_approved',
  'recipe',
  'weighing',
  'lock_check',
  'alignment',
  'fitting',
  'finding_opened',
  'finding_disposed',
  'delivery',
  'service_opened',
  'service_closed',
] as const satisfies readonly Branch[];

/** Gives each of the branches the same condition. */
const each = (names: readonly Branch[], condition: (name: Branch) => Sql): TraceScope['where'] =>
  Object.fromEntries(names.map((name) => [name, condition(name)]));

/**
 * All about these sockets and orders. Of an order: its opening, casts, measures of the
 * limb and stages; of a socket alone, the cast that it came from, the measures taken
 * with it on trial, and what was decided on either.
 */
export async function socketScope(
  act: Act,
  {
    socketIds,
    orderIds,
    patientId,
  }: { socketIds: readonly string[]; orderIds: readonly string[]; patientId?: string },
): Promise<TraceScope> {
  const { clinicId } = act;
  const placeIds = await idsOf(
    act,
    Prisma.sql`select id from place where clinic_id = ${clinicId}::uuid and socket_id = any(${socketIds}::uuid[])`,
  );
  const ofSockets = (column: 'cast_id' | 'order_id'): Sql =>
    Prisma.sql`array(select ${Prisma.raw(column)} from socket
      where clinic_id = ${clinicId}::uuid and id = any(${socketIds}::uuid[]))`;
  const setsOf = (condition: Sql): Sql =>
    Prisma.sql`array(select id from measure_set where clinic_id = ${clinicId}::uuid and ${condition})`;
  // A set is of the order of its socket: the order is the index's key.
  const onTrial = Prisma.sql`order_id = any(${ofSockets('order_id')}) and socket_id = any(${socketIds}::uuid[])`;
  // What corrects a body mass is of the patient, of no order.
  const ofNoOrder =
    patientId === undefined
      ? Prisma.empty
      : Prisma.sql` union all select id from correction
          where clinic_id = ${clinicId}::uuid and patient_id = ${patientId}::uuid and order_id is null`;
  const none = socketIds.length === 0 && orderIds.length === 0;
  return {
    where: {
      ...each(ON_SOCKETS, () => Prisma.sql`x.socket_id = any(${socketIds}::uuid[])`),
      operation: Prisma.sql`y.socket_id = any(${socketIds}::uuid[])`,
      torque: Prisma.sql`y.socket_id = any(${socketIds}::uuid[])`,
      move: Prisma.sql`x.to_place_id = any(${placeIds}::uuid[]) or x.from_place_id = any(${placeIds}::uuid[])`,
      socket: Prisma.sql`x.id = any(${socketIds}::uuid[])`,
      ...(orderIds.length === 0
        ? {
            cast: Prisma.sql`x.id = any(${ofSockets('cast_id')})`,
            measures: onTrial,
            // A decision concerns the sockets of the first set's cast, and the one on trial at the second.
            volume_decision: Prisma.sql`x.first_set_id = any(${setsOf(Prisma.sql`cast_id = any(${ofSockets('cast_id')})`)})
              or x.second_set_id = any(${setsOf(onTrial)})`,
          }
        : {
            ...each(
              ['cast', 'measures', 'stage'],
              () => Prisma.sql`x.order_id = any(${orderIds}::uuid[])`,
            ),
            order: Prisma.sql`x.id = any(${orderIds}::uuid[])`,
            volume_decision: Prisma.sql`x.order_id = any(${orderIds}::uuid[])
              or x.first_set_id = any(${setsOf(Prisma.sql`order_id = any(${orderIds}::uuid[])`)})
              or x.second_set_id = any(${setsOf(Prisma.sql`order_id = any(${orderIds}::uuid[])`)})`,
          }),
      ...(none
        ? {}
        : {
            signature: Prisma.sql`x.subject_id = any(array(${signablesOf(clinicId, socketIds, orderIds)}${ofNoOrder}))`,
          }),
    },
  };
}

/** What is said of a socket while a piece is in it concerns the piece. */
const WHILE_INSIDE = [
  'fitting',
  'finding_opened',
  'finding_disposed',
  'delivery',
  'service_opened',
  'service_closed',
] as const satisfies readonly Branch[];

/**
 * All about these pieces: every move; the evidence taken on them (it names the
 * moves that it covers, so it is theirs for certain); what happened to a socket
 * between a piece's entry and its leaving, the instants of both included; and the
 * drafts of labels that named their part's device.
 */
export async function itemScope(act: Act, itemIds: readonly string[]): Promise<TraceScope> {
  const { clinicId } = act;
  const socketIds = await idsOf(
    act,
    Prisma.sql`select distinct q.socket_id as id from move m
      join place q on q.clinic_id = m.clinic_id and q.id = m.to_place_id
      where m.clinic_id = ${clinicId}::uuid and m.item_id = any(${itemIds}::uuid[]) and q.socket_id is not null`,
  );
  const covers = Prisma.sql`exists (select 1 from move e where e.clinic_id = x.clinic_id
    and e.id = any(x.covers_move_ids) and e.item_id = any(${itemIds}::uuid[]))`;
  const inside = (name: Branch): Sql => Prisma.sql`x.socket_id = any(${socketIds}::uuid[])
    and exists (select 1 from stay h where h.socket_id = x.socket_id
      and ${atOf(name)} >= h.entered_at and (h.left_at is null or ${atOf(name)} <= h.left_at))`;
  const parts = (columns: string): Sql => Prisma.sql`select ${Prisma.raw(columns)} from part
    where clinic_id = ${clinicId}::uuid and id in (select part_id from item
      where clinic_id = ${clinicId}::uuid and id = any(${itemIds}::uuid[]))`;
  const drafts = Prisma.sql`x.part_id in (${parts('id')})
    or (x.issuer, x.device_identifier) in (${parts('udi_issuer, udi_device_identifier')})`;
  return {
    with: Prisma.sql`stay as materialized (
      select q.socket_id, m.moved_at as entered_at, n.moved_at as left_at
      from move m
      join place q on q.clinic_id = m.clinic_id and q.id = m.to_place_id
      left join move n on n.clinic_id = m.clinic_id and n.item_id = m.item_id and n.seq = m.seq + 1
      where m.clinic_id = ${clinicId}::uuid and m.item_id = any(${itemIds}::uuid[]) and q.socket_id is not null)`,
    where: {
      ...each(WHILE_INSIDE, inside),
      ...each(['part_draft_scanned', 'part_draft_resolved'], () => drafts),
      move: Prisma.sql`x.item_id = any(${itemIds}::uuid[])`,
      torque: Prisma.sql`y.socket_id = any(${socketIds}::uuid[]) and ${covers}`,
      lock_check: Prisma.sql`x.socket_id = any(${socketIds}::uuid[]) and ${covers}`,
      alignment: Prisma.sql`x.socket_id = any(${socketIds}::uuid[]) and ${covers}`,
    },
  };
}

/** Where these batches went: each use, with the operation, the cup or the torque it was used for. */
export function batchScope(act: Act, batchIds: readonly string[]): TraceScope {
  const usedFor = (
    column: 'operation_record_id' | 'torque_confirmation_id' | 'resin_weighing_id',
  ) =>
    Prisma.sql`x.id = any(array(select ${Prisma.raw(column)} from batch_use
      where clinic_id = ${act.clinicId}::uuid and batch_id = any(${batchIds}::uuid[])))`;
  return {
    where: {
      batch_use: Prisma.sql`x.batch_id = any(${batchIds}::uuid[])`,
      operation: usedFor('operation_record_id'),
      torque: usedFor('torque_confirmation_id'),
      weighing: usedFor('resin_weighing_id'),
    },
  };
}

/** A shop tool: its calibrations, what was torqued with it, where it has been. */
export const toolScope = (toolId: string): TraceScope => ({
  where: {
    calibration: Prisma.sql`x.tool_id = ${toolId}::uuid`,
    torque: Prisma.sql`x.tool_id = ${toolId}::uuid`,
    move: Prisma.sql`x.shop_tool_id = ${toolId}::uuid`,
  },
});

/** Everything that a person of the clinic did, or stood by as the second person. */
export const personScope = (personId: string): TraceScope => ({
  where: {
    ...each(BRANCH_NAMES, (name) => Prisma.sql`${personOf(name)} = ${personId}::uuid`),
    operation: Prisma.sql`x.recorded_by_id = ${personId}::uuid or x.second_person_id = ${personId}::uuid`,
  },
});
