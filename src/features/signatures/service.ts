/**
 * Signatures read back (21 CFR 11.50, 11.70): who signed what with which meaning and when,
 * exactly as it was shown, and what of it is otherwise now.
 */
import { sees } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { differencesSince, type SignedDifference } from '../../domain/signedSince.ts';
import type { Act } from '../../store/act.ts';
import { contentSha256 } from '../../store/events.ts';
import { loadOrder } from '../../store/orders.ts';
import { loadSignature, signaturesOfOrder, type GivenSignature } from '../../store/signatures.ts';
import { stateNow } from './stateNow.ts';

const sinceOf = async (act: Act, signature: GivenSignature): Promise<readonly SignedDifference[]> =>
  differencesSince(signature.content, await stateNow(act, signature));

const inShort = (signature: GivenSignature, since: readonly SignedDifference[]) => ({
  id: signature.id,
  meaning: signature.meaning,
  printedName: signature.printedName,
  signedAt: signature.signedAt,
  subjectKind: signature.subjectKind,
  subjectId: signature.subjectId,
  contentSha256: signature.contentSha256,
  intact: contentSha256(signature.content) === signature.contentSha256,
  differencesSince: since.length,
});

/** Every signature on an order, the oldest first. @throws Refused 'not-found' */
export async function listSignatures(act: Act, orderId: string) {
  await loadOrder(act, orderId);
  const items = [];
  for (const signature of await signaturesOfOrder(act, orderId)) {
    items.push(inShort(signature, await sinceOf(act, signature)));
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
  const withheld = sees(await sightOf(act), 'receivedBy')
    ? []
    : OF_PERSONS.filter((field) => field in content);
  return {
    ...inShort(signature, since),
    orderId,
    socketId,
    content: Object.fromEntries(
      Object.entries(content).filter(([field]) => !withheld.includes(field)),
    ),
    withheld,
    since,
  };
}
