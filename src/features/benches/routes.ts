import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { BenchChange, Benches, BenchToAdd, BenchView } from './schemas.ts';
import { addBench, changeBench, findBenches } from './service.ts';

const tag = 'Dates and benches';

export function benchRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/benches',
      name: 'listBenches',
      tag,
      summary: 'The benches of the shop',
      answer: Benches,
    },
    (act) => findBenches(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/benches',
      name: 'addBench',
      tag,
      summary: 'Enter a bench',
      body: BenchToAdd,
      answer: BenchView,
      versioned: true,
    },
    (act, { body }) => addBench(act, body),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/benches/:benchId',
      name: 'changeBench',
      tag,
      summary: 'Change how a bench is called or manned, or give it up',
      params: z.strictObject({ benchId: idOf('Bench') }),
      body: BenchChange,
      answer: BenchView,
      versioned: true,
    },
    (act, { params: { benchId }, body, expectedVersion }) =>
      changeBench(act, benchId, body, expectedVersion),
  );
}
