/** Notes that somebody looked patients up, in the transaction of the read itself. */
import { MOST_NAMED, type LookUpRoute, type Shown } from '../domain/lookingUp.ts';
import type { Act } from '../store/act.ts';
import { writeLooks } from '../store/patientLooks.ts';

export interface LookedUp {
  readonly route: LookUpRoute;
  readonly shown: Shown;
  readonly patientIds: readonly string[];
  readonly orderId?: string;
  /** True where the read has an event of its own already (trace, recall, history): none is added. */
  readonly told?: true;
}

/**
 * Writes who was looked at, and one event for them all: 'patient.read' of one, 'patients.read'
 * naming several. Nothing is written where the same person was shown the same by the same route
 * within a quarter of an hour (domain/lookingUp.ts), so a page that reads itself again, or a
 * request that is sent twice, is one look.
 */
export async function lookedUp(act: Act, look: LookedUp): Promise<void> {
  const { route, shown, orderId, told } = look;
  const all = [...new Set(look.patientIds)];
  if (all.length === 0) return;
  const patientIds = await writeLooks(act, {
    route,
    shown,
    patientIds: all,
    orderId: orderId ?? null,
  });
  if (told === true) return;
  for (let at = 0; at < patientIds.length; at += MOST_NAMED) {
    const named = patientIds.slice(at, at + MOST_NAMED);
    const [first] = named;
    if (first === undefined) return;
    const ofOrder = orderId === undefined ? {} : { orderId };
    act.record(
      all.length === 1
        ? {
            kind: 'patient.read',
            subjectKind: 'patient',
            subjectId: first,
            ...ofOrder,
            data: { route, shown },
          }
        : {
            kind: 'patients.read',
            subjectKind: 'clinic',
            subjectId: act.clinicId,
            data: { route, shown, patientIds: named },
          },
    );
  }
}
