/**
 * Signing in by the account of an organisation: the way to its provider and back.
 *
 * The house has no cookies, so no other page can make a browser act in somebody's name; this
 * keeps it so. What ties the way back to the browser that began it is a random secret that
 * this browser keeps for the tab (sessionStorage) and shows when it is back; here stands its
 * hash. A stolen address of return, or one that an attacker began and slipped to somebody
 * else, is worth nothing without it (RFC 9700, 4.7). An attempt is used up before the provider
 * is asked, in a transaction of its own, so a code is shown to the provider once.
 */
import { randomBytes } from 'node:crypto';
import { randomNonce, randomPKCECodeVerifier } from 'openid-client';
import { z } from 'zod';
import { ATTEMPT_MS, judgeFreshSignIn, letsIn } from '../domain/openid.ts';
import { reason } from '../domain/reasons/index.ts';
import { inClinic, type Tx } from '../store/act.ts';
import { textSha256, writeEvents } from '../store/events.ts';
import {
  clientSecretOf,
  enterClinicOfLink,
  providerOf,
  useAttempt,
  writeAttempt,
  type ProviderRow,
  type Purpose,
  type UsedAttempt,
} from '../store/openid.ts';
import {
  invitedUnder,
  personOfSubject,
  takeUpInvitation,
  type MeantRow,
} from '../store/openidLinks.ts';
import type { Store } from '../store/open.ts';
import { orRefuse, Refused } from '../store/refused.ts';
import { NOBODY } from '../store/signIns.ts';
import type { CameBack, Known, OpenIdClient } from './openidClient.ts';
import { beginSession, type Proof, type SignInResult } from './signIn.ts';

export interface OpenIdParts {
  readonly store: Store;
  readonly client: OpenIdClient;
}

/** Who is signed in already and asks for the way; nobody yet where it is to sign in. */
export interface Asker {
  readonly clinicId: string;
  readonly personId: string;
  readonly familyId: string;
}

/** What the browser shows when it is back. */
export interface ShownAtReturn {
  readonly back: CameBack;
  readonly browserSecret: string;
}

/**
 * The button of a clinic's sign-in link.
 * @throws Refused 'openid-not-available'
 */
export const buttonOf = (store: Store, prefix: string): Promise<string> =>
  inClinic(store, NOBODY, async (tx) => {
    const { provider } = await providerBehind(tx, prefix);
    return provider.buttonName;
  });

/**
 * Begins a sign-in by a clinic's link. Whether a person exists is never asked before the
 * provider has said who it is.
 * @returns the provider's page
 * @throws Refused 'openid-not-available', 'openid-provider-unreachable'
 */
export async function beginSignIn(
  parts: OpenIdParts,
  { prefix, browserSha256 }: { prefix: string; browserSha256: string },
  at: Date,
): Promise<string> {
  const { clinicId, provider } = await inClinic(parts.store, NOBODY, (tx) =>
    providerBehind(tx, prefix),
  );
  return begin(parts, { clinicId, provider, purpose: 'sign_in', browserSha256, asker: null }, at);
}

/**
 * Begins the way to the provider of somebody who is signed in: to link an account, or to sign.
 * @throws Refused 'openid-not-available', 'openid-provider-unreachable'
 */
export async function beginFor(
  parts: OpenIdParts,
  asker: Asker,
  { purpose, browserSha256 }: { purpose: 'link' | 'sign'; browserSha256: string },
  at: Date,
): Promise<string> {
  const { clinicId } = asker;
  const provider = await inClinic(parts.store, clinicId, (tx) => providerOf(tx, clinicId));
  if (provider?.active !== true) throw new Refused([reason('openid-not-available', {})]);
  return begin(parts, { clinicId, provider, purpose, browserSha256, asker }, at);
}

interface Beginning {
  readonly clinicId: string;
  readonly provider: ProviderRow;
  readonly purpose: Purpose;
  readonly browserSha256: string;
  readonly asker: Asker | null;
}

async function begin(
  { store, client }: OpenIdParts,
  { clinicId, provider, purpose, browserSha256, asker }: Beginning,
  at: Date,
): Promise<string> {
  const config = await client.discover(accessTo(store, clinicId, provider), at);
  // The clinic in front says in whose scope to look it up.
  const state = `${clinicId}.${randomBytes(32).toString('base64url')}`;
  const stateSha256 = textSha256(state);
  const kept = { nonce: randomNonce(), codeVerifier: randomPKCECodeVerifier() };
  const page = await client.pageOf(config, { state, ...kept }, purpose === 'sign');
  await inClinic(store, clinicId, (tx) =>
    writeAttempt(tx, store.cipher, {
      clinicId,
      purpose,
      stateSha256,
      browserSha256,
      issuer: provider.issuer,
      providerVersion: provider.version,
      kept: JSON.stringify(kept),
      personId: asker?.personId ?? null,
      familyId: asker?.familyId ?? null,
      begunAt: at,
      expiresAt: new Date(at.getTime() + ATTEMPT_MS),
    }),
  );
  return page;
}

/**
 * Signs in whoever the provider says it is, where a person of the clinic is linked with that
 * account or was invited under the address that the provider vouches for.
 * @param device as domain/devices.ts tells it
 * @throws Refused 'openid-attempt-not-valid', 'openid-answer-refused',
 *   'openid-provider-unreachable', 'openid-not-linked'
 */
export async function finishSignIn(
  parts: OpenIdParts,
  shown: ShownAtReturn,
  device: string,
  at: Date,
): Promise<SignInResult> {
  const clinicId = clinicOfState(shown.back.state);
  if (clinicId === undefined) throw new Refused([reason('openid-attempt-not-valid', {})]);
  const { known } = await knownBy(parts, { clinicId, purpose: 'sign_in', asker: null }, shown, at);
  const meant = await inClinic(parts.store, clinicId, (tx) => meantBy(tx, clinicId, known));
  const proof: Proof = {
    clinicId,
    personId: (meant ?? nobody()).personId,
    how: 'openid',
    withSecondFactor: known.severalFactors,
    stillHolds: (tx) => letIn(tx, clinicId, known, at),
  };
  return beginSession(parts.store, proof, device, at);
}

const nobody = (): never => {
  throw new Refused([reason('openid-not-linked', {})]);
};

const meantBy = async (tx: Tx, clinicId: string, known: Known): Promise<MeantRow | undefined> =>
  (await personOfSubject(tx, clinicId, known.issuer, known.subject)) ??
  (known.email === undefined ? undefined : invitedUnder(tx, clinicId, known.issuer, known.email));

/** In the transaction that begins the session: links by an invitation, once, and says so in the record. */
async function letIn(tx: Tx, clinicId: string, known: Known, at: Date): Promise<boolean> {
  const meant = await meantBy(tx, clinicId, known);
  if (meant === undefined || !letsIn(meant, known, at)) return nobody();
  if (meant.invitedUntil === null) return true;
  const taken = await takeUpInvitation(tx, clinicId, meant.id, known.subject, at);
  if (taken !== 1) return nobody();
  const { personId } = meant;
  await writeEvents(tx, { clinicId, personId, at }, [
    {
      kind: 'person.openid_linked',
      subjectKind: 'person',
      subjectId: personId,
      data: { issuer: known.issuer, subject: known.subject, how: 'invited' },
    },
  ]);
  return true;
}

/**
 * Who signed in at the provider, for somebody who is signed in here and began the way.
 * @throws Refused 'openid-attempt-not-valid', 'openid-answer-refused', 'openid-provider-unreachable'
 */
export const finishFor = (
  parts: OpenIdParts,
  asker: Asker,
  purpose: 'link' | 'sign',
  shown: ShownAtReturn,
  at: Date,
): Promise<{ known: Known; attemptId: string }> =>
  knownBy(parts, { clinicId: asker.clinicId, purpose, asker }, shown, at);

/**
 * As `finishFor`, and only where the person signed in there at that very moment.
 * @throws Refused 'openid-not-fresh' too
 */
export async function finishToSign(
  parts: OpenIdParts,
  asker: Asker,
  shown: ShownAtReturn,
  at: Date,
): Promise<{ known: Known; attemptId: string }> {
  const found = await knownBy(
    parts,
    { clinicId: asker.clinicId, purpose: 'sign', asker },
    shown,
    at,
  );
  orRefuse(judgeFreshSignIn(found.known.authTimeS, found.begunAt));
  return found;
}

interface Expected {
  readonly clinicId: string;
  readonly purpose: Purpose;
  readonly asker: Asker | null;
}

async function knownBy(
  { store, client }: OpenIdParts,
  { clinicId, purpose, asker }: Expected,
  { back, browserSecret }: ShownAtReturn,
  at: Date,
): Promise<{ known: Known; attemptId: string; begunAt: Date }> {
  const stateSha256 = textSha256(back.state);
  const used = await inClinic(store, clinicId, async (tx) => {
    const { personId, familyId } = asker ?? { personId: null, familyId: null };
    const browserSha256 = textSha256(browserSecret);
    const of = { purpose, stateSha256, browserSha256, personId, familyId };
    const attempt = await useAttempt(tx, store.cipher, clinicId, of, at);
    const provider = await providerOf(tx, clinicId);
    return attempt === undefined ? undefined : { attempt, provider };
  });
  if (used?.provider === undefined || !isStill(used.provider, used.attempt)) {
    throw new Refused([reason('openid-attempt-not-valid', {})]);
  }
  const { attempt, provider } = used;
  const kept = keptSchema.parse(JSON.parse(attempt.kept));
  const config = await client.discover(accessTo(store, clinicId, provider), at);
  const way = { state: back.state, ...kept };
  const known = await client.redeem(config, way, back, purpose === 'sign_in');
  return { known, attemptId: attempt.id, begunAt: attempt.begunAt };
}

/** The provider's entry is the one that the browser was sent by. */
const isStill = (provider: ProviderRow, attempt: UsedAttempt): boolean =>
  provider.active && provider.version === attempt.providerVersion;

const keptSchema = z.strictObject({ nonce: z.string(), codeVerifier: z.string() });

async function providerBehind(
  tx: Tx,
  prefix: string,
): Promise<{ clinicId: string; provider: ProviderRow }> {
  const clinicId = await enterClinicOfLink(tx, prefix);
  const provider = clinicId === undefined ? undefined : await providerOf(tx, clinicId);
  if (clinicId === undefined || provider?.active !== true) {
    throw new Refused([reason('openid-not-available', {})]);
  }
  return { clinicId, provider };
}

function accessTo({ cipher }: Store, clinicId: string, provider: ProviderRow) {
  const { issuer, clientId } = provider;
  return { issuer, clientId, clientSecret: clientSecretOf(cipher, clinicId, provider) };
}

/** The clinic that a state names; undefined where it has not the shape of one. */
function clinicOfState(state: string): string | undefined {
  const [clinicId, secret = '', ...more] = state.split('.');
  if (more.length > 0 || !/^[\w-]{43}$/.test(secret)) return undefined;
  return z.uuid().safeParse(clinicId).data;
}
