/** Who looked at which patient: one row for each patient of each event of looking. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import {
  LOOK_UP_ROUTES,
  sameLookSince,
  SHOWN,
  type LookUpRoute,
  type Shown,
} from '../domain/lookingUp.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';

export interface Look {
  readonly route: LookUpRoute;
  readonly shown: Shown;
  readonly patientIds: readonly string[];
  readonly orderId: string | null;
}

/**
 * Writes who was looked at, but for those whom the same person was shown as much of by the
 * same route a moment ago.
 * @returns the patients who were not shown before
 */
export async function writeLooks(act: Act, look: Look): Promise<string[]> {
  const { route, shown, patientIds, orderId } = look;
  const rows = patientIds.map((patientId) => ({ id: uuidv7(), patient_id: patientId }));
  return parseRows(
    z.object({ patientId: z.string() }),
    await act.tx.$queryRaw`
      insert into patient_look (clinic_id, id, patient_id, by_id, at, route, shown, order_id)
      select ${act.clinicId}::uuid, r.id, r.patient_id, ${act.by.personId}::uuid, ${act.at}, ${route}, ${shown}, ${orderId}::uuid
      from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as r(id uuid, patient_id uuid)
      where not exists (select 1 from patient_look l
        where l.clinic_id = ${act.clinicId}::uuid and l.by_id = ${act.by.personId}::uuid and l.patient_id = r.patient_id
          and l.at > ${sameLookSince(act.at)} and l.at <= ${act.at} and l.route = ${route} and l.shown = ${shown}
          and l.order_id is not distinct from ${orderId}::uuid)
      returning patient_id as "patientId"`,
  ).map(({ patientId }) => patientId);
}

const LookRow = z.object({
  id: z.string(),
  at: z.date(),
  byId: z.string(),
  by: z.string(),
  route: z.enum(LOOK_UP_ROUTES as [LookUpRoute, ...LookUpRoute[]]),
  shown: z.enum(SHOWN),
  orderId: z.string().nullable(),
  orderNumber: z.string().nullable(),
});
export type LookRow = z.infer<typeof LookRow>;

/** Who looked at a patient, the newest first. */
export const looksAt = async (
  act: Act,
  patientId: string,
  page: {
    readonly before: { readonly at: Date; readonly id: string } | null;
    readonly take: number;
  },
): Promise<LookRow[]> =>
  parseRows(
    LookRow,
    await act.tx.$queryRaw(Prisma.sql`
      select l.id, l.at, l.by_id as "byId", p.printed_name as by, l.route, l.shown, l.order_id as "orderId", o.number as "orderNumber"
      from patient_look l
      join person p on p.clinic_id = l.clinic_id and p.id = l.by_id
      left join fabrication_order o on o.clinic_id = l.clinic_id and o.id = l.order_id
      where l.clinic_id = ${act.clinicId}::uuid and l.patient_id = ${patientId}::uuid
        ${
          page.before === null
            ? Prisma.empty
            : Prisma.sql`and (l.at, l.id) < (${page.before.at}, ${page.before.id}::uuid)`
        }
      order by l.at desc, l.id desc limit ${page.take}::int`),
  );
