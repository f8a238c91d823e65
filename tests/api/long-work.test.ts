/** Long work: asked for, followed, cancelled, taken up again where a process was killed. */
import { randomUUID } from 'node:crypto';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { of, readLive } from '../support/liveReader.ts';
import { aDoer, ask, look, resultOf, whenEnded, whenSo } from '../support/longWork.ts';
import { ok, refusedWith } from '../support/job.ts';
import { readCsv } from '../support/readCsv.ts';
import { twoServices, type TwoServices } from '../support/twoServices.ts';
import { PASSWORD_AGAIN, takeOn, type TestClinic } from '../support/api.ts';

let services: TwoServices;
let clinic: TestClinic;
let doers: { stop: () => Promise<void> }[] = [];
beforeAll(async () => {
  services = await twoServices();
  clinic = services.clinic;
});
afterEach(async () => {
  await stopAll();
  // Nothing is left for the next test's doers, or counted against its askers.
  await clinic.store.raw(
    `update long_work set state = 'cancelled', cancelled_at = now(), cancelled_by_id = asked_by_id, ended_at = now()
     where ended_at is null`,
  );
});
afterAll(() => services.close());

/** A doer in each of the two services. */
const start = (many = 1) => {
  for (const { store } of [services.first, services.second].slice(0, many)) {
    doers.push(aDoer(store, clinic.clock.now));
  }
};
async function stopAll(): Promise<void> {
  await Promise.all(doers.map((doer) => doer.stop()));
  doers = [];
}

/** Lots that the book has not: the least work that a step can be. */
const unknown = (count: number) => Array.from({ length: count }, (_, n) => `NO-LOT-${n}`);
const recallOf = (count: number) => ({
  kind: 'recall_of_many',
  of: 'lot',
  list: unknown(count),
});
const askedOnce = async (id: string, count: number) => {
  const rows = readCsv(await resultOf(clinic, 'prosthetist', id));
  expect(rows.map((row) => row['asked']).sort()).toEqual(unknown(count).sort());
  expect(new Set(rows.map((row) => row['section']))).toEqual(new Set(['notAnswered']));
};

describe('long work', () => {
  test('waits until somebody does it, and says how far it is on the way', async () => {
    const work = await ask(clinic, 'prosthetist', recallOf(40));
    expect(work).toMatchObject({ state: 'waiting', done: 0, total: null, askedCount: 40 });
    const reader = await readLive(services.second.address, clinic.token(clinic.people.prosthetist));
    await reader.next(of('listening'));
    start();
    await reader.next(({ data }) => data['subjectId'] === work.id && data['state'] === 'running');
    await reader.next(({ data }) => data['subjectId'] === work.id && data['state'] === 'done');
    reader.leave();
    const told = reader.messages.filter(
      ({ id, data }) => id === undefined && data['subjectId'] === work.id,
    );
    // Once for each step of ten, and for taking it and ending it.
    expect(told.length).toBeGreaterThanOrEqual(6);
    expect(await look(clinic, 'prosthetist', work.id)).toMatchObject({
      state: 'done',
      done: 40,
      total: 40,
      summary: { answered: 0, notAnswered: 40 },
    });
    await askedOnce(work.id, 40);
  });

  test('that comes while nobody works wakes whoever waits, in whichever process', async () => {
    start(2);
    const works = [];
    for (let n = 0; n < 4; n += 1) works.push(await ask(clinic, 'prosthetist', recallOf(5)));
    for (const { id } of works) {
      expect(await whenEnded(clinic, 'prosthetist', id)).toMatchObject({ state: 'done', done: 5 });
      await askedOnce(id, 5);
    }
  });

  test('is noted when it is asked, ended and read', async () => {
    start();
    const { id } = await ask(clinic, 'prosthetist', recallOf(1));
    await whenEnded(clinic, 'prosthetist', id);
    await resultOf(clinic, 'prosthetist', id);
    const events = await clinic.store.raw<{ kind: string; personId: string }>(
      `select kind, person_id as "personId" from event where clinic_id = $1 and subject_id = $2 order by seq`,
      [clinic.clinicId, id],
    );
    expect(events.map(({ kind }) => kind)).toEqual([
      'long_work.asked',
      'long_work.ended',
      'long_work.read',
    ]);
    expect(new Set(events.map(({ personId }) => personId))).toEqual(
      new Set([clinic.people.prosthetist.id]),
    );
  });

  test('asked twice with one key is one work', async () => {
    const key = randomUUID();
    const [one, two] = [
      await clinic.as('prosthetist').post('/api/v1/long-works', recallOf(2), { key }),
      await clinic.as('prosthetist').post('/api/v1/long-works', recallOf(2), { key }),
    ];
    expect(one.status).toBe(202);
    expect(two.body).toEqual(one.body);
  });
});

describe('cancelled', () => {
  test('while it waits, it ends at once and is never begun', async () => {
    const { id } = await ask(clinic, 'prosthetist', recallOf(3));
    const cancelled = await ok(clinic.as('prosthetist').post(`/api/v1/long-works/${id}/cancel`));
    expect(cancelled).toMatchObject({
      state: 'cancelled',
      done: 0,
      cancelledBy: clinic.people.prosthetist.caller.printedName,
    });
    start();
    const { id: later } = await ask(clinic, 'prosthetist', recallOf(1));
    await whenEnded(clinic, 'prosthetist', later);
    expect(await look(clinic, 'prosthetist', id)).toMatchObject({ state: 'cancelled', done: 0 });
    await refusedWith(
      clinic.as('prosthetist').post(`/api/v1/long-works/${id}/cancel`),
      'long-work-has-ended',
    );
    await refusedWith(
      clinic.as('prosthetist').get(`/api/v1/long-works/${id}/result`),
      'long-work-not-done',
    );
  });

  test('while it is under way, it ends before its next step, and what it wrote is not given out', async () => {
    start();
    const { id } = await ask(clinic, 'prosthetist', recallOf(500));
    await whenSo(clinic, 'prosthetist', id, ({ done }) => done > 0);
    await clinic.as('auditor').post(`/api/v1/long-works/${id}/cancel`).expect(200);
    const ended = await whenEnded(clinic, 'prosthetist', id);
    expect(ended).toMatchObject({ state: 'cancelled', total: 500 });
    expect(ended.done).toBeLessThan(500);
    await refusedWith(
      clinic.as('prosthetist').get(`/api/v1/long-works/${id}/result`),
      'long-work-not-done',
    );
    const kinds = await clinic.store.raw<{ kind: string; state: string }>(
      `select kind, data->>'state' as state from event where clinic_id = $1 and subject_id = $2 order by seq`,
      [clinic.clinicId, id],
    );
    expect(kinds.map(({ kind }) => kind)).toEqual([
      'long_work.asked',
      'long_work.cancelled',
      'long_work.ended',
    ]);
  });
});

describe('a process that does it ends', () => {
  test('in order: the work goes on elsewhere where it was, each step once', async () => {
    start();
    const { id } = await ask(clinic, 'prosthetist', recallOf(300));
    await whenSo(clinic, 'prosthetist', id, ({ done }) => done >= 5);
    await stopAll();
    const given = await look(clinic, 'prosthetist', id);
    expect(given.state).toBe('waiting');
    expect(given.done).toBeLessThan(300);
    doers.push(aDoer(services.second.store, clinic.clock.now));
    await whenEnded(clinic, 'prosthetist', id);
    await askedOnce(id, 300);
  });

  test('killed: another takes it up when the while is over, at the step that was not done', async () => {
    start();
    const { id } = await ask(clinic, 'prosthetist', recallOf(300));
    await whenSo(clinic, 'prosthetist', id, ({ done }) => done >= 5);
    await stopAll();
    const lease = (until: string) =>
      clinic.store.raw(
        `update long_work set state = 'running', taken_by = $2, takings = 1, lease_until = now() + $3::interval where id = $1`,
        [id, randomUUID(), until],
      );
    await lease('30 s');
    const { done } = await look(clinic, 'prosthetist', id);
    // As long as the killed one might still be there, nobody touches it.
    start(2);
    const { id: other } = await ask(clinic, 'prosthetist', recallOf(1));
    await whenEnded(clinic, 'prosthetist', other);
    expect(await look(clinic, 'prosthetist', id)).toMatchObject({ state: 'running', done });
    await stopAll();
    await lease('-1 s');
    start(2);
    expect(await whenEnded(clinic, 'prosthetist', id)).toMatchObject({ state: 'done', done: 300 });
    await askedOnce(id, 300);
  });

  test('again and again by the same work: it is given up, and says so', async () => {
    const { id } = await ask(clinic, 'prosthetist', recallOf(3));
    await clinic.store.raw(
      `update long_work set state = 'running', taken_by = $2, takings = 3, started_at = now(), lease_until = now() - interval '1 s' where id = $1`,
      [id, randomUUID()],
    );
    start();
    expect(await whenEnded(clinic, 'prosthetist', id)).toMatchObject({
      state: 'failed',
      failure: { code: 'long-work-gave-up' },
    });
  });

  test('one that has lost the work to another writes nothing more of it', async () => {
    start();
    const { id } = await ask(clinic, 'prosthetist', recallOf(500));
    await whenSo(clinic, 'prosthetist', id, ({ done }) => done > 0);
    const thief = randomUUID();
    await clinic.store.raw(`update long_work set taken_by = $2 where id = $1`, [id, thief]);
    const { done } = await look(clinic, 'prosthetist', id);
    const { id: other } = await ask(clinic, 'prosthetist', recallOf(1));
    await whenEnded(clinic, 'prosthetist', other);
    expect(await look(clinic, 'prosthetist', id)).toMatchObject({ state: 'running', done });
  });
});

describe('who may', () => {
  test('ask for what, by kind', async () => {
    const csv = 'kind,catalogueNumber,name\r\nspring,S-1,Spring\r\n';
    const asks = [
      ['front_desk', { kind: 'record_export' }],
      ['prosthetist', { kind: 'record_export' }],
      ['auditor', { kind: 'parts_import', csv, enter: false }],
      ['front_desk', { kind: 'parts_import', csv: 'not even a table"', enter: false }],
    ] as const;
    for (const [who, body] of asks) {
      await refusedWith(clinic.as(who).post('/api/v1/long-works', body), 'role-may-not');
    }
  });

  test('see it: who asked, and those who answer for all; for others it is not there', async () => {
    const { id } = await ask(clinic, 'prosthetist', recallOf(1));
    for (const who of ['auditor', 'administrator'] as const) {
      expect((await look(clinic, who, id)).askedBy.printedName).toContain('Paula');
      const { items } = await ok<{ items: { id: string }[] }>(
        clinic.as(who).get('/api/v1/long-works'),
      );
      expect(items.map((item) => item.id)).toContain(id);
    }
    const desk = clinic.as('front_desk');
    for (const url of [`/${id}`, `/${id}/result`]) {
      await refusedWith(desk.get(`/api/v1/long-works${url}`), 'not-found');
    }
    await refusedWith(desk.post(`/api/v1/long-works/${id}/cancel`), 'not-found');
    const { items } = await ok<{ items: { id: string }[] }>(desk.get('/api/v1/long-works'));
    expect(items.map((item) => item.id)).not.toContain(id);
    const theirs = await clinic.another('THR');
    await refusedWith(theirs.as('auditor').get(`/api/v1/long-works/${id}`), 'not-found');
  });

  test('have only so many waiting', async () => {
    for (let n = 0; n < 5; n += 1) await ask(clinic, 'front_desk', recallOf(1));
    await refusedWith(
      clinic.as('front_desk').post('/api/v1/long-works', recallOf(1)),
      'long-work-too-many',
    );
    await ask(clinic, 'prosthetist', recallOf(1));
  });

  test('no more, by the time that it is done: it fails and nothing is given out', async () => {
    const person = await takeOn(clinic, { roles: ['prosthetist'] });
    const { id } = await ok<{ id: string }>(
      clinic.as(person).post('/api/v1/long-works', recallOf(1)),
    );
    await clinic
      .as('administrator')
      .patch(
        `/api/v1/people/${person.id}`,
        { roles: ['technician'], ...PASSWORD_AGAIN },
        person.etag,
      )
      .expect(200);
    start();
    expect(await whenEnded(clinic, 'auditor', id)).toMatchObject({
      state: 'failed',
      failure: { code: 'long-work-asker-may-not' },
    });
  });

  test('pages go from the newest to the oldest, each once', async () => {
    const ids: string[] = [];
    for (let n = 0; n < 3; n += 1) ids.push((await ask(clinic, 'auditor', recallOf(1))).id);
    const seen: string[] = [];
    let after: string | null = null;
    do {
      const query: string = after === null ? '' : `&after=${after}`;
      const page: { items: { id: string }[]; next: string | null } = await ok(
        clinic.as('auditor').get(`/api/v1/long-works?limit=2${query}`),
      );
      seen.push(...page.items.map(({ id }) => id));
      after = page.next;
    } while (after !== null);
    expect(seen.slice(0, 3)).toEqual(ids.toReversed());
    expect(new Set(seen).size).toBe(seen.length);
  });
});
