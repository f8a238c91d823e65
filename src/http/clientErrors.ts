/** What goes wrong before there is a request: answered on the bare socket, in problem details all the same. */
import type { Socket } from 'node:net';
import { STATUS_CODES } from 'node:http';
import { v7 as uuidv7 } from 'uuid';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';
import { problemFrom, PROBLEM_MEDIA_TYPE } from './problems.ts';

export function answerClientError(failure: Error & { code?: string }, socket: Socket): void {
  if (failure.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const late = failure.code === 'ERR_HTTP_REQUEST_TIMEOUT';
  const refusal = late ? reason('request-timed-out', {}) : reason('http-malformed', {});
  const { status, problem } = problemFrom(new Refused([refusal]), uuidv7());
  const body = JSON.stringify(problem);
  socket.end(
    [
      `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}`,
      `Content-Type: ${PROBLEM_MEDIA_TYPE}`,
      `Content-Length: ${Buffer.byteLength(body)}`,
      'Connection: close',
      '',
      body,
    ].join('\r\n'),
  );
}
