/**
 * Verifying the chain of events (R11) by recomputing it: each leaf is the SHA-256 of the
 * event's RFC 8785 canonical JSON, each chain value the SHA-256 of the value before and
 * the leaf, both written as lower-case hexadecimal, one after the other. The hash function
 * comes from outside, so that a browser, a script and a test verify by the same code.
 *
 * What this can tell: that the events are those which made the head. Whoever can write the
 * whole table can also make a whole new chain; only a head that was noted elsewhere, on
 * paper, gives that away.
 */
import { canonicalJson, type JsonValue } from './canonical.ts';
import { sealedText, sealsOf, type SealedValue } from './seals.ts';

/** SHA-256 of a text's UTF-8, as 64 lower-case hexadecimal digits. */
export type Sha256 = (text: string) => Promise<string>;

/** Where a chain stands: its newest event's number and chain value. */
export interface ChainHead {
  readonly seq: number;
  readonly chainSha256: string;
}

/** Before the first event. */
export const CHAIN_START: ChainHead = { seq: 0, chainSha256: '0'.repeat(64) };

/** What is hashed of an event. */
export interface Leaf {
  readonly at: string;
  readonly clinicId: string;
  readonly data: Readonly<Record<string, JsonValue>>;
  readonly id: string;
  readonly kind: string;
  readonly orderId: string | null;
  readonly personId: string | null;
  readonly subjectId: string;
  readonly subjectKind: string;
}

export interface ChainedEvent extends ChainHead {
  /** Null where the reader's role does not see it: its place in the chain is verified all the same. */
  readonly leaf: Leaf | null;
  readonly leafSha256: string;
  /** Personal values that the reader sees, by path, to be held against their seals. */
  readonly opened: Readonly<Record<string, SealedValue>>;
}

export const CHAIN_FAULTS = [
  /** The next number is not there: taken out, or cut off at the end. */
  'missing',
  /** A number comes that was passed already. */
  'out_of_order',
  /** What is written is not what was hashed. */
  'content_changed',
  /** A personal value is not the one that was sealed. */
  'seal_broken',
  /** The event is not the one that followed its forerunner. */
  'chain_broken',
  /** The record goes on otherwise than from the head that was noted. */
  'noted_head_differs',
] as const;
export type ChainFaultKind = (typeof CHAIN_FAULTS)[number];

/** The first thing that is wrong. */
export interface ChainFault {
  readonly seq: number;
  readonly kind: ChainFaultKind;
  /** What it should be, by what goes before it, and what it is. */
  readonly expected: string;
  readonly found: string;
}

export interface Verified {
  /** Up to where all is well. */
  readonly head: ChainHead;
  readonly fault: ChainFault | null;
  /** Events whose content was not shown, and was not verified. */
  readonly withheld: number;
}

/** The text whose SHA-256 is an event's leaf. */
export const leafText = (leaf: Leaf): string => canonicalJson({ ...leaf });

/** The chain value that follows. */
export const chainText = (before: string, leafSha256: string): string => `${before}${leafSha256}`;

/**
 * Verifies a run of events from a head on.
 * @param noted a head that was noted before: it is held against the chain when it is passed
 */
export async function verifyEvents(
  sha256: Sha256,
  from: ChainHead,
  events: readonly ChainedEvent[],
  noted?: NotedHead,
): Promise<Verified> {
  // Leaves do not hang on each other: all are hashed at once, then chained one by one.
  const faults = await Promise.all(events.map((event) => contentFault(sha256, event)));
  let head = from;
  let withheld = 0;
  for (const [at, event] of events.entries()) {
    const stop = (fault: Omit<ChainFault, 'seq'>, seq = event.seq): Verified => ({
      head,
      fault: { seq, ...fault },
      withheld,
    });
    const due = head.seq + 1;
    if (event.seq !== due) {
      const kind = event.seq > due ? 'missing' : 'out_of_order';
      return stop({ kind, expected: String(due), found: String(event.seq) }, due);
    }
    const content = faults[at];
    if (content) return stop(content);
    const chain = await sha256(chainText(head.chainSha256, event.leafSha256));
    if (chain !== event.chainSha256) {
      return stop({ kind: 'chain_broken', expected: chain, found: event.chainSha256 });
    }
    if (noted?.seq === event.seq && !chain.startsWith(noted.begins)) {
      return stop({ kind: 'noted_head_differs', expected: noted.begins, found: chain });
    }
    if (event.leaf === null) withheld += 1;
    head = { seq: event.seq, chainSha256: chain };
  }
  return { head, fault: null, withheld };
}

/** What is wrong where the events end before the head that was looked for. */
export const endsEarly = (head: ChainHead, until: number): ChainFault | null =>
  head.seq >= until
    ? null
    : { seq: head.seq + 1, kind: 'missing', expected: String(until), found: String(head.seq) };

async function contentFault(
  sha256: Sha256,
  { leaf, leafSha256, opened }: ChainedEvent,
): Promise<Omit<ChainFault, 'seq'> | null> {
  if (leaf === null) return null;
  const made = await sha256(leafText(leaf));
  if (made !== leafSha256) return { kind: 'content_changed', expected: leafSha256, found: made };
  const seals = sealsOf(leaf.data);
  for (const [path, value] of Object.entries(opened)) {
    const found = await sha256(sealedText(value));
    const expected = seals.get(path) ?? '';
    if (found !== expected) return { kind: 'seal_broken', expected, found };
  }
  return null;
}

/** A head as it was noted on paper: the number, and how the chain value begins. */
export interface NotedHead {
  readonly seq: number;
  /** 32 to 64 hexadecimal digits. */
  readonly begins: string;
}

/** Digits of the chain value on paper: 128 bits, which nobody meets by trying. */
const NOTED_DIGITS = 32;

/** The head as it is noted on paper: `3012: 9f3a 22c1 …`, eight groups of four. */
export const notedWords = ({ seq, chainSha256 }: ChainHead): string =>
  `${seq}: ${chainSha256.slice(0, NOTED_DIGITS).replaceAll(/(.{4})(?=.)/g, '$1 ')}`;

/** Reads a noted head as typed: blanks and punctuation do not matter, nor capitals; null where it is none. */
export function readNotedHead(typed: string): NotedHead | null {
  const [, number, rest] = /^\D*(\d+)\s*[:;,.\s]\s*(.*)$/s.exec(typed.trim()) ?? [];
  if (number === undefined || rest === undefined) return null;
  // O is no digit of these, nought is; l and I likewise.
  const begins = rest
    .toLowerCase()
    .replaceAll(/[\s:.,;-]/g, '')
    .replaceAll('o', '0')
    .replaceAll(/[il]/g, '1');
  const seq = Number(number);
  if (!Number.isSafeInteger(seq) || seq < 1) return null;
  return /^[0-9a-f]{32,64}$/.test(begins) ? { seq, begins } : null;
}
