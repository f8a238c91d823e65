/**
 * The kept nodes of the tree over a clinic's events (R11): roots of complete subtrees at every
 * sixth level. They are made when a head is signed, so that an event costs nothing more to write,
 * a head as much as there is new, and a proof some hundred hashes however long the record is. They are made from
 * `event.leaf_sha256` alone and can be made again from it; what was signed tells whether they are right.
 */
import { createHash } from 'node:crypto';
import { z } from 'zod';
import {
  bytesOf,
  EMPTY_RANGE,
  extended,
  hexOf,
  joined,
  KEPT_EVERY_LEVELS,
  keptUnder,
  leafHash,
  rootOf,
  subtreesOf,
  treeHash,
  type HashBytes,
  type LeafRange,
  type Subtree,
} from '../domain/merkle.ts';
import { parseFirst, parseRows } from './rows.ts';
import type { Tx } from './tx.ts';

export const sha256Bytes: HashBytes = (bytes) => createHash('sha256').update(bytes).digest();

const BLOCK = 2 ** KEPT_EVERY_LEVELS;
/** The highest level that the table takes: some 10^9 events. */
const HIGHEST_LEVEL = 30;

/** The tree cannot be made up: events or nodes are not there. */
export class TreeIncomplete extends Error {
  override readonly name = 'TreeIncomplete';
}

const LastRow = z.object({ next: z.coerce.number() });
const HashRow = z.object({ sha256: z.string() });

/** How many complete nodes of a level are kept. */
async function kept(tx: Tx, clinicId: string, level: number): Promise<number> {
  const row = parseFirst(
    LastRow,
    await tx.$queryRaw`
      select coalesce(max(index) + 1, 0) as next from merkle_node
      where clinic_id = ${clinicId}::uuid and level = ${level}::int`,
  );
  return row?.next ?? 0;
}

/**
 * Keeps the nodes over the first `size` events that are not kept yet, lowest level first.
 * @param mostBlocks of 64 events at once, so that a transaction stays short
 * @returns how many events the kept nodes cover; all complete blocks of `size` where it is done
 */
export async function keepNodes(
  tx: Tx,
  clinicId: string,
  size: number,
  mostBlocks: number,
): Promise<number> {
  const blocks = Math.floor(size / BLOCK);
  let from = await kept(tx, clinicId, KEPT_EVERY_LEVELS);
  const to = Math.min(blocks, from + mostBlocks);
  // A read of bounded size: 4,096 events.
  for (; from < to; from += 64) {
    const until = Math.min(to, from + 64);
    const leaves = await leavesIn(tx, clinicId, { begin: from * BLOCK, end: until * BLOCK });
    await insertNodes(tx, clinicId, KEPT_EVERY_LEVELS, from, leaves);
  }
  for (let level = KEPT_EVERY_LEVELS; level < HIGHEST_LEVEL; level += KEPT_EVERY_LEVELS) {
    const below = await kept(tx, clinicId, level);
    const next = await kept(tx, clinicId, level + KEPT_EVERY_LEVELS);
    const whole = Math.floor(below / BLOCK);
    if (next >= whole) break;
    const nodes = await nodesIn(tx, clinicId, level, { begin: next * BLOCK, end: whole * BLOCK });
    await insertNodes(tx, clinicId, level + KEPT_EVERY_LEVELS, next, nodes);
  }
  return to * BLOCK;
}

/** Whether the nodes over so many events are all kept. */
export const areNodesKept = (covered: number, size: number): boolean => size - covered < BLOCK;

async function insertNodes(
  tx: Tx,
  clinicId: string,
  level: number,
  first: number,
  under: readonly Uint8Array[],
): Promise<void> {
  const rows = [];
  for (let at = 0; at < under.length; at += BLOCK) {
    const sha256 = hexOf(treeHash(sha256Bytes, under.slice(at, at + BLOCK)));
    rows.push({ index: first + at / BLOCK, sha256 });
  }
  await tx.$executeRaw`
    insert into merkle_node (clinic_id, level, index, sha256)
    select ${clinicId}::uuid, ${level}::int, r.index, r.sha256
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as r(index bigint, sha256 text)
    on conflict do nothing`;
}

/** The leaves' hashes of a run of events. */
async function leavesIn(tx: Tx, clinicId: string, run: LeafRange): Promise<Uint8Array[]> {
  const rows = parseRows(
    HashRow,
    await tx.$queryRaw`
      select leaf_sha256 as sha256 from event
      where clinic_id = ${clinicId}::uuid and seq > ${run.begin}::bigint and seq <= ${run.end}::bigint order by seq`,
  );
  return wholeRun(rows, run).map((data) => leafHash(sha256Bytes, data));
}

/** The kept nodes of a level in a run of them. */
const nodesIn = async (
  tx: Tx,
  clinicId: string,
  level: number,
  run: LeafRange,
): Promise<Uint8Array[]> =>
  wholeRun(
    parseRows(
      HashRow,
      await tx.$queryRaw`
        select sha256 from merkle_node
        where clinic_id = ${clinicId}::uuid and level = ${level}::int
          and index >= ${run.begin}::bigint and index < ${run.end}::bigint order by index`,
    ),
    run,
  );

function wholeRun(rows: readonly z.infer<typeof HashRow>[], run: LeafRange): Uint8Array[] {
  if (rows.length !== run.end - run.begin) {
    throw new TreeIncomplete(`${rows.length} of ${run.end - run.begin} hashes are there`);
  }
  return rows.map(({ sha256 }) => bytesOf(sha256));
}

/** The hash of a complete subtree, from what is kept under it. */
async function subtreeHash(tx: Tx, clinicId: string, subtree: Subtree): Promise<Uint8Array> {
  const { level, ...run } = keptUnder(subtree);
  const under =
    level === 0 ? await leavesIn(tx, clinicId, run) : await nodesIn(tx, clinicId, level, run);
  return treeHash(sha256Bytes, under);
}

/**
 * The hash of a run of leaves, as a planned proof asks for it.
 * @throws TreeIncomplete
 */
export async function runHash(tx: Tx, clinicId: string, run: LeafRange): Promise<Uint8Array> {
  const hashes: Uint8Array[] = [];
  for (const subtree of subtreesOf(run)) hashes.push(await subtreeHash(tx, clinicId, subtree));
  return joined(sha256Bytes, hashes);
}

/**
 * The root of the tree over the first `size` events, from the nodes kept over them.
 * @throws TreeIncomplete
 */
export const rootAt = (tx: Tx, clinicId: string, size: number): Promise<Uint8Array> =>
  runHash(tx, clinicId, { begin: 0, end: size });

/**
 * The root worked out from the events alone, a bounded run at a time: what the kept nodes are held against.
 * @throws TreeIncomplete
 */
export async function rootFromEvents(tx: Tx, clinicId: string, size: number): Promise<Uint8Array> {
  let range = EMPTY_RANGE;
  for (let begin = 0; begin < size; begin += 64 * BLOCK) {
    const end = Math.min(size, begin + 64 * BLOCK);
    for (const leaf of await leavesIn(tx, clinicId, { begin, end })) {
      range = extended(sha256Bytes, range, leaf);
    }
  }
  return rootOf(sha256Bytes, range);
}

const NodeRow = z.object({ level: z.number(), index: z.coerce.number(), sha256: z.string() });

/** The first kept node that is not what the events under it make, lowest level first; undefined where all are right. */
export async function wrongNode(
  tx: Tx,
  clinicId: string,
): Promise<{ readonly level: number; readonly index: number } | undefined> {
  for (let level = KEPT_EVERY_LEVELS; level <= HIGHEST_LEVEL; level += KEPT_EVERY_LEVELS) {
    const count = await kept(tx, clinicId, level);
    for (let begin = 0; begin < count; begin += 64) {
      const end = Math.min(count, begin + 64);
      const rows = parseRows(
        NodeRow,
        await tx.$queryRaw`
          select level, index, sha256 from merkle_node where clinic_id = ${clinicId}::uuid and level = ${level}::int
            and index >= ${begin}::bigint and index < ${end}::bigint order by index`,
      );
      for (let index = begin; index < end; index += 1) {
        const under = { begin: index * BLOCK, end: (index + 1) * BLOCK };
        const below = level - KEPT_EVERY_LEVELS;
        const hashes =
          below === 0
            ? await leavesIn(tx, clinicId, under)
            : await nodesIn(tx, clinicId, below, under);
        const made = hexOf(treeHash(sha256Bytes, hashes));
        if (rows.find((row) => row.index === index)?.sha256 !== made) return { level, index };
      }
    }
  }
  return undefined;
}
