/** What this phone keeps, in IndexedDB: acts that wait, and pages of the bench as last read. */
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import { signal } from '@preact/signals';
import type { KeptAct, Queue } from './queue.ts';

/** Pages of the bench as one person last read them. */
export interface KeptPages {
  readonly personId: string;
  readonly atMs: number;
  /** As the query client dehydrates them. */
  readonly state: unknown;
}

interface Phone extends DBSchema {
  acts: { key: string; value: KeptAct };
  pages: { key: string; value: KeptPages };
}

const CHANGED = 'castbook.kept';

/** True where the browser lets nothing be kept, or what was kept cannot be read. */
export const cannotKeep = signal(false);
/** Acts that are kept and cannot be read any more: they stay where they are. */
export const unreadable = signal(0);

let opened: Promise<IDBPDatabase<Phone>> | undefined;

function phone(): Promise<IDBPDatabase<Phone>> {
  opened ??= openDB<Phone>('castbook', 1, {
    upgrade: (db) => {
      db.createObjectStore('acts', { keyPath: 'key' });
      db.createObjectStore('pages', { keyPath: 'personId' });
    },
    // Another tab wants a newer store, or the browser closed it: the next use opens it again.
    blocking: () => void forgetOpened(),
    terminated: () => void forgetOpened(),
  }).catch((failure: unknown) => {
    opened = undefined;
    cannotKeep.value = true;
    throw failure;
  });
  return opened;
}

async function forgetOpened(): Promise<void> {
  const before = opened;
  opened = undefined;
  (await before)?.close();
}

/** Every act that is kept on this phone, whoever recorded it. */
export async function keptActs(): Promise<Queue> {
  return readable(await (await phone()).getAll('acts'));
}

/**
 * Changes the list of acts in one transaction, whatever other tabs do.
 * @returns the list as it then is
 * @throws where it could not be written; nothing is changed then
 */
export async function changeActs(change: (queue: Queue) => Queue): Promise<Queue> {
  const db = await phone();
  const tx = db.transaction('acts', 'readwrite');
  const failed = tx.done.catch((failure: unknown) => {
    throw failure;
  });
  const before = readable(await tx.store.getAll());
  const after = change(before);
  const gone = before.filter(({ key }) => !after.some((act) => act.key === key));
  await Promise.all([
    ...after.filter((act) => !before.includes(act)).map((act) => tx.store.put(act)),
    ...gone.map(({ key }) => tx.store.delete(key)),
    failed,
  ]);
  cannotKeep.value = false;
  channel.postMessage(null);
  return after;
}

/** Told when another tab changed the list. */
const channel = new BroadcastChannel(CHANGED);
export const onChangeElsewhere = (listener: () => void): void => {
  channel.onmessage = listener;
};

const isAct = (value: unknown): value is KeptAct => {
  const act = value as Partial<KeptAct> | null;
  return (
    typeof act?.key === 'string' &&
    typeof act.seq === 'number' &&
    typeof act.personId === 'string' &&
    typeof act.request?.path === 'string' &&
    typeof act.state?.kind === 'string' &&
    Array.isArray(act.concerns)
  );
};

function readable(rows: readonly unknown[]): Queue {
  const acts = rows.filter(isAct);
  unreadable.value = rows.length - acts.length;
  return acts;
}

/** The pages of a person; none where nothing is kept, or nothing can be. */
export const keptPages = async (personId: string): Promise<KeptPages | undefined> =>
  (await phone()).get('pages', personId).catch(() => undefined);

export async function keepPages(pages: KeptPages): Promise<void> {
  await (await phone()).put('pages', pages);
}

/** Wipes the pages of everybody but the person named. */
export async function wipePages(butOf: string | null): Promise<void> {
  const db = await phone();
  for (const personId of await db.getAllKeys('pages')) {
    if (personId !== butOf) await db.delete('pages', personId);
  }
}
