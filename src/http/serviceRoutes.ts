/** The service about itself. */
import type { FastifyInstance } from 'fastify';
import { setTimeout as wait } from 'node:timers/promises';
import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { pendingMigrations } from '../store/migrate.ts';
import type { Store } from '../store/open.ts';
import { Refused } from '../store/refused.ts';
import type { Api } from './api.ts';

const Health = z.object({ status: z.literal('ok') }).meta({ id: 'Health' });
const OpenApiDocument = z.record(z.string(), z.unknown()).meta({ id: 'OpenApiDocument' });

export function serviceRoutes(api: Api, app: FastifyInstance): void {
  const isReady = readiness(api.store);
  let stopping = false;
  app.addHook('preClose', async () => {
    stopping = true;
  });
  api.open(
    {
      method: 'GET',
      url: '/healthz',
      name: 'readHealth',
      tag: 'Service',
      summary: 'Is the process up',
      answer: Health,
    },
    () => ({ status: 'ok' as const }),
  );
  api.open(
    {
      method: 'GET',
      url: '/readyz',
      name: 'readReadiness',
      tag: 'Service',
      summary: 'Can it work: does the database answer, is it migrated, and is it not stopping',
      answer: Health,
    },
    async () => {
      const ready = await Promise.race([isReady(), wait(READY_WITHIN_MS, false, { ref: false })]);
      if (!ready || stopping) throw new Refused([reason('service-busy', {})]);
      return { status: 'ok' as const };
    },
  );
  api.open(
    {
      method: 'GET',
      url: '/api/openapi.json',
      name: 'readOpenApi',
      tag: 'Service',
      summary: 'This description',
      answer: OpenApiDocument,
    },
    () => ({ ...app.swagger() }),
  );
}

const READY_WITHIN_MS = 2_000;

/** Whether the database answers, and is at this program's schema; once it was, it stays so. */
function readiness(store: Store): () => Promise<boolean> {
  let migrated = false;
  return async () => {
    try {
      if (migrated) await store.raw('select 1 as answers');
      else migrated = (await pendingMigrations(store)).length === 0;
      return migrated;
    } catch {
      return false;
    }
  };
}
