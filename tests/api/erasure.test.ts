/** Erasure: what the law does not ask to keep goes, everywhere, and the chain still verifies (R10, R11). */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CHAIN_START, verifyEvents, type ChainedEvent } from '../../src/domain/eventChain.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { encryptedValues } from '../../src/store/encryptedColumns.ts';
import { testCipher } from '../support/columnKeys.ts';
import {
  deliveredLimb,
  ok,
  refusedWith,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { aDoer, doneWork, resultOf } from '../support/longWork.ts';
import { PASSWORD } from '../support/clinic.ts';
import { picture } from '../support/pictures.ts';
import { tableNames } from '../support/plainSql.ts';

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;
let doer: { stop: () => Promise<void> };

const sha256 = (text: string) =>
  Promise.resolve(createHash('sha256').update(text, 'utf8').digest('hex'));
const PERSON = {
  givenName: 'Zyxmunda',
  familyName: 'Quvverlin',
  birthDate: '1951-07-23',
  phone: '+43 660 9182736',
  address: 'Plumbagogasse 417, 1990 Wien',
};
const NOTE = 'brings the grandson Waldomir';
const FREE_WORDS = 'the knee is called Plinkenstein';
const HELD_FOR = 'LG Wien 12 Cg 3/26x';
const oldPhone = '+43 660 5551212';

/** Every column of every row of every table as text: where a value still stands. */
async function standsIn(value: string): Promise<string[]> {
  const found: string[] = [];
  for (const table of await tableNames(clinic.store)) {
    const rows = await clinic.store.raw<{ n: number }>(
      `select count(*)::int as n from "${table}" t where strpos(t::text, $1) > 0 or strpos(to_jsonb(t)::text, $1) > 0`,
      [value],
    );
    if (rows[0]?.n !== 0) found.push(table);
  }
  // What is encrypted is opened, each value of it.
  for await (const [cell, kept] of encryptedValues(clinic.store.raw)) {
    const open = testCipher.decryptFor(cell, kept);
    if (open.includes(value) || open.includes(JSON.stringify(value).slice(1, -1))) {
      found.push(cell.table);
    }
  }
  return [...new Set(found)].sort();
}
async function verified() {
  const { items, erasures } = await ok<{
    items: ChainedEvent[];
    erasures: { id: string; by: string; why: string }[];
  }>(clinic.as('auditor').get('/api/v1/record/events?limit=1000'));
  return { ...(await verifyEvents(sha256, CHAIN_START, items)), items, erasures };
}
const askErasure = (
  what: readonly string[],
  who: 'administrator' | 'prosthetist' = 'administrator',
) =>
  clinic.as(who).post(`/api/v1/patients/${limb.patientId}/erasures`, {
    what,
    why: 'The patient asked for it in writing.',
    legalBasis: 'Consent withdrawn',
  });
/** Books the same appointment by the same key each time. */
const book = () =>
  clinic.as('front_desk').post(
    '/api/v1/appointments',
    {
      patientId: limb.patientId,
      orderId: limb.orderId,
      prosthetistId: clinic.people.prosthetist.id,
      purpose: 'service',
      startsAt: '2026-03-10T09:00:00Z',
      minutes: 30,
      note: NOTE,
    },
    { key: 'booked-by-telephone' },
  );
const confirm = (id: string) =>
  clinic
    .as('prosthetist')
    .post(`/api/v1/erasures/${id}/confirmation`, { signature: { password: PASSWORD } });

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  doer = aDoer(clinic.store, clinic.clock.now);
  limb = await deliveredLimb(shop);
  const patient = () => clinic.as('front_desk').get(`/api/v1/patients/${limb.patientId}`);
  for (const change of [{ phone: oldPhone }, PERSON]) {
    const { headers } = await patient();
    await ok(
      clinic.as('front_desk').patch(`/api/v1/patients/${limb.patientId}`, change, headers['etag']!),
    );
  }
  await ok(book());
  await ok(
    clinic.as('technician').post(`/api/v1/sockets/${limb.socketId}/findings`, {
      kind: 'crack',
      note: 'Hairline at the brim.',
      photos: [{ base64: picture(1).base64 }],
    }),
  );
  await ok(
    clinic.as('front_desk').post(`/api/v1/patients/${limb.patientId}/correction-requests`, {
      askedOn: '2026-03-01',
      said: FREE_WORDS,
    }),
  );
}, 300_000);
afterAll(async () => {
  await doer.stop();
  await clinic.close();
});

describe('how to reach a patient', () => {
  test('goes at any time, from every table, every copy and every answer; the chain verifies and tells of it', async () => {
    const work = await doneWork(clinic, 'front_desk', {
      kind: 'patient_export',
      patientId: limb.patientId,
      reason: 'asked at the desk',
      handedTo: 'Quvverlin, herself',
    });
    expect(work.failure).toBeNull();
    expect(await resultOf(clinic, 'front_desk', work.id)).toContain(PERSON.phone);
    expect(await standsIn(PERSON.phone)).toEqual(
      expect.arrayContaining(['event', 'long_work_piece', 'patient']),
    );
    const asked = await ok<{ id: string; state: string }>(askErasure(['phone', 'desk_notes']));
    expect(asked.state).toBe('asked');
    expect(await standsIn(PERSON.phone)).toContain('patient');
    const done = await ok<{ state: string; erased: Record<string, number> }>(confirm(asked.id));
    expect(done.state).toBe('carried_out');
    expect(done.erased['events']).toBeGreaterThanOrEqual(3);
    for (const value of [PERSON.phone, oldPhone, NOTE]) {
      expect(await standsIn(value), value).toEqual([]);
    }
    // The address was not asked for.
    expect(await standsIn(PERSON.address)).toEqual(['event', 'patient']);
    const chain = await verified();
    expect(chain).toMatchObject({ fault: null, erasures: [{ id: asked.id }] });
    const told = chain.items.flatMap((item) =>
      Object.keys((item as unknown as { erased: object }).erased),
    );
    expect(new Set(told.map((path) => path.split('.').at(-1)))).toEqual(new Set(['phone', 'note']));
  });

  test('a result and an answer that held it say that they were erased', async () => {
    const { items } = await ok<{ items: { id: string; kind: string }[] }>(
      clinic.as('front_desk').get('/api/v1/long-works'),
    );
    const id = items.find(({ kind }) => kind === 'patient_export')?.id ?? '';
    await refusedWith(
      clinic.as('front_desk').get(`/api/v1/long-works/${id}/result`),
      'result-erased',
    );
    await refusedWith(
      clinic.as('front_desk').get(`/api/v1/long-works/${id}/record.pdf`),
      'result-erased',
    );
    await refusedWith(book(), 'answer-erased');
  });

  test('is not erased twice, nor by one person, nor by the wrong role', async () => {
    await refusedWith(askErasure(['phone']), 'erasure-of-nothing');
    await refusedWith(askErasure(['address'], 'prosthetist'), 'role-may-not');
    const { id } = await ok<{ id: string }>(askErasure(['address']));
    await refusedWith(askErasure(['address']), 'erasure-open-already');
    await refusedWith(
      clinic.as('administrator').post(`/api/v1/erasures/${id}/confirmation`, {
        signature: { password: PASSWORD },
      }),
      'role-may-not',
    );
    await ok(clinic.as('administrator').post(`/api/v1/erasures/${id}/withdrawal`, {}));
    await refusedWith(confirm(id), 'erasure-settled');
    expect(await standsIn(PERSON.address)).toEqual(['event', 'patient']);
  });
});

describe('who the patient is', () => {
  test('stays while the years run', async () => {
    await refusedWith(askErasure(['identity']), 'retention-not-over');
  });

  test('stays while the record is on hold, whatever else is over', async () => {
    clinic.clock.set('2026-04-02T09:00:00Z');
    // The years are made none by the owner's hand: nobody waits seven of them in a test.
    await clinic.store.raw('alter table clinic drop constraint clinic_retention');
    await clinic.store.raw('update clinic set retention_years = 0 where id = $1', [
      clinic.clinicId,
    ]);
    const hold = await ok<{ id: string }>(
      clinic.as('administrator').post('/api/v1/legal-holds', {
        orderId: limb.orderId,
        reason: 'A claim about the lock.',
        reference: HELD_FOR,
      }),
    );
    await refusedWith(askErasure(['identity']), 'record-on-hold');
    await refusedWith(askErasure(['address']), 'record-on-hold');
    await ok(
      clinic.as('administrator').post(`/api/v1/legal-holds/${hold.id}/lift`, { why: 'Settled.' }),
    );
  });

  test('goes when the years are over: no byte of it is left, and the record still stands', async () => {
    const asked = await ok<{ id: string }>(askErasure(['identity']));
    const shown = await ok<{ content: object }>(
      clinic.as('prosthetist').post(`/api/v1/erasures/${asked.id}/confirmation/to-sign`, {}),
    );
    expect(shown.content).toMatchObject({ toErase: ['identity'], legalBasis: 'Consent withdrawn' });
    const { erased } = await ok<{ erased: Record<string, number> }>(confirm(asked.id));
    expect(erased).toMatchObject({ photos: 1 });
    const values = [
      ...Object.values(PERSON),
      'quvverlin',
      'Zyxmunda',
      FREE_WORDS,
      // Of a hold that was lifted, and of what its placing was answered.
      HELD_FOR,
      picture(1).base64.slice(40, 90),
    ];
    for (const value of values) expect(await standsIn(value), value).toEqual([]);
    expect(await verified()).toMatchObject({ fault: null });
    const seen = await ok(clinic.as('front_desk').get(`/api/v1/patients/${limb.patientId}`));
    expect(seen).toMatchObject({ phone: null, address: null });
    expect(seen).not.toHaveProperty('familyName');
    expect(seen).not.toHaveProperty('birthDate');
    for (const url of [
      `/api/v1/orders/${limb.orderId}`,
      `/api/v1/sockets/${limb.socketId}/delivery-record.pdf`,
      `/api/v1/history/patient/${limb.patientId}`,
      `/api/v1/patients/${limb.patientId}/rights`,
    ]) {
      expect((await clinic.as('auditor').get(url)).status, url).toBe(200);
    }
    const photos = await ok<{ items: { id: string }[] }>(
      clinic.as('technician').get(`/api/v1/sockets/${limb.socketId}/photos`),
    );
    await refusedWith(
      clinic.as('technician').get(`/api/v1/photos/${photos.items[0]?.id ?? ''}`),
      'photo-erased',
    );
  });

  test('a record that is made anew holds none of it', async () => {
    const work = await doneWork(clinic, 'front_desk', {
      kind: 'patient_export',
      patientId: limb.patientId,
      reason: 'to see what is left',
      handedTo: 'the auditor',
    });
    expect(work.failure).toBeNull();
    const text = await resultOf(clinic, 'front_desk', work.id);
    for (const value of [...Object.values(PERSON), FREE_WORDS]) {
      expect(text).not.toContain(value);
    }
    expect(
      (await clinic.as('front_desk').get(`/api/v1/long-works/${work.id}/record.pdf`)).status,
    ).toBe(200);
  });
});
