/**
 * Requests that nobody has sent yet, each about a thing in just the state that it needs: chance
 * comes too late to what lasts for one act of the story. The attack sends them as they are,
 * damaged, by everybody, until one is accepted.
 */
import { PASSWORD, PASSWORD_AGAIN } from '../../support/clinic.ts';
import * as job from '../../support/job.ts';
import { ask } from '../../support/longWork.ts';
import {
  batchToAdd,
  castToTake,
  fabricToAdd,
  scannedPin,
  shrunken,
  unusedBatch,
} from './atHand.ts';
import { asShown, type Example } from './world.ts';

/** Each so often. */
const TIMES = 2;

export async function inReach(shop: job.Shop): Promise<Map<string, Example[]>> {
  const ready = new Map<string, Example[]>();
  /** @param route as the table of permissions names it, without the method */
  const add = (method: string, route: string, url: string, body?: object): void => {
    const permission = `${method} ${route}`;
    const shown = asShown(body);
    ready.set(permission, [...(ready.get(permission) ?? []), { url, body: shown }]);
    if (body === undefined || !('signature' in body)) return;
    const { signature: _signed, ...question } = shown as Record<string, never>;
    const sister = `${permission}/to-sign`;
    // What is shown only is there for the next one too.
    ready.set(sister, [...(ready.get(sister) ?? []), { url: `${url}/to-sign`, body: question }]);
  };
  for (let time = 0; time < TIMES; time += 1) {
    await atTheLimb(shop, add);
    await onTheWay(shop, add);
    await aboutThePatient(shop, add, time);
    await inTheOffice(shop, add, time);
  }
  return ready;
}

type Add = (method: string, route: string, url: string, body?: object) => void;
const signature = { password: PASSWORD };

async function atTheLimb(shop: job.Shop, add: Add): Promise<void> {
  const pros = shop.clinic.as('prosthetist');
  const done = await job.limbToDeliver(shop);
  add('POST', '/api/v1/orders/:orderId/delivery', `/api/v1/orders/${done.orderId}/delivery`, {
    socketId: done.socketId,
    receivedByName: 'Nomen Inventum',
    receivedByRelation: 'patient',
    signature,
  });
  const toTorque = await job.limbToDeliver(shop);
  add(
    'POST',
    '/api/v1/sockets/:socketId/joints/:jointKind/confirmations',
    `/api/v1/sockets/${toTorque.socketId}/joints/distal/confirmations`,
    {
      toolId: shop.wrench,
      threadlockerBatchId: shop.batches['threadlocker'],
      readings: job.goodReadings,
    },
  );
  for (const act of ['fit-acceptance', 'fit-rejection']) {
    const { orderId } = await job.openedOrder(shop);
    await job.acceptedCast(shop, orderId);
    const { socketId } = await job.checkSocketOnTheLimb(shop, orderId);
    const body =
      act === 'fit-acceptance'
        ? { alignment: job.ALIGNMENT, signature }
        : { reasons: ['too_tight'], nextStep: 'another_check_socket' };
    add('POST', `/api/v1/sockets/:socketId/${act}`, `/api/v1/sockets/${socketId}/${act}`, body);
  }
  const limb = await job.limbToDeliver(shop);
  const { alignmentId } = await job.ok<{ alignmentId: string }>(
    pros.post(`/api/v1/sockets/${limb.socketId}/alignments`, { ...job.ALIGNMENT, flexionDeg: 9 }),
  );
  add(
    'POST',
    '/api/v1/sockets/:socketId/alignment-difference-acceptance',
    `/api/v1/sockets/${limb.socketId}/alignment-difference-acceptance`,
    { alignmentId, why: 'A contracture by now.', signature },
  );
  const worn = await job.deliveredLimb(shop);
  const [piece] = await shop.clinic.store.raw<{ lot: string }>(
    `select i.lot from item i join move m on m.item_id = i.id join place p on p.id = m.to_place_id
     where p.socket_id = $1 and i.lot is not null order by i.id limit 1`,
    [worn.socketId],
  );
  const call = { lot: piece?.lot, socketId: worn.socketId, outcome: 'message_left' };
  add('POST', '/api/v1/recall/calls', '/api/v1/recall/calls', call);
  const { serviceVisitId } = await job.ok<{ serviceVisitId: string }>(
    shop.clinic.as('front_desk').post(`/api/v1/orders/${worn.orderId}/service-visits`, {
      socketId: worn.socketId,
      kind: 'follow_up',
      note: 'As agreed.',
    }),
  );
  add(
    'POST',
    '/api/v1/service-visits/:serviceVisitId/closing',
    `/api/v1/service-visits/${serviceVisitId}/closing`,
    { outcome: 'Nothing found.', signature },
  );
}

async function onTheWay(shop: job.Shop, add: Add): Promise<void> {
  const pros = shop.clinic.as('prosthetist');
  const tech = shop.clinic.as('technician');
  const since = await shrunken(shop);
  const decision = { firstSetId: since.first.id, secondSetId: since.second.id, decision: 'socks' };
  add('POST', '/api/v1/volume-decisions', '/api/v1/volume-decisions', decision);
  for (const judged of ['accept', 'reject']) {
    const { orderId } = await job.openedOrder(shop);
    const castId = await job.id(pros.post(`/api/v1/orders/${orderId}/casts`, castToTake()));
    const body = judged === 'reject' ? { reason: 'It moved while setting.' } : undefined;
    add('POST', `/api/v1/casts/:castId/${judged}`, `/api/v1/casts/${castId}/${judged}`, body);
  }
  const skipped = await job.openedOrder(shop, { suspension: 'suction' });
  await job.acceptedCast(shop, skipped.orderId);
  add(
    'POST',
    '/api/v1/orders/:orderId/skip-check-fitting',
    `/api/v1/orders/${skipped.orderId}/skip-check-fitting`,
    { reason: 'A remake.', signature },
  );

  // The mould of a definitive socket may be left unbroken; its layup waits for the signature.
  const sealed = await job.sealedWithoutLock(shop);
  const { operations } = await job.readSocket(shop, sealed);
  const breakOut = operations.find(({ kind }) => kind === 'break_out_model')?.id ?? '';
  const leftOut = { why: 'The model is kept for a spare.' };
  add(
    'POST',
    '/api/v1/operations/:operationId/leave-out',
    `/api/v1/operations/${breakOut}/leave-out`,
    leftOut,
  );
  const { lines } = await job.ok<{ lines: object[] }>(
    tech.get(`/api/v1/sockets/${sealed}/layup/proposal`),
  );
  const layupId = await job.id(tech.post(`/api/v1/sockets/${sealed}/layups`, { lines }));
  add('POST', '/api/v1/layups/:layupId/approval', `/api/v1/layups/${layupId}/approval`, {
    signature,
  });

  // Work that goes on: a socket to begin, a layup to draft, an operation, a move and a transfer.
  const cast = await job.openedOrder(shop);
  await job.acceptedCast(shop, cast.orderId);
  const begun = { kind: 'check', sheetThicknessMm: 12 };
  add('POST', '/api/v1/orders/:orderId/sockets', `/api/v1/orders/${cast.orderId}/sockets`, begun);
  const drafted = await job.sealedWithoutLock(shop);
  const proposal = await job.ok<{ lines: object[] }>(
    tech.get(`/api/v1/sockets/${drafted}/layup/proposal`),
  );
  const layup = { lines: proposal.lines };
  add('POST', '/api/v1/sockets/:socketId/layups', `/api/v1/sockets/${drafted}/layups`, layup);
  const another = await job.openedOrder(shop);
  await job.acceptedCast(shop, another.orderId);
  const inWork = await job.makeSocket(shop, another.orderId, begun);
  const next = inWork.operations[0]!;
  const record = '/api/v1/operations/:operationId/records';
  const answers = { answers: job.goodAnswers(shop, next) };
  add('POST', record, record.replace(':operationId', next.id), answers);
  const [itemId = ''] = await shop.receive('lock', 1);
  const [from, to] = [job.inBin(shop), job.inPosition(inWork.id, 'lock')];
  const move = { thing: { itemId }, from, to, reason: 'issued' };
  add('POST', '/api/v1/moves', '/api/v1/moves', move);
  const onward = await job.laminatedAfterFit(shop, (await job.openedOrder(shop)).orderId);
  add('POST', '/api/v1/transfers', '/api/v1/transfers', {
    fromSocketId: onward.checkId,
    toSocketId: onward.socketId,
    itemIds: [onward.check.hardware.pyramid],
    fresh: [],
  });

  const mixed = await job.laidUpWithoutLock(shop);
  const recipes = '/api/v1/sockets/:socketId/resin-recipes';
  const mix = { productId: shop.resinProduct, pigmentPercent: 0, shopTemperatureC: 22 };
  add('POST', recipes, recipes.replace(':socketId', mixed), mix);
  const laidUp = await job.laidUpWithoutLock(shop);
  const { pours } = await job.ok<{ pours: readonly ({ totalG: number } & object)[] }>(
    job.makeRecipe(shop, laidUp),
  );
  const { totalG: _sum, ...cup } = pours[0] ?? { totalG: 0 };
  const weighing = '/api/v1/sockets/:socketId/resin-weighings';
  add('POST', weighing, weighing.replace(':socketId', laidUp), {
    resinBatchId: shop.batches['resin'],
    hardenerBatchId: shop.batches['hardener'],
    pigmentG: 0,
    ...cup,
  });

  // A heavy patient, and what was found on the check socket.
  const heavy = await job.openedOrder(shop, { massKg: 115 });
  await job.acceptedCast(shop, heavy.orderId);
  const { id: socketId } = await job.makeSocket(shop, heavy.orderId, { kind: 'check' });
  add(
    'POST',
    '/api/v1/sockets/:socketId/mass-acknowledgements',
    `/api/v1/sockets/${socketId}/mass-acknowledgements`,
    { partId: shop.parts.lock, signature },
  );
  const found = async (): Promise<string> => {
    const finding = { kind: 'rattle', note: 'Heard at the lock.' };
    const url = `/api/v1/sockets/${socketId}/findings`;
    return (await job.ok<{ findingId: string }>(tech.post(url, finding))).findingId;
  };
  const closing = { disposition: 'rework', why: 'Ground out.' };
  add(
    'POST',
    '/api/v1/findings/:findingId/disposition',
    `/api/v1/findings/${await found()}/disposition`,
    closing,
  );
  const accepted = { why: 'Heard only.', signature };
  add(
    'POST',
    '/api/v1/findings/:findingId/acceptance',
    `/api/v1/findings/${await found()}/acceptance`,
    accepted,
  );
}

async function aboutThePatient(shop: job.Shop, add: Add, time: number): Promise<void> {
  const { clinic } = shop;
  const desk = clinic.as('front_desk');
  const admin = clinic.as('administrator');
  // Somebody who is not there yet: a second time the same would be a look-alike.
  add('POST', '/api/v1/patients', '/api/v1/patients', {
    chartNumber: `NEW-${String(time)}`,
    givenName: 'Ulla',
    familyName: `Nova${'abc'[time] ?? 'z'}`,
    birthDate: `196${String(time)}-11-0${String(time + 1)}`,
    bodyMass: { massKg: 70, measuredOn: '2026-03-01' },
  });
  const { patientId, orderId } = await job.openedOrder(shop);
  const patient = `/api/v1/patients/${patientId}`;
  const { headers } = await desk.get(patient);
  const reachedBy = { phone: '+43 1 4712', address: 'Ring 2' };
  await job.ok(desk.patch(patient, reachedBy, String(headers['etag'])));
  const booked = async (day: number): Promise<string> => {
    const startsAt = `2027-05-${String(day + time * 7).padStart(2, '0')}T09:00:00Z`;
    const asked = { orderId, purpose: 'service', startsAt };
    const { appointment } = await job.ok<{ appointment: { id: string } }>(
      desk.post('/api/v1/appointments', {
        ...asked,
        prosthetistId: clinic.people.prosthetist.id,
      }),
    );
    return appointment.id;
  };
  const moved = { startsAt: `2027-06-0${String(time + 1)}T09:00:00Z`, why: 'Asked for.' };
  const appointment = '/api/v1/appointments/:appointmentId';
  add('POST', `${appointment}/move`, `/api/v1/appointments/${await booked(3)}/move`, moved);
  const off = { state: 'called_off', why: 'Has a cold.' };
  add('POST', `${appointment}/mark`, `/api/v1/appointments/${await booked(4)}/mark`, off);

  const asked = { askedOn: '2026-03-02', said: 'It was the left leg.' };
  const request = async (): Promise<string> =>
    `/api/v1/correction-requests/${await job.id(desk.post(`${patient}/correction-requests`, asked))}`;
  const denied = {
    decision: 'denied',
    denialGround: 'accurate_and_complete',
    reason: 'It is right.',
  };
  const of = '/api/v1/correction-requests/:correctionRequestId';
  const [open, decided] = [await request(), await request()];
  add('POST', `${of}/decision`, `${open}/decision`, denied);
  await job.ok(clinic.as('prosthetist').post(`${decided}/decision`, denied));
  const statement = { statement: 'It was the left.' };
  add('POST', `${of}/disagreement`, `${decided}/disagreement`, statement);

  const { items } = await job.ok<{ items: { kind: string; id: string }[] }>(
    clinic.as('prosthetist').get(`${patient}/correctable-records`),
  );
  const mass = items.find(({ kind }) => kind === 'body_mass');
  add('POST', '/api/v1/patients/:patientId/corrections', `${patient}/corrections`, {
    subjectKind: 'body_mass',
    subjectId: mass?.id,
    wrong: '82 kg',
    right: '85 kg',
    why: 'The scale was misread.',
    signature,
  });
  const toErase = (what: string) => ({
    what: [what],
    why: 'Asked for in writing.',
    legalBasis: 'Consent withdrawn',
  });
  const erasures = `${patient}/erasures`;
  const confirmed = await job.id(admin.post(erasures, toErase('phone')));
  const erasure = '/api/v1/erasures/:erasureId';
  add('POST', `${erasure}/confirmation`, `/api/v1/erasures/${confirmed}/confirmation`, {
    signature,
  });
  const another = await job.openedOrder(shop);
  const theirs = `/api/v1/patients/${another.patientId}`;
  const answer = await desk.get(theirs);
  await job.ok(desk.patch(theirs, reachedBy, String(answer.headers['etag'])));
  const withdrawn = await job.id(admin.post(`${theirs}/erasures`, toErase('phone')));
  add('POST', `${erasure}/withdrawal`, `/api/v1/erasures/${withdrawn}/withdrawal`, {});
  add('POST', '/api/v1/patients/:patientId/erasures', `${theirs}/erasures`, toErase('address'));

  const hold = { patientId: another.patientId, reason: 'A claim.', reference: 'Cg 4/26' };
  const holdId = await job.id(admin.post('/api/v1/legal-holds', hold));
  const lifted = { why: 'Settled.' };
  const url = '/api/v1/legal-holds/:legalHoldId/lift';
  add('POST', url, `/api/v1/legal-holds/${holdId}/lift`, lifted);
  add('POST', '/api/v1/legal-holds', '/api/v1/legal-holds', { ...hold, patientId });

  const why = { reason: 'label_unreadable', words: 'The traveller is torn in two.' };
  const { breakGlassId } = await job.ok<{ breakGlassId: string }>(
    clinic.as('technician').post(`${patient}/more`, why),
  );
  add(
    'POST',
    '/api/v1/break-glass/:breakGlassId/reviews',
    `/api/v1/break-glass/${breakGlassId}/reviews`,
    { inOrder: true },
  );
  clinic.clock.pass(61);
  add('POST', '/api/v1/patients/:patientId/more', `${patient}/more`, why);
}

async function inTheOffice(shop: job.Shop, add: Add, time: number): Promise<void> {
  const { clinic } = shop;
  const { draftId, part } = await scannedPin(shop);
  const draft = '/api/v1/part-drafts/:partDraftId';
  add('POST', `${draft}/part`, `/api/v1/part-drafts/${draftId}/part`, part);
  const aside = (await scannedPin(shop)).draftId;
  add('POST', `${draft}/set-aside`, `/api/v1/part-drafts/${aside}/set-aside`, {
    note: 'Not ours.',
  });
  add('POST', '/api/v1/shop-tools', '/api/v1/shop-tools', {
    kind: 'torque_tool',
    name: `Torque wrench of the attack ${String(time)}`,
    toPlaceId: shop.bin,
    toolType: 'indicating',
    toolClass: 'C',
    minNm: 4,
    maxNm: 40,
  });
  const catalogued = { ...part, catalogueNumber: `NEW-${String(time)}` };
  add('POST', '/api/v1/parts', '/api/v1/parts', catalogued);
  const batch = '/api/v1/batches/:batchId';
  add('POST', `${batch}/open`, `/api/v1/batches/${await unusedBatch(shop)}/open`);
  const set = { reason: 'Has set.' };
  add('POST', `${batch}/quarantine`, `/api/v1/batches/${await unusedBatch(shop)}/quarantine`, set);
  add('POST', '/api/v1/fabrics', '/api/v1/fabrics', fabricToAdd());
  const lot = `NEW-${String(time)}`;
  add('POST', '/api/v1/batches', '/api/v1/batches', batchToAdd(lot));
  const product = { ...job.RESIN_PRODUCT, name: `Epoxy ${String(time)}` };
  add('POST', '/api/v1/resin-products', '/api/v1/resin-products', product);
  add('POST', '/api/v1/benches', '/api/v1/benches', {
    name: `Oven ${String(time + 3)}`,
    people: 1,
  });
  add('POST', '/api/v1/people', '/api/v1/people', {
    email: `newcomer.${String(time)}@our.example`,
    printedName: 'Nova Hand',
    roles: ['technician'],
    ...PASSWORD_AGAIN,
  });
  const [spring] = await shop.receive('spring', 2);
  const [piece] = await clinic.store.raw<{ lot: string; part_id: string }>(
    'select lot, part_id from item where id = $1',
    [spring],
  );
  add('POST', '/api/v1/recall/quarantine', '/api/v1/recall/quarantine', {
    lot: piece?.lot,
    partId: piece?.part_id,
    why: 'Cracks under load, says the maker (invented).',
  });
  const work = await ask(clinic, 'auditor', { kind: 'record_export' });
  add('POST', '/api/v1/long-works/:longWorkId/cancel', `/api/v1/long-works/${work.id}/cancel`);
}
