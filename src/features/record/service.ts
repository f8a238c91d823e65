/** The chain of events handed out to be verified, and the outcome noted (R11). */
import { seesEventField, type Sight } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { CHAIN_START } from '../../domain/eventChain.ts';
import {
  isErased,
  isSealed,
  openValues,
  sealedText,
  sealsOf,
  type SealedValue,
} from '../../domain/seals.ts';
import type { Act } from '../../store/act.ts';
import { textSha256 } from '../../store/events.ts';
import { chainedEvents, chainHead, type ChainRow } from '../../store/history.ts';
import { erasuresById } from '../../store/rights.ts';
import type { ChainPage, VerificationToNote } from './schemas.ts';

/** Where the record stands now. */
export const readHead = async (act: Act) => ({
  ...((await chainHead(act)) ?? CHAIN_START),
  at: act.at,
});

/** A run of events with all that is hashed of them. Reading the record whole is noted, page by page. */
export async function readChain(
  act: Act,
  { after, limit }: { readonly after: number; readonly limit: number },
): Promise<ChainPage> {
  const rows = await chainedEvents(act, after, limit);
  act.record({
    kind: 'record.read',
    subjectKind: 'clinic',
    subjectId: act.clinicId,
    data: { after, events: rows.length },
  });
  const sight = await sightOf(act);
  const items = rows.map((row) => chained(act, sight, row));
  const named = [...new Set(items.flatMap(({ erased }) => Object.values(erased)))];
  const erasures = (await erasuresById(act, named)).map((erasure) => ({
    ...erasure,
    at: erasure.settledAt ?? erasure.askedAt,
    by: erasure.settledBy ?? '',
  }));
  return { items, erasures };
}

/** Notes what somebody found who verified the record. */
export function noteVerification(act: Act, found: VerificationToNote): { at: Date } {
  const { from, to, chainSha256, fault, signedHead } = found;
  act.record({
    kind: 'record.verified',
    subjectKind: 'clinic',
    subjectId: act.clinicId,
    data: { from, to, chainSha256, fault, ...(signedHead === undefined ? {} : { signedHead }) },
  });
  return { at: act.at };
}

const fieldOf = (path: string): string => path.split('.').at(-1) ?? path;

function chained(act: Act, sight: Sight, row: ChainRow): ChainPage['items'][number] {
  const { seq, leafSha256, chainSha256, sealed, at, ...rest } = row;
  const { data } = rest;
  const sees = (path: string): boolean => seesEventField(sight, row, fieldOf(path));
  // Events that are older than the seals hold the values open: the leaf is shown whole or not at all.
  const shown = [...openValues(rest.subjectKind, data).keys()].every(sees);
  const seals = isSealed(rest.subjectKind) ? [...sealsOf(data)] : [];
  const opened: Record<string, SealedValue> = {};
  const notOpened: string[] = [];
  const erased: Record<string, string> = {};
  let notOpenedFits = true;
  for (const [path, seal] of seals) {
    const kept = sealed?.[path];
    if (kept !== undefined && isErased(kept)) erased[path] = kept.erased;
    else if (sees(path)) opened[path] = kept ?? { salt: '', value: null };
    else {
      notOpened.push(path);
      notOpenedFits &&= kept !== undefined && textSha256(sealedText(kept)) === seal;
    }
  }
  return {
    seq,
    leaf: shown ? { at: at.toISOString(), clinicId: act.clinicId, ...rest } : null,
    leafSha256,
    chainSha256,
    opened,
    erased,
    notOpened,
    notOpenedFits,
  };
}
