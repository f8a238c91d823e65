/**
 * The tree against RFC 9162 itself, against the published vectors of the certificate transparency
 * logs (RFC 6962 hashing, which 9162 keeps; repository transparency-dev/merkle, `testonly`), and
 * against a library that is not ours.
 */
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { MerkleTree } from 'merkletreejs';
import { describe, expect, test } from 'vitest';
import {
  bytesOf,
  EMPTY_RANGE,
  extended,
  hexOf,
  joined,
  keptUnder,
  leafHash,
  nodeHash,
  rootOf,
  sameBytes,
  subtreesOf,
  treeHash,
  type LeafRange,
} from '../../src/domain/merkle.ts';
import {
  consistencyPath,
  inclusionPath,
  provesConsistency,
  provesInclusion,
} from '../../src/domain/merkleProofs.ts';

const hash = (bytes: Uint8Array): Uint8Array =>
  new Uint8Array(createHash('sha256').update(bytes).digest());
const bytes = (hex: string): Uint8Array => new Uint8Array(Buffer.from(hex, 'hex'));
const text = (ascii: string): Uint8Array => new Uint8Array(Buffer.from(ascii, 'ascii'));

/** The leaves of transparency-dev/merkle `testonly/constants.go`. */
const LEAVES = [
  '',
  '00',
  '10',
  '2021',
  '3031',
  '40414243',
  '5051525354555657',
  '606162636465666768696a6b6c6d6e6f',
].map((hex) => leafHash(hash, bytes(hex)));
/** Roots of the first one to eight of them, from the same file. */
const ROOTS = [
  '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
  'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
  'aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77',
  'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  '4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4',
  '76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef',
  'ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c',
  '5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328',
];

/** The hash of a run of leaves: what a planned proof asks for. */
const runHash = (leaves: readonly Uint8Array[]) => (run: LeafRange) =>
  treeHash(hash, leaves.slice(run.begin, run.end));

describe('the published vectors', () => {
  test('of leaf and node (rfc6962 tests of transparency-dev/merkle)', () => {
    expect(hexOf(leafHash(hash, text('L123456')))).toBe(
      '395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56',
    );
    expect(hexOf(nodeHash(hash, text('N123'), text('N456')))).toBe(
      'aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb',
    );
  });

  test('of the empty tree: SHA-256 of nothing (FIPS 180-4)', () => {
    expect(hexOf(rootOf(hash, EMPTY_RANGE))).toBe(
      'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
    );
  });

  test.each(ROOTS.map((root, at) => ({ size: at + 1, root })))(
    'of the root of $size leaves',
    ({ size, root }) => {
      expect(hexOf(treeHash(hash, LEAVES.slice(0, size)))).toBe(root);
    },
  );

  /** First eight digits, as the test data of the same repository has them. */
  test.each([
    { index: 0, size: 8, proof: ['96a296d2', '5f083f0a', '6b47aaf2'] },
    { index: 5, size: 8, proof: ['bc1a0643', 'ca854ea1', 'd37ee418'] },
  ])('of leaf $index under $size', ({ index, size, proof }) => {
    const made = inclusionPath(index, size).map(runHash(LEAVES));
    expect(made.map((each) => hexOf(each).slice(0, 8))).toEqual(proof);
    const of = { leaf: LEAVES[index]!, index, size };
    expect(provesInclusion(hash, of, made, bytesOf(ROOTS[size - 1]!))).toBe(true);
  });

  test.each([
    { first: 1, size: 8, proof: ['96a296d2', '5f083f0a', '6b47aaf2'] },
    { first: 6, size: 8, proof: ['0ebc5d34', 'ca854ea1', 'd37ee418'] },
    { first: 2, size: 5, proof: ['5f083f0a', 'bc1a0643'] },
  ])('of $first leaves in $size', ({ first, size, proof }) => {
    const made = consistencyPath(first, size).map(runHash(LEAVES));
    expect(made.map((each) => hexOf(each).slice(0, 8))).toEqual(proof);
    const head = (of: number) => ({ size: of, root: bytesOf(ROOTS[of - 1]!) });
    expect(provesConsistency(hash, head(first), head(size), made)).toBe(true);
  });
});

/** RFC 9162, 2.1.1, 2.1.3.1 and 2.1.4.1 word for word: recursive, over the whole list. */
const split = (n: number): number => 2 ** (Math.ceil(Math.log2(n)) - 1);
const MTH = (d: readonly Uint8Array[]): Uint8Array =>
  d.length === 0
    ? hash(new Uint8Array())
    : d.length === 1
      ? d[0]!
      : nodeHash(hash, MTH(d.slice(0, split(d.length))), MTH(d.slice(split(d.length))));
const PATH = (m: number, d: readonly Uint8Array[]): Uint8Array[] => {
  if (d.length === 1) return [];
  const k = split(d.length);
  return m < k
    ? [...PATH(m, d.slice(0, k)), MTH(d.slice(k))]
    : [...PATH(m - k, d.slice(k)), MTH(d.slice(0, k))];
};
const SUBPROOF = (m: number, d: readonly Uint8Array[], whole: boolean): Uint8Array[] => {
  if (m === d.length) return whole ? [] : [MTH(d)];
  const k = split(d.length);
  return m <= k
    ? [...SUBPROOF(m, d.slice(0, k), whole), MTH(d.slice(k))]
    : [...SUBPROOF(m - k, d.slice(k), false), MTH(d.slice(0, k))];
};

const leavesOf = (n: number): Uint8Array[] =>
  Array.from({ length: n }, (_, at) => leafHash(hash, text(`event ${at}`)));

/** A tree of up to 300 leaves, more than a block of kept nodes, and two places in it. */
const trees = fc.integer({ min: 1, max: 300 }).chain((size) =>
  fc.record({
    size: fc.constant(size),
    index: fc.nat(size - 1),
    first: fc.integer({ min: 1, max: size }),
  }),
);

describe('any tree', () => {
  test('has the root that merkletreejs gives it', () => {
    fc.assert(
      fc.property(trees, ({ size }) => {
        const leaves = leavesOf(size);
        const reference = new MerkleTree(
          leaves.map((leaf) => Buffer.from(leaf)),
          // It hands over both children as one; the byte of a node goes before them.
          (joint: Buffer) =>
            createHash('sha256')
              .update(Buffer.from([1]))
              .update(joint)
              .digest(),
          { hashLeaves: false, sortPairs: false, sortLeaves: false },
        );
        expect(hexOf(treeHash(hash, leaves))).toBe(reference.getRoot().toString('hex'));
        expect(hexOf(MTH(leaves))).toBe(reference.getRoot().toString('hex'));
      }),
      { numRuns: 60 },
    );
  });

  test('proves each of its leaves as the RFC says, and merkletreejs has the same proof', () => {
    fc.assert(
      fc.property(trees, ({ size, index }) => {
        const leaves = leavesOf(size);
        const proof = inclusionPath(index, size).map(runHash(leaves));
        expect(proof.map(hexOf)).toEqual(PATH(index, leaves).map(hexOf));
        const reference = new MerkleTree(
          leaves.map((leaf) => Buffer.from(leaf)),
          (joint: Buffer) =>
            createHash('sha256')
              .update(Buffer.from([1]))
              .update(joint)
              .digest(),
          { hashLeaves: false },
        );
        const theirs = reference.getProof(Buffer.from(leaves[index]!), index);
        expect(proof.map(hexOf)).toEqual(theirs.map(({ data }) => data.toString('hex')));
        const of = { leaf: leaves[index]!, index, size };
        expect(provesInclusion(hash, of, proof, MTH(leaves))).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  test('proves each of its beginnings as the RFC says', () => {
    fc.assert(
      fc.property(trees, ({ size, first }) => {
        const leaves = leavesOf(size);
        const proof = consistencyPath(first, size).map(runHash(leaves));
        expect(proof.map(hexOf)).toEqual(SUBPROOF(first, leaves, true).map(hexOf));
        const head = (n: number) => ({ size: n, root: MTH(leaves.slice(0, n)) });
        expect(provesConsistency(hash, head(first), head(size), proof)).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  test('accepts no proof with one bit turned, one hash more or less, or another size', () => {
    fc.assert(
      fc.property(
        trees,
        fc.nat(31),
        fc.nat(7),
        fc.nat(9),
        ({ size, index, first }, byte, bit, at) => {
          const leaves = leavesOf(size);
          const root = MTH(leaves);
          const turned = (of: Uint8Array): Uint8Array =>
            of.map((each, n) => (n === byte ? each ^ (1 << bit) : each));
          const wrong = (proof: readonly Uint8Array[]): Uint8Array[][] => {
            const one = at % Math.max(1, proof.length);
            return [
              [...proof, root],
              [root, ...proof],
              ...(proof.length === 0
                ? []
                : [proof.slice(1), proof.slice(0, -1), proof.with(one, turned(proof[one]!))]),
            ];
          };
          const path = inclusionPath(index, size).map(runHash(leaves));
          const of = { leaf: leaves[index]!, index, size };
          for (const proof of wrong(path)) {
            expect(provesInclusion(hash, of, proof, root)).toBe(false);
          }
          expect(provesInclusion(hash, of, path, turned(root))).toBe(false);
          expect(provesInclusion(hash, { ...of, leaf: turned(of.leaf) }, path, root)).toBe(false);
          expect(provesInclusion(hash, { ...of, index: size }, path, root)).toBe(false);
          expect(provesInclusion(hash, { ...of, index: -1 }, path, root)).toBe(false);
          expect(provesInclusion(hash, { ...of, size: 0.5 }, path, root)).toBe(false);
          const early = { size: first, root: MTH(leaves.slice(0, first)) };
          const late = { size, root };
          const grown = consistencyPath(first, size).map(runHash(leaves));
          for (const proof of wrong(grown)) {
            expect(provesConsistency(hash, early, late, proof)).toBe(false);
          }
          const other = { ...early, root: turned(early.root) };
          expect(provesConsistency(hash, other, late, grown)).toBe(false);
          const later = { ...late, root: turned(root) };
          expect(provesConsistency(hash, early, later, grown)).toBe(false);
          expect(provesConsistency(hash, { ...early, size: size + 1 }, late, grown)).toBe(false);
          expect(provesConsistency(hash, { ...early, size: NaN }, late, grown)).toBe(false);
          expect(provesConsistency(hash, early, { ...late, size: -1 }, grown)).toBe(false);
        },
      ),
      { numRuns: 60 },
    );
  });

  test('grows by whole subtrees to the same root as leaf by leaf', () => {
    fc.assert(
      fc.property(trees, ({ size, first }) => {
        const leaves = leavesOf(size);
        const run = { begin: 0, end: first };
        let range = EMPTY_RANGE;
        for (const { level, index } of subtreesOf(run)) {
          const each = 2 ** level;
          const root = MTH(leaves.slice(index * each, (index + 1) * each));
          range = extended(hash, range, root, level);
        }
        for (const leaf of leaves.slice(first)) range = extended(hash, range, leaf);
        expect(hexOf(rootOf(hash, range))).toBe(hexOf(MTH(leaves)));
        expect(range).toMatchObject({ size });
        expect(range.peaks.length).toBe(subtreesOf({ begin: 0, end: size }).length);
      }),
      { numRuns: 60 },
    );
  });

  test('asks for no more than 32 kept nodes for any node of it, and they make it up', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 40 }), fc.nat(1000), (level, index) => {
        const under = keptUnder({ level, index });
        expect(under.level % 6).toBe(0);
        expect(under.end - under.begin).toBeLessThanOrEqual(32);
        expect(under.begin * 2 ** under.level).toBe(index * 2 ** level);
        expect(under.end * 2 ** under.level).toBe((index + 1) * 2 ** level);
      }),
    );
  });
});

describe('what is asked wrongly', () => {
  test('stops: a leaf that is not there, an earlier tree that is the larger', () => {
    expect(() => inclusionPath(3, 3)).toThrow(RangeError);
    expect(() => inclusionPath(-1, 3)).toThrow(RangeError);
    expect(() => consistencyPath(4, 3)).toThrow(RangeError);
    expect(() => consistencyPath(-1, 3)).toThrow(RangeError);
  });

  test('the empty tree begins every other, by an empty proof alone', () => {
    const [leaf] = leavesOf(1);
    const none = { size: 0, root: hash(new Uint8Array()) };
    const one = { size: 1, root: leaf! };
    expect(consistencyPath(0, 5)).toEqual([]);
    expect(provesConsistency(hash, none, one, [])).toBe(true);
    expect(provesConsistency(hash, none, one, [leaf!])).toBe(false);
    expect(provesConsistency(hash, { size: 0, root: leaf! }, one, [])).toBe(false);
  });

  test('an earlier tree that is no whole subtree is not proven by nothing', () => {
    const head = (size: number) => ({ size, root: bytesOf(ROOTS[size - 1]!) });
    expect(provesConsistency(hash, head(3), head(7), [])).toBe(false);
    expect(provesConsistency(hash, head(4), head(7), [])).toBe(false);
  });

  test('a subtree where it cannot stand, and a range that lacks one, stop', () => {
    const [leaf] = leavesOf(1);
    const three = { size: 3, peaks: [leaf!, leaf!] };
    expect(() => extended(hash, three, leaf!, 1)).toThrow('no subtree of level 1');
    expect(() => extended(hash, { size: 3, peaks: [leaf!] }, leaf!)).toThrow('lacks a subtree');
    expect(hexOf(joined(hash, [leaf!]))).toBe(hexOf(leaf!));
  });

  test('hexadecimal that is no SHA-256 stops', () => {
    expect(() => bytesOf('ab')).toThrow(RangeError);
    expect(() => bytesOf('G'.repeat(64))).toThrow(RangeError);
    expect(hexOf(bytesOf('0f'.repeat(32)))).toBe('0f'.repeat(32));
    expect(sameBytes(bytesOf('00'.repeat(32)), new Uint8Array(31))).toBe(false);
  });
});
