/** Statements on sessions: the sign-ins of people, each with the refresh tokens that come of it. */
import { z } from 'zod';
import { SIGN_IN_WAYS, type SignInWay } from '../domain/words.ts';
import type { Tx } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';

export interface NewSession {
  readonly clinicId: string;
  /** The family of its tokens. */
  readonly id: string;
  readonly personId: string;
  readonly how: SignInWay;
  /** As domain/devices.ts tells it. */
  readonly device: string;
  readonly beganAt: Date;
}

export async function writeSession(tx: Tx, session: NewSession): Promise<void> {
  const data = { ...session, lastUsedAt: session.beganAt };
  await tx.session.create({ data, select: { id: true } });
}

const began = z.object({ beganAt: z.date() });

/**
 * Notes that a session goes on, and holds it until the transaction ends.
 * @returns when it began; undefined where it has ended
 */
export async function useSession(
  tx: Tx,
  clinicId: string,
  id: string,
  at: Date,
): Promise<Date | undefined> {
  const rows = await tx.$queryRaw`
    update session set last_used_at = greatest(last_used_at, ${at})
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and ended_at is null
    returning began_at as "beganAt"`;
  return parseFirst(began, rows)?.beganAt;
}

/** Which sessions are meant. */
export interface Ending {
  readonly clinicId: string;
  readonly at: Date;
  /** Null where nobody ends it. */
  readonly byId: string | null;
}

/** Ends a session with its tokens. @returns 0 where it had ended before */
export async function endSession(tx: Tx, id: string, ending: Ending): Promise<number> {
  const { clinicId, at, byId } = ending;
  const { count } = await tx.session.updateMany({
    where: { clinicId, id, endedAt: null },
    data: { endedAt: at, endedById: byId },
  });
  return count;
}

/** Ends every session of a person, but for the one named. @returns the ids of those that it ended */
export async function endSessions(
  tx: Tx,
  personId: string,
  { clinicId, at, byId }: Ending,
  butId: string | null = null,
): Promise<string[]> {
  const rows = await tx.$queryRaw`
    update session set ended_at = ${at}, ended_by_id = ${byId}::uuid
    where clinic_id = ${clinicId}::uuid and person_id = ${personId}::uuid and ended_at is null
      and id is distinct from ${butId}::uuid
    returning id`;
  return parseRows(z.object({ id: z.string() }), rows).map(({ id }) => id);
}

const sessionRow = z.object({
  id: z.string(),
  how: z.enum(SIGN_IN_WAYS),
  device: z.string(),
  beganAt: z.date(),
  lastUsedAt: z.date(),
});
export type SessionRow = z.infer<typeof sessionRow>;

/** The sessions of a person that still go on, the last used first: not ended, and not idle for too long. */
export const sessionsOf = async (
  tx: Tx,
  clinicId: string,
  personId: string,
  at: Date,
): Promise<SessionRow[]> =>
  parseRows(
    sessionRow,
    await tx.$queryRaw`
      select s.id, s.how, s.device, s.began_at as "beganAt", s.last_used_at as "lastUsedAt"
      from session s
      where s.clinic_id = ${clinicId}::uuid and s.person_id = ${personId}::uuid and s.ended_at is null
        and exists (select 1 from refresh_token t where t.clinic_id = s.clinic_id and t.family_id = s.id
          and t.used_at is null and t.revoked_at is null and t.expires_at > ${at})
      order by s.last_used_at desc, s.id`,
  );

/** Whose session it is; undefined where there is none that has not ended. */
export async function holderOfSession(
  tx: Tx,
  clinicId: string,
  id: string,
): Promise<string | undefined> {
  const found = await tx.session.findUnique({
    where: { clinicId_id: { clinicId, id } },
    select: { personId: true, endedAt: true },
  });
  return found?.endedAt === null ? found.personId : undefined;
}
