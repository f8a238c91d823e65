/**
 * Signatures that mean something (R8): a person, proven again at the act, with printed
 * name, time and meaning, bound to the exact content signed (21 CFR 11.50, 11.70, 11.200).
 *
 * Nobody signs what was not shown to them. What would be signed is asked by doing the very
 * act up to its signature and undoing it, so it is no second account of the same thing that
 * could drift from the first; its hash comes back with the password, and what stands by then
 * must be that.
 */
import { v7 as uuidv7 } from 'uuid';
import { reason, type Reason } from '../domain/reasons/index.ts';
import { reachOf } from '../domain/secondFactor.ts';
import type { SubjectKind } from '../domain/eventKinds.ts';
import type { SignatureMeaning } from '../domain/words.ts';
import type { Act } from '../store/act.ts';
import { contentSha256, type Json } from '../store/events.ts';
import { Refused, refuseIfAny } from '../store/refused.ts';
import { secondFactorAskedBy } from '../store/secondFactors.ts';
import { openSession } from '../store/sessions.ts';
import { writeSignature } from '../store/signatures.ts';
import type { Reauthenticated } from './signIn.ts';

/** Somebody who only asks what would be signed. */
export const ASKS = 'asks';

/** Who signs, proven at this act, and whether content of that hash is what was shown. */
export type Signer =
  | typeof ASKS
  | { readonly proven: Reauthenticated; readonly saw: (contentSha256: string) => boolean };

/** What a person is to see before signing it. */
export interface ToSign {
  readonly meaning: SignatureMeaning;
  readonly printedName: string;
  readonly content: Json;
  readonly contentSha256: string;
}

/** Ends the transaction of an act that was only asked about: all of it is rolled back. */
export class OnlyAsked extends Error {
  override readonly name = 'OnlyAsked';
  readonly toSign: ToSign;

  constructor(toSign: ToSign) {
    super('only asked what would be signed');
    this.toSign = toSign;
  }
}

export interface Signing {
  /** From the route helper, which has checked the password before the transaction. */
  readonly signer: Signer;
  readonly meaning: SignatureMeaning;
  readonly subjectKind: SubjectKind;
  readonly subjectId: string;
  readonly orderId?: string;
  /** All that the signature vouches for, as it stands at this moment. */
  readonly content: Json;
}

export interface SignatureView {
  readonly id: string;
  readonly personId: string;
  readonly printedName: string;
  readonly meaning: SignatureMeaning;
  readonly signedAt: Date;
  readonly contentSha256: string;
}

/**
 * Signs, in the transaction of the act that is signed, and notes `record.signed`.
 * @throws Refused 'signed-content-changed' where it is not what the signer was shown;
 *   'session-not-the-signers', 'signing-not-by-pin', 'signing-needs-second-factor'
 * @throws OnlyAsked where nobody signs yet
 */
export async function sign(act: Act, signing: Signing): Promise<SignatureView> {
  const { signer, meaning, subjectKind, subjectId, orderId, content } = signing;
  const sha256 = contentSha256(content);
  // Said before a password is typed for it; the database holds it for every signature.
  refuseIfAny(await againstSession(act));
  if (signer === ASKS) {
    const { printedName } = act.by;
    throw new OnlyAsked({ meaning, printedName, content, contentSha256: sha256 });
  }
  const { proven, saw } = signer;
  if (proven.personId !== act.by.personId || proven.clinicId !== act.clinicId) {
    throw new TypeError('a signature is given by the one who acts');
  }
  if (!saw(sha256)) throw new Refused([reason('signed-content-changed', {})]);
  const view: SignatureView = {
    id: uuidv7(),
    personId: act.by.personId,
    printedName: proven.printedName,
    meaning,
    signedAt: act.at,
    contentSha256: sha256,
  };
  const sessionId = act.by.familyId ?? null;
  await writeSignature(act, { ...view, subjectKind, subjectId, sessionId }, content);
  act.record({
    kind: 'record.signed',
    subjectKind,
    subjectId,
    ...(orderId === undefined ? {} : { orderId }),
    data: { signatureId: view.id, meaning, contentSha256: view.contentSha256 },
  });
  return view;
}

/** What the sign-in, in which it would be signed, lacks. */
async function againstSession({ tx, clinicId, by }: Act): Promise<Reason[]> {
  const session = by.familyId && (await openSession(tx, clinicId, by.familyId));
  if (!session || session.personId !== by.personId) return [reason('session-not-the-signers', {})];
  if (session.byPin) return [reason('signing-not-by-pin', {})];
  const reach = reachOf(session, await secondFactorAskedBy(tx, clinicId), by.roles);
  return reach === 'enrolment' ? [reason('signing-needs-second-factor', {})] : [];
}
