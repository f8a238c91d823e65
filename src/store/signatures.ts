/** Statements on signatures. */
import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { SIGNATURE_MEANINGS, type SignatureMeaning } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import type { Json } from './events.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

export interface SignatureRow {
  readonly id: string;
  readonly personId: string;
  readonly printedName: string;
  readonly meaning: SignatureMeaning;
  readonly signedAt: Date;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly contentSha256: string;
  /** The sign-in in which it is given; the database takes only the signer's own. */
  readonly sessionId: string | null;
}

/** Who gave the newest signature of that meaning on a record, and when. */
export async function signatureOn(
  act: Act,
  subjectId: string,
  meaning: SignatureMeaning,
): Promise<{ by: string; at: string }> {
  const { printedName, signedAt } = await act.tx.signature.findFirstOrThrow({
    where: { clinicId: act.clinicId, subjectId, meaning },
    orderBy: { id: 'desc' },
    select: { printedName: true, signedAt: true },
  });
  return { by: printedName, at: signedAt.toISOString() };
}

export const writeSignature = (act: Act, row: SignatureRow, content: Json): Promise<number> =>
  act.tx.$executeRaw`
    insert into signature (clinic_id, id, person_id, printed_name, meaning, signed_at, subject_kind, subject_id, content, content_sha256, session_id)
    values (${act.clinicId}::uuid, ${row.id}::uuid, ${row.personId}::uuid, ${row.printedName}, ${row.meaning}, ${row.signedAt},
      ${row.subjectKind}, ${row.subjectId}::uuid, ${JSON.stringify(content)}::jsonb, ${row.contentSha256}, ${row.sessionId}::uuid)`;

const GivenRow = z.object({
  id: z.string(),
  personId: z.string(),
  printedName: z.string(),
  meaning: z.enum(SIGNATURE_MEANINGS),
  signedAt: z.date(),
  subjectKind: z.string(),
  subjectId: z.string(),
  contentSha256: z.string(),
  content: z.custom<Readonly<Record<string, Json>>>((value) => typeof value === 'object'),
  /** Null where it is about a person rather than about a limb. */
  orderId: z.string().nullable(),
  /** Null where it is about the order itself. */
  socketId: z.string().nullable(),
  /** Of a signature for a part under a body mass. */
  partId: z.string().nullable(),
});
/** A signature as it was given, with what it is about. */
export type GivenSignature = z.infer<typeof GivenRow>;

/** Every signature of the clinic with its order: a signature itself names only its subject. */
const given = (clinicId: string): Prisma.Sql => Prisma.sql`
  select g.id, g.person_id as "personId", g.printed_name as "printedName", g.meaning, g.signed_at as "signedAt",
    g.subject_kind as "subjectKind", g.subject_id as "subjectId", g.content_sha256 as "contentSha256", g.content,
    coalesce(o.id, m.order_id, d.order_id, c.order_id, s.order_id) as "orderId", coalesce(d.socket_id, s.id) as "socketId",
    m.part_id as "partId"
  from signature g
  left join fabrication_order o on o.clinic_id = g.clinic_id and o.id = g.subject_id
  left join mass_acknowledgement m on m.clinic_id = g.clinic_id and m.id = g.subject_id
  left join correction c on c.clinic_id = g.clinic_id and c.id = g.subject_id
  left join delivery d on d.clinic_id = g.clinic_id and d.id = g.subject_id
  left join fitting f on f.clinic_id = g.clinic_id and f.id = g.subject_id
  left join finding x on x.clinic_id = g.clinic_id and x.id = g.subject_id
  left join alignment a on a.clinic_id = g.clinic_id and a.id = g.subject_id
  left join service_visit v on v.clinic_id = g.clinic_id and v.id = g.subject_id
  left join layup l on l.clinic_id = g.clinic_id and l.id = g.subject_id
  left join socket s on s.clinic_id = g.clinic_id
    and s.id = coalesce(f.socket_id, x.socket_id, a.socket_id, v.socket_id, l.socket_id)
  where g.clinic_id = ${clinicId}::uuid`;

/** What a signature on an order can be about. */
const subjectsOf = (clinicId: string, orderId: string): Prisma.Sql => {
  const ofSockets = (table: string) => Prisma.sql`
    select t.id from ${Prisma.raw(table)} t join socket k on k.clinic_id = t.clinic_id and k.id = t.socket_id
    where k.clinic_id = ${clinicId}::uuid and k.order_id = ${orderId}::uuid`;
  const tables = ['fitting', 'finding', 'alignment', 'service_visit', 'layup', 'delivery'];
  return Prisma.sql`
    select ${orderId}::uuid
    union all select id from mass_acknowledgement where clinic_id = ${clinicId}::uuid and order_id = ${orderId}::uuid
    union all select id from correction where clinic_id = ${clinicId}::uuid and order_id = ${orderId}::uuid
    union all ${Prisma.join(tables.map(ofSockets), ' union all ')}`;
};

/** Every signature given on an order, the oldest first. */
export const signaturesOfOrder = async (
  { tx, clinicId }: Pick<Act, 'tx' | 'clinicId'>,
  orderId: string,
): Promise<GivenSignature[]> =>
  parseRows(
    GivenRow,
    await tx.$queryRaw`${given(clinicId)}
      and g.subject_id in (${subjectsOf(clinicId, orderId)}) order by g.id`,
  );

/** @throws Refused 'not-found' where the clinic has no such signature */
export const loadSignature = async (
  { tx, clinicId }: Pick<Act, 'tx' | 'clinicId'>,
  id: string,
): Promise<GivenSignature> =>
  found(parseFirst(GivenRow, await tx.$queryRaw`${given(clinicId)} and g.id = ${id}::uuid`), () =>
    reason('not-found', { what: 'signature', id }),
  );
