/** Live updates, read over real sockets: done at one service, told at the other. */
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { listenToChanges, type Changes, type Told } from '../../src/store/changes.ts';
import { takeOn } from '../support/clinic.ts';
import { needsManyConnections } from '../support/database.ts';
import { of, readLive, type LiveReader } from '../support/liveReader.ts';
import { addPatient, openOrder } from '../support/orders.ts';
import { twoServices, type Service, type TwoServices } from '../support/twoServices.ts';
import type { Role } from '../../src/domain/words.ts';

let services: TwoServices;
const readers: LiveReader[] = [];
beforeAll(async () => {
  // A short beat, so that nothing here waits for one.
  services = await twoServices({ heartbeatMs: 20 });
});
afterEach(() => {
  for (const reader of readers.splice(0)) reader.leave();
});
afterAll(() => services.close());

async function reading(
  at: Service,
  who: Role,
  {
    lastEventId,
    clinic = services.clinic,
  }: { lastEventId?: string; clinic?: typeof services.clinic } = {},
): Promise<LiveReader> {
  const reader = await readLive(at.address, clinic.token(clinic.people[who]), lastEventId);
  readers.push(reader);
  return reader;
}

describe('what is done at one service', () => {
  test('is told at the other, with its number in the chain and the order it is about', async () => {
    const { clinic, second } = services;
    const reader = await reading(second, 'technician');
    expect(reader.status).toBe(200);
    expect(reader.headers['content-type']).toBe('text/event-stream; charset=utf-8');
    expect(reader.headers['cache-control']).toBe('no-store');
    const from = await reader.next(of('listening'));
    const order = await openOrder(clinic);
    const told = await reader.next(
      ({ event, data }) => event === 'change' && data['subjectKind'] === 'order',
    );
    expect(told.data).toEqual({
      subjectKind: 'order',
      subjectId: order.id,
      orderId: order.id,
      state: null,
    });
    const [event] = await clinic.store.raw<{ seq: number; kind: string }>(
      'select seq, kind from event where clinic_id = $1 and subject_id = $2',
      [clinic.clinicId, order.id],
    );
    expect(event).toEqual({ seq: Number(told.id), kind: 'order.opened' });
    expect(Number(told.id)).toBeGreaterThan(Number(from.id));
  });

  test('is told in the order of the chain, each event once, and nothing of who it is about', async () => {
    const { clinic, second } = services;
    const reader = await reading(second, 'front_desk');
    const from = await reader.next(of('listening'));
    const patients = await Promise.all(Array.from({ length: 8 }, () => addPatient(clinic)));
    const last = await clinic.store.raw<{ seq: number }>(
      'select seq from event_head where clinic_id = $1',
      [clinic.clinicId],
    );
    await reader.next(({ id }) => id === String(last[0]?.seq));
    const ids = reader.messages.filter(of('change')).map(({ id }) => Number(id));
    const events = await clinic.store.raw<{ seq: number }>(
      'select seq from event where clinic_id = $1 and seq > $2 order by seq',
      [clinic.clinicId, Number(from.id)],
    );
    expect(ids).toEqual(events.map(({ seq }) => seq));
    expect(ids.length).toBeGreaterThanOrEqual(8);
    const said = JSON.stringify(reader.messages);
    for (const { chartNumber, id } of patients) {
      expect(said).toContain(id);
      expect(said).not.toContain(chartNumber);
    }
  });

  test('is not told where it was rolled back, nor where somebody only asked', async () => {
    const { clinic, second } = services;
    const { id: patientId } = await addPatient(clinic);
    const { number } = await openOrder(clinic, { patientId });
    const reader = await reading(second, 'auditor');
    await reader.next(of('listening'));
    // Asking is noted in the record, and changed nothing.
    await clinic.as('auditor').get(`/api/v1/trace?order=${number}`).expect(200);
    const [noted] = await clinic.store.raw<{ kind: string }>(
      'select kind from event where clinic_id = $1 order by seq desc limit 1',
      [clinic.clinicId],
    );
    expect(noted).toEqual({ kind: 'trace.read' });
    await clinic.store
      .ownerTransaction(async ({ query }) => {
        await query(
          `insert into event (clinic_id, seq, id, at, person_id, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
           values ($1::uuid, 0, gen_random_uuid(), now(), null, 'order.changed', 'order', gen_random_uuid(), '{}', repeat('a', 64), '')`,
          [clinic.clinicId],
        );
        throw new Error('undo');
      })
      .catch(() => undefined);
    const after = await addPatient(clinic);
    await reader.next(({ data }) => data['subjectId'] === after.id);
    const kinds = reader.messages.filter(of('change')).map(({ data }) => data['subjectKind']);
    expect(new Set(kinds)).toEqual(new Set(['patient']));
  });

  test('in another clinic is not told', async () => {
    const { clinic, second } = services;
    const theirs = await clinic.another('THR');
    const reader = await reading(second, 'technician', { clinic: theirs });
    await reader.next(of('listening'));
    await openOrder(clinic);
    const own = await addPatient(theirs);
    await reader.next(({ data }) => data['subjectId'] === own.id);
    const ids = reader.messages.filter(of('change')).map(({ id }) => id);
    const mine = await theirs.store.raw<{ seq: string }>(
      'select seq::text as seq from event where clinic_id = $1',
      [theirs.clinicId],
    );
    expect(mine.map(({ seq }) => seq)).toEqual(expect.arrayContaining(ids));
    expect(JSON.stringify(reader.messages)).not.toContain('"order"');
  });

  test('of people is told to those who see them and to the person', async () => {
    const { clinic, second } = services;
    const [technician, administrator, prosthetist] = await Promise.all(
      (['technician', 'administrator', 'prosthetist'] as const).map((role) =>
        reading(second, role),
      ),
    );
    for (const each of [technician, administrator, prosthetist]) await each!.next(of('listening'));
    const { id } = clinic.people.prosthetist;
    const found = await clinic.as('administrator').get(`/api/v1/people/${id}`);
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${id}`, { printedName: 'Paula Re-Named' }, found.headers['etag'] ?? '')
      .expect(200);
    const isAbout = (subjectId: string) => (m: { data: Readonly<Record<string, unknown>> }) =>
      m.data['subjectId'] === subjectId;
    await administrator!.next(isAbout(id));
    await prosthetist!.next(isAbout(id));
    const after = await addPatient(clinic);
    await technician!.next(isAbout(after.id));
    expect(technician!.messages.some(isAbout(id))).toBe(false);
  });
});

describe('who comes back', () => {
  test('is told what was missed, and nothing twice', async () => {
    const { clinic, first, second } = services;
    const before = await reading(first, 'technician');
    const { id: from } = await before.next(of('listening'));
    const heard = await addPatient(clinic);
    await before.next(({ data }) => data['subjectId'] === heard.id);
    before.leave();
    const missed = await openOrder(clinic);
    // At the other service, as a balancer may have it.
    const back = await reading(second, 'technician', { lastEventId: from! });
    await back.next(of('listening'));
    const told = back.messages.filter(of('change')).map(({ id }) => Number(id));
    expect(new Set(told).size).toBe(told.length);
    const about = back.messages.map(({ data }) => data['subjectId']);
    expect(about).toEqual(expect.arrayContaining([heard.id, missed.id]));
    const live = await addPatient(clinic);
    const { id } = await back.next(({ data }) => data['subjectId'] === live.id);
    expect(Number(id)).toBeGreaterThan(Math.max(...told));
  });

  test.each([
    ['names an event that there has not been', '999999999'],
    ['names none', 'the day before yesterday'],
  ])('and %s is told to read everything again', async (_what, lastEventId) => {
    const reader = await reading(services.first, 'technician', { lastEventId });
    const { id } = await reader.next(of('again'));
    expect(await reader.next(of('listening'))).toMatchObject({ id });
  });

  test('and missed more than is told one by one is told to read everything again', async () => {
    const { clinic, first } = services;
    const busy = await clinic.another('BSY');
    await busy.store.ownerTransaction(({ query }) =>
      query(
        `insert into event (clinic_id, seq, id, at, person_id, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
         select $1::uuid, 0, gen_random_uuid(), now(), $2::uuid, 'patient.changed', 'patient', gen_random_uuid(), '{}', repeat('a', 64), ''
         from generate_series(1, 501)`,
        [busy.clinicId, busy.people.technician.id],
      ),
    );
    const reader = await reading(first, 'technician', { clinic: busy, lastEventId: '0' });
    const { id } = await reader.next(of('again'));
    expect(id).toBe('501');
    expect(reader.messages.filter(of('change'))).toEqual([]);
  });

  test('a crowd of events in one act is told as one', async () => {
    const { clinic, second } = services;
    const reader = await reading(second, 'technician');
    const from = await reader.next(of('listening'));
    await clinic.store.ownerTransaction(({ query }) =>
      query(
        `insert into event (clinic_id, seq, id, at, person_id, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
         select $1::uuid, 0, gen_random_uuid(), now(), $2::uuid, 'custody.moved', 'item', gen_random_uuid(), '{}', repeat('a', 64), ''
         from generate_series(1, 51)`,
        [clinic.clinicId, clinic.people.technician.id],
      ),
    );
    const told = await reader.next(of('again'));
    expect(Number(told.id)).toBe(Number(from.id) + 51);
  });
});

describe('a stream ends', () => {
  test('when the access token expires, and says so', async () => {
    const { clinic, first } = services;
    const reader = await reading(first, 'technician');
    await reader.next(of('listening'));
    clinic.clock.pass(9);
    const fresh = await reading(first, 'prosthetist');
    await fresh.next(of('listening'));
    clinic.clock.pass(1);
    expect((await reader.next(of('ended'))).data).toEqual({ why: 'token-expired' });
    expect(await reader.ended).toBe('ended');
    const after = await addPatient(clinic);
    await fresh.next(({ data }) => data['subjectId'] === after.id);
  });

  test('when the person signs out, at whichever service', async () => {
    const { clinic, second } = services;
    const { email, password } = clinic.people.auditor;
    const signIn = async () =>
      (await clinic.stranger.post('/api/v1/sign-in', { email, password }, { key: null })).body as {
        accessToken: string;
      };
    const [leaving, staying] = [await signIn(), await signIn()];
    const reader = await readLive(second.address, leaving.accessToken);
    const other = await readLive(second.address, staying.accessToken);
    readers.push(reader, other);
    await reader.next(of('listening'));
    await other.next(of('listening'));
    await clinic.bearing(leaving.accessToken).post('/api/v1/sign-out').expect(204);
    expect((await reader.next(of('ended'))).data).toEqual({ why: 'sign-in-ended' });
    expect(await reader.ended).toBe('ended');
    // The other device goes on.
    const after = await addPatient(clinic);
    await other.next(({ data }) => data['subjectId'] === after.id);
    const again = await readLive(second.address, leaving.accessToken);
    expect({ status: again.status, ...(await again.refusal()) }).toMatchObject({
      status: 401,
      code: 'session-ended',
    });
  });

  test('when the person works here no more', async () => {
    const { clinic, second } = services;
    const person = await takeOn(clinic, { roles: ['technician'] });
    const reader = await readLive(second.address, clinic.token(person));
    readers.push(reader);
    await reader.next(of('listening'));
    await clinic
      .as('administrator')
      .patch(`/api/v1/people/${person.id}`, { active: false }, person.etag)
      .expect(200);
    expect((await reader.next(of('ended'))).data).toEqual({ why: 'sign-in-ended' });
  });

  test('when the service stops, which is not held up by its readers', async () => {
    const service = await services.another();
    const [one, two] = [await reading(service, 'technician'), await reading(service, 'auditor')];
    await one.next(of('listening'));
    await two.next(of('listening'));
    await service.close();
    for (const reader of [one, two]) {
      expect((await reader.next(of('ended'))).data).toEqual({ why: 'stopping' });
      expect(await reader.ended).toBe('ended');
    }
  });

  test('when it is not read: the reader is cut off, and others go on', async () => {
    // Told by hand: the network holds megabytes before anything waits at the service.
    const told = new Set<(told: Told) => void>();
    const changes: Changes = {
      subscribe: (_whose, tell) => {
        told.add(tell);
        return () => void told.delete(tell);
      },
      ready: Promise.resolve(),
      isListening: () => true,
      close: () => Promise.resolve(),
    };
    const service = await services.another({ changes, heartbeatMs: 60_000 });
    const [lazy, keen] = [await reading(service, 'technician'), await reading(service, 'auditor')];
    await lazy.next(of('listening'));
    await keen.next(of('listening'));
    lazy.pause();
    const change = {
      clinicId: '',
      subjectKind: 'item',
      subjectId: 'x'.repeat(2000),
      orderId: null,
    };
    let seq = 1_000_000;
    const tell = () => {
      for (const each of told) {
        each({ kind: 'change', change: { ...change, seq: (seq += 1), state: null } });
      }
    };
    while (told.size === 2 && seq < 1_020_000) {
      for (let n = 0; n < 10; n += 1) tell();
      await keen.next(({ id }) => id === String(seq));
    }
    expect(told.size).toBe(1);
    tell();
    await keen.next(({ id }) => id === String(seq));
    await service.close();
  });
});

describe('a stream is held open', () => {
  test('with a comment now and then', async () => {
    const reader = await reading(services.first, 'technician');
    await reader.next(of('listening'));
    await expect.poll(() => reader.comments.length, { interval: 5 }).toBeGreaterThan(1);
  });

  test('no more than so often by one person; others are not kept out', async () => {
    const { second, clinic } = services;
    const mine = await Promise.all(
      Array.from({ length: 12 }, () => reading(second, 'prosthetist')),
    );
    await Promise.all(mine.map((reader) => reader.next(of('listening'))));
    const more = await reading(second, 'prosthetist');
    expect({ status: more.status, ...(await more.refusal()) }).toMatchObject({
      status: 429,
      code: 'too-many-live-streams',
    });
    expect(more.headers['retry-after']).toBe('60');
    expect((await reading(second, 'auditor')).status).toBe(200);
    mine[0]!.leave();
    await expect
      .poll(async () => (await reading(second, 'prosthetist')).status, { interval: 5 })
      .toBe(200);
    await clinic.as('technician').send('PUT', '/api/v1/changes').expect(405);
  });

  test('HEAD is answered and holds nothing open', async () => {
    const { clinic, first } = services;
    const answer = await fetch(`${first.address}/api/v1/changes`, {
      method: 'HEAD',
      headers: { authorization: `Bearer ${clinic.token(clinic.people.technician)}` },
    });
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toContain('text/event-stream');
  });
});

describe('the connection to the database is lost', () => {
  needsManyConnections('a reader is told so, and to look again once it is back', async () => {
    const { clinic, first } = services;
    const reader = await reading(first, 'technician');
    await reader.next(of('listening'));
    await clinic.store.raw(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where datname = current_database() and application_name = 'castbook listening'`,
    );
    await reader.next(of('interrupted'));
    await reader.next(of('again'));
    const after = await addPatient(clinic);
    await reader.next(({ data }) => data['subjectId'] === after.id);
  });

  test('a process that cannot listen tries again, and then tells to look again', async () => {
    let tries = 0;
    const told: Told[] = [];
    const changes = listenToChanges({
      listen: () => {
        tries += 1;
        return tries < 2 ? Promise.reject(new Error('no')) : Promise.resolve(async () => undefined);
      },
    });
    changes.subscribe('every clinic', (each) => told.push(each));
    await changes.ready;
    expect({ tries, told, listening: changes.isListening() }).toEqual({
      tries: 2,
      told: [{ kind: 'again', seq: null }],
      listening: true,
    });
    await changes.close();
  });
});
