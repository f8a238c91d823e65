/** From the parts of a request to the text of its answer. */
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { StoredAnswer } from '../store/idempotencyKeys.ts';
import { etagOf, isUnchanged } from './etag.ts';
import { parseParts } from './validation.ts';

export const fileSchema = z.string().describe('The document.');

const nothing = z.strictObject({});

/** Checked parts of a request; a query where none is expected is refused like any unknown field. */
export function partsOf(
  request: FastifyRequest,
  route: {
    params?: z.ZodType | undefined;
    query?: z.ZodType | undefined;
    body?: z.ZodType | undefined;
  },
): { params: unknown; query: unknown; body: unknown } {
  const {
    path: params,
    query,
    body,
  } = parseParts(
    { path: route.params, query: route.query ?? nothing, body: route.body ?? nothing },
    { path: request.params, query: request.query, body: request.body, header: undefined },
  );
  return { params, query, body };
}

export interface Checked {
  readonly value: unknown;
  /** As it is sent and kept; undefined where nothing is answered. */
  readonly text: string | undefined;
}

/** The schema is the last filter of what leaves; what does not fit it is a fault of ours. */
export function checked(schema: z.ZodType | undefined, made: unknown): Checked {
  if (schema === undefined) return { value: undefined, text: undefined };
  const value = schema.parse(made);
  return { value, text: JSON.stringify(value) };
}

export function send(
  reply: FastifyReply,
  status: number,
  value: unknown,
  text: string | undefined,
  versioned: true | undefined,
  ifNoneMatch?: string,
): FastifyReply {
  if (text === undefined) return reply.code(status).send();
  if (versioned) {
    const etag = etagOf(versionOf(value), text);
    reply.header('etag', etag);
    if (isUnchanged(ifNoneMatch, etag)) return reply.code(304).send();
  }
  return reply.code(status).type('application/json; charset=utf-8').send(text);
}

/** The answer of the first time. Its ETag names the version alone: jsonb has its own order of keys. */
export function sendAgain(
  reply: FastifyReply,
  { status, answer }: StoredAnswer,
  versioned: true | undefined,
): FastifyReply {
  reply.code(status).header('idempotency-replayed', 'true');
  if (status === 204) return reply.send();
  if (versioned) reply.header('etag', `"${versionOf(answer)}"`);
  return reply.type('application/json; charset=utf-8').send(JSON.stringify(answer));
}

const versioned = z.object({ version: z.int() });
const versionOf = (value: unknown): number => versioned.parse(value).version;

/** Whether the caller (a browser) would rather have a page than JSON. */
export function prefersHtml({ headers: { accept = '' } }: FastifyRequest): boolean {
  const html = accept.indexOf('text/html');
  const json = accept.indexOf('application/json');
  return html >= 0 && (json < 0 || html < json);
}
