/**
 * The way to the organisation's provider and back, as this tab remembers it. What makes the
 * way back count is a random secret that never leaves the tab before: the service has its
 * hash. The codes of the way back are taken out of the address at once.
 */
const KEPT_AS = 'castbook.openid';
const LINK_KEPT_AS = 'castbook.sign-in-link';
/** Where the provider sends back to. */
export const RETURN_PATH = '/sign-in/openid';

export interface Left {
  readonly purpose: 'sign_in' | 'link';
  readonly browserSecret: string;
}

/** What the provider's page sent back (RFC 6749, 4.1.2; RFC 9207). */
export interface Back {
  readonly state: string;
  readonly code?: string;
  readonly iss?: string;
  readonly error?: string;
}

/** A new secret with its hash. */
export async function newSecret(): Promise<{ browserSecret: string; browserSha256: string }> {
  const browserSecret = hex(crypto.getRandomValues(new Uint8Array(32)));
  const hash = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(browserSecret));
  return { browserSecret, browserSha256: hex(new Uint8Array(hash)) };
}

const hex = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');

/** Goes to the provider's page; this tab remembers why. */
export function leaveFor(address: string, left: Left): void {
  sessionStorage.setItem(KEPT_AS, JSON.stringify(left));
  location.assign(address);
}

/** Why this tab left, once; null where it did not. */
export function takeLeft(): Left | null {
  const kept = sessionStorage.getItem(KEPT_AS);
  sessionStorage.removeItem(KEPT_AS);
  return kept === null ? null : (JSON.parse(kept) as Left);
}

/** What came back in the address, which from now on says nothing of it; null where nothing did. */
export function takeBack(): Back | null {
  const said = new URLSearchParams(location.search);
  history.replaceState(null, '', RETURN_PATH);
  const state = said.get('state');
  if (state === null) return null;
  const more = (['code', 'iss', 'error'] as const).flatMap((name) => {
    const value = said.get(name);
    return value === null ? [] : [[name, value] as const];
  });
  return { state, ...Object.fromEntries(more) };
}

/** The clinic of a sign-in link: of this page's address, else of the link that this browser used last. */
export function clinicOfLink(): string | null {
  return linkIn(location.pathname) ?? localStorage.getItem(LINK_KEPT_AS);
}
const linkIn = (path: string): string | null =>
  /^\/sign-in\/([a-z]{2,4})\/?$/i.exec(path)?.[1] ?? null;

/** Kept for the next time, once it has shown a button. */
export const keepLink = (prefix: string): void => localStorage.setItem(LINK_KEPT_AS, prefix);

/** By which a page that was opened to confirm a signature tells the one that waits. */
export const CHANNEL = 'castbook.openid';
