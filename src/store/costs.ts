/** What went into sockets and what it cost (C7): materials by batch, hardware by piece, minutes by operation. */
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';

const UsesRow = z.object({
  socketId: z.string(),
  number: z.string(),
  orderId: z.string(),
  orderNumber: z.string(),
  remake: z.boolean(),
  materials: z.array(
    z.object({
      name: z.string(),
      lot: z.string(),
      amount: z.number().nullable(),
      quantity: z.number(),
      priceMinor: z.number().nullable(),
    }),
  ),
  hardware: z.array(
    z.object({ itemId: z.string(), what: z.string(), priceMinor: z.number().nullable() }),
  ),
  labour: z.array(
    z.object({ title: z.string(), attempt: z.number(), minutes: z.number().nullable() }),
  ),
});
/** A socket with all that was used on it; money in whole minor units of the clinic's currency. */
export type SocketUsesRow = z.infer<typeof UsesRow>;

/**
 * A piece counts on each socket that it served in: from there it went on to another
 * socket or to scrap, or it is there, on the bench or in quarantine still. What came
 * back to a bin before that, by whatever road, was not used up. A remake is a definitive socket in the place of another, and
 * whatever was begun after the order's first delivery.
 */
const FIELDS = Prisma.sql`
  s.id as "socketId", s.number, s.order_id as "orderId", o.number as "orderNumber",
    (s.kind = 'definitive' and coalesce(r.kind = 'definitive', false))
      or coalesce(s.started_at > (select min(d.delivered_at) from delivery d
        where d.clinic_id = s.clinic_id and d.order_id = s.order_id), false) as remake,
    coalesce((select json_agg(json_build_object('name', b.name, 'lot', b.lot, 'amount', u.amount,
        'quantity', b.quantity, 'priceMinor', b.price_minor) order by u.used_at, u.id)
      from batch_use u join batch b on b.clinic_id = u.clinic_id and b.id = u.batch_id
      where u.clinic_id = s.clinic_id and u.socket_id = s.id), '[]'::json) as materials,
    coalesce((select json_agg(json_build_object('itemId', i.id, 'what',
        t.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot), 'priceMinor', i.price_minor) order by t.name, i.id)
      from (select m.item_id, max(m.seq) as came from place p
          join move m on m.clinic_id = p.clinic_id and m.to_place_id = p.id
          where p.clinic_id = s.clinic_id and p.socket_id = s.id and m.item_id is not null group by m.item_id) v
      join item i on i.clinic_id = s.clinic_id and i.id = v.item_id
      join part t on t.clinic_id = i.clinic_id and t.id = i.part_id
      where coalesce((select q.kind from move n join place q on q.clinic_id = n.clinic_id and q.id = n.to_place_id
        where n.clinic_id = s.clinic_id and n.item_id = v.item_id and n.seq > v.came
          and q.kind in ('socket_position', 'scrap', 'bin') order by n.seq limit 1), 'none') <> 'bin'),
      '[]'::json) as hardware,
    coalesce((select json_agg(json_build_object('title', p.title, 'attempt', k.attempt, 'minutes', k.minutes)
        order by p.seq, k.attempt)
      from operation p join operation_record k on k.clinic_id = p.clinic_id and k.operation_id = p.id
      where p.clinic_id = s.clinic_id and p.socket_id = s.id), '[]'::json) as labour`;
const FROM = Prisma.sql`
  from socket s
  join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
  left join socket r on r.clinic_id = s.clinic_id and r.id = s.replaces_socket_id`;

/** What one socket used; undefined where the clinic has no such socket. */
export async function usesOfSocket(act: Act, socketId: string): Promise<SocketUsesRow | undefined> {
  const [row] = parseRows(
    UsesRow,
    await act.tx
      .$queryRaw`select ${FIELDS} ${FROM} where s.clinic_id = ${act.clinicId}::uuid and s.id = ${socketId}::uuid`,
  );
  return row;
}

/** What the sockets of an order used, in the order in which they were begun. */
export const usesOfOrder = async (act: Act, orderId: string): Promise<SocketUsesRow[]> =>
  parseRows(
    UsesRow,
    await act.tx.$queryRaw`
      select ${FIELDS} ${FROM} where s.clinic_id = ${act.clinicId}::uuid and s.order_id = ${orderId}::uuid
      order by s.started_at, s.id`,
  );

/**
 * What the sockets of all orders used whose first delivery fell between two days
 * of the clinic's zone, both included; with that day, order by order.
 */
export async function usesOfDelivered(
  act: Act,
  window: { readonly from: Day; readonly to: Day; readonly timeZone: string },
): Promise<(SocketUsesRow & { readonly deliveredOn: Day })[]> {
  const rows = parseRows(
    UsesRow.extend({ deliveredOn: z.string() }),
    await act.tx.$queryRaw`
      select ${FIELDS}, f.delivered_on::text as "deliveredOn" ${FROM}
      join (select d.order_id, (min(d.delivered_at) at time zone ${window.timeZone})::date as delivered_on
        from delivery d where d.clinic_id = ${act.clinicId}::uuid group by d.order_id) f on f.order_id = s.order_id
      where s.clinic_id = ${act.clinicId}::uuid
        and f.delivered_on between ${window.from}::date and ${window.to}::date
      order by f.delivered_on, s.order_id, s.started_at, s.id`,
  );
  return rows.map((row) => ({ ...row, deliveredOn: row.deliveredOn as Day }));
}
