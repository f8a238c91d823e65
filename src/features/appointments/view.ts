import { patientSeenBy, sees, type Sight } from '../../access/minimumNecessary.ts';
import { dayAt } from '../../domain/days.ts';
import type { AppointmentRecord } from '../../store/appointments.ts';
import type { AppointmentView } from './schemas.ts';

/** A line of the book, as it is seen. */
export const appointmentView = (
  row: AppointmentRecord,
  sight: Sight,
  timeZone: string,
): AppointmentView => ({
  id: row.id,
  patient: patientSeenBy(sight, { ...row, id: row.patientId }),
  ...(sees(sight, 'phone', row.patientId) ? { phone: row.phone } : {}),
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
  ...(sees(sight, 'appointmentWords') ? { note: row.note, why: row.why } : {}),
  replaces: other(row.replacesId, row.replacedStart),
  replacedBy: other(row.replacedById, row.replacedByStart),
  bookedAt: row.bookedAt,
  bookedBy: row.bookedBy,
  settledAt: row.settledAt,
  settledBy: row.settledBy,
});

const other = (id: string | null, startsAt: Date | null) =>
  id === null || startsAt === null ? null : { id, startsAt };
