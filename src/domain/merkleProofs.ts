/**
 * Proofs over the tree of events (R11): that an event is under a head (RFC 9162, 2.1.3), and that
 * a later head holds all that an earlier one held, in its order (2.1.4). A proof is first planned
 * as runs of leaves, so that whoever keeps the nodes reads only those.
 */
import { nodeHash, sameBytes, type HashBytes, type LeafRange } from './merkle.ts';

/** The largest power of two below n; n is two at least. */
function splitOf(n: number): number {
  let k = 1;
  while (k * 2 < n) k *= 2;
  return k;
}

/**
 * Which runs of leaves prove leaf `index` in a tree of `size`, the nearest first (PATH of 2.1.3.1).
 * @throws RangeError where the tree has no such leaf
 */
export function inclusionPath(index: number, size: number): readonly LeafRange[] {
  if (!(index >= 0 && index < size)) throw new RangeError(`no leaf ${index} in ${size}`);
  const path: LeafRange[] = [];
  let [begin, end] = [0, size];
  while (end - begin > 1) {
    const split = begin + splitOf(end - begin);
    if (index < split) {
      path.push({ begin: split, end });
      end = split;
    } else {
      path.push({ begin, end: split });
      begin = split;
    }
  }
  return path.reverse();
}

/**
 * Which runs of leaves prove that a tree of `size` begins with one of `first` leaves (PROOF of
 * 2.1.4.1); none where the two are one, or the first is empty.
 * @throws RangeError where the first is the larger
 */
export function consistencyPath(first: number, size: number): readonly LeafRange[] {
  if (!(first >= 0 && first <= size)) throw new RangeError(`${first} leaves are not in ${size}`);
  if (first === 0 || first === size) return [];
  const path: LeafRange[] = [];
  let [begin, end] = [0, size];
  while (first !== end) {
    const split = begin + splitOf(end - begin);
    if (first <= split) {
      path.push({ begin: split, end });
      end = split;
    } else {
      path.push({ begin, end: split });
      begin = split;
    }
  }
  // What is left is a subtree of the first tree, which the verifier has where it is that tree itself.
  if (begin > 0) path.push({ begin, end });
  return path.reverse();
}

const half = (n: number): number => Math.floor(n / 2);
const isOdd = (n: number): boolean => n % 2 === 1;

/** Whether a proof shows a leaf at its place under a root, as in 2.1.3.2. */
export function provesInclusion(
  hash: HashBytes,
  of: { readonly leaf: Uint8Array; readonly index: number; readonly size: number },
  proof: readonly Uint8Array[],
  root: Uint8Array,
): boolean {
  if (!isCount(of.index) || !isCount(of.size) || of.index >= of.size) return false;
  let [fn, sn] = [of.index, of.size - 1];
  let made = of.leaf;
  for (const next of proof) {
    if (sn === 0) return false;
    if (isOdd(fn) || fn === sn) {
      made = nodeHash(hash, next, made);
      while (!isOdd(fn) && fn !== 0) [fn, sn] = [half(fn), half(sn)];
    } else made = nodeHash(hash, made, next);
    [fn, sn] = [half(fn), half(sn)];
  }
  return sn === 0 && sameBytes(made, root);
}

export interface TreeHead {
  readonly size: number;
  readonly root: Uint8Array;
}

/** Whether a proof shows that the later tree begins with the earlier one, as in 2.1.4.2. */
export function provesConsistency(
  hash: HashBytes,
  first: TreeHead,
  second: TreeHead,
  proof: readonly Uint8Array[],
): boolean {
  if (!isCount(first.size) || !isCount(second.size) || first.size > second.size) return false;
  if (first.size === second.size) return proof.length === 0 && sameBytes(first.root, second.root);
  // The empty tree is the beginning of every other; its root is known.
  if (first.size === 0) {
    return proof.length === 0 && sameBytes(first.root, hash(new Uint8Array()));
  }
  const isWhole = 2 ** Math.round(Math.log2(first.size)) === first.size;
  const [start, ...rest] = isWhole ? [first.root, ...proof] : proof;
  if (start === undefined) return false;
  let [fn, sn] = [first.size - 1, second.size - 1];
  while (isOdd(fn)) [fn, sn] = [half(fn), half(sn)];
  let [early, late] = [start, start];
  for (const next of rest) {
    if (sn === 0) return false;
    if (isOdd(fn) || fn === sn) {
      early = nodeHash(hash, next, early);
      late = nodeHash(hash, next, late);
      while (!isOdd(fn) && fn !== 0) [fn, sn] = [half(fn), half(sn)];
    } else late = nodeHash(hash, late, next);
    [fn, sn] = [half(fn), half(sn)];
  }
  return sn === 0 && sameBytes(early, first.root) && sameBytes(late, second.root);
}

const isCount = (n: number): boolean => Number.isSafeInteger(n) && n >= 0;
