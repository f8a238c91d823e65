/**
 * A request that a service has begun to receive and cannot answer before its caller goes on:
 * the headers ask for "100 Continue" (RFC 9110, 10.1.1), so its coming tells that they arrived.
 */
import { once } from 'node:events';
import http from 'node:http';
import type { Answer, Request } from './benchLoad.ts';
import type { TestClinic } from './clinic.ts';

export interface HeldRequest {
  /** Sends the body. */
  goOn(): void;
  /** Rejects where the connection ends without an answer. */
  readonly answer: Promise<Answer & { readonly connection: string | undefined }>;
  cut(): void;
}

/** @param agent keeps the connection alive; each request has its own if left out */
export async function holdRequest(
  { address, people, token }: TestClinic,
  { who, url, body, key }: Request,
  agent: http.Agent | false = false,
): Promise<HeldRequest> {
  const text = JSON.stringify(body ?? {});
  const request = http.request(new URL(url, address), {
    method: 'POST',
    agent,
    headers: {
      authorization: `Bearer ${token(people[who])}`,
      'idempotency-key': key,
      'content-type': 'application/json',
      'content-length': Buffer.byteLength(text),
      expect: '100-continue',
    },
  });
  const answer = answerOf(request);
  answer.catch(() => undefined);
  request.flushHeaders();
  await once(request, 'continue');
  return { goOn: () => request.end(text), answer, cut: () => request.destroy() };
}

async function answerOf(request: http.ClientRequest): ReturnType<typeof read> {
  const [response] = (await once(request, 'response')) as [http.IncomingMessage];
  return read(response);
}

async function read(response: http.IncomingMessage) {
  let text = '';
  for await (const chunk of response) text += String(chunk);
  return {
    status: response.statusCode ?? 0,
    body: JSON.parse(text) as Answer['body'],
    replayed: response.headers['idempotency-replayed'] === 'true',
    connection: response.headers.connection,
  };
}
