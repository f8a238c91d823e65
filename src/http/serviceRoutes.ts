/** The service about itself. */
import type { FastifyInstance } from 'fastify';
import { setTimeout as wait } from 'node:timers/promises';
import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { keysMissing } from '../store/columnKeys.ts';
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
      summary:
        'Can it work: does the database answer, is it migrated, has it the keys of the record, and is it not stopping',
      answer: Health,
    },
    async () => {
      const late = wait(READY_WITHIN_MS, NOT_READY, { ref: false });
      const { ready, missingKey } = await Promise.race([isReady(), late]);
      if (!ready || stopping) throw new Refused([reason('service-busy', {})]);
      if (missingKey !== undefined) {
        throw new Refused([reason('column-key-missing', { keyId: missingKey })]);
      }
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

interface Readiness {
  readonly ready: boolean;
  /** A key that the record is under and that this process was not given. */
  readonly missingKey?: string | undefined;
}
const NOT_READY: Readiness = { ready: false };

/** Whether the database answers, is at this program's schema (once it was, it stays so), and can be read. */
function readiness(store: Store): () => Promise<Readiness> {
  let migrated = false;
  return async () => {
    try {
      migrated ||= (await pendingMigrations(store)).length === 0;
      if (!migrated) return NOT_READY;
      // Asked each time: another process may begin with a key that this one lacks.
      const [missingKey] = await keysMissing(store.raw, store.cipher);
      return { ready: true, missingKey };
    } catch {
      return NOT_READY;
    }
  };
}
