/** The same request sent twice does its work once (R13). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PASSWORD, PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const somebody = () => ({
  email: `p-${randomUUID()}@kl.example`,
  printedName: 'Nova Hand',
  roles: ['technician'],
  ...PASSWORD_AGAIN,
});

const add = (person: object, key: string | null = randomUUID()) =>
  clinic.as('administrator').post('/api/v1/people', person, { key });

async function howMany(email: string): Promise<{ people: number; events: number }> {
  const [row] = await clinic.store.raw<{ people: number; events: number }>(
    `select (select count(*)::int from person where email = $1) as people,
       (select count(*)::int from event where kind = 'person.added' and data->>'email' = $1) as events`,
    [email],
  );
  return row ?? { people: -1, events: -1 };
}

/** What asks no password: of twenty at once, each of these would be another try at one. */
const shelf = (name: string, key = randomUUID()) =>
  clinic.as('technician').post('/api/v1/places', { name }, { key });

async function howManyShelves(name: string): Promise<{ places: number; events: number }> {
  const [row] = await clinic.store.raw<{ places: number; events: number }>(
    `select (select count(*)::int from place where name = $1) as places,
       (select count(*)::int from event where kind = 'place.made' and data->>'name' = $1) as events`,
    [name],
  );
  return row ?? { places: -1, events: -1 };
}

describe('a request sent again', () => {
  test('gets the first answer and does nothing more', async () => {
    const person = somebody();
    const key = randomUUID();
    const first = await add(person, key);
    const second = await add(person, key);
    expect(first.status).toBe(201);
    expect(first.headers['idempotency-replayed']).toBeUndefined();
    expect(second.status).toBe(201);
    expect(second.headers['idempotency-replayed']).toBe('true');
    // What is shown once is kept nowhere.
    expect(second.body).toEqual({ ...first.body, code: null });
    expect(await howMany(person.email)).toEqual({ people: 1, events: 1 });
  });

  test('may be changed from, like the first one', async () => {
    const person = somebody();
    const key = randomUUID();
    await add(person, key);
    const { body, headers } = await add(person, key);
    const url = `/api/v1/people/${body.id}`;
    const change = await clinic
      .as('administrator')
      .patch(url, { active: false }, String(headers['etag']));
    expect(change.status).toBe(200);
  });

  test('twenty times at once is done once, and all twenty hear the same', async () => {
    const name = `Shelf ${randomUUID()}`;
    const key = randomUUID();
    const answers = await Promise.all(Array.from({ length: 20 }, () => shelf(name, key)));
    expect(answers.map(({ status }) => status)).toEqual(Array(20).fill(201));
    expect(new Set(answers.map(({ body }): unknown => body.id)).size).toBe(1);
    expect(answers.filter(({ headers }) => headers['idempotency-replayed'])).toHaveLength(19);
    expect(await howManyShelves(name)).toEqual({ places: 1, events: 1 });
  });

  test('twenty times at once with keys of their own is twenty requests, of which one can be done', async () => {
    const name = `Shelf ${randomUUID()}`;
    const answers = await Promise.all(Array.from({ length: 20 }, () => shelf(name)));
    const codes = answers
      .map(({ status, body }): unknown => (status === 201 ? 'done' : body.code))
      .sort();
    expect(codes).toEqual(['done', ...Array(19).fill('place-name-taken')].sort());
    expect(await howManyShelves(name)).toEqual({ places: 1, events: 1 });
  });

  test('without an answer in its body is answered without one again', async () => {
    const { body } = await add(somebody());
    const url = `/api/v1/people/${body.id}/sessions/end-all`;
    const key = randomUUID();
    for (const replayed of [undefined, 'true']) {
      const answer = await clinic.as('administrator').post(url, undefined, { key });
      expect(answer.status).toBe(204);
      expect(answer.text).toBe('');
      expect(answer.headers['idempotency-replayed']).toBe(replayed);
    }
  });
});

describe('a key', () => {
  test('belongs to one request: another body or address is refused', async () => {
    const person = somebody();
    const key = randomUUID();
    const { body } = await add(person, key);
    const other = await add({ ...person, printedName: 'Somebody Else' }, key);
    expect({ status: other.status, code: other.body.code, rule: other.body.rule }).toEqual({
      status: 422,
      code: 'idempotency-key-reused',
      rule: 'R13',
    });
    const elsewhere = await clinic
      .as('administrator')
      .post(`/api/v1/people/${body.id}/code`, PASSWORD_AGAIN, { key });
    expect(elsewhere.body.code).toBe('idempotency-key-reused');
    expect(await howMany(person.email)).toEqual({ people: 1, events: 1 });
  });

  test('belongs to one person: the same key of another is another', async () => {
    const key = randomUUID();
    const other = await clinic.another('ID');
    const [ours, theirs] = [somebody(), somebody()];
    await add(ours, key).expect(201);
    const answer = await other.as('administrator').post('/api/v1/people', theirs, { key });
    expect(answer.status).toBe(201);
    expect(answer.body.email).toBe(theirs.email);
  });

  test('is free again when its request was refused', async () => {
    const person = somebody();
    const key = randomUUID();
    const refused = await add({ ...person, printedName: '' }, key);
    expect(refused.body.code).toBe('request-invalid');
    const done = await add(person, key);
    expect(done.status).toBe(201);
    expect(done.headers['idempotency-replayed']).toBeUndefined();
  });

  test.each([
    ['none', null],
    ['a short one', 'seven77'],
    ['one with a blank', 'eight nine'],
    ['one of 101 characters', 'k'.repeat(101)],
  ])('is asked for on every POST: %s is refused', async (_what, key) => {
    const { status, body } = await add(somebody(), key);
    expect({ status, code: body.code, rule: body.rule }).toEqual({
      status: 400,
      code: 'idempotency-key-missing',
      rule: 'R13',
    });
  });

  test('keeps nothing of a password, not even a fast hash', async () => {
    const key = randomUUID();
    const change = (newPassword: string) =>
      clinic
        .as('technician')
        .post('/api/v1/me/password', { currentPassword: PASSWORD, newPassword }, { key });
    await change('plaster sets in nine minutes').expect(204);
    const again = await change('quite another password');
    // The fingerprint cannot tell the two apart, so no password can be guessed from it.
    expect(again.headers['idempotency-replayed']).toBe('true');
    const rows = await clinic.store.raw('select * from idempotency_key where key = $1', [key]);
    expect(JSON.stringify(rows)).not.toMatch(/assword":|plaster/);
  });

  test('keeps no one-time code: sent again it is answered without', async () => {
    const person = somebody();
    const key = randomUUID();
    const first = await add(person, key).expect(201);
    const code = String(first.body.code);
    expect(code).toMatch(/^(?:[0-9A-Z]{4}-){3}[0-9A-Z]{4}$/);
    const again = await add(person, key).expect(201);
    expect(again.body).toEqual({ ...first.body, code: null });
    const kept = await clinic.store.raw('select answer::text from idempotency_key where key = $1', [
      key,
    ]);
    expect(JSON.stringify(kept)).not.toContain(code);
  });
});
