/**
 * The clocks of mixed cups that stay in sight on every page. Only which sockets are
 * watched is kept in the browser; when a cup sets, the service says.
 */
import { signal } from '@preact/signals';

const KEPT_AS = 'castbook.clocks';

function kept(): readonly string[] {
  try {
    const ids: unknown = JSON.parse(localStorage.getItem(KEPT_AS) ?? '[]');
    return Array.isArray(ids) ? ids.filter((id) => typeof id === 'string') : [];
  } catch {
    return [];
  }
}

/** The sockets whose resin is setting. */
export const watchedSockets = signal<readonly string[]>(kept());

function keep(ids: readonly string[]): void {
  watchedSockets.value = ids;
  localStorage.setItem(KEPT_AS, JSON.stringify(ids));
}

export const watchResin = (socketId: string): void => {
  if (!watchedSockets.value.includes(socketId)) keep([...watchedSockets.value, socketId]);
};

export const unwatchResin = (socketId: string): void => {
  keep(watchedSockets.value.filter((id) => id !== socketId));
};

/** What the service's clock shows now, whatever the phone's own says, in ms. @param readAtMs when `asOf` came */
export const serviceNowMs = (asOf: string, readAtMs: number, nowMs: number): number =>
  Date.parse(asOf) + (nowMs - readAtMs);
