/** What goes wrong before there is a request: answered on the bare socket, in problem details all the same. */
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import type { Socket } from 'node:net';
import { STATUS_CODES } from 'node:http';
import { v7 as uuidv7 } from 'uuid';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';
import { problemFrom, PROBLEM_MEDIA_TYPE } from './problems.ts';

/** @param headers that stand on every answer */
export const clientErrorsWith =
  (headers: Readonly<Record<string, string>>) =>
  (failure: Error & { code?: string }, socket: Socket): void => {
    answerClientError(failure, socket, headers);
  };

export function answerClientError(
  failure: Error & { code?: string },
  socket: Socket,
  headers: Readonly<Record<string, string>> = {},
): void {
  if (failure.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const late = failure.code === 'ERR_HTTP_REQUEST_TIMEOUT';
  const refusal = late ? reason('request-timed-out', {}) : reason('http-malformed', {});
  const requestId = uuidv7();
  const { status, problem } = problemFrom(new Refused([refusal]), requestId);
  const body = JSON.stringify(problem);
  socket.end(
    [
      `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}`,
      `Content-Type: ${PROBLEM_MEDIA_TYPE}`,
      `Content-Length: ${Buffer.byteLength(body)}`,
      'Connection: close',
      'Cache-Control: no-store',
      `X-Request-Id: ${requestId}`,
      ...Object.entries(headers).map(([name, value]) => `${name}: ${value}`),
      '',
      body,
    ].join('\r\n'),
  );
}

/** Node answers an Expect that is not 100-continue by itself, without a word; here it is problem details. */
export function answerExpectations(
  server: Server,
  headers: Readonly<Record<string, string>>,
): void {
  server.on('checkExpectation', (_request: IncomingMessage, response: ServerResponse) => {
    const requestId = uuidv7();
    const refusal = new Refused([reason('expectation-unknown', {})]);
    const { status, problem } = problemFrom(refusal, requestId);
    response
      .writeHead(status, {
        ...headers,
        'content-type': PROBLEM_MEDIA_TYPE,
        'cache-control': 'no-store',
        'x-request-id': requestId,
        connection: 'close',
      })
      .end(JSON.stringify(problem));
  });
}
