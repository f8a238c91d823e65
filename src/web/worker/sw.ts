/**
 * The client's service worker: the client opens without a network, and a tab that is open
 * while the client is built anew finds the files it began with. It keeps files of the build
 * and nothing of the record; requests of the API pass it by.
 */

/** What of a service worker is used here: TypeScript's own list of it cannot stand beside that of pages. */
interface Worker {
  addEventListener(type: 'install' | 'activate', listener: (event: Waiting) => void): void;
  addEventListener(type: 'fetch', listener: (event: Fetching) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  readonly location: Location;
}
interface Waiting {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetching {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}

declare const __FILES__: readonly string[];

const worker = self as unknown as Worker;
const FILES = 'castbook-files';
/** The one document that every page of the client is. */
const SHELL = '/';
/** Lists the files of the last builds, so that those of a tab still open stay. */
const BUILDS = '/castbook-builds';
const BUILDS_KEPT = 4;
/** A network that lets nothing through must not keep the page from opening. */
const SHELL_WAIT_MS = 4_000;

worker.addEventListener('install', (event) => {
  event.waitUntil(keepBuild().then(() => worker.skipWaiting()));
});
worker.addEventListener('activate', (event) => {
  event.waitUntil(worker.clients.claim());
});
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return;
  if (url.pathname.startsWith('/assets/')) event.respondWith(fileOf(request));
  else if (request.mode === 'navigate' && !url.pathname.startsWith('/api/')) {
    event.respondWith(pageOf(request));
  }
});

async function keepBuild(): Promise<void> {
  const cache = await caches.open(FILES);
  await cache.add(new Request(SHELL, { cache: 'reload' }));
  for (const file of __FILES__) {
    if ((await cache.match(file)) === undefined) await cache.add(file);
  }
  const before = ((await (await cache.match(BUILDS))?.json()) ?? []) as string[][];
  const mine = JSON.stringify(__FILES__);
  const builds = [
    [...__FILES__],
    ...before.filter((files) => JSON.stringify(files) !== mine),
  ].slice(0, BUILDS_KEPT);
  await cache.put(BUILDS, Response.json(builds));
  const kept = new Set([SHELL, BUILDS, ...builds.flat()]);
  for (const { url } of await cache.keys()) {
    if (!kept.has(new URL(url).pathname)) await cache.delete(url);
  }
}

/** Files carry their content's hash in their name: what is kept is right. */
async function fileOf(request: Request): Promise<Response> {
  const kept = await caches.match(request, { ignoreVary: true });
  if (kept !== undefined) return kept;
  const answer = await fetch(request);
  // What was not kept beforehand, the reader of codes, is from its first use.
  if (answer.ok) await (await caches.open(FILES)).put(request, answer.clone());
  return answer;
}

/** The newest document where there is a network; the kept one else. */
async function pageOf(request: Request): Promise<Response> {
  const kept = await caches.match(SHELL, { ignoreVary: true });
  if (kept === undefined) return fetch(request);
  const late = new Promise<Response>((resolve) => {
    setTimeout(resolve, SHELL_WAIT_MS, kept.clone());
  });
  const answered = fetch(request).then(
    (answer) => (answer.status >= 500 ? kept.clone() : answer),
    () => kept.clone(),
  );
  return Promise.race([answered, late]);
}
