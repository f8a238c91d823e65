/**
 * What was committed, as it is committed, by whatever process on this database: the one
 * listener of a process, and whoever in it asked to be told. Notifications hold ids only.
 */
import { z } from 'zod';
import { waitAfter } from './backoff.ts';
import { silentLog, type Database, type StoreLog } from './database.ts';

export const CHANGES_CHANNEL = 'castbook_changes';

const payload = z.object({
  c: z.string(),
  n: z.int().optional(),
  k: z.string().optional(),
  s: z.string().optional(),
  o: z.string().nullish(),
  t: z.string().optional(),
});

/** One event of a clinic, or the progress of a long work. */
export interface Change {
  readonly clinicId: string;
  /** The event's number in the clinic's chain; null for progress, which is no event. */
  readonly seq: number | null;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly orderId: string | null;
  /** Of a long work. */
  readonly state: string | null;
}

export type Told =
  | { readonly kind: 'change'; readonly change: Change }
  /** More happened than was told: look at everything again. `seq` is the last event of it, where that is known. */
  | { readonly kind: 'again'; readonly seq: number | null }
  /** Nothing is heard until `again` comes. */
  | { readonly kind: 'lost' };

/** Whose changes: one clinic's (R12), or every clinic's, for the process' own work. */
export type Whose = { readonly clinicId: string } | 'every clinic';

export interface Changes {
  /** @returns stops telling */
  subscribe(whose: Whose, told: (told: Told) => void): () => void;
  /** Resolves once it listens; never rejects. */
  readonly ready: Promise<void>;
  isListening(): boolean;
  close(): Promise<void>;
}

/** Listens on the database at once, and again and again where that fails. */
export function listenToChanges(
  database: Pick<Database, 'listen'>,
  log: StoreLog = silentLog,
): Changes {
  const subscribers = new Set<{ whose: Whose; told: (told: Told) => void }>();
  let listening = false;
  let closed = false;
  let stop: (() => Promise<void>) | undefined;
  let endWait: (() => void) | undefined;

  const tell = (clinicId: string | undefined, told: Told): void => {
    for (const subscriber of [...subscribers]) {
      const { whose } = subscriber;
      if (clinicId === undefined || whose === 'every clinic' || whose.clinicId === clinicId) {
        subscriber.told(told);
      }
    }
  };
  const heard = (text: string): void => {
    if (text === '') {
      listening = true;
      tell(undefined, { kind: 'again', seq: null });
      return;
    }
    const read = payload.safeParse(jsonOf(text));
    if (!read.success) {
      log.warn({ text }, 'a notification that this program does not know');
      return;
    }
    const { c: clinicId, n, k, s, o, t } = read.data;
    if (k === undefined || s === undefined) tell(clinicId, { kind: 'again', seq: n ?? null });
    else {
      const change: Change = {
        clinicId,
        seq: n ?? null,
        subjectKind: k,
        subjectId: s,
        orderId: o ?? null,
        state: t ?? null,
      };
      tell(clinicId, { kind: 'change', change });
    }
  };
  const lost = (): void => {
    listening = false;
    tell(undefined, { kind: 'lost' });
  };
  const begin = async (): Promise<void> => {
    for (let failures = 1; !closed; failures += 1) {
      try {
        stop = await database.listen(CHANGES_CHANNEL, heard, lost);
        listening = true;
        // Who subscribed before may have missed what came before.
        if (failures > 1) tell(undefined, { kind: 'again', seq: null });
        return;
      } catch (err) {
        log.warn({ err }, 'the database cannot be listened to yet');
        await new Promise<void>((resolve) => {
          const timer = setTimeout(resolve, waitAfter(failures));
          timer.unref();
          endWait = () => {
            clearTimeout(timer);
            resolve();
          };
        });
      }
    }
  };
  const ready = begin();

  return {
    subscribe: (whose, told) => {
      const subscriber = { whose, told };
      subscribers.add(subscriber);
      return () => void subscribers.delete(subscriber);
    },
    ready,
    isListening: () => listening,
    close: async () => {
      closed = true;
      listening = false;
      subscribers.clear();
      endWait?.();
      // A server that does not answer must not hold up the end.
      if (stop === undefined) void ready.then(() => stop?.());
      else await stop();
    },
  };
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
