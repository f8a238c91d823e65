/**
 * PostgreSQL in this process: PGlite 0.5.16, kept in a data folder. As shipped it neither
 * reaches the disk at a commit, nor keeps a second process out, nor cleans up after itself;
 * those three are added here, in folderLock.ts and in housekeeping.ts.
 */
import fs from 'node:fs';
import path from 'node:path';
import { PGlite, types, type postgresMod } from '@electric-sql/pglite';
import { btree_gist } from '@electric-sql/pglite/contrib/btree_gist';
import { NodeFS } from '@electric-sql/pglite/nodefs';
import { embeddedAdapter } from './adapters.ts';
import {
  checkedChannel,
  silentLog,
  wholeNumber,
  type Database,
  type StoreLog,
} from './database.ts';
import { lockFolder } from './folderLock.ts';
import { startHousekeeping } from './housekeeping.ts';
import { StoreProblem } from './storeProblem.ts';

/** What PGlite 0.5 writes into PG_VERSION: PostgreSQL's major version. */
export const EMBEDDED_POSTGRES_MAJOR = '18';

type PostgresMod = postgresMod.PostgresMod;

const CLUSTER = 'postgres';
const UNFINISHED = 'postgres.new';

export interface EmbeddedDatabase extends Database {
  /** The whole database as an uncompressed tar, for `openEmbeddedInMemory`. */
  dump(): Promise<Blob>;
}

/**
 * Opens, and where it is new makes, the database in a data folder.
 * @param folder made if missing; the cluster stands in `<folder>/postgres`.
 * @throws StoreProblem `folder-held`, `other-postgres-version`, `folder-unreadable`.
 */
export async function openEmbedded(
  folder: string,
  { log = silentLog }: { log?: StoreLog } = {},
): Promise<EmbeddedDatabase> {
  const home = path.resolve(folder);
  fs.mkdirSync(home, { recursive: true });
  refuseOtherVersion(home);
  const lock = await lockFolder(home);
  try {
    // Again, now that nobody else can write here.
    refuseOtherVersion(home);
    const cluster = path.join(home, CLUSTER);
    if (!fs.existsSync(cluster)) await makeCluster(home, cluster);
    const pglite = await startPglite({ fs: new FolderThatReachesDisk(cluster) }, cluster);
    return embeddedDatabase(pglite, `embedded PostgreSQL in ${home}`, log, lock.release);
  } catch (error) {
    await lock.release();
    throw error;
  }
}

/**
 * Makes the database of a new data folder together with its first content, all or nothing: it
 * is made aside, does not reach the disk at each commit, and gets its name when it is whole.
 * A start that is killed meanwhile leaves nothing that counts.
 * @param fill may close the database; it is closed in any case.
 * @returns false, with nothing done, where the folder has a database already.
 * @throws StoreProblem as `openEmbedded`.
 */
export async function makeEmbedded(
  folder: string,
  fill: (database: EmbeddedDatabase) => Promise<void>,
  { log = silentLog }: { log?: StoreLog } = {},
): Promise<boolean> {
  const home = path.resolve(folder);
  fs.mkdirSync(home, { recursive: true });
  refuseOtherVersion(home);
  const lock = await lockFolder(home);
  try {
    const cluster = path.join(home, CLUSTER);
    if (fs.existsSync(cluster)) return false;
    await makeAside(home, cluster, async (aside) => {
      const pglite = await startPglite({ fs: new NodeFS(aside) }, aside);
      const where = `embedded PostgreSQL in ${home}`;
      const database = embeddedDatabase(pglite, where, log, () => Promise.resolve());
      await fill(database).finally(() => database.close());
    });
    return true;
  } finally {
    await lock.release();
  }
}

/** A database that goes with the process, for tests. @param loadDataDir a `dump()`; empty otherwise. */
export async function openEmbeddedInMemory({
  loadDataDir,
  log = silentLog,
}: { loadDataDir?: Blob; log?: StoreLog } = {}): Promise<EmbeddedDatabase> {
  const pglite = await startPglite(loadDataDir === undefined ? {} : { loadDataDir }, 'memory');
  return embeddedDatabase(pglite, 'embedded PostgreSQL in memory', log, () => Promise.resolve());
}

const makeCluster = (home: string, cluster: string): Promise<void> =>
  makeAside(home, cluster, async (aside) => {
    const pglite = await startPglite({ fs: new NodeFS(aside) }, aside);
    await pglite.close();
  });

/** What is made aside is renamed whole, so that a kill leaves no half cluster. */
async function makeAside(
  home: string,
  cluster: string,
  make: (aside: string) => Promise<void>,
): Promise<void> {
  const aside = path.join(home, UNFINISHED);
  fs.rmSync(aside, { recursive: true, force: true });
  await make(aside).catch((failure: unknown) => {
    fs.rmSync(aside, { recursive: true, force: true });
    throw failure;
  });
  await syncTree(aside);
  fs.renameSync(aside, cluster);
  syncPath(home);
}

async function startPglite(
  options: { fs: NodeFS } | { loadDataDir: Blob } | object,
  where: string,
): Promise<PGlite> {
  const reachDisk = 'fs' in options && options.fs instanceof FolderThatReachesDisk;
  const durability = reachDisk
    ? [
        ...PGlite.defaultStartParams.filter((param) => param !== '-F'),
        '-c',
        'wal_sync_method=fsync',
      ]
    : PGlite.defaultStartParams;
  try {
    return await PGlite.create({
      ...options,
      extensions: { btree_gist },
      startParams: [
        ...durability,
        ...['-c', 'timezone=UTC', '-c', 'max_wal_size=64MB', '-c', 'min_wal_size=32MB'],
      ],
    });
  } catch (cause) {
    throw new StoreProblem(
      'folder-unreadable',
      `The embedded PostgreSQL did not start on ${where}.`,
      'Keep the folder as it is, look for a full disk or changed permissions, and restore from a backup if neither is the cause.',
      cause,
    );
  }
}

function refuseOtherVersion(home: string): void {
  const inside = readVersion(path.join(home, CLUSTER));
  const bare = readVersion(home);
  if (bare !== undefined) {
    throw new StoreProblem(
      'other-postgres-version',
      `The folder ${home} is itself a PostgreSQL ${bare} cluster, which this program did not make.`,
      'Name another data folder; to bring those data along, dump them with the program that made them and load them.',
    );
  }
  if (inside !== undefined && inside !== EMBEDDED_POSTGRES_MAJOR) {
    throw new StoreProblem(
      'other-postgres-version',
      `The data folder ${home} holds a PostgreSQL ${inside} cluster; this program carries PostgreSQL ${EMBEDDED_POSTGRES_MAJOR} and cannot read it.`,
      `Start the program version that made it, dump the data there, and load them into a new folder. Nothing was changed.`,
    );
  }
}

function readVersion(cluster: string): string | undefined {
  const file = path.join(cluster, 'PG_VERSION');
  return fs.existsSync(file) ? fs.readFileSync(file, 'utf8').trim() : undefined;
}

/** emscripten's number for EIO. A failed fsync must reach PostgreSQL, which then stops (and recovers from its log). */
const EIO = 29;

interface FileStream {
  readonly nfd?: number;
  readonly node: object;
}
interface FolderFilesystem {
  realPath(node: object): string;
  stream_ops: { fsync?: (stream: FileStream) => number };
}

/**
 * PGlite's folder with the one call it lacks: its file layer has no fsync, so PostgreSQL's
 * own calls go nowhere. A file's first fsync also syncs its folder, without which a new
 * segment of the log could be whole and yet have no name after a power cut.
 */
class FolderThatReachesDisk extends NodeFS {
  override async init(pg: PGlite, options: Partial<PostgresMod>) {
    const { emscriptenOpts } = await super.init(pg, options);
    const install = (mod: PostgresMod) => {
      // A type of the emscripten build that its published types do not tell of; the version is pinned.
      const nodefs = mod.NODEFS as unknown as FolderFilesystem;
      const named = new WeakSet<FileStream>();
      nodefs.stream_ops.fsync = (stream) => {
        try {
          if (stream.nfd === undefined) {
            syncPath(nodefs.realPath(stream.node));
          } else {
            fs.fsyncSync(stream.nfd);
            if (!named.has(stream)) {
              named.add(stream);
              syncPath(path.dirname(nodefs.realPath(stream.node)));
            }
          }
          return 0;
        } catch {
          return EIO;
        }
      };
    };
    return {
      emscriptenOpts: { ...emscriptenOpts, preRun: [...(emscriptenOpts.preRun ?? []), install] },
    };
  }
}

/** Windows cannot fsync a folder, and keeps names without it. */
function syncPath(at: string): void {
  if (process.platform === 'win32' && fs.statSync(at).isDirectory()) return;
  const fd = fs.openSync(at, 'r');
  try {
    fs.fsyncSync(fd);
  } finally {
    fs.closeSync(fd);
  }
}

/** Some thousand files: one after the other takes seconds, all at once takes too many handles. */
const SYNCED_AT_ONCE = 32;

async function syncTree(folder: string): Promise<void> {
  const files: string[] = [];
  for (const entry of await fs.promises.readdir(folder, { withFileTypes: true })) {
    const at = path.join(folder, entry.name);
    if (entry.isDirectory()) await syncTree(at);
    else files.push(at);
  }
  while (files.length > 0) await Promise.all(files.splice(0, SYNCED_AT_ONCE).map(syncFile));
  syncPath(folder);
}

async function syncFile(at: string): Promise<void> {
  const file = await fs.promises.open(at, 'r');
  try {
    await file.sync();
  } finally {
    await file.close();
  }
}

const RAW_PARSERS = { [types.INT8]: wholeNumber, [types.DATE]: (text: string) => text };

function embeddedDatabase(
  pglite: PGlite,
  describe: string,
  log: StoreLog,
  release: () => Promise<void>,
): EmbeddedDatabase {
  const housekeeping = startHousekeeping(pglite, log);
  const query =
    (on: Pick<PGlite, 'query'>) =>
    async <Row extends object>(sql: string, params: readonly unknown[] = []): Promise<Row[]> =>
      (await on.query<Row>(sql, [...params], { parsers: RAW_PARSERS })).rows;
  let closing: Promise<void> | undefined;
  const close = async () => {
    await housekeeping.stop();
    await pglite.close();
    await release();
  };

  return {
    kind: 'embedded',
    describe,
    adapter: embeddedAdapter(pglite, housekeeping.noteWrite),
    raw: (sql, params) => query(pglite)<never>(sql, params).finally(housekeeping.noteWrite),
    ownerTransaction: (work) =>
      pglite
        .transaction((tx) =>
          work({
            query: query(tx),
            script: async (sql) => {
              await tx.exec(sql);
            },
          }),
        )
        .finally(housekeeping.noteWrite),
    listen: async (channel, heard) => {
      const stop = await pglite.listen(checkedChannel(channel), heard);
      return () => stop();
    },
    close: () => (closing ??= close()),
    dump: () => pglite.dumpDataDir('none'),
  };
}
