/** Statements on sessions: the sign-ins of people, each with the refresh tokens that come of it. */
import { z } from 'zod';
import type { SignInWay } from '../domain/words.ts';
import type { Tx } from './act.ts';
import { parseFirst } from './rows.ts';

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

/** Ends every session of a person, but for the one named. @returns how many */
export async function endSessions(
  tx: Tx,
  personId: string,
  ending: Ending,
  butId?: string,
): Promise<number> {
  const { clinicId, at, byId } = ending;
  const { count } = await tx.session.updateMany({
    where: {
      clinicId,
      personId,
      endedAt: null,
      ...(butId === undefined ? {} : { id: { not: butId } }),
    },
    data: { endedAt: at, endedById: byId },
  });
  return count;
}
