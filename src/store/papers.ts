/** What labels, the move slip and the papers of a delivery ask of the book. */
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import {
  FUNCTIONAL_LEVELS,
  LEVELS,
  POSITIONS,
  SIDES,
  SIGNATURE_MEANINGS,
  SOCKET_KINDS,
  SUSPENSIONS,
} from '../domain/words.ts';
import type { Act } from './act.ts';
import { openAddress } from './contact.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const storedDay = z.string().transform((text) => text as Day);

const wearer = {
  orderNumber: z.string(),
  side: z.enum(SIDES),
  chartNumber: z.string(),
  givenName: z.string(),
  familyName: z.string(),
};

const SocketRow = z.object({ ...wearer, number: z.string(), kind: z.enum(SOCKET_KINDS) });

/** @throws Refused 'not-found' */
export async function socketForLabel(
  { tx, clinicId }: Act,
  socketId: string,
): Promise<z.infer<typeof SocketRow>> {
  const row = parseFirst(
    SocketRow,
    await tx.$queryRaw`
      select s.number, s.kind, o.number as "orderNumber", o.side, t.chart_number as "chartNumber",
        left(btrim(t.given_name), 1) as "givenName", left(btrim(t.family_name), 1) as "familyName"
      from socket s
      join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      where s.clinic_id = ${clinicId}::uuid and s.id = ${socketId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'socket', id: socketId }));
}

const CastRow = z.object({ ...wearer, castNumber: z.number(), takenOn: storedDay });

/** @throws Refused 'not-found' */
export async function castForLabel(
  { tx, clinicId }: Act,
  castId: string,
): Promise<z.infer<typeof CastRow>> {
  const row = parseFirst(
    CastRow,
    await tx.$queryRaw`
      select k.number as "castNumber", k.taken_on::text as "takenOn", o.number as "orderNumber", o.side,
        t.chart_number as "chartNumber", left(btrim(t.given_name), 1) as "givenName",
        left(btrim(t.family_name), 1) as "familyName"
      from limb_cast k
      join fabrication_order o on o.clinic_id = k.clinic_id and o.id = k.order_id
      join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      where k.clinic_id = ${clinicId}::uuid and k.id = ${castId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'cast', id: castId }));
}

/** A bin by its id. @throws Refused 'not-found' */
export async function binForLabel(
  { tx, clinicId }: Act,
  placeId: string,
): Promise<{ id: string; name: string }> {
  const row = await tx.place.findFirst({
    where: { clinicId, id: placeId, kind: 'bin' },
    select: { id: true, name: true },
  });
  return found(row, () => reason('not-found', { what: 'bin', id: placeId }));
}

const MoveRow = z.object({
  what: z.string(),
  from: z.string().nullable(),
  to: z.string(),
  reason: z.string(),
  at: z.date(),
  by: z.string(),
  /** Whether the thing is still where this move brought it. */
  last: z.boolean(),
});
export type SlipMove = z.infer<typeof MoveRow>;

/** Every move into and out of a socket, the first one first. */
export const movesOfSocket = async ({ tx, clinicId }: Act, socketId: string): Promise<SlipMove[]> =>
  parseRows(
    MoveRow,
    await tx.$queryRaw`
      select coalesce(pt.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot), st.name) as what,
        f.name as "from", p.name as "to", m.reason, m.moved_at as at, w.printed_name as by,
        c.last_move_id is not distinct from m.id as last
      from move m
      join place p on p.clinic_id = m.clinic_id and p.id = m.to_place_id
      left join place f on f.clinic_id = m.clinic_id and f.id = m.from_place_id
      left join item i on i.clinic_id = m.clinic_id and i.id = m.item_id
      left join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      left join shop_tool st on st.clinic_id = m.clinic_id and st.id = m.shop_tool_id
      left join custody c on c.clinic_id = m.clinic_id and c.thing_id = coalesce(m.item_id, m.shop_tool_id)
      join person w on w.clinic_id = m.clinic_id and w.id = m.moved_by_id
      where m.clinic_id = ${clinicId}::uuid
        and (p.socket_id = ${socketId}::uuid or f.socket_id = ${socketId}::uuid)
      order by m.moved_at, m.id`,
  );

/** What a delivery's signature is bound to; the fields that a paper shows. */
const SignedGate = z.object({
  bodyMassKg: z.number().nullable(),
  hardware: z.array(z.object({ position: z.enum(POSITIONS), item: z.string() })),
  joints: z.array(z.object({ kind: z.string(), confirmed: z.boolean() })),
  lockCheck: z.string().nullable(),
  releaserWasSoleWorker: z.boolean(),
  receivedByName: z.string(),
  receivedByRelation: z.string(),
});

const DeliveryRow = z.object({
  ...wearer,
  patientId: z.string(),
  orderId: z.string(),
  socketNumber: z.string(),
  level: z.enum(LEVELS),
  suspension: z.enum(SUSPENSIONS),
  functionalLevel: z.enum(FUNCTIONAL_LEVELS),
  liner: z.string().nullable(),
  birthDate: storedDay.nullable(),
  address: z.string().nullable(),
  deliveredAt: z.date(),
  signature: z.object({
    printedName: z.string(),
    meaning: z.enum(SIGNATURE_MEANINGS),
    signedAt: z.string(),
    contentSha256: z.string(),
    content: SignedGate,
  }),
});
export type DeliveryForPaper = z.infer<typeof DeliveryRow>;

/**
 * The signed delivery of a socket: what was handed over is read from the content that was
 * signed, not from where things are by now.
 * @returns undefined where it has none
 */
export async function deliveryOf(
  act: Act,
  socketId: string,
): Promise<DeliveryForPaper | undefined> {
  const { tx, clinicId } = act;
  const row = parseFirst(
    DeliveryRow,
    await tx.$queryRaw`
      select s.number as "socketNumber", o.id as "orderId", o.patient_id as "patientId", o.number as "orderNumber", o.side, o.level, o.suspension,
        o.functional_level as "functionalLevel", o.liner, t.chart_number as "chartNumber",
        t.given_name as "givenName", t.family_name as "familyName", t.birth_date::text as "birthDate", t.address,
        d.delivered_at as "deliveredAt",
        json_build_object('printedName', g.printed_name, 'meaning', g.meaning, 'signedAt', g.signed_at,
          'contentSha256', g.content_sha256, 'content', g.content) as signature
      from delivery d
      join signature g on g.clinic_id = d.clinic_id and g.id = d.signature_id
      join socket s on s.clinic_id = d.clinic_id and s.id = d.socket_id
      join fabrication_order o on o.clinic_id = d.clinic_id and o.id = d.order_id
      join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      where d.clinic_id = ${clinicId}::uuid and d.socket_id = ${socketId}::uuid`,
  );
  return row && { ...row, address: openAddress(act, row.patientId, row.address) };
}

const WornRow = z.object({
  ratedBodyMassKg: z.number().nullable(),
  serviceIntervalDays: z.number().nullable(),
});

/** The lowest rating and the shortest service interval of what a socket holds now. */
export async function limitsOfWorn(
  { tx, clinicId }: Act,
  socketId: string,
): Promise<z.infer<typeof WornRow>> {
  const row = parseFirst(
    WornRow,
    await tx.$queryRaw`
      select min(pt.rated_body_mass_kg) as "ratedBodyMassKg", min(pt.service_interval_days) as "serviceIntervalDays"
      from place p
      join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
      join item i on i.clinic_id = c.clinic_id and i.id = c.item_id
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid`,
  );
  return row ?? { ratedBodyMassKg: null, serviceIntervalDays: null };
}
