/**
 * The browser client's files, as the build left them. They hold nothing of the record and
 * are public by their nature; an address that is a page of the client gets its one document.
 */
import fs from 'node:fs';
import path from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';

/** Where `npm run build` puts the client. */
export const WEB_FOLDER = path.resolve(import.meta.dirname, '../../dist/web');

/** The worker of web/bench/scan/codeWorker.ts, packed or not. */
const CODE_WORKER = /[\\/]codeWorker-[\w-]+\.js/;
const CODE_WORKER_POLICY =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";

/** Whether the client was built. */
export const isWebBuilt = (folder = WEB_FOLDER): boolean =>
  fs.existsSync(path.join(folder, 'index.html'));

/** Serves the client from `/`, where it was built; without it the service has its API alone. */
export async function serveWeb(app: FastifyInstance, folder = WEB_FOLDER): Promise<boolean> {
  if (!isWebBuilt(folder)) return false;
  await app.register(fastifyStatic, {
    root: folder,
    wildcard: false,
    cacheControl: false,
    // The build lays a Brotli and a gzip copy beside each file.
    preCompressed: true,
    setHeaders: (reply, file) => {
      // Files of the build carry their content's hash in their name.
      const named = file.includes(`${path.sep}assets${path.sep}`);
      void reply.header(
        'cache-control',
        named ? 'public, max-age=31536000, immutable' : 'no-cache',
      );
      // A worker lives by the policy of its own answer: only the one that reads codes
      // compiles WebAssembly, and no page may.
      if (CODE_WORKER.test(file)) {
        void reply.header('content-security-policy', CODE_WORKER_POLICY);
      }
    },
  });
  return true;
}

/** Whether a request that no route takes is for a page of the client. */
export const isWebPage = ({ method, url, headers }: FastifyRequest): boolean =>
  method === 'GET' &&
  !/^\/(api|o|p|healthz|readyz|assets)(\/|$|\?)/.test(url) &&
  (headers.accept ?? '').includes('text/html');

export const sendWebPage = (reply: FastifyReply): FastifyReply =>
  reply.header('cache-control', 'no-cache').sendFile('index.html');
