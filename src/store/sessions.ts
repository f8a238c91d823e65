/** Statements on sessions: the sign-ins of people, each with the refresh tokens that come of it. */
import { z } from 'zod';
import { SIGN_IN_WAYS, type SignInWay } from '../domain/words.ts';
import type { Act, Tx } from './act.ts';
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
  /** Begun with a code of the second factor; left out: not. */
  readonly withSecondFactor?: boolean | undefined;
  /** The PIN of a bench device that it was begun by. */
  readonly benchPinId?: string | undefined;
}

export async function writeSession(tx: Tx, session: NewSession): Promise<void> {
  const { withSecondFactor = false, benchPinId = null, ...rest } = session;
  const data = { ...rest, withSecondFactor, benchPinId, lastUsedAt: session.beganAt };
  await tx.session.create({ data, select: { id: true } });
}

const used = z.object({
  beganAt: z.date(),
  byPin: z.boolean(),
  withSecondFactor: z.boolean(),
  goodUntil: z.date().nullable(),
});
/** What a session began with: when, by a PIN or not, with a second factor or not; until when its PIN is good. */
export type UsedSession = z.infer<typeof used>;

/**
 * Notes that a session goes on, and holds it until the transaction ends.
 * @returns what it began with; undefined where it has ended
 */
export async function useSession(
  tx: Tx,
  clinicId: string,
  id: string,
  at: Date,
): Promise<UsedSession | undefined> {
  const rows = await tx.$queryRaw`
    update session set last_used_at = greatest(last_used_at, ${at})
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and ended_at is null
    returning began_at as "beganAt", bench_pin_id is not null as "byPin", with_second_factor as "withSecondFactor",
      (select p.good_until from bench_pin p where p.clinic_id = session.clinic_id and p.id = session.bench_pin_id) as "goodUntil"`;
  return parseFirst(used, rows);
}

/** Whose an open session is and what it began with; undefined where it has ended. */
export async function openSession(tx: Tx, clinicId: string, id: string) {
  const row = await tx.session.findFirst({
    where: { clinicId, id, endedAt: null },
    select: { personId: true, beganAt: true, withSecondFactor: true, benchPinId: true },
  });
  return row === null ? undefined : { ...row, byPin: row.benchPinId !== null };
}

/** Counts an open session as begun with the second factor, whose first code was just typed in it. */
export async function strengthenSession(tx: Tx, clinicId: string, id: string): Promise<void> {
  await tx.session.updateMany({
    where: { clinicId, id, endedAt: null },
    data: { withSecondFactor: true },
  });
}

/** Which sessions are meant. */
export interface Ending {
  readonly clinicId: string;
  readonly at: Date;
  /** Null where nobody ends it. */
  readonly byId: string | null;
}

/** Ended now, by whoever acts. */
export const endedBy = ({ clinicId, at, by }: Act): Ending => ({
  clinicId,
  at,
  byId: by.personId,
});

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
