/**
 * What a page weighs on the wire, and when it can be used, as Chromium itself says: bytes
 * by its network domain, times by its performance entries. Nothing is estimated.
 */
import type { BrowserContext, CDPSession, Page } from 'playwright-core';

/** A phone in a shop with a poor network. */
export interface Profile {
  readonly name: string;
  readonly cpuTimesSlower: number;
  readonly roundTripMs: number;
  readonly downBitsPerS: number;
  readonly upBitsPerS: number;
}

/**
 * A middling phone on a slow mobile network: the figures with which page audits of
 * Chromium's makers are run for phones. From memory; common practice.
 */
export const POOR_PHONE: Profile = {
  name: 'middling phone, slow mobile network (CPU 4 times slower, 150 ms, 1.6 Mbit/s down, 750 kbit/s up)',
  cpuTimesSlower: 4,
  roundTripMs: 150,
  downBitsPerS: 1_600_000,
  upBitsPerS: 750_000,
};

export interface Weighed {
  /** Headers and bodies as they came, packed. */
  readonly wireBytes: number;
  readonly requests: readonly { readonly path: string; readonly wireBytes: number }[];
}

export interface Timed extends Weighed {
  /** All in ms from the moment the address was asked for. */
  readonly largestPaintMs: number;
  /** The end of the last long task (50 ms and more) before the field answered. */
  readonly threadFreeMs: number;
  readonly fieldThereMs: number;
  /** From the key to the next picture. */
  readonly answerMs: number;
  readonly usableMs: number;
}

/** Signed in as a closed page leaves it: the kept refresh token and nothing else. */
export async function signedIn(
  context: BrowserContext,
  address: string,
  email: string,
  password: string,
): Promise<void> {
  const answer = await fetch(`${address}/api/v1/sign-in`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email, password }),
  });
  if (!answer.ok) throw new Error(`sign-in: ${String(answer.status)}`);
  const { refreshToken } = (await answer.json()) as { refreshToken: string };
  await context.addInitScript(
    `if (sessionStorage.getItem('castbook.refresh') === null)
       sessionStorage.setItem('castbook.refresh', ${JSON.stringify(refreshToken)});`,
  );
}

/** Counts what a page fetches from now on. */
export async function weighing(page: Page): Promise<{ session: CDPSession; read: () => Weighed }> {
  const session = await page.context().newCDPSession(page);
  const paths = new Map<string, string>();
  const requests: { path: string; wireBytes: number }[] = [];
  session.on('Network.requestWillBeSent', ({ requestId, request }) => {
    paths.set(requestId, new URL(request.url).pathname);
  });
  session.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
    requests.push({ path: paths.get(requestId) ?? '?', wireBytes: encodedDataLength });
  });
  await session.send('Network.enable');
  await session.send('Network.setCacheDisabled', { cacheDisabled: true });
  return {
    session,
    read: () => ({
      requests: [...requests],
      wireBytes: requests.reduce((sum, { wireBytes }) => sum + wireBytes, 0),
    }),
  };
}

/** Runs in the page before anything else: notes what the browser says, and when the field came. */
const NOTES = `
  window.notes = { paint: 0, tasks: [], field: 0, answer: 0 };
  new PerformanceObserver((list) => { for (const each of list.getEntries()) notes.paint = each.startTime; })
    .observe({ type: 'largest-contentful-paint', buffered: true });
  new PerformanceObserver((list) => { for (const { startTime, duration } of list.getEntries()) notes.tasks.push(startTime + duration); })
    .observe({ type: 'longtask', buffered: true });
  new MutationObserver(() => {
    if (notes.field === 0 && document.querySelector('main input') !== null) notes.field = performance.now();
  }).observe(document, { childList: true, subtree: true });
  addEventListener('keydown', () => {
    const at = performance.now();
    requestAnimationFrame(() => requestAnimationFrame(() => { notes.answer = performance.now() - at; }));
  }, { capture: true, once: true });`;

interface Notes {
  readonly paint: number;
  readonly tasks: readonly number[];
  readonly field: number;
  readonly answer: number;
}

/** Opens an address on a phone of this profile with an empty cache, types into its first field, and says what it took. */
export async function timePage(
  page: Page,
  address: string,
  label: string,
  profile: Profile,
): Promise<Timed> {
  const { session, read } = await weighing(page);
  await session.send('Network.emulateNetworkConditions', {
    offline: false,
    latency: profile.roundTripMs,
    downloadThroughput: profile.downBitsPerS / 8,
    uploadThroughput: profile.upBitsPerS / 8,
  });
  await session.send('Emulation.setCPUThrottlingRate', { rate: profile.cpuTimesSlower });
  await page.addInitScript(NOTES);
  await page.goto(address, { waitUntil: 'commit' });
  const field = page.getByLabel(label);
  await field.press('K');
  await page.waitForFunction('notes.answer > 0');
  if ((await field.inputValue()) !== 'K') throw new Error(`${label} does not answer`);
  const notes = await page.evaluate<Notes>('notes');
  const threadFreeMs = Math.max(0, ...notes.tasks);
  const { paint: largestPaintMs, field: fieldThereMs, answer: answerMs } = notes;
  return {
    ...read(),
    largestPaintMs,
    threadFreeMs,
    fieldThereMs,
    answerMs,
    usableMs: Math.max(largestPaintMs, fieldThereMs, threadFreeMs) + answerMs,
  };
}
