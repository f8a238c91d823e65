import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import type { WorkCalendar } from '../domain/workCalendar.ts';
import type { Act, Tx } from './act.ts';
import { asJson } from './json.ts';
import { parseRows } from './rows.ts';

const CalendarRow = z.object({
  id: z.string(),
  version: z.number(),
  weekdays: z.array(z.array(z.object({ fromMinute: z.number(), toMinute: z.number() }))),
  closedDays: z.array(
    z.object({ on: z.string().transform((text) => text as Day), why: z.string() }),
  ),
  createdAt: z.date(),
  createdBy: z.string().nullable(),
  supersededAt: z.date().nullable(),
});

/** The calendar in force, with why it is closed when. `createdBy` is null for a starting one. */
export type CalendarInForce = z.infer<typeof CalendarRow>;

/** The calendar in force; each clinic has one from its founding on. */
export async function loadCalendar(tx: Tx, clinicId: string): Promise<CalendarInForce> {
  const [row] = await readCalendars(tx, clinicId, false);
  if (row === undefined) throw new Error(`Clinic ${clinicId} has no calendar in force.`);
  return row;
}

/** Every version of the calendar, the one in force first. */
export const listCalendars = ({ tx, clinicId }: Act): Promise<CalendarInForce[]> =>
  readCalendars(tx, clinicId, true);

const readCalendars = async (
  tx: Tx,
  clinicId: string,
  everyVersion: boolean,
): Promise<CalendarInForce[]> =>
  parseRows(
    CalendarRow,
    await tx.$queryRaw`
      select k.id, k.version, k.weekdays, k.closed_days as "closedDays", k.created_at as "createdAt",
        p.printed_name as "createdBy", k.superseded_at as "supersededAt"
      from work_calendar k left join person p on p.clinic_id = k.clinic_id and p.id = k.created_by_id
      where k.clinic_id = ${clinicId}::uuid and (${everyVersion}::boolean or k.superseded_at is null)
      order by k.version desc`,
  );

/** The calendar in force as the domain counts in it. */
export async function currentWorkCalendar({
  tx,
  clinicId,
}: Pick<Act, 'tx' | 'clinicId'>): Promise<WorkCalendar> {
  const { weekdays, closedDays } = await loadCalendar(tx, clinicId);
  return { weekdays, closedOn: new Set(closedDays.map(({ on }) => on)) };
}

/** The calendar in force, held with its clinic until the transaction ends, so that versions count one by one. */
export async function holdCalendar({ tx, clinicId }: Act): Promise<CalendarInForce> {
  await tx.$queryRaw`select 1 from clinic where id = ${clinicId}::uuid for no key update`;
  return loadCalendar(tx, clinicId);
}

/**
 * Writes the version after `before`, which it supersedes; the caller holds the calendar.
 * @returns the number of the new version
 */
export async function writeCalendar(
  act: Act,
  before: CalendarInForce,
  calendar: Pick<CalendarInForce, 'weekdays' | 'closedDays'>,
): Promise<{ id: string; version: number }> {
  const { tx, clinicId, at } = act;
  await tx.workCalendar.update({
    where: { clinicId_id: { clinicId, id: before.id } },
    data: { supersededAt: at },
  });
  const id = uuidv7();
  const version = before.version + 1;
  await tx.workCalendar.create({
    data: {
      clinicId,
      id,
      version,
      weekdays: asJson(calendar.weekdays),
      closedDays: asJson(calendar.closedDays),
      createdAt: at,
      createdById: act.by.personId,
    },
  });
  return { id, version };
}
