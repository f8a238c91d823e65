/**
 * Signatures read back (21 CFR 11.50, 11.70): who signed what with which meaning and when,
 * exactly as it was shown, and what of it is otherwise now.
 */
import {
  CORRECTION_WORDS,
  sees,
  seesCorrection,
  type Sight,
} from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { CORRECTABLE } from '../../domain/corrections.ts';
import {
  correctedSince,
  differencesSince,
  type SignedDifference,
} from '../../domain/signedSince.ts';
import type { Act } from '../../store/act.ts';
import { correctionsOfAny, type CorrectionRow } from '../../store/corrections.ts';
import { contentSha256 } from '../../store/events.ts';
import { loadOrder } from '../../store/orders.ts';
import { loadSignature, signaturesOfOrder, type GivenSignature } from '../../store/signatures.ts';
import { correctedTo } from '../rights/corrected.ts';
import { vouchedFor } from './vouchedFor.ts';
import { stateNow } from './stateNow.ts';

const sinceOf = async (act: Act, signature: GivenSignature): Promise<readonly SignedDifference[]> =>
  differencesSince(signature.content, await stateNow(act, signature));

/** Corrections, since it was given, of what a signature vouches for. */
const correctionsSince = async (
  act: Act,
  signature: GivenSignature,
): Promise<readonly CorrectionRow[]> =>
  correctedSince(signature.signedAt, await correctionsOfAny(act, await vouchedFor(act, signature)));

const inShort = (
  signature: GivenSignature,
  since: readonly SignedDifference[],
  corrections: readonly CorrectionRow[],
) => ({
  id: signature.id,
  meaning: signature.meaning,
  printedName: signature.printedName,
  signedAt: signature.signedAt,
  subjectKind: signature.subjectKind,
  subjectId: signature.subjectId,
  contentSha256: signature.contentSha256,
  intact: contentSha256(signature.content) === signature.contentSha256,
  differencesSince: since.length,
  correctedSince: corrections.length,
});

/** Every signature on an order, the oldest first. @throws Refused 'not-found' */
export async function listSignatures(act: Act, orderId: string) {
  await loadOrder(act, orderId);
  const items = [];
  for (const signature of await signaturesOfOrder(act, orderId)) {
    const corrections = await correctionsSince(act, signature);
    items.push(inShort(signature, await sinceOf(act, signature), corrections));
  }
  return { items };
}

/** Who took the limb home may be the patient: told to those who may know who that is. */
const OF_PERSONS = ['receivedByName', 'receivedByRelation'];

/** One signature with its content. @throws Refused 'not-found' */
export async function readSignature(act: Act, id: string) {
  const signature = await loadSignature(act, id);
  const since = await sinceOf(act, signature);
  const { content, orderId, socketId } = signature;
  const sight = await sightOf(act);
  const corrections = await correctionsSince(act, signature);
  const withheld = withheldIn(content, sight);
  return {
    ...inShort(signature, since, corrections),
    orderId,
    socketId,
    content: Object.fromEntries(
      Object.entries(content).filter(([field]) => !withheld.includes(field)),
    ),
    withheld,
    since,
    corrections: corrections.map(correctedTo(sight)),
  };
}

/** What of a signed content the reader does not see: who took the limb, and what corrects such a thing. */
function withheldIn(content: GivenSignature['content'], sight: Sight): string[] {
  const of = CORRECTABLE.find((each) => each === content['subjectKind']);
  const hidden = [
    ...(sees(sight, 'receivedBy') ? [] : OF_PERSONS),
    ...(of === undefined || seesCorrection(sight, of) ? [] : CORRECTION_WORDS),
  ];
  return hidden.filter((field) => field in content);
}
