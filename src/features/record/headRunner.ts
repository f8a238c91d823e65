/**
 * The service's own work of signing each clinic's head once its day (R11). It looks when it
 * starts, so a day that was missed is caught up then by one head over all there is, and every
 * minute after. Of several processes on one database one signs; the others find it done.
 */
import { setTimeout as pause } from 'node:timers/promises';
import { inClinic } from '../../store/act.ts';
import type { StoreLog } from '../../store/database.ts';
import { writeEvents } from '../../store/events.ts';
import { areNodesKept, keepNodes } from '../../store/merkleNodes.ts';
import type { Store } from '../../store/open.ts';
import { clinicsWithoutHead, newestEvent } from '../../store/signedHeads.ts';
import type { HeadSigner } from './signer.ts';
import { BLOCKS_AT_ONCE, damaged, signHead, type HeadSigned } from './signing.ts';

/** A new day at some clinic is noticed within this. Common practice, no source. */
const LOOK_EVERY_MS = 60_000;

interface DayParts {
  readonly store: Store;
  readonly signer: HeadSigner;
  readonly at: Date;
}

/**
 * Signs the day's head of every clinic that has none yet.
 * @param failed hears of a clinic that could not be signed; the others are
 */
export async function signDueHeads(
  parts: DayParts,
  failed: (clinicId: string, failure: unknown) => void,
): Promise<HeadSigned[]> {
  const signed: HeadSigned[] = [];
  for (const clinicId of await clinicsWithoutHead(parts.store, parts.at)) {
    try {
      const head = await signDaily(parts, clinicId);
      if (head !== undefined) signed.push(head);
    } catch (failure) {
      failed(clinicId, failure);
    }
  }
  return signed;
}

async function signDaily(
  { store, signer, at }: DayParts,
  clinicId: string,
): Promise<HeadSigned | undefined> {
  // The nodes first, each run its own short transaction, so that nobody waits for a long record.
  for (let isKept = false; !isKept;) {
    isKept = await inClinic(store, clinicId, async (tx) => {
      const { seq } = (await newestEvent(tx, clinicId)) ?? { seq: 0 };
      const covered = await keepNodes(tx, clinicId, seq, BLOCKS_AT_ONCE).catch(damaged(seq));
      return areNodesKept(covered, seq);
    });
  }
  return inClinic(store, clinicId, async (tx) => {
    const head = await signHead(tx, { clinicId, at, signer, cause: 'daily', askedById: null });
    if (head !== undefined) await writeEvents(tx, { clinicId, personId: null, at }, head.events);
    return head;
  });
}

export interface HeadRunner {
  /** Finishes the head under way and ends. */
  stop(): Promise<void>;
}

/** Looks now and every minute, until it is stopped. */
export function runHeadSigning({
  store,
  log,
  now,
  signer,
}: {
  readonly store: Store;
  readonly log: StoreLog;
  readonly now: () => Date;
  readonly signer: HeadSigner;
}): HeadRunner {
  const ending = new AbortController();
  const loop = async (): Promise<void> => {
    while (!ending.signal.aborted) {
      try {
        await signDueHeads({ store, signer, at: now() }, (clinicId, err) =>
          log.warn({ err, clinicId }, 'the head of the record cannot be signed'),
        );
      } catch (err) {
        log.warn({ err }, 'heads of the record cannot be looked for');
      }
      await pause(LOOK_EVERY_MS, undefined, { signal: ending.signal, ref: false }).catch(
        () => undefined,
      );
    }
  };
  const ended = loop();
  return {
    stop: async () => {
      ending.abort();
      await ended;
    },
  };
}
