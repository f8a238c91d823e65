/**
 * Makes src/generated/api.ts, the browser client's types, from the service's own OpenAPI
 * document, where it is missing or stale.
 *
 *   npm run generate            (npm start, npm test and npm run types do it first)
 */
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import openapiTS, { astToString } from 'openapi-typescript';
import { pino } from 'pino';
import { buildApp } from '../src/app.ts';
import type { Store } from '../src/store/open.ts';
import { isMain } from './isMain.ts';

const OUTPUT = path.resolve(import.meta.dirname, '../src/generated/api.ts');

/** The document as the service answers it; nothing of it comes from a database. */
export async function openApiDocument(): Promise<object> {
  const app = await buildApp({
    // Describing the routes opens no transaction, so there is nothing to open.
    store: {} as Store,
    config: {
      jwtSecret: 'only to describe the routes, never to sign',
      publicUrl: 'http://localhost:8080',
      trustProxy: false,
      requestsPerMinute: 1,
      signInsPerMinute: 1,
    },
    log: pino({ level: 'silent' }),
  });
  const document = app.swagger();
  await app.close();
  return document;
}

/** @returns whether anything had to be made. */
export async function generateWebTypes(): Promise<boolean> {
  const document = await openApiDocument();
  const stamp = `// SHA-256 of the document: ${createHash('sha256').update(JSON.stringify(document)).digest('hex')}\n`;
  if (fs.existsSync(OUTPUT) && fs.readFileSync(OUTPUT, 'utf8').startsWith(stamp)) return false;
  const nodes = await openapiTS(JSON.stringify(document));
  fs.mkdirSync(path.dirname(OUTPUT), { recursive: true });
  fs.writeFileSync(OUTPUT, `${stamp}${astToString(nodes)}`);
  return true;
}

if (isMain(import.meta)) {
  const made = await generateWebTypes();
  process.stdout.write(made ? 'Made src/generated/api.ts from the OpenAPI document.\n' : '');
}
