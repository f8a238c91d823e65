/**
 * Requests that another site's page sends. There is no cookie that such a page could use, only
 * a token that it does not have; what a browser says about where a request comes from is
 * looked at all the same, before anything else is.
 */
import type { FastifyInstance } from 'fastify';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';

/** Fetch Metadata (W3C): `none` is a person, and what sends no such header is no browser. */
const FOREIGN = ['cross-site', 'same-site'];

/** Refuses what pages elsewhere ask of the API; following a link to a page is not that. */
export function refuseOtherSites(app: FastifyInstance): void {
  app.addHook('onRequest', async ({ url, method, headers }) => {
    if (!url.startsWith('/api/v1/')) return;
    const { 'sec-fetch-site': site, 'sec-fetch-mode': mode } = headers;
    const isLink = mode === 'navigate' && method === 'GET';
    if (FOREIGN.includes(String(site)) && !isLink) {
      throw new Refused([reason('other-site-refused', {})]);
    }
  });
}

/** A compressed body could be small on the way and fill the memory here: bodies come as they are. */
export function refusePacked(app: FastifyInstance): void {
  app.addHook('onRequest', async ({ method, headers }) => {
    if (method === 'GET' || method === 'HEAD') return;
    const { 'content-encoding': packed = 'identity' } = headers;
    if (packed.trim().toLowerCase() !== 'identity') throw new Refused([reason('body-packed', {})]);
  });
}
