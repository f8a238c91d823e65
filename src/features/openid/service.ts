/** Who is linked with which account of the organisation, and the proof by it of who signs. */
import type { Known } from '../../access/openidClient.ts';
import { INVITED_MS, PROOF_MS } from '../../domain/openid.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { holdProvider, providerOf, writeProof } from '../../store/openid.ts';
import { addLink, endLink, linkOf, type LinkRow } from '../../store/openidLinks.ts';
import { lockPerson, personById } from '../../store/people.ts';
import { found, Refused } from '../../store/refused.ts';
import { endedBy, endSessions } from '../../store/sessions.ts';

/** An invitation that nobody took up in time is none. */
export const linkView = (link: LinkRow | undefined, at: Date) => {
  const open = link?.linkedAt !== null || (link.invitedUntil ?? at).getTime() > at.getTime();
  if (link === undefined || !open) return NONE;
  const { invitedUntil, linkedAt } = link;
  return linkedAt === null
    ? { state: 'invited' as const, invitedUntil, linkedAt }
    : { state: 'linked' as const, invitedUntil: null, linkedAt };
};
const NONE = { state: 'none' as const, invitedUntil: null, linkedAt: null };

export async function readOwnLink(act: Act) {
  const provider = await providerOf(act.tx, act.clinicId);
  const link = await linkOf(act.tx, act.clinicId, act.by.personId);
  const buttonName = provider?.active === true ? provider.buttonName : null;
  return { ...linkView(link, act.at), buttonName };
}

export async function readLink(act: Act, personId: string) {
  found(await personById(act.tx, act.clinicId, personId), () => reason('person-unknown', {}));
  return linkView(await linkOf(act.tx, act.clinicId, personId), act.at);
}

/** Links the account with the caller. @throws Refused 'openid-already-linked', 'openid-account-taken' */
export async function linkOwn(act: Act, known: Known) {
  const { personId } = act.by;
  const { issuer, subject } = known;
  await makeRoom(act, personId);
  const inTheWay = await addLink(act, { personId, issuer, subject, invitedUntil: null });
  if (inTheWay === 'subject') throw new Refused([reason('openid-account-taken', {})]);
  if (inTheWay === 'person') throw new Refused([reason('openid-already-linked', {})]);
  act.record({
    kind: 'person.openid_linked',
    subjectKind: 'person',
    subjectId: personId,
    data: { issuer, subject, how: 'self' },
  });
  return readOwnLink(act);
}

/** An invitation gives way, a link does not. */
async function makeRoom(act: Act, personId: string): Promise<void> {
  await lockPerson(act.tx, act.clinicId, personId);
  const before = await linkOf(act.tx, act.clinicId, personId);
  if (before === undefined) return;
  if (before.linkedAt !== null) throw new Refused([reason('openid-already-linked', {})]);
  await endLink(act, before.id);
}

/**
 * Lets a person's first sign-in by the organisation link the account, where the provider
 * vouches for the person's address.
 * @throws Refused 'person-unknown', 'openid-not-available', 'openid-already-linked'
 */
export async function invite(act: Act, personId: string) {
  found(await personById(act.tx, act.clinicId, personId), () => reason('person-unknown', {}));
  const provider = await holdProvider(act);
  if (provider?.active !== true) throw new Refused([reason('openid-not-available', {})]);
  await makeRoom(act, personId);
  const invitedUntil = new Date(act.at.getTime() + INVITED_MS);
  const { issuer } = provider;
  await addLink(act, { personId, issuer, subject: null, invitedUntil });
  act.record({
    kind: 'person.openid_invited',
    subjectKind: 'person',
    subjectId: personId,
    data: { issuer, until: invitedUntil.toISOString() },
  });
  return readLink(act, personId);
}

/**
 * Ends a link or an invitation, and with it the person's sign-ins but for the one named.
 * @throws Refused 'person-unknown', 'openid-no-link'
 */
export async function unlink(act: Act, personId: string, butFamilyId?: string): Promise<void> {
  found(await personById(act.tx, act.clinicId, personId), () => reason('person-unknown', {}));
  const before = await linkOf(act.tx, act.clinicId, personId);
  const ended = before === undefined ? 0 : await endLink(act, before.id);
  if (before === undefined || ended === 0) throw new Refused([reason('openid-no-link', {})]);
  const { issuer, subject } = before;
  if (subject !== null) {
    await endSessions(act.tx, personId, endedBy(act), butFamilyId);
  }
  act.record({
    kind: 'person.openid_unlinked',
    subjectKind: 'person',
    subjectId: personId,
    data: { issuer, subject },
  });
}

/** Keeps for a moment that the provider has just made sure of the caller. @throws Refused 'openid-not-yours' */
export async function proveToSign(act: Act, known: Known, attemptId: string) {
  const link = await linkOf(act.tx, act.clinicId, act.by.personId);
  if (link?.subject !== known.subject || link.issuer !== known.issuer) {
    throw new Refused([reason('openid-not-yours', {})]);
  }
  const goodUntil = new Date(act.at.getTime() + PROOF_MS);
  await writeProof(act, attemptId, goodUntil);
  act.record({
    kind: 'person.openid_asked_to_sign',
    subjectKind: 'person',
    subjectId: act.by.personId,
    data: { issuer: known.issuer },
  });
  return { proofId: attemptId, goodUntil };
}
