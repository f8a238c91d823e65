/** A founded clinic with a person of each role, on a service that listens, spoken to over HTTP as them. */
import { randomUUID } from 'node:crypto';
import type { FastifyInstance } from 'fastify';
import supertest from 'supertest';
import { hashPassword } from '../../src/access/passwords.ts';
import { accessTokens, type SignedIn } from '../../src/access/tokens.ts';
import { ROLES, type Role } from '../../src/domain/words.ts';
import { foundClinic } from '../../src/store/clinics.ts';
import type { Store } from '../../src/store/open.ts';

/** Everybody's password. */
export const PASSWORD = 'lamination cures overnight';
/** For what asks the own password again. */
export const PASSWORD_AGAIN = { currentPassword: PASSWORD };

/** A clock that stands until it is set. */
export class TestClock {
  #now: Date;

  constructor(iso: string) {
    this.#now = new Date(iso);
  }

  readonly now = (): Date => new Date(this.#now);

  set(iso: string): void {
    this.#now = new Date(iso);
  }

  /** Moves on by so many minutes. */
  pass(minutes: number): void {
    this.#now = new Date(this.#now.getTime() + minutes * 60_000);
  }
}

export interface TestPerson {
  readonly id: string;
  readonly email: string;
  readonly password: string;
  readonly caller: SignedIn;
}

interface PostOptions {
  /** Idempotency-Key; a fresh one if left out, none if null. */
  readonly key?: string | null;
  readonly headers?: Readonly<Record<string, string>>;
}

/**
 * Speaks as one person. Every POST gets a fresh Idempotency-Key unless it names one. Who signs
 * without naming what was shown asks for it first, as the client does.
 */
export interface Client {
  get(url: string, headers?: Readonly<Record<string, string>>): supertest.Test;
  post(url: string, body?: object, options?: PostOptions): supertest.Test;
  /** @param etag sent as If-Match; none if null */
  patch(url: string, body: object, etag: string | null): supertest.Test;
  send(method: Method, url: string): supertest.Test;
}
type Method = 'GET' | 'POST' | 'PATCH' | 'PUT' | 'DELETE';

export interface TestClinic {
  readonly app: FastifyInstance;
  readonly store: Store;
  readonly clock: TestClock;
  readonly clinicId: string;
  /** http://127.0.0.1:port, for what supertest cannot say. */
  readonly address: string;
  readonly people: Readonly<Record<Role, TestPerson>>;
  /** What the service wrote to its log so far, one JSON object a line. */
  readonly logLines: readonly string[];
  /** As the clinic's person of that role, or as anybody given. */
  as(who: Role | TestPerson): Client;
  /** Without any token. */
  readonly stranger: Client;
  /** With whatever token. */
  bearing(token: string): Client;
  token(person: TestPerson): string;
  /** Another clinic on the same service. */
  another(numberPrefix: string): Promise<TestClinic>;
  close(): Promise<void>;
}

export type TestService = Pick<
  TestClinic,
  'app' | 'store' | 'clock' | 'address' | 'logLines' | 'close'
>;

let commonHash: Promise<string> | undefined;

/** Founds a clinic on a service, with a person of each role. */
export async function clinicOn(
  service: TestService,
  numberPrefix: string,
  timeZone: string,
): Promise<TestClinic> {
  const { app, store, clock, address } = service;
  const passwordHash = await (commonHash ??= hashPassword(PASSWORD));
  const staff = ROLES.map((role) => ({
    email: `${role.replace('_', '.')}@${numberPrefix.toLowerCase()}.example`,
    printedName: `${STAFF[role]} of ${numberPrefix}`,
    passwordHash,
    roles: [role],
  }));
  const clinic = { name: `Clinic ${numberPrefix}`, numberPrefix, timeZone, paper: 'A4' as const };
  const { clinicId, personIds } = await foundClinic(store, clinic, staff, clock.now());
  const people = Object.fromEntries(
    ROLES.map((role, i) => {
      const { email, printedName } = staff[i] ?? { email: '', printedName: '' };
      const id = personIds[i] ?? '';
      const caller = {
        clinicId,
        personId: id,
        printedName,
        roles: [role],
        familyId: randomUUID(),
        reach: 'whole',
      };
      return [role, { id, email, password: PASSWORD, caller }];
    }),
  ) as unknown as Record<Role, TestPerson>;
  for (const { caller } of Object.values(people))
    await signInAtFounding(store, caller, clock.now());
  const tokens = accessTokens(app.jwt);
  const token = (person: TestPerson) => tokens.issue(person.caller, clock.now());
  return {
    ...service,
    clinicId,
    people,
    token,
    ...voices(address, people, token),
    another: (prefix) => clinicOn(service, prefix, timeZone),
  };
}

/** Somebody more of the clinic, with everybody's password, signed in. */
export async function takeOn(
  clinic: TestClinic,
  { email = `p-${randomUUID()}@kl.example`, printedName = 'Nova Hand', roles }: Newcomer,
): Promise<TestPerson & { readonly etag: string }> {
  const added = await clinic
    .as('administrator')
    .post('/api/v1/people', { email, printedName, roles, ...PASSWORD_AGAIN })
    .expect(201);
  const { id } = added.body as { id: string };
  const { clinicId, store, clock } = clinic;
  // As if the code had been used, without its three costly hashes.
  await store.raw(
    `update access_code set tries = 1, ended_at = given_at, ended_because = 'used' where person_id = $1`,
    [id],
  );
  const passwordHash = await (commonHash ??= hashPassword(PASSWORD));
  await store.raw('update person set password_hash = $1 where id = $2', [passwordHash, id]);
  const caller: SignedIn = {
    clinicId,
    personId: id,
    printedName,
    roles,
    familyId: randomUUID(),
    reach: 'whole',
  };
  await signInAtFounding(store, caller, clock.now());
  return { id, email, password: PASSWORD, caller, etag: String(added.headers['etag']) };
}

interface Newcomer {
  readonly email?: string;
  readonly printedName?: string;
  readonly roles: readonly Role[];
}

/** The session that a person's tokens belong to, as if it had begun with the clinic. */
const signInAtFounding = (
  store: Store,
  { clinicId, personId, familyId }: SignedIn,
  at: Date,
): Promise<unknown> =>
  store.raw(
    `insert into session (clinic_id, id, person_id, how, device, began_at, last_used_at)
     values ($1, $2, $3, 'password', 'other', $4, $4)`,
    [clinicId, familyId, personId, at],
  );

/** The same clinic, spoken to at another service on its database. */
export const spokenToAt = (clinic: TestClinic, address: string): TestClinic => ({
  ...clinic,
  address,
  ...voices(address, clinic.people, clinic.token),
});

const voices = (
  address: string,
  people: TestClinic['people'],
  token: TestClinic['token'],
): Pick<TestClinic, 'as' | 'stranger' | 'bearing'> => ({
  // The token is made for each request: the clock may have been set meanwhile.
  as: (who) => clientOf(address, () => token(typeof who === 'string' ? people[who] : who)),
  stranger: clientOf(address, () => undefined),
  bearing: (given) => clientOf(address, () => given),
});

const STAFF = {
  front_desk: 'Fanni Desk',
  technician: 'Tamás Bench',
  prosthetist: 'Paula Fitting',
  auditor: 'Aurel Lens',
  administrator: 'Ada Keys',
} as const satisfies Record<Role, string>;

function clientOf(address: string, token: () => string | undefined): Client {
  const signed = (test: supertest.Test): supertest.Test => {
    const shown = token();
    return shown === undefined ? test : test.set('authorization', `Bearer ${shown}`);
  };
  const agent = supertest(address);
  return {
    get: (url, headers = {}) => signed(agent.get(url)).set({ ...headers }),
    post: (url, body, { key = randomUUID(), headers = {} } = {}) => {
      const test = signed(agent.post(url)).set({ ...headers });
      if (key !== null) void test.set('idempotency-key', key);
      if (body === undefined) return test;
      return signsUnseen(body)
        ? askedFirst(test, body, (question) => signed(agent.post(`${url}/to-sign`)).send(question))
        : test.send(body);
    },
    patch: (url, body, etag) => {
      const test = signed(agent.patch(url));
      if (etag !== null) void test.set('if-match', etag);
      return test.send(body);
    },
    send: (method, url) => {
      const verb = method.toLowerCase() as Lowercase<Method>;
      return signed(agent[verb](url));
    },
  };
}

interface SignedBody {
  readonly signature: object;
}
/** A body may also be broken JSON, sent as text. */
const signsUnseen = (body: unknown): body is SignedBody =>
  typeof body === 'object' &&
  body !== null &&
  'signature' in body &&
  typeof body.signature === 'object' &&
  body.signature !== null &&
  !('contentSha256' in body.signature);

/** What the service refuses to show it refuses to have signed: then any hash will do. */
const NOT_SHOWN = '0'.repeat(64);

/** The request, sent as soon as the service has said what would be signed. */
function askedFirst(
  test: supertest.Test,
  { signature, ...question }: SignedBody,
  ask: (question: object) => supertest.Test,
): supertest.Test {
  const send = test.end.bind(test);
  test.end = (callback) => {
    ask(question).end((_failure, answer) => {
      const { contentSha256 = NOT_SHOWN } = answer.body as { contentSha256?: string };
      void test.send({ ...question, signature: { ...signature, contentSha256 } });
      send(callback);
    });
    return test;
  };
  return test;
}
