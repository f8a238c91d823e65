/** Statements on whom a provider's subject stands for. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Act, Tx } from './act.ts';
import { isUniqueClash } from './failures.ts';
import { parseFirst } from './rows.ts';

const LinkRow = z.object({
  id: z.string(),
  personId: z.string(),
  issuer: z.string(),
  subject: z.string().nullable(),
  invitedUntil: z.date().nullable(),
  linkedAt: z.date().nullable(),
});
export type LinkRow = z.infer<typeof LinkRow>;

/** The link, or the open invitation, of a person. */
export async function linkOf(
  tx: Tx,
  clinicId: string,
  personId: string,
): Promise<LinkRow | undefined> {
  return parseFirst(
    LinkRow,
    await tx.$queryRaw`
      select id, person_id as "personId", issuer, subject, invited_until as "invitedUntil", linked_at as "linkedAt"
      from openid_link
      where clinic_id = ${clinicId}::uuid and person_id = ${personId}::uuid and ended_at is null`,
  );
}

const MeantRow = z.object({
  id: z.string(),
  personId: z.string(),
  email: z.string(),
  active: z.boolean(),
  invitedUntil: z.date().nullable(),
});
export type MeantRow = z.infer<typeof MeantRow>;

/** Whom a subject is linked with, held until the transaction ends. */
export async function personOfSubject(
  tx: Tx,
  clinicId: string,
  issuer: string,
  subject: string,
): Promise<MeantRow | undefined> {
  return parseFirst(
    MeantRow,
    await tx.$queryRaw`
      select l.id, l.person_id as "personId", p.email, p.active, null::timestamptz as "invitedUntil"
      from openid_link l join person p on p.clinic_id = l.clinic_id and p.id = l.person_id
      where l.clinic_id = ${clinicId}::uuid and l.issuer = ${issuer} and l.subject = ${subject} and l.ended_at is null
      for no key update`,
  );
}

/** Whose invitation by this issuer is open under an address, held until the transaction ends. */
export async function invitedUnder(
  tx: Tx,
  clinicId: string,
  issuer: string,
  email: string,
): Promise<MeantRow | undefined> {
  return parseFirst(
    MeantRow,
    await tx.$queryRaw`
      select l.id, l.person_id as "personId", p.email, p.active, l.invited_until as "invitedUntil"
      from openid_link l join person p on p.clinic_id = l.clinic_id and p.id = l.person_id
      where l.clinic_id = ${clinicId}::uuid and l.issuer = ${issuer} and l.subject is null and l.ended_at is null
        and p.email = lower(${email})
      for no key update`,
  );
}

/** @returns 0 where it was taken up or ended meanwhile, undefined where the subject is somebody else's */
export async function takeUpInvitation(
  tx: Tx,
  clinicId: string,
  id: string,
  subject: string,
  at: Date,
): Promise<number | undefined> {
  try {
    return await tx.$executeRaw`
      update openid_link set subject = ${subject}, linked_at = ${at}
      where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and subject is null and ended_at is null`;
  } catch (failure) {
    if (isUniqueClash(failure, 'subject')) return undefined;
    throw failure;
  }
}

interface NewLink {
  readonly personId: string;
  readonly issuer: string;
  /** Null invites. */
  readonly subject: string | null;
  readonly invitedUntil: Date | null;
}

/** @returns what stood in the way: the person has a link, or the subject is somebody else's */
export async function addLink(
  act: Act,
  { personId, issuer, subject, invitedUntil }: NewLink,
): Promise<'person' | 'subject' | undefined> {
  try {
    await act.tx.openIdLink.create({
      data: {
        clinicId: act.clinicId,
        id: uuidv7(),
        personId,
        issuer,
        subject,
        how: subject === null ? 'invited' : 'self',
        createdAt: act.at,
        createdById: act.by.personId,
        invitedUntil,
        linkedAt: subject === null ? null : act.at,
      },
      select: { id: true },
    });
    return undefined;
  } catch (failure) {
    if (isUniqueClash(failure, 'subject')) return 'subject';
    if (isUniqueClash(failure, 'person_id')) return 'person';
    throw failure;
  }
}

export const endLink = (act: Act, id: string): Promise<number> => act.tx.$executeRaw`
  update openid_link set ended_at = ${act.at}, ended_by_id = ${act.by.personId}::uuid
  where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid and ended_at is null`;
