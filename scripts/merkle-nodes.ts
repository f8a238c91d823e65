/**
 * The nodes that are kept over the events of every clinic, held against the events, or made again.
 *
 *   npx tsx scripts/merkle-nodes.ts             says the first node that is wrong; exit code 1 then
 *   npx tsx scripts/merkle-nodes.ts --rebuild   makes them all again from the events, as the database's owner
 *
 * Nodes are worked out, and no record: a node that was tampered with makes proofs fail and stops
 * the signing of heads, and nothing else. Whether the events are right the signed heads tell.
 */
import { parseArgs } from 'node:util';
import { readWhereRecordIs } from '../src/config.ts';
import { inClinic } from '../src/store/act.ts';
import { areNodesKept, keepNodes, wrongNode } from '../src/store/merkleNodes.ts';
import { openStore, type Store } from '../src/store/open.ts';
import { newestEvent } from '../src/store/signedHeads.ts';
import { isMain } from './isMain.ts';

const clinicsOf = (store: Store) =>
  store.raw<{ id: string; name: string }>('select id, name from clinic order by name');

/** @returns a line for each clinic, and whether all are right */
export async function checkNodes(
  store: Store,
): Promise<{ readonly lines: readonly string[]; readonly ok: boolean }> {
  const lines: string[] = [];
  let ok = true;
  for (const { id, name } of await clinicsOf(store)) {
    const wrong = await inClinic(store, id, (tx) => wrongNode(tx, id));
    if (wrong !== undefined) ok = false;
    const found =
      wrong === undefined ? 'right' : `node ${wrong.index} of level ${wrong.level} is wrong`;
    lines.push(`${name}: ${found}`);
  }
  return { lines, ok };
}

/** Makes every node again. */
export async function rebuildNodes(store: Store): Promise<void> {
  await store.ownerTransaction((owner) =>
    owner.script(`
      alter table merkle_node disable trigger merkle_node_kept;
      delete from merkle_node;
      alter table merkle_node enable trigger merkle_node_kept`),
  );
  for (const { id } of await clinicsOf(store)) {
    for (let isKept = false; !isKept;) {
      isKept = await inClinic(store, id, async (tx) => {
        const { seq } = (await newestEvent(tx, id)) ?? { seq: 0 };
        return areNodesKept(await keepNodes(tx, id, seq, 256), seq);
      });
    }
  }
}

if (isMain(import.meta)) {
  const { values } = parseArgs({ options: { rebuild: { type: 'boolean', default: false } } });
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  const store = await openStore({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
    columnKeys: [],
  });
  try {
    if (values.rebuild) await rebuildNodes(store);
    const { lines, ok } = await checkNodes(store);
    process.stdout.write(`${lines.join('\n')}\n`);
    if (!ok) process.exitCode = 1;
  } finally {
    await store.close();
  }
}
