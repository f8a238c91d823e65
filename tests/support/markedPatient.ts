/**
 * A patient every field of whom carries a mark that stands nowhere else, with a limb from the
 * order to the recall: what a role is shown of the patient is seen by the marks in any answer.
 */
import type { PatientField } from '../../src/access/minimumNecessary.ts';
import { PASSWORD, type TestClinic } from './clinic.ts';
import {
  acceptFit,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  deliver,
  finishDefinitive,
  MEASURES,
  ok,
  id,
  openedOrder,
  stockedShop,
  transferTo,
  type Shop,
} from './job.ts';
import { picture } from './pictures.ts';

export const TYPED = {
  given: 'Øqzgiven7f3a',
  family: 'Þqzfamily7f3a',
  birthDate: '1931-07-29',
  phone: '+43 660 7731931',
  address: 'qzaddress7f3a 5',
} as const;

/** How each field is told apart in a text, whatever its case; each of several must be found. */
export type Marks = Readonly<Record<PatientField, readonly RegExp[]>>;

export interface MarkedLimb {
  readonly shop: Shop;
  readonly patientId: string;
  readonly orderId: string;
  readonly orderNumber: string;
  readonly chartNumber: string;
  readonly socketId: string;
  readonly checkId: string;
  readonly lot: string;
  readonly batchId: string;
  readonly appointmentId: string;
  readonly breakGlassId: string;
  readonly measureSets: readonly [string, string];
  readonly marks: Marks;
}

/** What a picture's bytes are told as in the walk: they have no words. */
export const PICTURE_SHOWN = 'a picture of the limb';

export async function markedLimb(clinic: TestClinic): Promise<MarkedLimb> {
  const shop = await stockedShop(clinic);
  const [desk, tech, pros] = [
    clinic.as('front_desk'),
    clinic.as('technician'),
    clinic.as('prosthetist'),
  ];
  const { patientId, orderId, number, chartNumber } = await openedOrder(shop, { massKg: 87.31 });
  const etagOf = async (url: string) => (await desk.get(url)).headers['etag'] ?? '';
  const patientUrl = `/api/v1/patients/${patientId}`;
  await desk
    .patch(
      patientUrl,
      {
        givenName: TYPED.given,
        familyName: TYPED.family,
        birthDate: TYPED.birthDate,
        phone: TYPED.phone,
        address: TYPED.address,
      },
      await etagOf(patientUrl),
    )
    .expect(200);
  const orderUrl = `/api/v1/orders/${orderId}`;
  await desk
    .patch(
      orderUrl,
      {
        note: 'qzordernote7f3a',
        liner: 'qzliner7f3a',
        prosthetistId: clinic.people.prosthetist.id,
      },
      await etagOf(orderUrl),
    )
    .expect(200);
  const castId = await id(
    pros.post(`/api/v1/orders/${orderId}/casts`, {
      method: 'plaster',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: MEASURES.map((each, at) => (at === 0 ? { ...each, circumferenceMm: 233.7 } : each)),
    }),
  );
  await ok(pros.post(`/api/v1/casts/${castId}/accept`));
  const refused = await checkSocketOnTheLimb(shop, orderId);
  await ok(
    pros.post(`/api/v1/sockets/${refused.socketId}/fit-rejection`, {
      reasons: ['too_tight'],
      changes: 'qzfitting7f3a',
      nextStep: 'another_check_socket',
    }),
  );
  const [judged] = await clinic.store.raw<{ id: string }>('select id from fitting');
  const refusedFit = judged?.id ?? '';
  const check = await checkSocketOnTheLimb(shop, orderId);
  await ok(acceptFit(shop, check.socketId));
  const finding = { kind: 'rattle', note: 'qzfinding7f3a', photos: [{ base64: picture().base64 }] };
  const { findingId } = await ok<{ findingId: string }>(
    tech.post(`/api/v1/sockets/${check.socketId}/findings`, finding),
  );
  await ok(
    tech.post(`/api/v1/findings/${findingId}/disposition`, {
      disposition: 'rework',
      why: 'qzdisposed7f3a',
    }),
  );
  const socketId = await definitiveAwaitingLock(shop, orderId);
  const hardware = await transferTo(shop, check.socketId, socketId, check.hardware);
  await finishDefinitive(shop, socketId);
  const secondSet = await ok<{ set: { id: string } }>(
    pros.post(`/api/v1/orders/${orderId}/measure-sets`, {
      occasion: 'fitting',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: MEASURES,
    }),
  );
  await ok(deliver(shop, orderId, socketId, { receivedByName: 'qzreceiver7f3a' }));

  const { appointment: book } = await ok<{ appointment: { id: string } }>(
    desk.post('/api/v1/appointments', {
      orderId,
      purpose: 'service',
      startsAt: '2027-03-02T09:15:00Z',
      note: 'qzbooknote7f3a',
    }),
  );
  const { appointment: moved } = await ok<{ appointment: { id: string } }>(
    desk.post(`/api/v1/appointments/${book.id}/move`, {
      startsAt: '2027-03-02T10:15:00Z',
      why: 'qzbookwhy7f3a',
    }),
  );
  await clinic.store.raw(`update clinic set currency = 'EUR' where id = $1`, [clinic.clinicId]);
  const itemUrl = `/api/v1/items/${hardware.lock}`;
  await ok(clinic.as('administrator').patch(itemUrl, { priceMinor: 73_197 }, '"1"'));
  const only = async <Row extends object>(sql: string): Promise<Row> => {
    const [row] = await clinic.store.raw<Row>(sql);
    if (row === undefined) throw new Error(`no row: ${sql}`);
    return row;
  };
  const { lot } = await only<{ lot: string }>(
    `select i.lot from item i join custody c on c.thing_id = i.id join place p on p.id = c.place_id
     where p.socket_id = '${socketId}' and i.lot is not null order by i.id limit 1`,
  );
  await ok(
    desk.post('/api/v1/recall/calls', { socketId, lot, outcome: 'reached', note: 'qzrecall7f3a' }),
  );
  const { breakGlassId } = await ok<{ breakGlassId: string }>(
    tech.post(`${patientUrl}/more`, { reason: 'label_unreadable', words: 'qzopened7f3a is torn' }),
  );
  await ok(
    clinic.as('auditor').post(`/api/v1/break-glass/${breakGlassId}/reviews`, {
      inOrder: true,
      words: 'qzreview7f3a',
    }),
  );
  await ok(
    desk.post(`${patientUrl}/correction-requests`, {
      askedOn: '2026-03-02',
      said: 'qzrights7f3a is not so',
    }),
  );
  // What corrects a record is seen by whoever sees what it corrects.
  const { delivery } = await only<{ delivery: string }>(
    'select id::text as delivery from delivery',
  );
  for (const [subjectKind, subjectId, mark] of [
    ['delivery', delivery, 'qzreceivedwrong7f3a'],
    ['appointment', moved.id, 'qzbookedwrong7f3a'],
    ['fitting', refusedFit, 'qzfitwrong7f3a'],
    ['finding', findingId, 'qzfindingwrong7f3a'],
  ] as const) {
    await ok(
      pros.post(`${patientUrl}/corrections`, {
        subjectKind,
        subjectId,
        wrong: `${mark} of lot ${lot}`,
        right: `${mark} of lot ${lot} too`,
        why: `${mark} again`,
        signature: { password: PASSWORD },
      }),
    );
  }
  const { content_sha256 } = await only<{ content_sha256: string }>(
    `select content_sha256 from signature where meaning = 'delivery_released'`,
  );
  const { first } = await only<{ first: string }>(
    `select id::text as first from measure_set where cast_id = '${castId}'`,
  );
  const { batch } = await only<{ batch: string }>(
    `select batch_id::text as batch from batch_use where socket_id = '${socketId}' order by id limit 1`,
  );
  const marks: Marks = {
    chartNumber: [new RegExp(chartNumber)],
    initials: [/Ø\.\s?Þ\./],
    givenName: [/qzgiven7f3a/i],
    familyName: [/qzfamily7f3a/i],
    birthDate: [/1931-07-29|29 Jul(y)? 1931|29\.0?7\.1931/],
    phone: [/773\s?1931/],
    address: [/qzaddress7f3a/i],
    bodyMass: [/87[.,]3/],
    limb: [/qzliner7f3a/],
    activity: [/\bK3\b/],
    limbMeasures: [/233[.,]7/],
    photos: [new RegExp(PICTURE_SHOWN)],
    fittingWords: [/qzfitting7f3a/, /qzfitwrong7f3a/],
    findingWords: [/qzfinding7f3a/, /qzdisposed7f3a/, /qzfindingwrong7f3a/],
    orderNote: [/qzordernote7f3a/],
    appointmentTime: [/2027-03-02T10:15/],
    appointmentWords: [/qzbooknote7f3a/, /qzbookwhy7f3a/, /qzbookedwrong7f3a/],
    receivedBy: [/qzreceiver7f3a/, /qzreceivedwrong7f3a/],
    signedContent: [new RegExp(content_sha256)],
    // The same marks as elsewhere; the walk reads them as these on the routes of a recall.
    recallName: [/qzgiven7f3a/i, /qzfamily7f3a/i],
    recallPhone: [/773\s?1931/],
    recallWords: [/qzrecall7f3a/],
    rightsWords: [/qzrights7f3a/],
    openedBecause: [/qzopened7f3a/, /qzreview7f3a/],
    costs: [/\b73197\b|731[.,]97/],
  };
  return {
    shop,
    patientId,
    orderId,
    orderNumber: number,
    chartNumber,
    socketId,
    checkId: refused.socketId,
    lot,
    batchId: batch,
    appointmentId: moved.id,
    breakGlassId,
    measureSets: [first, secondSet.set.id],
    marks,
  };
}
