/**
 * Proving a whole record from an export and a public key alone (R11): keys and their rotations,
 * signed heads, then event after event content, seals, chain and tree, and at each head's size
 * its root. It reads a record at a time and keeps keys, heads and some thirty hashes, so millions
 * of events need no more room than a few. The first record that fails ends it.
 *
 * Hashing and the check of a signature come from outside.
 */
import { CHAIN_START, chainText, leafText, type ChainHead, type Leaf } from './eventChain.ts';
import {
  bytesOf,
  EMPTY_RANGE,
  extended,
  hexOf,
  leafHash,
  rootOf,
  type HashBytes,
} from './merkle.ts';
import { provesInclusion } from './merkleProofs.ts';
import { sealedText, sealsOf, type SealedValue } from './seals.ts';
import {
  signedHeadText,
  statementText,
  thumbprintText,
  type HeadStatement,
  type SignedHead,
  type SigningKey,
} from './signedHeads.ts';

export interface Means {
  /** SHA-256 of a text's UTF-8, as 64 lower-case hexadecimal digits. */
  readonly sha256: (text: string) => string;
  /** The same as raw bytes, of bytes. */
  readonly hash: HashBytes;
  /** SHA-256 of a text's UTF-8 in base64url without padding. */
  readonly thumbprint: (text: string) => string;
  /** Whether an Ed25519 signature (base64) under a public key (base64url) is one of this text. */
  readonly verifies: (publicKey: string, text: string, signature: string) => boolean;
}

/** An event as the export has it. */
export interface ExportedEvent {
  readonly seq: number;
  /** Null where the content is withheld; its place in chain and tree is proven all the same. */
  readonly leaf: Leaf | null;
  readonly leafSha256: string;
  readonly chainSha256: string;
  /** Personal values that are opened, by path. */
  readonly opened: Readonly<Record<string, SealedValue>>;
  /** What the service found of what it withheld, when it wrote the export. */
  readonly withheldFits: boolean;
  /** In an export of one order: that it is under the newest head (RFC 9162, 2.1.3), in hexadecimal. */
  readonly proof?: readonly string[] | undefined;
}

export const PROOF_FAULTS = [
  'key_of_another_clinic',
  'key_out_of_order',
  /** The key's statement is not under the key that it names. */
  'key_signature_wrong',
  /** It says that the key before signed it in, and that key did not. */
  'rotation_forged',
  /** No key that the reader brought leads to it. */
  'key_not_trusted',
  'head_of_another_clinic',
  /** The next head is not there, or does not follow the one before. */
  'head_missing',
  'head_not_following',
  /** No key that was valid for it is in the export. */
  'head_key_unknown',
  'head_signature_wrong',
  /** An event is not there: taken out, or cut off at the end. */
  'event_missing',
  'event_out_of_order',
  'content_changed',
  'seal_broken',
  'chain_broken',
  /** Events under a signed head are not those that were signed. */
  'root_differs',
  'head_chain_differs',
  /** The record does not go on from what was saved or noted before. */
  'saved_head_differs',
  /** An event tells of a signed head that is not in the export. */
  'head_left_out',
  /** In an export of one order: the event is not proven to be under the newest head. */
  'inclusion_not_proven',
] as const;
export type ProofFaultKind = (typeof PROOF_FAULTS)[number];

/** The first record that fails, and why. */
export interface ProofFault {
  readonly kind: ProofFaultKind;
  readonly record: 'key' | 'head' | 'event';
  /** The key's or head's number, the event's seq. */
  readonly number: number;
  /** Where only a run of events is known to hold the fault: its first. */
  readonly firstEvent?: number;
  readonly expected: string;
  readonly found: string;
}

/** What must be said though nothing fails. */
export interface ProofCaution {
  readonly kind: 'key_was_lost' | 'events_after_last_head' | 'no_head';
  readonly number: number;
}

/** A head that the reader saved or noted earlier. */
export interface SavedHead {
  readonly seq: number;
  /** The chain value there, or how it begins (32 hexadecimal digits at least). */
  readonly begins: string;
  /** The root there, where it is known. */
  readonly rootSha256?: string;
}

export interface ProofResult {
  readonly fault: ProofFault | null;
  readonly cautions: readonly ProofCaution[];
  /** Up to which event all is well. */
  readonly upTo: ChainHead;
  readonly keys: number;
  readonly heads: number;
  /** The newest head under which events were proven. */
  readonly newestHead: SignedHead | null;
  /** Events that were found well. */
  readonly events: number;
  /** In an export of one order: events that are proven to be under the newest head. */
  readonly included: number;
  /** Events whose content was withheld. */
  readonly withheld: number;
  /** Personal values that were held against their seals. */
  readonly opened: number;
  /** Whether the head that was saved earlier was passed. */
  readonly savedHeadMet: boolean;
}

export interface RecordProof {
  key(key: SigningKey): void;
  head(head: SignedHead): void;
  event(event: ExportedEvent): void;
  /** Set as soon as something fails; nothing more is looked at then. */
  readonly fault: ProofFault | null;
  end(): ProofResult;
}

interface Question {
  readonly clinicId: string;
  /** Public keys that the reader has from elsewhere, base64url. */
  readonly trusted: readonly string[];
  readonly saved?: SavedHead | undefined;
  /** The last event that the export says it holds. */
  readonly upToEvent: number;
  /** Events of one order: each is proven for itself, and that none is left out is not. */
  readonly partial: boolean;
}

/** Begins a proof. Keys come first, then heads, then events, each in order. */
export function proveRecord(means: Means, question: Question): RecordProof {
  const { sha256, hash } = means;
  const { clinicId, saved } = question;
  const keys: SigningKey[] = [];
  const heads: SignedHead[] = [];
  let fault: ProofFault | null = null;
  let chain: ChainHead = CHAIN_START;
  let tree = EMPTY_RANGE;
  let nextHead = 0;
  let keysTrusted = false;
  let withheld = 0;
  let events = 0;
  let included = 0;
  let opened = 0;
  let savedHeadMet = false;

  const fail = (found: ProofFault): void => void (fault ??= found);
  const failAt =
    (record: ProofFault['record'], number: number) =>
    (kind: ProofFaultKind, expected: string, found: string, firstEvent?: number): void =>
      fail({
        kind,
        record,
        number,
        expected,
        found,
        ...(firstEvent === undefined ? {} : { firstEvent }),
      });

  function key(given: SigningKey): void {
    if (fault !== null) return;
    const { statement, ownSignature, previousSignature } = given;
    const against = failAt('key', statement.number);
    const before = keys.at(-1);
    const due = keys.length + 1;
    const text = statementText(statement);
    if (statement.clinicId !== clinicId) {
      against('key_of_another_clinic', clinicId, statement.clinicId);
      return;
    }
    if (statement.number !== due) {
      against('key_out_of_order', String(due), String(statement.number));
      return;
    }
    const leads = before?.statement.keyId ?? null;
    if (
      statement.previousKeyId !== leads ||
      (statement.entry === 'first') !== (before === undefined) ||
      statement.afterHead < (before?.statement.afterHead ?? 0)
    ) {
      against('key_out_of_order', String(leads), String(statement.previousKeyId));
      return;
    }
    const id = means.thumbprint(thumbprintText(statement.publicKey));
    if (statement.keyId !== id) {
      against('key_signature_wrong', id, statement.keyId);
      return;
    }
    if (!means.verifies(statement.publicKey, text, ownSignature)) {
      against('key_signature_wrong', statement.keyId, ownSignature);
      return;
    }
    if (statement.entry === 'rotation' && before !== undefined) {
      const given = previousSignature ?? '';
      if (!means.verifies(before.statement.publicKey, text, given)) {
        against('rotation_forged', before.statement.keyId, given);
        return;
      }
    }
    keys.push(given);
  }

  /** All that the reader's keys lead to: forward over rotations, back over every key that a trusted one names. */
  function trustKeys(): void {
    if (keysTrusted) return;
    keysTrusted = true;
    const own = keys.map(({ statement }) => question.trusted.includes(statement.publicKey));
    const last = own.lastIndexOf(true);
    for (const [at, { statement }] of keys.entries()) {
      const isLed =
        own.slice(0, at + 1).some((isOwn, from) => isOwn && isUnbroken(from, at)) || at <= last;
      if (!isLed) {
        failAt('key', statement.number)(
          'key_not_trusted',
          question.trusted.join(' '),
          statement.publicKey,
        );
      }
    }
  }
  const isUnbroken = (from: number, to: number): boolean =>
    keys.slice(from + 1, to + 1).every(({ statement }) => statement.entry === 'rotation');

  function head(given: SignedHead): void {
    trustKeys();
    if (fault !== null) return;
    const { statement, signature } = given;
    const against = failAt('head', statement.number);
    const before = heads.at(-1);
    const due = heads.length + 1;
    if (statement.clinicId !== clinicId) {
      against('head_of_another_clinic', clinicId, statement.clinicId);
      return;
    }
    if (statement.number !== due) {
      failAt('head', due)('head_missing', String(due), String(statement.number));
      return;
    }
    const signer = keys.findLast(({ statement: key }) => key.afterHead < statement.number);
    if (signer?.statement.keyId !== statement.keyId) {
      against('head_key_unknown', signer?.statement.keyId ?? '', statement.keyId);
      return;
    }
    if (!means.verifies(signer.statement.publicKey, statementText(statement), signature)) {
      against('head_signature_wrong', statement.keyId, signature);
      return;
    }
    const follows = before === undefined ? null : sha256(signedHeadText(before));
    if (statement.previousHeadSha256 !== follows) {
      against('head_not_following', String(follows), String(statement.previousHeadSha256));
      return;
    }
    const grown = (before?.statement.treeSize ?? 0) + 1;
    if (statement.treeSize < grown) {
      against('head_not_following', String(grown), String(statement.treeSize));
      return;
    }
    heads.push(given);
  }

  function event(given: ExportedEvent): void {
    trustKeys();
    if (fault !== null) return;
    const { seq, leaf, leafSha256 } = given;
    const due = chain.seq + 1;
    if (question.partial ? seq < due : seq !== due) {
      const kind = seq > due ? 'event_missing' : 'event_out_of_order';
      failAt('event', due)(kind, String(due), String(seq));
      return;
    }
    const against = failAt('event', seq);
    if (leaf === null) withheld += 1;
    else if (!contentFits(leaf, given, against)) return;
    if (!given.withheldFits) {
      against('seal_broken', leafSha256, '');
      return;
    }
    events += 1;
    if (question.partial) {
      isIncluded(given);
      return;
    }
    const chainSha256 = sha256(chainText(chain.chainSha256, leafSha256));
    if (chainSha256 !== given.chainSha256) {
      against('chain_broken', chainSha256, given.chainSha256);
      return;
    }
    chain = { seq, chainSha256 };
    tree = extended(hash, tree, leafHash(hash, bytesOf(leafSha256)));
    if (leaf !== null) toldHeadIsThere(leaf);
    headHere();
    savedHere();
  }

  function contentFits(
    leaf: Leaf,
    { leafSha256, opened: values }: ExportedEvent,
    against: ReturnType<typeof failAt>,
  ): boolean {
    const made = sha256(leafText(leaf));
    if (made !== leafSha256) {
      against('content_changed', leafSha256, made);
      return false;
    }
    const seals = sealsOf(leaf.data);
    for (const [path, value] of Object.entries(values)) {
      const found = sha256(sealedText(value));
      const expected = seals.get(path) ?? '';
      if (found !== expected) {
        against('seal_broken', expected, found);
        return false;
      }
      opened += 1;
    }
    return true;
  }

  /** The event of a signing tells the head's number and hash: a head cannot be left out in silence. */
  function toldHeadIsThere({ kind, data }: Leaf): void {
    const { number, headSha256 } = data;
    if (kind !== 'record.head_signed' || typeof number !== 'number') return;
    const told = heads[number - 1];
    const found = told === undefined ? '' : sha256(signedHeadText(told));
    if (found !== headSha256) failAt('head', number)('head_left_out', String(headSha256), found);
  }

  function isIncluded({ seq, leafSha256, chainSha256, proof }: ExportedEvent): void {
    chain = { seq, chainSha256 };
    const under = heads.at(-1)?.statement;
    if (under === undefined || seq > under.treeSize) return;
    const of = { leaf: leafHash(hash, bytesOf(leafSha256)), index: seq - 1, size: under.treeSize };
    const hashes = (proof ?? []).map(bytesOf);
    if (provesInclusion(hash, of, hashes, bytesOf(under.rootSha256))) included += 1;
    else failAt('event', seq)('inclusion_not_proven', under.rootSha256, leafSha256);
  }

  function headHere(): void {
    const due = heads[nextHead];
    if (due?.statement.treeSize !== chain.seq) return;
    const { number, rootSha256, chainSha256 } = due.statement;
    const first = (heads[nextHead - 1]?.statement.treeSize ?? 0) + 1;
    const against = failAt('head', number);
    const root = hexOf(rootOf(hash, tree));
    if (root !== rootSha256) {
      against('root_differs', rootSha256, root, first);
      return;
    }
    if (chain.chainSha256 !== chainSha256) {
      against('head_chain_differs', chainSha256, chain.chainSha256, first);
      return;
    }
    nextHead += 1;
  }

  function savedHere(): void {
    if (saved?.seq !== chain.seq) return;
    savedHeadMet = true;
    const against = failAt('event', chain.seq);
    if (!chain.chainSha256.startsWith(saved.begins)) {
      against('saved_head_differs', saved.begins, chain.chainSha256);
      return;
    }
    const root = hexOf(rootOf(hash, tree));
    if (saved.rootSha256 !== undefined && root !== saved.rootSha256) {
      against('saved_head_differs', saved.rootSha256, root);
    }
  }

  /** The export ends before what it says itself, a signed head or the head that was saved. */
  function endsEarly(): void {
    if (question.partial) return;
    const due = Math.max(
      question.upToEvent,
      heads.at(-1)?.statement.treeSize ?? 0,
      saved?.seq ?? 0,
    );
    if (due <= chain.seq) return;
    failAt('event', chain.seq + 1)('event_missing', String(due), String(chain.seq));
  }

  return {
    key,
    head,
    event,
    get fault() {
      return fault;
    },
    end: () => {
      trustKeys();
      endsEarly();
      return {
        fault,
        cautions: cautionsOf(keys, heads, chain.seq),
        upTo: chain,
        keys: keys.length,
        heads: heads.length,
        newestHead: (question.partial ? heads.at(-1) : heads[nextHead - 1]) ?? null,
        events,
        included,
        withheld,
        opened,
        savedHeadMet,
      };
    },
  };
}

function cautionsOf(
  keys: readonly SigningKey[],
  heads: readonly { readonly statement: HeadStatement }[],
  seq: number,
): ProofCaution[] {
  const last = heads.at(-1)?.statement.treeSize ?? 0;
  return [
    ...keys
      .filter(({ statement }) => statement.entry === 'lost')
      .map(({ statement }) => ({ kind: 'key_was_lost' as const, number: statement.number })),
    ...(heads.length === 0
      ? [{ kind: 'no_head' as const, number: seq }]
      : last < seq
        ? [{ kind: 'events_after_last_head' as const, number: last + 1 }]
        : []),
  ];
}
