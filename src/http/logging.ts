/**
 * The log: one line a request, with numbers and codes. No bodies, headers, addresses,
 * queries or names ever; a fault's message only with all that it quotes taken out.
 */
import { v7 as uuidv7 } from 'uuid';
import type { IncomingMessage } from 'node:http';
import type { FastifyInstance } from 'fastify';
import { pino, type DestinationStream, type Logger } from 'pino';

export function makeLog(level: string, destination?: DestinationStream): Logger {
  const options = {
    level,
    base: null,
    serializers: { err: describeFault },
    // A second wall: none of these is ever logged on purpose.
    redact: {
      paths: [
        'password',
        '*.password',
        'body',
        '*.body',
        'headers',
        '*.headers',
        'authorization',
        'query',
        'params',
      ],
      remove: true,
    },
  };
  return destination === undefined ? pino(options) : pino(options, destination);
}

interface Fault {
  readonly type: string;
  readonly codes: readonly string[];
  readonly message: string;
  readonly at: readonly string[];
  readonly cause?: Fault;
}

/** Type, codes, places in the code; the message without what it quotes. */
export function describeFault(fault: unknown): Fault {
  if (!(fault instanceof Error)) return { type: typeof fault, codes: [], message: '', at: [] };
  const { code, meta, cause } = fault as Error & {
    code?: unknown;
    meta?: { code?: unknown; modelName?: unknown; driverAdapterError?: unknown };
  };
  const inner = cause ?? meta?.driverAdapterError;
  const original = (inner as { originalCode?: unknown } | undefined)?.originalCode;
  return {
    type: fault.name,
    codes: [code, meta?.code, meta?.modelName, original].filter((each) => typeof each === 'string'),
    message: withoutQuotes(fault.message),
    at: (fault.stack ?? '')
      .split('\n')
      .filter((line) => /^\s+at /.test(line))
      .slice(0, 12)
      .map((line) => line.trim()),
    ...(inner instanceof Error ? { cause: describeFault(inner) } : {}),
  };
}

/** Databases and parsers quote the values that they stumble over. */
const withoutQuotes = (message: string): string =>
  message
    .replaceAll(/"[^"]*"|'[^']*'|`[^`]*`|\([^)]*\)|\{[^}]*\}|\[[^\]]*\]/gs, '…')
    .replaceAll(/[^\s]*@[^\s]*|\+?\d[\d\s./-]{5,}\d/g, '…')
    .slice(0, 300);

const UUID = /^[0-9a-f]{8}-?[0-9a-f]{4}-?[0-9a-f]{4}-?[0-9a-f]{4}-?[0-9a-f]{12}$/i;

/** A caller's or proxy's X-Request-Id, where it is a UUID with or without its dashes; else our own. */
export function requestIdFrom({ headers: { 'x-request-id': given } }: IncomingMessage): string {
  if (typeof given !== 'string' || !UUID.test(given)) return uuidv7();
  const digits = given.replaceAll('-', '').toLowerCase();
  return digits.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

/** Writes the line when the answer is out. */
export function logRequests(app: FastifyInstance): void {
  app.addHook('onResponse', async (request, reply) => {
    const { signedIn, routeOptions } = request;
    request.log.info(
      {
        method: request.method,
        // The pattern: the address itself may hold names.
        route: routeOptions.url ?? null,
        status: reply.statusCode,
        ms: Math.round(reply.elapsedTime * 10) / 10,
        ...(signedIn === null ? {} : { clinicId: signedIn.clinicId, personId: signedIn.personId }),
      },
      'request',
    );
  });
}
