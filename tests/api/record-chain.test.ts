/**
 * The record is verified by its reader, from what the API hands out; and whoever writes
 * into the table past the service is found out: the first record that fails is named.
 */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { encryptSealed, type KeptSealed } from '../../src/store/sealedValues.ts';
import {
  CHAIN_START,
  chainText,
  endsEarly,
  leafText,
  notedWords,
  readNotedHead,
  verifyEvents,
  type ChainedEvent,
  type ChainFault,
  type ChainHead,
  type NotedHead,
} from '../../src/domain/eventChain.ts';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { openSealed, testCipher } from '../support/columnKeys.ts';
import { addPatient, openOrder } from '../support/orders.ts';
import { ok } from '../support/job.ts';

type Page = { items: (ChainedEvent & { notOpened: string[]; notOpenedFits: boolean })[] };

const hash = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');
const sha256 = (text: string): Promise<string> => Promise.resolve(hash(text));

let clinic: TestClinic;

const headOf = (role: Role = 'auditor') =>
  ok<ChainHead>(clinic.as(role).get('/api/v1/record/head'));
const pageAfter = (after: number, role: Role = 'auditor', limit = 7) =>
  ok<Page>(clinic.as(role).get(`/api/v1/record/events?after=${after}&limit=${limit}`));

/** As the page does it: page by page, up to the head that was there at the beginning. */
async function verified(
  role: Role = 'auditor',
  noted?: NotedHead,
): Promise<{ head: ChainHead; fault: ChainFault | null; items: Page['items'] }> {
  const until = (await headOf(role)).seq;
  let head = CHAIN_START;
  const all: Page['items'] = [];
  while (head.seq < until) {
    const { items } = await pageAfter(head.seq, role);
    const due = items.filter(({ seq }) => seq <= until);
    all.push(...due);
    const found = await verifyEvents(sha256, head, due, noted);
    head = found.head;
    if (found.fault !== null) return { head, fault: found.fault, items: all };
    if (due.length === 0) break;
  }
  return { head, fault: endsEarly(head, until), items: all };
}

/** As the database's owner, with every trigger asleep. */
const tamper = (sql: string): Promise<void> =>
  clinic.store.ownerTransaction((owner) =>
    owner.script(`set local session_replication_role = replica; ${sql}`),
  );

async function someDays(of: TestClinic): Promise<void> {
  for (let n = 0; n < 4; n += 1) {
    const { id } = await addPatient(of, { phone: `01 555 ${n}` });
    const read = await of.as('front_desk').get(`/api/v1/patients/${id}`);
    const etag = read.headers['etag'] ?? '';
    await ok(of.as('front_desk').patch(`/api/v1/patients/${id}`, { phone: `01 777 ${n}` }, etag));
    await openOrder(of, { patientId: id });
  }
}

beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

describe('a record that nobody touched', () => {
  beforeAll(() => someDays(clinic));

  test('is well, recomputed from the first event to the head', async () => {
    const { seq } = await headOf();
    const found = await verified();
    expect(found.fault).toBeNull();
    expect(found.head.seq).toBe(seq);
    expect(found.items.every(({ leaf }) => leaf !== null)).toBe(true);
  });

  test('what is personal stands under seals: an auditor opens names, nobody here a telephone', async () => {
    const { items } = await verified();
    const added = items.find(({ leaf }) => leaf?.kind === 'patient.added');
    expect(Object.keys(added?.opened ?? {}).sort()).toEqual([
      'birthDate',
      'familyName',
      'givenName',
    ]);
    expect(added).toMatchObject({ notOpened: ['phone'], notOpenedFits: true });
    const asAdministrator = await verified('administrator');
    expect(asAdministrator.fault).toBeNull();
    expect(asAdministrator.items.flatMap(({ opened }) => Object.keys(opened))).toEqual([]);
    const told = JSON.stringify(asAdministrator.items);
    expect(told).not.toMatch(/01 555|01 777/);
  });

  test('an event that is older than the seals is shown whole to who may see it all, else chained unseen', async () => {
    const own = await clinic.another('OL');
    const [patient] = [await addPatient(own, { phone: '01 999' })];
    const data = { after: { phone: '01 998' }, before: { phone: '01 999' } };
    const id = '0190a000-0000-7000-8000-0000000000aa';
    const leaf = {
      at: own.clock.now().toISOString(),
      clinicId: own.clinicId,
      data,
      id,
      kind: 'patient.changed',
      orderId: null,
      personId: null,
      subjectId: patient.id,
      subjectKind: 'patient',
    };
    await own.store.raw(
      `insert into event (clinic_id, seq, id, at, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
       values ($1, 0, $2, $3, 'patient.changed', 'patient', $4, $5, $6, '')`,
      [own.clinicId, id, leaf.at, patient.id, JSON.stringify(data), hash(leafText(leaf))],
    );
    const { items } = await ok<Page>(own.as('auditor').get('/api/v1/record/events?limit=1000'));
    const found = await verifyEvents(sha256, CHAIN_START, items);
    expect(found).toMatchObject({ fault: null, withheld: 1 });
    expect(JSON.stringify(items)).not.toContain('01 99');
    // The desk, which knows telephones, reads it in the history as any other.
    const history = await ok<{ items: { changes: object[] }[] }>(
      own.as('front_desk').get(`/api/v1/history/patient/${patient.id}`),
    );
    expect(history.items[0]?.changes).toEqual([
      { field: 'phone', before: '01 999', after: '01 998' },
    ]);
  });

  test('what was found is noted; who else is no auditor does not read the chain', async () => {
    const { head } = await verified();
    await ok(
      clinic.as('auditor').post('/api/v1/record/verifications', {
        from: 0,
        to: head.seq,
        chainSha256: head.chainSha256,
        fault: null,
        // Every record follows the one before, and still the head does not fit.
        signedHead: { number: 3, found: 'bad' },
      }),
    );
    const backwards = await clinic.as('auditor').post('/api/v1/record/verifications', {
      from: 2,
      to: 1,
      chainSha256: head.chainSha256,
      fault: null,
    });
    expect(backwards.body.errors).toMatchObject([{ pointer: '/to' }]);
    const [event] = await clinic.store.raw<{ data: object }>(
      `select data from event where kind = 'record.verified' order by seq desc limit 1`,
    );
    expect(event?.data).toMatchObject({
      to: head.seq,
      fault: null,
      signedHead: { number: 3, found: 'bad' },
    });
    for (const role of ['front_desk', 'technician', 'prosthetist'] as const) {
      await clinic.as(role).get('/api/v1/record/events').expect(403);
      await clinic.as(role).get('/api/v1/record/head').expect(403);
    }
  });
});

describe('a table that was written past the service', () => {
  let noted: NotedHead;
  let own: TestClinic;
  let n = 0;
  const main = () => clinic;

  beforeEach(async () => {
    n += 1;
    own = await (own ?? main()).another(`T${String.fromCharCode(64 + n)}`);
    await someDays(own);
    clinic = own;
    const head = await headOf();
    noted = readNotedHead(notedWords({ ...head })) ?? { seq: 0, begins: '' };
  });

  /** Somebody with the keys exchanges a value beside its seal. */
  const forgeSealed = async (seq: number, path: string, value: string) => {
    const [event] = await own.store.raw<{ id: string; sealed: KeptSealed }>(
      `select id, sealed from event where ${at(seq)}`,
    );
    const { id = '', sealed = null } = event ?? {};
    const values = openSealed(own.clinicId, id, sealed) ?? {};
    const forged = { ...values, [path]: { salt: values[path]?.salt ?? '', value } };
    const kept = encryptSealed(testCipher, { clinicId: own.clinicId, eventId: id }, forged);
    await tamper(`update event set sealed = '${JSON.stringify(kept)}' where ${at(seq)}`);
  };

  const at = (seq: number) => `clinic_id = '${own.clinicId}' and seq = ${seq}`;

  test('an event edited: it is not what was hashed', async () => {
    await tamper(`update event set data = data || '{"note": "forged"}' where ${at(5)}`);
    expect((await verified()).fault).toMatchObject({ seq: 5, kind: 'content_changed' });
  });

  test('another person put under it', async () => {
    await tamper(`update event set person_id = '${own.people.auditor.id}' where ${at(6)}`);
    expect((await verified()).fault).toMatchObject({ seq: 6, kind: 'content_changed' });
  });

  test('a name exchanged beside its seal: the seal is broken', async () => {
    const [{ seq } = { seq: 0 }] = await own.store.raw<{ seq: number }>(
      `select seq from event where clinic_id = $1 and kind = 'patient.added' order by seq limit 1`,
      [own.clinicId],
    );
    await forgeSealed(seq, 'familyName', 'Forged');
    expect((await verified()).fault).toMatchObject({ seq, kind: 'seal_broken' });
    // A telephone, which an auditor does not see, the service holds against its seal itself.
    await forgeSealed(seq, 'phone', '0');
    const { items } = await pageAfter(seq - 1, 'administrator', 1);
    expect(items[0]).toMatchObject({ seq, notOpenedFits: false });
  });

  test('what is sealed overwritten by another event’s: it does not open, and the seal is broken', async () => {
    const [first, second] = await own.store.raw<{ seq: number }>(
      `select seq from event where clinic_id = $1 and sealed is not null order by seq limit 2`,
      [own.clinicId],
    );
    const from = `(select sealed from event where ${at(second?.seq ?? 0)})`;
    await tamper(`update event set sealed = ${from} where ${at(first?.seq ?? 0)}`);
    expect((await verified()).fault).toMatchObject({ seq: first?.seq, kind: 'seal_broken' });
  });

  test('edited and its leaf hashed anew: it does not follow its forerunner', async () => {
    const { items } = await pageAfter(6, 'auditor', 1);
    const leaf = items[0]?.leaf;
    if (leaf == null) throw new Error('event 7 is not shown');
    const data = { ...leaf.data, note: 'forged' };
    const forged = hash(leafText({ ...leaf, data }));
    await tamper(
      `update event set data = '${JSON.stringify(data)}', leaf_sha256 = '${forged}' where ${at(7)}`,
    );
    expect((await verified()).fault).toMatchObject({ seq: 7, kind: 'chain_broken' });
  });

  test('an event taken out: it is missing', async () => {
    await tamper(`delete from event where ${at(4)}`);
    expect((await verified()).fault).toMatchObject({ seq: 4, kind: 'missing' });
  });

  test('one put in between, the rest numbered on: it does not follow', async () => {
    await tamper(`
      update event set seq = -seq where clinic_id = '${own.clinicId}' and seq >= 4;
      update event set seq = -seq + 1 where clinic_id = '${own.clinicId}' and seq < 0;
      insert into event select clinic_id, 4, gen_random_uuid(), at, person_id, kind, subject_kind, subject_id, order_id,
        data, leaf_sha256, chain_sha256, sealed from event where ${at(3)};
      update event_head set seq = seq + 1 where clinic_id = '${own.clinicId}'`);
    expect((await verified()).fault).toMatchObject({ seq: 4, kind: 'content_changed' });
  });

  test('two that changed places: the first of them does not follow', async () => {
    await tamper(`
      update event set seq = -1 where ${at(5)}; update event set seq = 5 where ${at(6)};
      update event set seq = 6 where ${at(-1)}`);
    expect((await verified()).fault).toMatchObject({ seq: 5, kind: 'chain_broken' });
  });

  test('the end cut off, the head left: the record ends too early', async () => {
    const { seq } = await headOf();
    await tamper(`delete from event where clinic_id = '${own.clinicId}' and seq > ${seq - 3}`);
    expect((await verified()).fault).toMatchObject({ seq: seq - 2, kind: 'missing' });
  });

  test('the end cut off and the head set back: only a head that was noted tells', async () => {
    const { seq } = await headOf();
    await tamper(`
      delete from event where clinic_id = '${own.clinicId}' and seq > ${seq - 3};
      update event_head set seq = ${seq - 3}, chain_sha256 = (select chain_sha256 from event where ${at(seq - 3)})
      where clinic_id = '${own.clinicId}'`);
    const found = await verified();
    expect(found.fault).toBeNull();
    expect(endsEarly(found.head, noted.seq)).toMatchObject({ seq: seq - 2, kind: 'missing' });
  });

  test('edited and the whole rest chained anew: only a head that was noted tells', async () => {
    const { seq } = await headOf();
    const { items } = await pageAfter(0, 'auditor', 1000);
    let chain = CHAIN_START.chainSha256;
    let script = '';
    for (const { leaf, ...event } of items.filter((each) => each.seq <= seq)) {
      if (leaf === null) throw new Error('not shown');
      const data = event.seq === 5 ? { ...leaf.data, note: 'forged' } : leaf.data;
      const forged = hash(leafText({ ...leaf, data }));
      chain = hash(chainText(chain, forged));
      script += `update event set data = '${JSON.stringify(data).replaceAll("'", "''")}', leaf_sha256 = '${forged}',
        chain_sha256 = '${chain}' where ${at(event.seq)};`;
    }
    await tamper(`delete from event where clinic_id = '${own.clinicId}' and seq > ${seq}; ${script}
      update event_head set seq = ${seq}, chain_sha256 = '${chain}' where clinic_id = '${own.clinicId}'`);
    expect((await verified()).fault).toBeNull();
    expect((await verified('auditor', noted)).fault).toMatchObject({
      seq: noted.seq,
      kind: 'noted_head_differs',
    });
  });
});
