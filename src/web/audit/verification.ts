/**
 * Verifying the record in this browser: pages of events are fetched, and every leaf and
 * chain value is worked out again here. The next page is on its way while one is hashed.
 */
import {
  endsEarly,
  verifyEvents,
  type ChainedEvent,
  type ChainFault,
  type ChainHead,
  type NotedHead,
  type Sha256,
} from '../../domain/eventChain.ts';
import { sha256 } from '@noble/hashes/sha2.js';
import {
  bytesOf,
  EMPTY_RANGE,
  extended,
  hexOf,
  leafHash,
  rootOf,
  type CompactRange,
} from '../../domain/merkle.ts';
import { answered, api, type Schemas } from '../api.ts';
import { saysSo, signatureOf, type HeadFound, type SignedHead } from './signedHeads.ts';

type Page = Schemas['ChainPage'];

/** Where a verification stands; what was found so far is kept when it is stopped. */
export interface Standing {
  /** After which record it began. */
  readonly from: ChainHead;
  /** Up to where all is well. */
  readonly head: ChainHead;
  /** The record's end when it began. */
  readonly until: number;
  readonly fault: ChainFault | null;
  /** The record that failed, as it stands there now. */
  readonly failed: ChainedEvent | null;
  /** Records whose content was not shown. */
  readonly withheld: number;
  /** Sealed values that were not shown, and the first record in which the service found one unfit. */
  readonly notOpened: number;
  readonly notOpenedBroken: number | null;
  /** Sealed values that were erased, and by which erasures. */
  readonly erasedValues: number;
  readonly erasures: Page['erasures'];
  readonly ms: number;
  /** The tree over all records so far; null where the first of them was not read. */
  readonly tree: CompactRange | null;
  /** The newest signed head, and what was found of it as its records were passed. */
  readonly signedHead: SignedHead | null;
  readonly headFound: HeadFound | null;
  readonly done: boolean;
}

const PAGE = 1000;

const inBrowser: Sha256 = async (text) => {
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
};

const pageAfter = (seq: number): Promise<Page> =>
  answered(api.GET('/api/v1/record/events', { params: { query: { after: seq, limit: PAGE } } }));

export const begin = (
  from: ChainHead,
  until: number,
  signedHead: SignedHead | null = null,
): Standing => ({
  from,
  head: from,
  until,
  fault: null,
  failed: null,
  withheld: 0,
  notOpened: 0,
  notOpenedBroken: null,
  erasedValues: 0,
  erasures: [],
  ms: 0,
  tree: from.seq === 0 ? EMPTY_RANGE : null,
  signedHead,
  headFound: null,
  done: false,
});

/**
 * Goes on from where a verification stands, to the end or until it is stopped.
 * @param told hears of each page that was verified
 */
export async function goOn(
  standing: Standing,
  noted: NotedHead | undefined,
  stop: AbortSignal,
  told: (standing: Standing) => void,
): Promise<void> {
  const isStopped = (): boolean => stop.aborted;
  let now = standing;
  let coming = now.head.seq < now.until ? pageAfter(now.head.seq) : null;
  while (coming !== null && !isStopped()) {
    const began = performance.now();
    const { items, erasures } = await coming;
    // Stopped while it was on its way: it is asked again when the verification goes on.
    if (isStopped()) return;
    const due = items.filter(({ seq }) => seq <= now.until);
    const last = due.at(-1)?.seq ?? now.until;
    coming = due.length > 0 && last < now.until ? pageAfter(last) : null;
    // Refused by nobody while this page is hashed; its turn comes above.
    coming?.catch(() => undefined);
    const found = await verifyEvents(inBrowser, now.head, due as ChainedEvent[], noted);
    const broken = due.find(({ notOpenedFits }) => !notOpenedFits)?.seq ?? null;
    const early = coming === null ? endsEarly(found.head, now.until) : null;
    const fault = found.fault ?? early;
    const grown = await treeOver(
      now,
      due.filter(({ seq }) => seq <= found.head.seq),
    );
    now = {
      ...now,
      ...grown,
      head: found.head,
      fault,
      failed:
        fault === null
          ? null
          : ((due.find(({ seq }) => seq === fault.seq) as ChainedEvent | undefined) ?? null),
      withheld: now.withheld + found.withheld,
      notOpened: now.notOpened + due.reduce((sum, { notOpened }) => sum + notOpened.length, 0),
      notOpenedBroken: now.notOpenedBroken ?? broken,
      erasedValues:
        now.erasedValues + due.reduce((sum, { erased }) => sum + Object.keys(erased).length, 0),
      erasures: [
        ...now.erasures,
        ...erasures.filter(({ id }) => now.erasures.every((told) => told.id !== id)),
      ],
      ms: now.ms + performance.now() - began,
      done: fault !== null || coming === null,
    };
    told(now);
    if (fault !== null) return;
  }
}

/** The tree with more records; at the signed head's size its root, chain value and signature are checked. */
async function treeOver(
  { tree: before, signedHead, headFound: found }: Standing,
  events: Page['items'],
): Promise<Pick<Standing, 'tree' | 'headFound'>> {
  if (before === null) return { tree: null, headFound: null };
  let tree = before;
  let headFound = found;
  for (const { seq, leafSha256, chainSha256 } of events) {
    tree = extended(sha256, tree, leafHash(sha256, bytesOf(leafSha256)));
    if (signedHead?.treeSize !== seq) continue;
    const isSame =
      hexOf(rootOf(sha256, tree)) === signedHead.rootSha256 &&
      chainSha256 === signedHead.chainSha256 &&
      saysSo(signedHead);
    headFound = isSame ? await signatureOf(signedHead) : 'bad';
  }
  return { tree, headFound };
}

/** The head that was noted, as the record has it now: its whole chain value, if it begins as noted. */
export async function headNoted(noted: NotedHead): Promise<ChainHead | ChainFault> {
  const { items } = await answered(
    api.GET('/api/v1/record/events', { params: { query: { after: noted.seq - 1, limit: 1 } } }),
  );
  const [event] = items;
  if (event?.seq !== noted.seq) {
    const found = event === undefined ? '' : String(event.seq);
    return { seq: noted.seq, kind: 'missing', expected: String(noted.seq), found };
  }
  const { seq, chainSha256 } = event;
  return chainSha256.startsWith(noted.begins)
    ? { seq, chainSha256 }
    : { seq, kind: 'noted_head_differs', expected: noted.begins, found: chainSha256 };
}
