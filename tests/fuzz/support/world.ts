/** The start: two clinics of one service, each with a stocked shop, orders in every stage, and every request that led there. */
import type supertest from 'supertest';
import { HOLD_REASONS, SERVICE_KINDS } from '../../../src/domain/words.ts';
import { PASSWORD, type Client, type TestClinic } from '../../support/clinic.ts';
import { PIN } from '../../support/factors.ts';
import * as job from '../../support/job.ts';
import { CLIENT } from '../../support/openidProvider.ts';
import { picture } from '../../support/pictures.ts';
import { TAB, TAB_SHA256 } from './marks.ts';
import type { Knock, Staff } from './callers.ts';
import { everythingOnce } from './everythingOnce.ts';
import type { Pool } from './pool.ts';
import { SHOWN, ToCome, type Fields, type Value } from './values.ts';

/** A request that was accepted, to be varied; or one that would be, because something stands ready for it. */
export interface Example {
  readonly url: string;
  readonly body: Value | undefined;
}

export interface Side {
  readonly staff: Staff;
  readonly pool: Pool;
  /** Accepted requests by route. */
  readonly examples: Map<string, Example[]>;
  /** Requests by route that nobody has sent yet, each about something in just the right state. */
  readonly ready: Map<string, Example[]>;
  /** In every text that its callers make up; as long as MARK. */
  readonly mark: string;
  /** In front of its order numbers. */
  readonly prefix: string;
  /** Texts of this clinic that the other must never see. */
  readonly secrets: readonly string[];
  /** Somebody who gets one-time codes. */
  readonly invited: { readonly id: string; readonly email: string };
  /** Says whom the organisation's provider finds at its page from now on. */
  readonly signsInThere: (who: Knock) => void;
}

export type Keep = (method: string, example: Example, answer: unknown) => void;

/** The clinic, with every accepted request kept. */
export function recorded(clinic: TestClinic, keep: Keep): TestClinic {
  const kept = (method: string, url: string, body: object | undefined, test: supertest.Test) =>
    test.on('response', ({ status, body: answer }: { status: number; body: unknown }) => {
      if (status >= 300) return;
      const example: Example = { url, body: asShown(body) };
      keep(method, example, answer);
      // What is signed was shown first, by its sister.
      const { signature, ...question } = (example.body ?? {}) as Fields;
      if (signature !== undefined) keep('POST', { url: `${url}/to-sign`, body: question }, {});
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

/** The hash of a signed act, and the version of what is written as a whole, are asked for anew each time. */
export function asShown(body: object | undefined): Value | undefined {
  if (body === undefined) return undefined;
  const { signature, basedOnVersion, ...rest } = body as Fields;
  return {
    ...rest,
    ...(basedOnVersion === undefined ? {} : { basedOnVersion: new ToCome('version') }),
    ...(signature === undefined
      ? {}
      : { signature: { ...(signature as Fields), contentSha256: SHOWN } }),
  };
}

/** Everything a clinic may have, through the API alone. */
export async function livedIn(
  told: TestClinic,
  mark: string,
  numberPrefix: string,
  { isFull }: { readonly isFull: boolean },
): Promise<job.Shop> {
  const shop = await job.stockedShop(told);
  const tech = told.as('technician');
  const desk = told.as('front_desk');

  // One order in each stage, and some more where work may go on.
  await job.openedOrder(shop);
  const held = await job.openedOrder(shop);
  await job.ok(desk.post(`/api/v1/orders/${held.orderId}/hold`, { holdReason: HOLD_REASONS[0] }));
  await job.acceptedCast(shop, (await job.openedOrder(shop)).orderId);
  const worn = await job.deliveredLimb(shop);
  for (const part of ['pyramid', 'lock', 'pin', 'spring', 'distal_screws'] as const)
    await shop.receive(part, 3);
  // What is personal stands in the record from the beginning, with the clinic's own mark.
  const patient = `/api/v1/patients/${worn.patientId}`;
  const { headers } = await desk.get(patient);
  const reachedBy = { phone: '+43 1 7731931', address: `${mark} Gasse 3` };
  await job.ok(desk.patch(patient, reachedBy, String(headers['etag'])));

  // What no stretch of the job needs.
  await job.ok(
    tech.post(`/api/v1/sockets/${worn.socketId}/findings`, {
      kind: 'rattle',
      note: `The button rattles, ${mark}.`,
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
        prosthetistId: told.people.prosthetist.id,
        purpose: 'service',
        startsAt,
        note: `Rings before, ${mark}.`,
      }),
    );
  }
  await job.ok(
    desk.post(`/api/v1/orders/${worn.orderId}/service-visits`, {
      socketId: worn.socketId,
      kind: SERVICE_KINDS[0],
      note: `A click is heard, ${mark}.`,
    }),
  );
  if (isFull) {
    const atFitting = await job.openedOrder(shop);
    await job.acceptedCast(shop, atFitting.orderId);
    await job.checkSocketOnTheLimb(shop, atFitting.orderId);
    await job.laminatedAfterFit(shop, (await job.openedOrder(shop)).orderId);
    await job.limbToDeliver(shop);
    await job.sealedWithoutLock(shop);
    await job.laidUpWithoutLock(shop);
    await everythingOnce(told, shop, worn, mark);
  }
  await job.ok(
    told.stranger.post('/api/v1/sign-in', {
      email: told.people.auditor.email,
      password: PASSWORD,
    }),
  );
  await job.ok(told.as('administrator').get('/api/v1/people'));
  await job.ok(told.as('prosthetist').get('/api/v1/orders'));
  return shop;
}

/** Requests that can be said only with what the service has just given (askedFirst.ts). */
export function signInExamples(
  { clinic, idOf, deviceOf }: Staff,
  prefix: string,
  issuer: string,
): readonly (readonly [string, Example])[] {
  const come = (what: ToCome['what']): ToCome => new ToCome(what);
  const back = { state: come('state'), code: come('code'), iss: come('iss') };
  const returned = { back, browserSecret: TAB };
  const withCode = { currentPassword: PASSWORD, oneTimeCode: come('oneTimeCode') };
  const byCode = { email: come('invitedEmail'), code: come('accessCode') };
  const bodies: Readonly<Record<string, Fields>> = {
    '/api/v1/openid-provider': {
      version: come('version'),
      issuer,
      clientId: CLIENT.id,
      clientSecret: CLIENT.secret,
      buttonName: 'Sign in with the hospital',
      active: true,
    },
    '/api/v1/openid-provider/trial': { issuer },
    '/api/v1/sign-in/openid/begin': { prefix, browserSha256: TAB_SHA256 },
    '/api/v1/me/openid/link': returned,
    '/api/v1/me/openid/sign': returned,
    '/api/v1/sign-in/openid': returned,
    '/api/v1/me/second-factor/confirmation': { oneTimeCode: come('oneTimeCode') },
    '/api/v1/me/second-factor/recovery-codes': withCode,
    '/api/v1/me/second-factor/removal': withCode,
    '/api/v1/sign-in/refresh': { refreshToken: come('refreshToken') },
    '/api/v1/sign-in/code': { ...byCode, newPassword: 'the plaster sets within minutes' },
    '/api/v1/sign-in/pin': {
      clinicId: clinic.clinicId,
      personId: idOf('bench technician'),
      deviceSecret: deviceOf('bench technician'),
      pin: PIN,
    },
  };
  const sent = Object.entries(bodies).map(([url, body]) => [`POST ${url}`, { url, body }] as const);
  const button = `/api/v1/sign-in/openid/${prefix}`;
  return [...sent, ['GET /api/v1/sign-in/openid/:prefix', { url: button, body: undefined }]];
}

/** Fills the pool with the id of every row. */
export async function learnRows(clinic: TestClinic, pool: Pool): Promise<void> {
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
