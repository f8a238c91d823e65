/** Orders of the past, written by plain SQL as they went through their stages: nothing of them but that. */
import { randomUUID } from 'node:crypto';
import { deliveredOn, type OrderTimeline } from '../../src/domain/orderTimeline.ts';
import { addWorkingDays } from '../../src/domain/workCalendar.ts';
import type { Day } from '../../src/domain/days.ts';
import type { TestClinic } from './clinic.ts';
import { insertInto, type Values } from './plainSql.ts';
import { CLINIC, MONDAY, straight } from './timelines.ts';

/** An order's timeline, with the day promised for it. */
export type Past = OrderTimeline & { readonly promisedOn?: Day };

const noonOf = (day: Day): string => `${day}T12:00:00Z`;

/** @returns the orders' ids by the names of their timelines, which become their numbers */
export async function wentThrough(
  clinic: TestClinic,
  timelines: readonly Past[],
): Promise<ReadonlyMap<string, string>> {
  const { store, clinicId: clinic_id } = clinic;
  const insert = (table: string, values: Values) =>
    insertInto({ query: store.raw }, table, { clinic_id, ...values });
  const person = clinic.people.prosthetist.id;
  const ids = new Map<string, string>();
  for (const timeline of timelines) {
    const { order, changes, promisedOn } = timeline;
    const [opened] = changes;
    const openedAt = noonOf(opened!.on);
    const [patient_id, order_id] = [randomUUID(), randomUUID()];
    await insert('patient', {
      id: patient_id,
      chart_number: `P-${order}`,
      given_name: 'Ilka',
      family_name: `Invented ${order}`,
      name_key: `invented ${order} ilka`,
      birth_date: '1970-01-01',
      created_at: openedAt,
      created_by_id: person,
    });
    const delivered = deliveredOn(timeline);
    await insert('fabrication_order', {
      id: order_id,
      number: order,
      patient_id,
      side: 'left',
      level: 'trans_tibial',
      suspension: 'pin_lock',
      functional_level: 'K3',
      stage: changes.at(-1)!.stage,
      promised_on: promisedOn ?? null,
      first_promised_on: promisedOn ?? null,
      opened_at: openedAt,
      opened_by_id: person,
      delivered_at: delivered === null ? null : noonOf(delivered),
    });
    for (const [at, { stage, on }] of changes.entries()) {
      await insert('stage_change', {
        id: randomUUID(),
        order_id,
        seq: at + 1,
        from_stage: changes[at - 1]?.stage ?? null,
        to_stage: stage,
        changed_at: noonOf(on),
        changed_by_id: person,
      });
    }
    ids.set(order, order_id);
  }
  return ids;
}

/**
 * Delivered orders, one opened every fourth working day and all delivered before `MONDAY`:
 * casting 2, check fitting 5 to 9, lamination 3, delivery 2 working days.
 */
export const steadyPast = (orders: number): OrderTimeline[] =>
  Array.from({ length: orders }, (_, n) =>
    straight(
      `KL-25-${String(n + 1).padStart(5, '0')}`,
      addWorkingDays(CLINIC, MONDAY, -20 - 4 * (orders - 1 - n)),
      [2, 5 + (n % 5), 3, 2],
    ),
  );
