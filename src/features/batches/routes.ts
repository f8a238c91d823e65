import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import {
  BatchChange,
  BatchOpening,
  BatchPage,
  BatchQuarantine,
  BatchQuery,
  BatchToAdd,
  BatchView,
  BatchWithUses,
} from './schemas.ts';
import {
  addBatch,
  changeBatch,
  findBatches,
  openBatch,
  quarantineBatch,
  readBatch,
} from './service.ts';

const params = z.strictObject({ batchId: idOf('Batch') });

export function batchRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/batches',
      name: 'listBatches',
      tag: 'Batches',
      summary: 'Batches with what is left of them, those entered last first',
      query: BatchQuery,
      answer: BatchPage,
    },
    (act, { query }) => findBatches(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/batches',
      name: 'addBatch',
      tag: 'Batches',
      summary: 'Enter a batch as it came',
      body: BatchToAdd,
      answer: BatchView,
      versioned: true,
    },
    (act, { body }) => addBatch(act, body),
  );
  api.read(
    {
      url: '/api/v1/batches/:batchId',
      name: 'readBatch',
      tag: 'Batches',
      summary: 'One batch with every socket it went into',
      params,
      answer: BatchWithUses,
      versioned: true,
    },
    (act, { params: { batchId } }) => readBatch(act, batchId),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/batches/:batchId',
      name: 'changeBatch',
      tag: 'Batches',
      summary: 'Enter or correct the price of a batch, or say which resin product it is',
      params,
      body: BatchChange,
      answer: BatchView,
      versioned: true,
    },
    (act, { params: { batchId }, body, expectedVersion }) =>
      changeBatch(act, batchId, body, expectedVersion),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/batches/:batchId/open',
      name: 'openBatch',
      tag: 'Batches',
      summary: 'Say when a batch was opened',
      params,
      body: BatchOpening,
      answer: BatchView,
      status: 200,
      versioned: true,
    },
    (act, { params: { batchId }, body }) => openBatch(act, batchId, body.openedOn),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/batches/:batchId/quarantine',
      name: 'quarantineBatch',
      tag: 'Batches',
      summary: 'Put a batch into quarantine, with the reason',
      description: 'Answers every socket that it went into (R8).',
      params,
      body: BatchQuarantine,
      answer: BatchWithUses,
      status: 200,
      versioned: true,
    },
    (act, { params: { batchId }, body }) => quarantineBatch(act, batchId, body.reason),
  );
}
