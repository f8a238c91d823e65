import { patientSeenBy, seesContact, seesWhatWasSaid } from '../../access/minimumNecessary.ts';
import { dayAt } from '../../domain/days.ts';
import type { Role } from '../../domain/words.ts';
import type { AppointmentRecord } from '../../store/appointments.ts';
import type { AppointmentView } from './schemas.ts';

/** A line of the book, as people with these roles see it. */
export const appointmentView = (
  row: AppointmentRecord,
  roles: readonly Role[],
  timeZone: string,
): AppointmentView => ({
  id: row.id,
  patient: patientSeenBy(roles, { ...row, id: row.patientId }),
  ...(seesContact(roles) ? { phone: row.phone } : {}),
  order:
    row.orderId === null ||
    row.orderNumber === null ||
    row.orderStage === null ||
    row.orderSide === null
      ? null
      : { id: row.orderId, number: row.orderNumber, stage: row.orderStage, side: row.orderSide },
  prosthetist: { id: row.prosthetistId, printedName: row.prosthetistName },
  purpose: row.purpose,
  startsAt: row.startsAt,
  endsAt: row.endsAt,
  on: dayAt(row.startsAt, timeZone),
  room: row.room,
  state: row.state,
  ...(seesWhatWasSaid(roles) ? { note: row.note, why: row.why } : {}),
  replaces: other(row.replacesId, row.replacedStart),
  replacedBy: other(row.replacedById, row.replacedByStart),
  bookedAt: row.bookedAt,
  bookedBy: row.bookedBy,
  settledAt: row.settledAt,
  settledBy: row.settledBy,
});

const other = (id: string | null, startsAt: Date | null) =>
  id === null || startsAt === null ? null : { id, startsAt };
