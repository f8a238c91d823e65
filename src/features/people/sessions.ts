/** The sign-ins of people: seen, and ended from elsewhere. */
import { deviceWords } from '../../domain/devices.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { Refused } from '../../store/refused.ts';
import {
  endedBy,
  endSession,
  endSessions,
  holderOfSession,
  sessionsOf,
} from '../../store/sessions.ts';
import { readPerson } from './service.ts';

/**
 * A person's sign-ins that still go on.
 * @param thisId the session that asks
 * @throws Refused 'person-unknown'
 */
export async function listSessions(act: Act, personId: string, thisId: string) {
  await readPerson(act, personId);
  const rows = await sessionsOf(act.tx, act.clinicId, personId, act.at);
  return {
    items: rows.map(({ device, ...row }) => ({
      ...row,
      device: deviceWords(device),
      thisOne: row.id === thisId,
    })),
  };
}

/** @throws Refused 'session-unknown' where it is nobody's, another person's, or has ended */
export async function endSessionOf(act: Act, personId: string, id: string): Promise<void> {
  const { tx, clinicId } = act;
  const holder = await holderOfSession(tx, clinicId, id);
  const ended = holder === personId ? await endSession(tx, id, endedBy(act)) : 0;
  if (ended === 0) throw new Refused([reason('session-unknown', {})]);
  noteEnd(act, personId, [id]);
}

/** Ends every sign-in of a person but the one named, where one is. */
export async function endSessionsOf(act: Act, personId: string, butId?: string): Promise<void> {
  await readPerson(act, personId);
  noteEnd(act, personId, await endSessions(act.tx, personId, endedBy(act), butId));
}

function noteEnd(act: Act, personId: string, familyIds: readonly string[]): void {
  for (const familyId of familyIds) {
    act.record({
      kind: 'person.session_ended',
      subjectKind: 'person',
      subjectId: personId,
      data: { familyId },
    });
  }
}
