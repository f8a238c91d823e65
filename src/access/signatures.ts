/**
 * Signatures that mean something (R8): a person, proven again at the act, with printed
 * name, time and meaning, bound to the exact content signed (21 CFR 11.50, 11.70, 11.200).
 */
import { v7 as uuidv7 } from 'uuid';
import type { SubjectKind } from '../domain/eventKinds.ts';
import type { SignatureMeaning } from '../domain/words.ts';
import type { Act } from '../store/act.ts';
import { contentSha256, type Json } from '../store/events.ts';
import { writeSignature } from '../store/signatures.ts';
import type { Reauthenticated } from './signIn.ts';

export interface Signing {
  /** From the route helper, which has checked the password before the transaction. */
  readonly signer: Reauthenticated;
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

/** Signs, in the transaction of the act that is signed, and notes `record.signed`. */
export async function sign(act: Act, signing: Signing): Promise<SignatureView> {
  const { signer, meaning, subjectKind, subjectId, orderId, content } = signing;
  if (signer.personId !== act.by.personId || signer.clinicId !== act.clinicId) {
    throw new TypeError('a signature is given by the one who acts');
  }
  const view: SignatureView = {
    id: uuidv7(),
    personId: act.by.personId,
    printedName: signer.printedName,
    meaning,
    signedAt: act.at,
    contentSha256: contentSha256(content),
  };
  await writeSignature(act, { ...view, subjectKind, subjectId }, content);
  act.record({
    kind: 'record.signed',
    subjectKind,
    subjectId,
    ...(orderId === undefined ? {} : { orderId }),
    data: { signatureId: view.id, meaning, contentSha256: view.contentSha256 },
  });
  return view;
}
