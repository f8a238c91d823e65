/** The start: two clinics of one service, each with a stocked shop, orders in every stage, and every request that led there. */
import type supertest from 'supertest';
import { vi } from 'vitest';
import { HOLD_REASONS, ROLES, SERVICE_KINDS } from '../../../src/domain/words.ts';
import { PASSWORD, type Client, type TestClinic } from '../../support/clinic.ts';
import * as job from '../../support/job.ts';
import { aDoer, ask, look } from '../../support/longWork.ts';
import { picture } from '../../support/pictures.ts';
import { Staff } from './callers.ts';
import type { Pool } from './pool.ts';
import { SHOWN, type Fields, type Value } from './values.ts';

/** A request that was accepted, to be varied. */
export interface Example {
  readonly url: string;
  readonly body: Value | undefined;
}

export interface Side {
  readonly staff: Staff;
  readonly pool: Pool;
  /** Accepted requests by route. */
  readonly examples: Map<string, Example[]>;
  /** In every text that its callers make up; as long as MARK. */
  readonly mark: string;
  /** Texts of this clinic that the other must never see. */
  readonly secrets: readonly string[];
}

export type Keep = (method: string, example: Example, answer: unknown) => void;

/** The clinic, with every accepted request kept. */
export function recorded(clinic: TestClinic, keep: Keep): TestClinic {
  const kept = (method: string, url: string, body: object | undefined, test: supertest.Test) =>
    test.on('response', ({ status, body: answer }: { status: number; body: unknown }) => {
      if (status < 300) keep(method, { url, body: asShown(body) }, answer);
    });
  const listening = (client: Client): Client => ({
    ...client,
    get: (url, headers) => kept('GET', url, undefined, client.get(url, headers)),
    post: (url, body, options) => kept('POST', url, body, client.post(url, body, options)),
    patch: (url, body, etag) => kept('PATCH', url, body, client.patch(url, body, etag)),
  });
  return {
    ...clinic,
    as: (who) => listening(clinic.as(who)),
    stranger: listening(clinic.stranger),
  };
}

/** The hash of a signed act is asked for anew each time. */
function asShown(body: object | undefined): Value | undefined {
  if (body === undefined || !('signature' in body)) return body as Fields | undefined;
  return { ...body, signature: { ...(body.signature as Fields), contentSha256: SHOWN } };
}

/** Everything a clinic may have, through the API alone. */
export async function livedIn(
  clinic: TestClinic,
  numberPrefix: string,
  keep: Keep,
  { isFull }: { readonly isFull: boolean },
): Promise<void> {
  const told = recorded(clinic, keep);
  const shop = await job.stockedShop(told);
  const prosthetist = told.as('prosthetist');
  const tech = told.as('technician');
  const desk = told.as('front_desk');
  const admin = told.as('administrator');

  // One order in each stage, and some more where work may go on.
  await job.openedOrder(shop);
  const held = await job.openedOrder(shop);
  await job.ok(desk.post(`/api/v1/orders/${held.orderId}/hold`, { holdReason: HOLD_REASONS[0] }));
  await job.acceptedCast(shop, (await job.openedOrder(shop)).orderId);
  const worn = await job.deliveredLimb(shop);
  if (isFull) {
    const atFitting = await job.openedOrder(shop);
    await job.acceptedCast(shop, atFitting.orderId);
    await job.checkSocketOnTheLimb(shop, atFitting.orderId);
    await job.laminatedAfterFit(shop, (await job.openedOrder(shop)).orderId);
    await job.limbToDeliver(shop);
    await job.sealedWithoutLock(shop);
    await job.laidUpWithoutLock(shop);
  }
  for (const part of ['pyramid', 'lock', 'pin', 'spring', 'distal_screws'] as const)
    await shop.receive(part, 3);

  // What no stretch of the job needs.
  await job.ok(
    tech.post(`/api/v1/sockets/${worn.socketId}/findings`, {
      kind: 'rattle',
      note: 'The button rattles.',
      photos: [{ base64: picture().base64 }],
    }),
  );
  await job.ok(
    tech.post('/api/v1/items/scan', {
      scans: [`(01)09520000010072(21)${numberPrefix}1`],
      toPlaceId: shop.bin,
    }),
  );
  for (const startsAt of ['2027-03-02T09:00:00Z', '2027-03-03T10:00:00Z']) {
    await job.ok(
      desk.post('/api/v1/appointments', {
        orderId: worn.orderId,
        prosthetistId: clinic.people.prosthetist.id,
        purpose: 'service',
        startsAt,
      }),
    );
  }
  await job.ok(
    desk.post(`/api/v1/orders/${worn.orderId}/service-visits`, {
      socketId: worn.socketId,
      kind: SERVICE_KINDS[0],
      note: 'A click is heard.',
    }),
  );
  const doer = aDoer(clinic.store, clinic.clock.now);
  try {
    for (const body of [
      { kind: 'record_export', orderId: worn.orderId },
      { kind: 'recall_of_many', of: 'lot', list: ['L1', 'L2'] },
    ]) {
      const { id } = await ask(told, 'auditor', body);
      await vi.waitUntil(async () => (await look(told, 'auditor', id)).state === 'done', {
        timeout: 60_000,
        interval: 20,
      });
    }
  } finally {
    await doer.stop();
  }
  await job.ok(
    told.stranger.post('/api/v1/sign-in', {
      email: clinic.people.auditor.email,
      password: PASSWORD,
    }),
  );
  await job.ok(admin.get('/api/v1/people'));
  await job.ok(prosthetist.get('/api/v1/orders'));
}

/** The staff with sign-ins that stand, and the pool filled with every row's id. */
export async function sideOf(
  clinic: TestClinic,
  pool: Pool,
  mark: string,
): Promise<Pick<Side, 'staff' | 'pool' | 'mark'>> {
  const staff = new Staff(clinic);
  for (const role of ROLES) await staff.revive(role);
  const tables = await clinic.store.raw<{ name: string }>(
    `select a.table_name as name from information_schema.columns a
       join information_schema.columns b using (table_schema, table_name)
     where a.table_schema = 'public' and a.column_name = 'clinic_id' and b.column_name = 'id'
     order by 1`,
  );
  for (const { name } of tables) {
    const rows = await clinic.store.raw<{ id: string }>(
      `select id::text as id from "${name}" where clinic_id = $1 order by id`,
      [clinic.clinicId],
    );
    for (const { id } of rows) pool.addId(kindOf(name), id);
  }
  return { staff, pool, mark };
}

const KINDS: Readonly<Record<string, string>> = {
  fabrication_order: 'order',
  limb_cast: 'cast',
  shop_tool: 'tool',
};
const kindOf = (table: string): string =>
  KINDS[table] ?? table.replaceAll(/_(\w)/g, (_all, letter: string) => letter.toUpperCase());

/** Whole texts by which a clinic is known: numbers, names, addresses. */
export async function secretsOf(clinic: TestClinic, numberPrefix: string): Promise<string[]> {
  const { store, clinicId } = clinic;
  const rows = await store.raw<{ said: string }>(
    `select chart_number as said from patient where clinic_id = $1
     union select number from fabrication_order where clinic_id = $1`,
    [clinicId],
  );
  return [
    ...rows.map(({ said }) => said),
    ` of ${numberPrefix}`,
    `Clinic ${numberPrefix}`,
    `@${numberPrefix.toLowerCase()}.example`,
  ];
}
