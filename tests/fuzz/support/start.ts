/** Two clinics of one service, ready to be attacked. */
import { outwardBy } from '../../../src/access/openidFetch.ts';
import { ROLES } from '../../../src/domain/words.ts';
import { PASSWORD_AGAIN, takeOn, testClinic, type TestClinic } from '../../support/api.ts';
import { fakeOpenIdProvider, type FakeProvider } from '../../support/fakeOpenIdProvider.ts';
import { enterProvider } from '../../support/openid.ts';
import { CLIENT } from '../../support/openidProvider.ts';
import { aKey } from '../../support/signedHeads.ts';
import { Attack } from './attack.ts';
import { Staff, type Knock } from './callers.ts';
import { described, type Described, type OpenApi } from './document.ts';
import { inReach } from './inReach.ts';
import { Pool } from './pool.ts';
import { Sender } from './send.ts';
import {
  learnRows,
  livedIn,
  recorded,
  secretsOf,
  signInExamples,
  type Example,
  type Keep,
  type Side,
} from './world.ts';

export interface Start {
  readonly clinic: TestClinic;
  readonly document: Described;
  readonly sides: readonly [Side, Side];
  readonly sender: Sender;
  /** @param over in the place of the service's own document or wire */
  attackBy(seed: number, over?: Partial<Pick<Start, 'document'> & { sender: Wire }>): Attack;
  close(): Promise<void>;
}
export type Wire = Pick<Sender, 'send'>;

/** @param isFull with everything done once, and things at hand for every act */
export async function twoClinics({ isFull }: { readonly isFull: boolean }): Promise<Start> {
  const outward = outwardBy({ allowedHosts: [], loopbackHttp: true });
  const provider = await fakeOpenIdProvider(CLIENT.secret);
  const clinic = await testClinic({ numberPrefix: 'OUR', headSigningKey: aKey(), outward });
  const theirs = await clinic.another('THR');
  const answered = await clinic.stranger.get('/api/openapi.json');
  const document = described(answered.body as OpenApi);
  const sides = [
    await sideOf({ clinic, prefix: 'OUR', mark: 'qzfuza', isFull }, document, provider),
    await sideOf(
      { clinic: theirs, prefix: 'THR', mark: 'qzfuzb', isFull: false },
      document,
      provider,
    ),
  ] as const;
  const sender = new Sender(clinic.address);
  const named = await clinic.store.raw<{ name: string }>(
    `select distinct column_name as name from information_schema.columns
     where table_schema = 'public' and column_name like '%\\_%'`,
  );
  return {
    clinic,
    document,
    sides,
    sender,
    attackBy: (seed, over = {}) =>
      new Attack({
        document,
        sides,
        sender,
        columns: new Set(named.map(({ name }) => name)),
        seed,
        provider,
        passMinute: () => {
          clinic.clock.pass(1);
        },
        ...over,
      }),
    close: async () => {
      sender.close();
      await clinic.close();
      await outward.close();
      await provider.close();
    },
  };
}

interface SideParts {
  readonly clinic: TestClinic;
  readonly prefix: string;
  readonly mark: string;
  readonly isFull: boolean;
}

async function sideOf(
  { clinic, prefix, mark, isFull }: SideParts,
  document: Described,
  provider: FakeProvider,
): Promise<Side> {
  const pool = new Pool();
  const examples = new Map<string, Example[]>();
  const keep: Keep = (method, example, answer) => {
    const route = routeAt(document, method, example.url);
    pool.learn(answer, undefined);
    if (route === undefined) return;
    examples.set(route, [...(examples.get(route) ?? []), example]);
  };
  await enterProvider(clinic, provider.issuer);
  const shop = await livedIn(recorded(clinic, keep), mark, prefix, { isFull });
  await learnRows(clinic, pool);
  const ready = isFull ? await inReach({ ...shop, clinic }) : new Map<string, Example[]>();
  const staff = await Staff.of(clinic);
  for (const [route, example] of signInExamples(staff, prefix, provider.issuer))
    examples.set(route, [...(examples.get(route) ?? []), example]);
  const invited = await takeOn(clinic, { roles: ['technician'] });
  for (const [route, example] of await signInsInReach(clinic))
    ready.set(route, [...(ready.get(route) ?? []), example]);
  const secrets = await secretsOf(clinic, prefix);
  const signsInThere = (who: Knock): void => {
    const now = Math.floor(clinic.clock.now().getTime() / 1000);
    const times = { iat: now, exp: now + 300, auth_time: now };
    const account = { sub: `${prefix} ${who}`, email: staff.emailOf(who), email_verified: true };
    provider.faults = { claims: (claims) => ({ ...claims, ...times, ...account }) };
  };
  return { staff, pool, examples, ready, mark, prefix, secrets, invited, signsInThere };
}

/** Sign-ins on other devices, to be ended, and invitations, to be taken back. */
async function signInsInReach(clinic: TestClinic): Promise<[string, Example][]> {
  const made: [string, Example][] = [];
  const add = (route: string, url: string): void => {
    made.push([`POST ${route}`, { url, body: undefined }]);
  };
  for (const role of ROLES) {
    const { id, email, password } = clinic.people[role];
    const another = async (): Promise<string> => {
      const { body } = await clinic.stranger.post('/api/v1/sign-in', { email, password });
      const [, claims = ''] = (body as { accessToken: string }).accessToken.split('.');
      return (JSON.parse(Buffer.from(claims, 'base64url').toString()) as { family: string }).family;
    };
    const own = '/api/v1/me/sessions/:sessionId/end';
    add(own, own.replace(':sessionId', await another()));
    const theirs = '/api/v1/people/:personId/sessions/:sessionId/end';
    add(theirs, theirs.replace(':personId', id).replace(':sessionId', await another()));
  }
  const unlink = '/api/v1/people/:personId/openid/unlink';
  for (let times = 0; times < 3; times += 1) {
    const { id } = await takeOn(clinic, { roles: ['technician'] });
    const invitation = `/api/v1/people/${id}/openid/invitation`;
    await clinic.as('administrator').post(invitation, PASSWORD_AGAIN).expect(201);
    add(unlink, unlink.replace(':personId', id));
  }
  return made;
}

/** The route that takes an address, as the table of permissions names it. */
function routeAt({ routes }: Described, method: string, url: string): string | undefined {
  const [asked = ''] = url.split('?');
  const steps = asked.split('/');
  const fits = ({ url: pattern }: { url: string }): boolean => {
    const parts = pattern.split('/');
    return (
      parts.length === steps.length &&
      parts.every((part, i) => part.startsWith(':') || part === steps[i])
    );
  };
  const those = routes.filter((route) => route.method === method && fits(route));
  // Of `/orders/:orderId` and `/orders/free` the one that says more.
  return those.sort((a, b) => a.url.split(':').length - b.url.split(':').length)[0]?.permission;
}
