/** What a patient may ask of the record, how long it is kept, and what holds it (R10). */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { leafText } from '../../src/domain/eventChain.ts';
import type { RecordEvent } from '../../src/domain/patientRecord/document.ts';
import { SECTIONS } from '../../src/domain/patientRecord/index.ts';
import { sealedText, sealsOf } from '../../src/domain/seals.ts';
import { readDocument } from '../../src/features/rights/patientRecord.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { PASSWORD } from '../support/clinic.ts';
import { writePhone } from '../support/columnKeys.ts';
import {
  deliveredLimb,
  gate,
  openedOrder,
  ok,
  refusedWith,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { aDoer, doneWork, resultOf } from '../support/longWork.ts';
import { readPdf } from '../support/pdf.ts';

let clinic: TestClinic;
let other: TestClinic;
let shop: Shop;
let limb: MadeLimb;
let doer: { stop: () => Promise<void> };
let somebodyElse: string;

const sha256 = (text: string) => createHash('sha256').update(text, 'utf8').digest('hex');
const requests = (patientId = limb.patientId) =>
  `/api/v1/patients/${patientId}/correction-requests`;
const rights = (who: 'front_desk' | 'auditor' | 'administrator' = 'front_desk') =>
  ok<{
    retention: { keptUntil: string | null; because: string };
    holds: { id: string; reference: string }[];
    requests: { id: string; decision: string | null }[];
    corrections: { id: string }[];
  }>(clinic.as(who).get(`/api/v1/patients/${limb.patientId}/rights`));

beforeAll(async () => {
  clinic = await testClinic();
  other = await clinic.another('OT');
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  ({ patientId: somebodyElse } = await openedOrder(shop));
  await clinic.store.raw(
    `update patient set family_name = 'Nebenmensch', given_name = 'Otberta' where id = $1`,
    [somebodyElse],
  );
  await writePhone(clinic, somebodyElse, '+43 1 4711 4711');
  doer = aDoer(clinic.store, clinic.clock.now);
}, 300_000);
afterAll(async () => {
  await doer.stop();
  await clinic.close();
});

describe('the years', () => {
  test('of a delivered limb run from its last activity; one under way is not due', async () => {
    expect((await rights()).retention).toMatchObject({ keptUntil: '2033-03-02' });
    const open = await ok<{ retention: object }>(
      clinic.as('auditor').get(`/api/v1/patients/${somebodyElse}/rights`),
    );
    expect(open.retention).toMatchObject({ keptUntil: null, because: 'order_open' });
  });

  test('are listed by the year asked for, with why, for auditor and administrator alone', async () => {
    const due = (year: number) =>
      ok<{ items: { patientId: string; when: string; because: string }[] }>(
        clinic.as('auditor').get(`/api/v1/retention/due?year=${String(year)}`),
      );
    expect((await due(2032)).items).toEqual([]);
    expect((await due(2033)).items).toMatchObject([
      { patientId: limb.patientId, when: 'later', holds: 0 },
    ]);
    await refusedWith(clinic.as('front_desk').get('/api/v1/retention/due'), 'role-may-not');
    const theirs = await ok<{ items: object[] }>(
      other.as('auditor').get('/api/v1/retention/due?year=2199'),
    );
    expect(theirs.items).toEqual([]);
  });
});

describe('a legal hold', () => {
  const place = (body: object) =>
    clinic.as('administrator').post('/api/v1/legal-holds', {
      reason: 'A claim about the lock.',
      reference: 'Cg 3/26',
      ...body,
    });

  test('is placed by an administrator on a patient, shown on the record, lifted once', async () => {
    await refusedWith(
      clinic.as('auditor').post('/api/v1/legal-holds', { patientId: limb.patientId }),
      'role-may-not',
    );
    const hold = await ok<{ id: string }>(place({ patientId: limb.patientId }));
    await refusedWith(place({ patientId: limb.patientId }), 'hold-placed-already');
    expect((await rights()).holds).toMatchObject([{ reference: 'Cg 3/26' }]);
    expect(
      await ok(clinic.as('technician').get(`/api/v1/orders/${limb.orderId}/corrections`)),
    ).toMatchObject({ holds: 1 });
    const lift = () =>
      clinic.as('administrator').post(`/api/v1/legal-holds/${hold.id}/lift`, { why: 'Settled.' });
    await ok(lift());
    await refusedWith(lift(), 'hold-lifted-already');
    expect((await rights()).holds).toEqual([]);
  });

  test('on a lot holds every patient in whose socket a piece of it was', async () => {
    const [piece] = await clinic.store.raw<{ part_id: string; lot: string }>(
      `select i.part_id, i.lot from item i join move m on m.item_id = i.id join place p on p.id = m.to_place_id
       where p.socket_id = $1 and i.lot is not null limit 1`,
      [limb.socketId],
    );
    const { id } = await ok<{ id: string }>(
      place({ partId: piece?.part_id, lot: piece?.lot, reference: 'Maker 7' }),
    );
    expect((await rights()).holds).toMatchObject([{ reference: 'Maker 7' }]);
    await refusedWith(place({ partId: piece?.part_id, lot: 'NO-SUCH' }), 'lot-unknown');
    await ok(clinic.as('administrator').post(`/api/v1/legal-holds/${id}/lift`, { why: 'Over.' }));
  });

  test('is listed where an order and a part are read, to those who may read its words', async () => {
    const [piece] = await clinic.store.raw<{ part_id: string; lot: string }>(
      `select i.part_id, i.lot from item i join move m on m.item_id = i.id join place p on p.id = m.to_place_id
       where p.socket_id = $1 and i.lot is not null limit 1`,
      [limb.socketId],
    );
    const { part_id: partId = '', lot = '' } = piece ?? {};
    const onOrder = await ok<{ id: string }>(
      place({ orderId: limb.orderId, reference: 'Cg 9/26' }),
    );
    const onLot = await ok<{ id: string }>(place({ partId, lot, reference: 'Maker 9' }));
    const references = async (url: string, who: 'front_desk' | 'auditor' = 'front_desk') =>
      (await ok<{ items: { reference: string }[] }>(clinic.as(who).get(url))).items.map(
        ({ reference }) => reference,
      );
    const ofOrder = `/api/v1/orders/${limb.orderId}/legal-holds`;
    const ofPart = `/api/v1/parts/${partId}/legal-holds`;
    expect(await references(ofOrder)).toEqual(['Cg 9/26', 'Maker 9']);
    expect(await references(ofPart)).toEqual(['Maker 9']);
    expect(await references(`${ofPart}?lot=${lot}`, 'auditor')).toEqual(['Maker 9']);
    expect(await references(`${ofPart}?lot=ANOTHER`)).toEqual([]);
    await refusedWith(clinic.as('technician').get(ofOrder), 'role-may-not');
    await refusedWith(other.as('front_desk').get(ofOrder), 'not-found');
    await refusedWith(other.as('front_desk').get(ofPart), 'not-found');
    for (const { id } of [onOrder, onLot]) {
      await ok(clinic.as('administrator').post(`/api/v1/legal-holds/${id}/lift`, { why: 'Over.' }));
    }
    expect(await references(ofOrder)).toEqual([]);
    expect(await references(ofPart)).toEqual([]);
  });

  test('is on one thing', async () => {
    await refusedWith(
      place({ patientId: limb.patientId, orderId: limb.orderId }),
      'request-invalid',
    );
    await refusedWith(place({}), 'request-invalid');
  });
});

describe('a patient who says that something is wrong', () => {
  test('is heard, answered with a reason, and may add a statement to a denial', async () => {
    const { id } = await ok<{ id: string; decideBy: string }>(
      clinic.as('front_desk').post(requests(), { askedOn: '2026-03-02', said: 'The left leg.' }),
    );
    const decide = (body: object) =>
      clinic.as('prosthetist').post(`/api/v1/correction-requests/${id}/decision`, body);
    const disagree = () =>
      clinic
        .as('front_desk')
        .post(`/api/v1/correction-requests/${id}/disagreement`, { statement: 'It was the left.' });
    await refusedWith(disagree(), 'disagreement-with-nothing');
    await refusedWith(decide({ decision: 'denied', reason: 'It is right.' }), 'field-missing');
    await refusedWith(
      decide({ decision: 'accepted', denialGround: 'not_made_here', reason: 'So it is.' }),
      'denial-ground-of-nothing',
    );
    await ok(
      decide({ decision: 'denied', denialGround: 'accurate_and_complete', reason: 'It is right.' }),
    );
    await refusedWith(
      decide({ decision: 'accepted', reason: 'No.' }),
      'correction-decided-already',
    );
    await ok(disagree());
    await refusedWith(disagree(), 'disagreement-stands');
    await refusedWith(
      clinic.as('front_desk').post(requests(), { askedOn: '2026-03-09', said: 'x' }),
      'day-in-future',
    );
    // What the patient said is for those alone who know who it is.
    expect((await rights('administrator')).requests).toEqual([]);
  });
});

describe('a correction', () => {
  const correct = (body: object, who: 'prosthetist' | 'technician' = 'prosthetist') =>
    clinic.as(who).post(`/api/v1/patients/${limb.patientId}/corrections`, {
      wrong: '5 N·m',
      right: '8 N·m',
      why: 'Misread.',
      signature: { password: PASSWORD },
      ...body,
    });
  const records = (who: 'prosthetist' | 'technician' = 'prosthetist') =>
    ok<{
      items: {
        kind: string;
        id: string;
        by: string;
        value: string | null;
        attempt: number | null;
      }[];
    }>(clinic.as(who).get(`/api/v1/patients/${limb.patientId}/correctable-records`));

  test('stands beside the record, in the order’s history and on its page, and changes no evidence', async () => {
    const { items } = await records();
    const torqued = items.find(({ kind }) => kind === 'torque_confirmation');
    // What tells each from others of its kind comes as it is: the reader's language puts it into words.
    expect([torqued?.value, torqued?.attempt]).toEqual(['distal', null]);
    const masses = items.filter(({ kind }) => kind === 'body_mass');
    expect(masses.map(({ value }) => Number(value))).toContain(82);
    expect(items.find(({ kind }) => kind === 'lock_check')?.value).toBe('passed');
    expect(items.find(({ kind }) => kind === 'operation_record')?.attempt).toBe(1);
    const before = await gate(shop, limb.orderId);
    const rows = () =>
      clinic.store.raw('select to_jsonb(t)::text from torque_confirmation t order by id');
    const original = await rows();
    const made = await ok<{ doneAgain: string; contentSha256: string }>(
      correct({ subjectKind: 'torque_confirmation', subjectId: torqued?.id }),
    );
    expect(made.doneAgain).toBe('torque the joint again');
    expect(await rows()).toEqual(original);
    expect(await gate(shop, limb.orderId)).toEqual(before);
    const { items: shown } = await ok<{ items: object[] }>(
      clinic.as('technician').get(`/api/v1/orders/${limb.orderId}/corrections`),
    );
    expect(shown).toMatchObject([{ subjectId: torqued?.id, wrong: '5 N·m', right: '8 N·m' }]);
    for (const of of [`order/${limb.orderId}`, `torque_confirmation/${torqued?.id ?? ''}`]) {
      const history = await ok<{
        items: { kind: string; facts: { field: string; value: unknown }[] }[];
      }>(clinic.as('auditor').get(`/api/v1/history/${of}`));
      const told = history.items.find(({ kind }) => kind === 'record.corrected');
      expect(told?.facts, of).toContainEqual({ field: 'right', value: '8 N·m' });
    }
  });

  test('is made by a prosthetist or by who made the record, of this patient’s records alone', async () => {
    const { items } = await records('technician');
    const fit = items.find(({ kind }) => kind === 'fitting');
    const mine = items.find(({ kind }) => kind === 'lock_check');
    await refusedWith(
      correct({ subjectKind: 'fitting', subjectId: fit?.id }, 'technician'),
      'correction-not-yours',
    );
    await ok(correct({ subjectKind: 'lock_check', subjectId: mine?.id }, 'technician'));
    await refusedWith(
      clinic.as('prosthetist').post(`/api/v1/patients/${somebodyElse}/corrections`, {
        subjectKind: 'fitting',
        subjectId: fit?.id,
        wrong: 'a',
        right: 'b',
        why: 'c',
        signature: { password: PASSWORD },
      }),
      'correction-of-nothing',
    );
    await refusedWith(
      correct({ subjectKind: 'finding', subjectId: fit?.id }),
      'correction-of-nothing',
    );
  });

  test('answers a request only where it was accepted', async () => {
    const { items } = await records();
    const [mass] = items.filter(({ kind }) => kind === 'body_mass');
    const { id: requestId } = await ok<{ id: string }>(
      clinic.as('front_desk').post(requests(), { askedOn: '2026-03-01', said: 'I weigh more.' }),
    );
    const body = { subjectKind: 'body_mass', subjectId: mass?.id, requestId };
    await refusedWith(correct(body), 'correction-request-not-accepted');
    await ok(
      clinic.as('prosthetist').post(`/api/v1/correction-requests/${requestId}/decision`, {
        decision: 'accepted',
        reason: 'Yes.',
      }),
    );
    await ok(correct(body));
  });
});

describe('a copy of the whole record', () => {
  const asked = {
    kind: 'patient_export',
    reason: 'The patient asked at the desk.',
    handedTo: 'the patient',
  };

  test('is one document of its schema, with every event provable, and nobody else in it', async () => {
    const work = await doneWork(clinic, 'front_desk', { ...asked, patientId: limb.patientId });
    expect(work.failure).toBeNull();
    const text = await resultOf(clinic, 'front_desk', work.id);
    const file = readDocument(text);
    const sections = file.sections as Record<string, readonly object[]>;
    for (const full of [
      'patient',
      'socket',
      'item',
      'move',
      'torqueReading',
      'delivery',
      'signature',
      'correction',
    ]) {
      expect(sections[full]?.length, full).toBeGreaterThan(0);
    }
    expect(Object.keys(sections)).toHaveLength(SECTIONS.length);
    expect(file.events.length).toBeGreaterThan(50);
    for (const {
      leafSha256,
      chainSha256: _chain,
      opened,
      seq: _seq,
      ...event
    } of file.events as RecordEvent[]) {
      expect(sha256(leafText({ ...event, clinicId: file.clinic.id }))).toBe(leafSha256);
      const seals = sealsOf(event.data);
      for (const [path, value] of Object.entries(opened)) {
        expect(sha256(sealedText(value))).toBe(seals.get(path));
      }
    }
    for (const nobody of ['Nebenmensch', 'Otberta', '4711 4711', 'priceMinor', 'nameKey']) {
      expect(text, nobody).not.toContain(nobody);
    }
    const [row] = await clinic.store.raw<{ n: number }>(
      `select count(*)::int as n from event where kind in ('patient.export_asked', 'patient.record_exported') and subject_id = $1`,
      [limb.patientId],
    );
    expect(row?.n).toBe(2);
    const again = await ok<object>(
      clinic.as('front_desk').get(`/api/v1/long-works/${work.id}/record.json`),
    );
    expect(again).toEqual(file);
  });

  test('on paper says in words who, what is worn, and who is who', async () => {
    const work = await doneWork(clinic, 'prosthetist', { ...asked, patientId: limb.patientId });
    const { body, status } = await clinic
      .as('prosthetist')
      .get(`/api/v1/long-works/${work.id}/record.pdf`)
      .buffer(true)
      .parse((answer, done) => {
        const parts: Buffer[] = [];
        answer.on('data', (part: Buffer) => parts.push(part));
        answer.on('end', () => done(null, Buffer.concat(parts)));
      });
    expect(status).toBe(200);
    const { words } = await readPdf(body as Buffer);
    for (const said of ['Your record', 'What you wear', 'Who is who', 'page 1 of', 'corrected']) {
      expect(words).toContain(said);
    }
    expect(words).not.toContain('Nebenmensch');
  });

  test('is for those who speak with patients, and handed to who asked for it alone', async () => {
    const body = { ...asked, patientId: limb.patientId };
    for (const who of ['technician', 'auditor', 'administrator'] as const) {
      await refusedWith(clinic.as(who).post('/api/v1/long-works', body), 'role-may-not');
    }
    await refusedWith(other.as('front_desk').post('/api/v1/long-works', body), 'not-found');
    const work = await doneWork(clinic, 'front_desk', body);
    await refusedWith(
      clinic.as('auditor').get(`/api/v1/long-works/${work.id}/result`),
      'long-work-not-yours',
    );
    await refusedWith(
      clinic.as('administrator').get(`/api/v1/long-works/${work.id}/result`),
      'long-work-not-yours',
    );
    await refusedWith(
      clinic.as('prosthetist').get(`/api/v1/long-works/${work.id}/record.pdf`),
      'not-found',
    );
  });
});
