/** Who looked a patient up: for who oversees, and for the patient who asks (45 CFR 164.528). */
import { z } from 'zod';
import { lookedUp } from '../../access/lookUp.ts';
import { LOOKED_UP_BY } from '../../domain/lookingUp.ts';
import { pageFrom, readCursor } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { looksAt, type LookRow } from '../../store/patientLooks.ts';
import { loadPatient } from '../../store/patients.ts';
import { writeCsv } from '../trace/csv.ts';
import type { LooksQuery, PatientLook, PatientLooks } from './schemas.ts';

const Cursor = z.object({ at: z.coerce.date(), id: z.uuid() });
/** Lines of a file; what is longer says so. Common practice, no source. */
export const MOST_LINES = 20_000;

/** A page of the looks at a patient, the newest first; asking for it is one itself. */
export async function readLooks(
  act: Act,
  patientId: string,
  query: Pick<LooksQuery, 'after'> & { readonly limit: number },
): Promise<PatientLooks> {
  const { id, chartNumber } = await loadPatient(act, patientId);
  const before = readCursor(Cursor, query.after) ?? null;
  const rows = await looksAt(act, patientId, { before, take: query.limit + 1 });
  await lookedUp(act, { route: 'listPatientLooks', shown: 'bench', patientIds: [patientId] });
  const page = pageFrom(rows, query.limit, ({ at, id: last }) => ({ at, id: last }), viewOf);
  return { patient: { id, chartNumber }, ...page };
}

const viewOf = ({ byId, by, orderId, orderNumber, ...look }: LookRow): PatientLook => ({
  ...look,
  by: { id: byId, printedName: by },
  from: LOOKED_UP_BY[look.route],
  order: orderId === null || orderNumber === null ? null : { id: orderId, number: orderNumber },
});

const HEADER = ['chart_number', 'at', 'who', 'from', 'route', 'shown', 'order'] as const;

export function looksCsv({ patient, items, next }: PatientLooks): string {
  const lines = items.map(({ at, by, from, route, shown, order }) => [
    patient.chartNumber,
    at.toISOString(),
    by.printedName,
    from,
    route,
    shown,
    order?.number ?? null,
  ]);
  const cut = `There are older looks than the ${items.length} of this file.`;
  return writeCsv(
    HEADER,
    next === null ? lines : [...lines, [null, null, null, cut, null, null, null]],
  );
}
