/** What the service is held against: Fastify, one route, the same statements, an answer of the same size. */
import Fastify from 'fastify';
import type { BareDatabase } from './databases.ts';
import type { BenchRequest } from './load.ts';
import type { Statement } from './statements.ts';

/** A request as the service answered it once, and what it sent to its database meanwhile. */
export interface Trace {
  readonly request: BenchRequest;
  readonly statements: readonly Statement[];
  readonly status: number;
  readonly answer: unknown;
}

export interface BareRoute {
  readonly address: string;
  close(): Promise<void>;
}

export async function startBareRoute(
  database: BareDatabase,
  traces: ReadonlyMap<string, Trace>,
): Promise<BareRoute> {
  const app = Fastify();
  app.route<{ Params: { key: string } }>({
    method: ['GET', 'POST'],
    url: '/bare/:key',
    handler: async (request, reply) => {
      const trace = traces.get(request.params.key);
      if (trace === undefined) return reply.code(404).send();
      await database.send(trace.statements);
      return reply.code(trace.status).send(trace.answer);
    },
  });
  const address = await app.listen({ port: 0, host: '127.0.0.1' });
  return {
    address,
    close: async () => {
      await app.close();
      await database.close();
    },
  };
}

/** The same request, sent to the bare route: same method, body and headers, without the token. */
export function bareRequest(key: string, { method, headers, body }: BenchRequest): BenchRequest {
  const { 'content-type': contentType } = headers;
  return {
    method,
    path: `/bare/${key}`,
    headers: contentType === undefined ? {} : { 'content-type': contentType },
    body,
  };
}
