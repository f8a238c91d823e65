/** The clinic's provider: what an administrator enters, and whether it answers. */
import type { OpenIdClient } from '../../access/openidClient.ts';
import { againstIssuer } from '../../domain/openid.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { holdProvider, providerOf, writeProvider, type ProviderRow } from '../../store/openid.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { WriteOpenIdProvider } from './schemas.ts';

/** Where the provider sends the browser back to. */
export const redirectUriAt = (publicUrl: string): string => `${bare(publicUrl)}/sign-in/openid`;
const bare = (publicUrl: string): string => publicUrl.replace(/\/+$/, '');

export async function readProvider(act: Act, publicUrl: string) {
  return viewOf(act, publicUrl, await providerOf(act.tx, act.clinicId));
}

async function viewOf(act: Act, publicUrl: string, provider: ProviderRow | undefined) {
  const { numberPrefix } = await loadClinic(act.tx, act.clinicId);
  return {
    version: provider?.version ?? 0,
    issuer: provider?.issuer ?? null,
    clientId: provider?.clientId ?? null,
    buttonName: provider?.buttonName ?? null,
    active: provider?.active ?? false,
    redirectUri: redirectUriAt(publicUrl),
    signInLink: `${bare(publicUrl)}/sign-in/${numberPrefix.toLowerCase()}`,
  };
}

/**
 * Enters or changes the provider, from the version that was read. A client secret that is kept
 * is never sent to another issuer, nor for another client.
 * @throws Refused 'version-is-stale', 'openid-issuer-unfit', 'openid-secret-needed'
 */
export async function saveProvider(
  act: Act,
  { publicUrl, loopbackHttp }: { publicUrl: string; loopbackHttp: boolean },
  given: WriteOpenIdProvider,
) {
  const { version, clientSecret, issuer, clientId, buttonName, active } = given;
  refuseIfAny(againstIssuer(issuer, loopbackHttp, '/issuer'));
  const before = await holdProvider(act);
  if ((before?.version ?? 0) !== version) refuseStale(version, before?.version ?? 0);
  const same = before?.issuer === issuer && before.clientId === clientId;
  if (clientSecret === undefined && !same) {
    throw new Refused([reason('openid-secret-needed', {}, '/clientSecret')]);
  }
  const changes = changesOf<Shown>(shownOf(before), { issuer, clientId, buttonName, active });
  if (!changes.any && clientSecret === undefined) return viewOf(act, publicUrl, before);
  await writeProvider(act, before, { issuer, clientId, buttonName, active }, clientSecret);
  act.record({
    kind: 'clinic.openid_provider_written',
    subjectKind: 'clinic',
    subjectId: act.clinicId,
    data: { ...changes.event, newSecret: clientSecret !== undefined },
  });
  return readProvider(act, publicUrl);
}

type Shown = {
  issuer: string | null;
  clientId: string | null;
  buttonName: string | null;
  active: boolean;
};

const shownOf = (provider: ProviderRow | undefined): Shown => ({
  issuer: provider?.issuer ?? null,
  clientId: provider?.clientId ?? null,
  buttonName: provider?.buttonName ?? null,
  active: provider?.active ?? false,
});

/**
 * Tries whether a provider answers at an address and can do what is needed; outside any transaction.
 * @throws Refused 'openid-issuer-unfit', 'openid-provider-unreachable'
 */
export async function tryIssuer(
  client: OpenIdClient,
  issuer: string,
  loopbackHttp: boolean,
  at: Date,
): Promise<void> {
  refuseIfAny(againstIssuer(issuer, loopbackHttp, '/issuer'));
  await client.discover({ issuer, clientId: 'trial', clientSecret: 'trial' }, at);
}
