/** What no stretch of the job needs, done once: so that the attack has a request of every route to vary. */
import { expect, vi } from 'vitest';
import type { TestClinic } from '../../support/clinic.ts';
import { PASSWORD, PASSWORD_AGAIN } from '../../support/clinic.ts';
import { castToTake, fabricToAdd, labelOf, scannedPin, shrunken, unusedBatch } from './atHand.ts';
import * as job from '../../support/job.ts';
import { aDoer, ask, look } from '../../support/longWork.ts';

const signature = { password: PASSWORD };
const PERIOD = 'from=2026-01-01&to=2026-12-31';

export async function everythingOnce(
  told: TestClinic,
  shop: job.Shop,
  worn: job.MadeLimb,
  mark: string,
): Promise<void> {
  await whatTheClinicKeeps(told, shop);
  await atTheLimb(told, shop, mark);
  await atTheBench(told, shop, mark);
  await withThePatient(told, shop, worn, mark);
  await theRecord(told, worn, mark);
}

async function whatTheClinicKeeps(told: TestClinic, shop: job.Shop): Promise<void> {
  const admin = told.as('administrator');
  const change = async (url: string, body: object): Promise<void> => {
    const { headers } = await admin.get(url);
    await job.ok(admin.patch(url, body, String(headers['etag'])));
  };
  await change('/api/v1/clinic', { currency: 'EUR' });
  await change(`/api/v1/parts/${shop.parts.foreign_pin}`, { name: 'Smooth pin, short' });
  await change(`/api/v1/resin-products/${shop.resinProduct}`, { revision: 'B' });
  await change(`/api/v1/people/${told.people.technician.id}`, { printedName: 'Tamás Bench' });
  const size = { widthMm: 100, heightMm: 50 };
  const sizes = { socket: size, model: size, bin: size, marginMm: 1.5 };
  await job.ok(admin.post('/api/v1/label-sizes', { basedOnVersion: 0, ...sizes }));
  await job.ok(admin.get('/api/v1/label-sizes'));

  const { items: routes } = await job.ok<{ items: WorkRoute[] }>(admin.get('/api/v1/routes'));
  const { name, socketKind, suspension, version, operations } = routes[0]!;
  await job.ok(
    admin.post('/api/v1/routes', {
      basedOnVersion: version,
      name,
      socketKind,
      suspension,
      operations: operations.map(({ seq: _seq, ...operation }) => operation),
    }),
  );
  const fabricId = await job.id(admin.post('/api/v1/fabrics', fabricToAdd()));
  await change(`/api/v1/fabrics/${fabricId}`, { arealDensityGm2: 210 });
  const rules = await job.ok<Versioned>(admin.get('/api/v1/layup-rules'));
  const { topBodyMassKg, fibreMassFraction, allowances, rows } = rules;
  const same = { topBodyMassKg, fibreMassFraction, allowances, rows };
  await job.ok(admin.post('/api/v1/layup-rules', { basedOnVersion: rules.version, ...same }));
  const calendar = await job.ok<Versioned>(admin.get('/api/v1/calendar'));
  await job.ok(
    admin.post('/api/v1/calendar', {
      basedOnVersion: calendar.version,
      weekdays: calendar['weekdays'],
      closedDays: [{ on: '2026-12-25', why: 'Christmas' }],
    }),
  );
  const benchId = await job.id(admin.post('/api/v1/benches', { name: 'Second oven', people: 1 }));
  await job.ok(admin.patch(`/api/v1/benches/${benchId}`, { people: 2 }, '"1"'));
  const tool = `/api/v1/shop-tools/${shop.expiredWrench}`;
  await job.ok(admin.post(`${tool}/out-of-service`, { why: 'Was dropped.' }));
  await job.ok(admin.post(`${tool}/back-in-service`, { why: 'Looked at.' }));

  // Labels: one that the catalogue does not know becomes a part, another is set aside.
  await job.ok(admin.post('/api/v1/udi/readings', { scans: [labelOf('S1')] }));
  const [first, second] = [await scannedPin(shop), await scannedPin(shop)];
  await job.ok(admin.post(`/api/v1/part-drafts/${first.draftId}/part`, first.part));
  const aside = { note: 'Not ours.' };
  await job.ok(admin.post(`/api/v1/part-drafts/${second.draftId}/set-aside`, aside));
  const batchId = await unusedBatch(shop);
  await job.ok(told.as('technician').post(`/api/v1/batches/${batchId}/open`));
  await job.ok(admin.post(`/api/v1/batches/${batchId}/quarantine`, { reason: 'Has set.' }));
  await job.ok(
    admin.post('/api/v1/people', {
      email: 'new.hand@our.example',
      printedName: 'Nova Hand',
      roles: ['technician'],
      ...PASSWORD_AGAIN,
    }),
  );
}

interface Versioned {
  readonly version: number;
  readonly [field: string]: unknown;
}
interface WorkRoute {
  readonly name: string;
  readonly socketKind: string;
  readonly suspension: string;
  readonly version: number;
  readonly operations: readonly { readonly seq: number }[];
}

/** What the prosthetist judges. */
async function atTheLimb(told: TestClinic, shop: job.Shop, mark: string): Promise<void> {
  const pros = told.as('prosthetist');
  const since = await shrunken(shop);
  const sets = { firstSetId: since.first.id, secondSetId: since.second.id };
  const { firstSetId, secondSetId } = sets;
  await job.ok(
    pros.get(`/api/v1/measure-sets/comparison?first=${firstSetId}&second=${secondSetId}`),
  );
  await job.ok(pros.post('/api/v1/volume-decisions', { ...sets, decision: 'socks', why: mark }));

  const { orderId } = await job.openedOrder(shop);
  const castId = await job.id(pros.post(`/api/v1/orders/${orderId}/casts`, castToTake()));
  await job.ok(pros.post(`/api/v1/casts/${castId}/reject`, { reason: 'It moved.' }));
  await job.acceptedCast(shop, orderId);
  const check = await job.checkSocketOnTheLimb(shop, orderId);
  await job.ok(
    pros.post(`/api/v1/sockets/${check.socketId}/fit-rejection`, {
      reasons: ['too_tight'],
      changes: `Heated at the brim, ${mark}.`,
      nextStep: 'same_socket_changed',
    }),
  );
  const limb = await job.limbToDeliver(shop);
  const { alignmentId } = await job.ok<{ alignmentId: string }>(
    pros.post(`/api/v1/sockets/${limb.socketId}/alignments`, { ...job.ALIGNMENT, flexionDeg: 9 }),
  );
  await job.ok(
    pros.post(`/api/v1/sockets/${limb.socketId}/alignment-difference-acceptance`, {
      alignmentId,
      why: 'A contracture by now.',
      signature,
    }),
  );
  // A second delivery on another day: the charts need a run.
  told.clock.pass(60 * 24);
  await job.ok(job.deliver(shop, limb.orderId, limb.socketId));
  for (const chart of ['turnaround', 'shares'])
    await job.ok(pros.get(`/api/v1/quality/${chart}.svg?${PERIOD}`));
  await job.ok(pros.get(`/api/v1/quality?${PERIOD}`));
  await job.ok(pros.get(`/api/v1/costs?${PERIOD}`));
  await job.ok(pros.get(`/api/v1/sockets/${limb.socketId}/wearer-sheet.pdf`));
  await job.ok(pros.get(`/api/v1/sockets/${limb.socketId}/joints/distal/drawing.svg`));
  await job.ok(pros.get(`/api/v1/sockets/${limb.socketId}/layup`));
  await job.ok(pros.get(`/o/${limb.number}/D1`));
}

async function atTheBench(told: TestClinic, shop: job.Shop, mark: string): Promise<void> {
  const tech = told.as('technician');
  const pros = told.as('prosthetist');
  const { orderId } = await job.openedOrder(shop, { massKg: 115 });
  await job.acceptedCast(shop, orderId);
  const { id: socketId } = await job.makeSocket(shop, orderId, { kind: 'check' });
  const partId = shop.parts.lock;
  await job.ok(
    pros.post(`/api/v1/sockets/${socketId}/mass-acknowledgements`, { partId, signature }),
  );
  const found = (kind: string) =>
    job.ok<{ findingId: string }>(
      tech.post(`/api/v1/sockets/${socketId}/findings`, {
        kind,
        note: `Seen at the brim, ${mark}.`,
      }),
    );
  const [crack, rattle] = [await found('crack'), await found('rattle')];
  const closed = { disposition: 'rework', why: `Ground out, ${mark}.` };
  await job.ok(tech.post(`/api/v1/findings/${crack.findingId}/disposition`, closed));
  await job.ok(
    pros.post(`/api/v1/findings/${rattle.findingId}/acceptance`, { why: 'Only heard.', signature }),
  );
  await job.ok(tech.get(`/api/v1/places/${shop.bin}/label.pdf`));
}

async function withThePatient(
  told: TestClinic,
  shop: job.Shop,
  { patientId, orderId, socketId }: job.MadeLimb,
  mark: string,
): Promise<void> {
  const desk = told.as('front_desk');
  const pros = told.as('prosthetist');
  const admin = told.as('administrator');
  const patient = `/api/v1/patients/${patientId}`;
  await job.ok(desk.post('/api/v1/patients/search', { name: 'Inventum' }));
  await job.ok(desk.post('/api/v1/search', { text: 'Inventum' }));
  await job.ok(desk.post(`${patient}/body-masses`, { massKg: 83, measuredOn: '2026-03-02' }));
  const prosthetistId = told.people.prosthetist.id;
  const whom = `purpose=service&orderId=${orderId}&prosthetistId=${prosthetistId}`;
  await job.ok(desk.get(`/api/v1/appointments/free?${whom}`));
  const booked = (startsAt: string) =>
    job.ok<{ appointment: { id: string } }>(
      desk.post('/api/v1/appointments', { orderId, purpose: 'service', startsAt, prosthetistId }),
    );
  const [early, late] = [
    await booked('2027-04-01T09:00:00Z'),
    await booked('2027-04-02T09:00:00Z'),
  ];
  const moved = { startsAt: '2027-04-05T09:00:00Z', why: `Asked for, ${mark}.` };
  await job.ok(desk.post(`/api/v1/appointments/${early.appointment.id}/move`, moved));
  const off = { state: 'called_off', why: `Has a cold, ${mark}.` };
  await job.ok(desk.post(`/api/v1/appointments/${late.appointment.id}/mark`, off));

  for (const { id } of (await job.readSocket(shop, socketId)).openFindings) {
    const accepted = { why: 'It is the button alone.', signature };
    await job.ok(pros.post(`/api/v1/findings/${id}/acceptance`, accepted));
  }
  const [visit] = await told.store.raw<{ id: string }>(
    'select id from service_visit where socket_id = $1 and closed_at is null',
    [socketId],
  );
  await job.ok(
    pros.post(`/api/v1/service-visits/${visit?.id ?? ''}/closing`, {
      outcome: `Cleaned, ${mark}.`,
      signature,
    }),
  );

  const opened = { reason: 'label_unreadable', words: `The traveller is torn, ${mark}.` };
  const { breakGlassId } = await job.ok<{ breakGlassId: string }>(
    told.as('technician').post(`${patient}/more`, opened),
  );
  await job.ok(
    told.as('auditor').post(`/api/v1/break-glass/${breakGlassId}/reviews`, { inOrder: true }),
  );

  const asked = { askedOn: '2026-03-02', said: `It was the left leg, ${mark}.` };
  const requestId = await job.id(desk.post(`${patient}/correction-requests`, asked));
  const request = `/api/v1/correction-requests/${requestId}`;
  await job.ok(
    pros.post(`${request}/decision`, {
      decision: 'denied',
      denialGround: 'accurate_and_complete',
      reason: 'It is right.',
    }),
  );
  await job.ok(desk.post(`${request}/disagreement`, { statement: 'It was the left.' }));
  const { items: records } = await job.ok<{ items: { kind: string; id: string }[] }>(
    pros.get(`${patient}/correctable-records`),
  );
  const torqued = records.find(({ kind }) => kind === 'torque_confirmation');
  await job.ok(
    pros.post(`${patient}/corrections`, {
      subjectKind: 'torque_confirmation',
      subjectId: torqued?.id,
      wrong: '5 N·m',
      right: '8 N·m',
      why: 'Misread.',
      signature,
    }),
  );
  const hold = { patientId, reason: 'A claim about the lock.', reference: 'Cg 3/26' };
  const holdId = await job.id(admin.post('/api/v1/legal-holds', hold));
  await job.ok(admin.post(`/api/v1/legal-holds/${holdId}/lift`, { why: 'Settled.' }));
  const other = await job.openedOrder(shop);
  const { headers } = await desk.get(`/api/v1/patients/${other.patientId}`);
  const reachedBy = { phone: '+43 1 4711', address: 'Ring 1' };
  await job.ok(
    desk.patch(`/api/v1/patients/${other.patientId}`, reachedBy, String(headers['etag'])),
  );
  const erase = (what: string) =>
    job.id(
      admin.post(`/api/v1/patients/${other.patientId}/erasures`, {
        what: [what],
        why: 'Asked for in writing.',
        legalBasis: 'Consent withdrawn',
      }),
    );
  await job.ok(pros.post(`/api/v1/erasures/${await erase('phone')}/confirmation`, { signature }));
  await job.ok(admin.post(`/api/v1/erasures/${await erase('address')}/withdrawal`, {}));
}

async function theRecord(told: TestClinic, worn: job.MadeLimb, mark: string): Promise<void> {
  const auditor = told.as('auditor');
  const [piece] = await told.store.raw<{ part_id: string; lot: string }>(
    `select i.part_id, i.lot from item i join move m on m.item_id = i.id join place p on p.id = m.to_place_id
     where p.socket_id = $1 and i.lot is not null order by i.id limit 1`,
    [worn.socketId],
  );
  const lot = piece?.lot ?? '';
  for (const form of ['', '.json', '.csv', '.pdf']) {
    await job.ok(auditor.get(`/api/v1/recall${form}?lot=${lot}`));
    await job.ok(auditor.get(`/api/v1/trace${form}?order=${worn.orderId}`));
  }
  const call = { lot, socketId: worn.socketId, outcome: 'reached', note: `Comes, ${mark}.` };
  await job.ok(told.as('front_desk').post('/api/v1/recall/calls', call));
  for (let heads = 0; heads < 2; heads += 1) {
    await job.ok(auditor.post('/api/v1/record/heads'));
    told.clock.pass(1);
    await job.ok(told.as('technician').post('/api/v1/places', { name: `Shelf ${String(heads)}` }));
  }
  const head = '/api/v1/record/heads/1';
  await job.ok(auditor.get(`${head}/notice.pdf`));
  await job.ok(auditor.get(`${head}/inclusion?event=1`));
  await job.ok(auditor.get('/api/v1/record/heads/2/consistency?from=1'));

  const doer = aDoer(told.store, told.clock.now);
  const { patientId } = worn;
  const handed = {
    kind: 'patient_export',
    patientId,
    reason: 'Asked at the desk.',
    handedTo: mark,
  };
  try {
    for (const [who, body] of [
      ['auditor', { kind: 'record_export', orderId: worn.orderId }],
      ['auditor', { kind: 'recall_of_many', of: 'lot', list: ['L1', 'L2'] }],
      ['front_desk', handed],
      ['prosthetist', handed],
    ] as const) {
      const { id } = await ask(told, who, body);
      const ended = await vi.waitUntil(
        async () => {
          const work = await look(told, who, id);
          return ['waiting', 'running'].includes(work.state) ? undefined : work;
        },
        { timeout: 60_000, interval: 20 },
      );
      expect(ended).toMatchObject({ state: 'done', failure: null });
      await job.ok(told.as(who).get(`/api/v1/long-works/${id}/result`));
      if (who === 'auditor') continue;
      for (const form of ['json', 'pdf'])
        await job.ok(told.as(who).get(`/api/v1/long-works/${id}/record.${form}`));
    }
  } finally {
    await doer.stop();
  }
  const { id } = await ask(told, 'auditor', { kind: 'record_export', orderId: worn.orderId });
  await job.ok(auditor.post(`/api/v1/long-works/${id}/cancel`));
}
