/**
 * The tree over a clinic's events (R11): the Merkle tree hash of RFC 9162, section 2.1.1. A
 * leaf's hash is H(00 ‖ data), a node's H(01 ‖ left ‖ right), a tree of n leaves is split at the
 * largest power of two below n, and the tree without leaves is H of nothing.
 *
 * What our leaves hold: the 32 raw bytes of the event's own SHA-256 (`leafSha256`), so that the
 * tree is built and proven without anything personal. Leaf 0 is event 1.
 *
 * A tree that only grows is kept as a compact range: the roots of its complete subtrees, largest
 * first, at most one a power of two. So a head of three million leaves is 22 hashes, and it grows
 * without reading what is under them.
 */

/** SHA-256 of bytes: 32 bytes. */
export type HashBytes = (bytes: Uint8Array) => Uint8Array;

const LEAF_PREFIX = 0;
const NODE_PREFIX = 1;

/** The hash of a leaf that holds these bytes. */
export function leafHash(hash: HashBytes, data: Uint8Array): Uint8Array {
  const made = new Uint8Array(1 + data.length);
  made[0] = LEAF_PREFIX;
  made.set(data, 1);
  return hash(made);
}

/** The hash of a node over two others. */
export function nodeHash(hash: HashBytes, left: Uint8Array, right: Uint8Array): Uint8Array {
  const made = new Uint8Array(1 + left.length + right.length);
  made[0] = NODE_PREFIX;
  made.set(left, 1);
  made.set(right, 1 + left.length);
  return hash(made);
}

/** A tree as the roots of its complete subtrees, the largest (and first) first. */
export interface CompactRange {
  /** Leaves. */
  readonly size: number;
  readonly peaks: readonly Uint8Array[];
}
export const EMPTY_RANGE: CompactRange = { size: 0, peaks: [] };

/** How often a number can be halved: the level of the largest subtree that can follow so many leaves. */
function levelAfter(size: number): number {
  let level = 0;
  for (let rest = size; rest > 0 && rest % 2 === 0; rest /= 2) level += 1;
  return level;
}

/**
 * The tree with a complete subtree of 2^level leaves behind it; level 0 is one leaf.
 * @throws RangeError where the subtree does not fit there, or the range is not what its size says
 */
export function extended(
  hash: HashBytes,
  { size, peaks }: CompactRange,
  root: Uint8Array,
  level = 0,
): CompactRange {
  if (size > 0 && levelAfter(size) < level) {
    throw new RangeError(`no subtree of level ${level} can follow ${size} leaves`);
  }
  const kept = [...peaks];
  let made = root;
  for (let leaves = size / 2 ** level; leaves % 2 === 1; leaves = (leaves - 1) / 2) {
    const left = kept.pop();
    if (left === undefined) throw new RangeError(`a range of ${size} leaves lacks a subtree`);
    made = nodeHash(hash, left, made);
  }
  kept.push(made);
  return { size: size + 2 ** level, peaks: kept };
}

/** The hash of subtrees that stand side by side, each larger than the next: the last two are joined first. */
export function joined(hash: HashBytes, subtrees: readonly Uint8Array[]): Uint8Array {
  const [last, ...before] = [...subtrees].reverse();
  if (last === undefined) return hash(new Uint8Array());
  return before.reduce((right, left) => nodeHash(hash, left, right), last);
}

/** The tree hash. */
export const rootOf = (hash: HashBytes, { peaks }: CompactRange): Uint8Array => joined(hash, peaks);

/** The tree hash of leaves' hashes, in order. */
export function treeHash(hash: HashBytes, leaves: readonly Uint8Array[]): Uint8Array {
  const row = [...leaves];
  // Level by level in place; what has no partner goes up as it is, which is the RFC's split.
  for (let count = row.length; count > 1; count = Math.ceil(count / 2)) {
    let left: Uint8Array | undefined;
    for (const [at, node] of row.slice(0, count).entries()) {
      if (left === undefined) {
        left = node;
        row[at / 2] = node;
      } else {
        row[(at - 1) / 2] = nodeHash(hash, left, node);
        left = undefined;
      }
    }
  }
  return joined(hash, row.slice(0, 1));
}

/** A complete subtree: the leaves from index·2^level on, 2^level of them. */
export interface Subtree {
  readonly level: number;
  readonly index: number;
}
/** Leaves from `begin` up to, and without, `end`. */
export interface LeafRange {
  readonly begin: number;
  readonly end: number;
}

/** The complete subtrees that a run of leaves is made of, the first first. */
export function subtreesOf({ begin, end }: LeafRange): readonly Subtree[] {
  const found: Subtree[] = [];
  for (let at = begin; at < end;) {
    let level = 0;
    while (at % 2 ** (level + 1) === 0 && at + 2 ** (level + 1) <= end) level += 1;
    found.push({ level, index: at / 2 ** level });
    at += 2 ** level;
  }
  return found;
}

/**
 * Levels whose complete subtrees are kept; any node lies at most five levels over one of them,
 * so it is made of 32 kept hashes at most. Level 0 are the events themselves.
 */
export const KEPT_EVERY_LEVELS = 6;

/** The kept nodes that a complete subtree is made of: those of one level, from `begin` up to `end`. */
export function keptUnder({ level, index }: Subtree): LeafRange & { readonly level: number } {
  const over = level % KEPT_EVERY_LEVELS;
  const each = 2 ** over;
  return { level: level - over, begin: index * each, end: (index + 1) * each };
}

/** Of a character 0 to 9 or a to f. */
const digitOf = (code: number): number => (code < 0x3a ? code - 0x30 : code - 0x57);

const HEX = /^[0-9a-f]{64}$/;

/** 32 bytes as 64 lower-case hexadecimal digits. */
export const hexOf = (bytes: Uint8Array): string =>
  [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** @throws RangeError where it is not 64 lower-case hexadecimal digits */
export function bytesOf(hex: string): Uint8Array {
  if (!HEX.test(hex)) throw new RangeError(`not a SHA-256: ${hex.slice(0, 80)}`);
  const bytes = new Uint8Array(32);
  for (let at = 0; at < 32; at += 1) {
    bytes[at] = digitOf(hex.charCodeAt(2 * at)) * 16 + digitOf(hex.charCodeAt(2 * at + 1));
  }
  return bytes;
}

export const sameBytes = (one: Uint8Array, other: Uint8Array): boolean =>
  one.length === other.length && one.every((byte, at) => byte === other[at]);
