/** What begins with the page: who is signed in, what is kept for that person, and what waits to be sent. */
import type { QueryClient } from '@tanstack/preact-query';
import { knownPerson } from '../session/known.ts';
import { goOnAsKnown, person, refresh, signOut } from '../session/session.ts';
import { startSending, wake } from './acts.ts';
import { keepPagesOf, restorePages, wipePagesOfOthers } from './keptPages.ts';
import { offline, reach } from './reach.ts';

const LOOK_AGAIN_MS = 10_000;

export async function start(queries: QueryClient): Promise<void> {
  registerWorker();
  const known = knownPerson();
  keepPagesOf(queries);
  if (known !== null) await restorePages(queries, known.id);
  await startSending(() => void queries.invalidateQueries());
  let before: string | undefined = known?.id;
  person.subscribe((who) => {
    if (who == null || who.id === before) return;
    before = who.id;
    void wipePagesOfOthers(who.id).then(() => restorePages(queries, who.id));
  });
  lookWhetherItIsBack(queries);
  await refresh().catch(goOnAsKnown);
}

/** The page that is wanted has the slow network first; the worker fetches all the others. */
const WORKER_AFTER_MS = 3_000;

/** The client's own worker: without it all works but a reload without a network. */
function registerWorker(): void {
  const register = (): void =>
    void navigator.serviceWorker.register('/sw.js').catch(() => undefined);
  // Where it stands already, a new build is looked for at once.
  if (navigator.serviceWorker.controller !== null) register();
  else setTimeout(register, WORKER_AFTER_MS);
}

/** Asks now and then while nobody answers; when somebody does, all is read again and what waits is sent. */
function lookWhetherItIsBack(queries: QueryClient): void {
  let timer: ReturnType<typeof setInterval> | undefined;
  const look = (): void =>
    void reach(new Request('/healthz', { cache: 'no-store' })).catch(() => undefined);
  addEventListener('online', look);
  offline.subscribe((away) => {
    clearInterval(timer);
    if (away) timer = setInterval(look, LOOK_AGAIN_MS);
    else if (timer !== undefined) {
      timer = undefined;
      wake();
      void queries.invalidateQueries();
    }
  });
}

/** Signs out, and leaves nothing of the record on the phone; acts that wait stay for their person. */
export async function leave(queries: QueryClient): Promise<void> {
  // What is on the phone does not wait for a service that is not to be reached.
  const signedOut = signOut();
  queries.clear();
  await wipePagesOfOthers(null);
  await signedOut;
}
