/** Sends a request over the wire, and takes as much of the answer as there is. */
import http from 'node:http';
import type { Request } from './bind.ts';

export interface Answer {
  readonly status: number;
  readonly headers: http.IncomingHttpHeaders;
  readonly text: string;
  readonly bytes: Uint8Array;
}

/** Far beyond what any answer takes: a bound against hanging, not a measure of speed. */
const ANSWERED_WITHIN_MS = 60_000;

/** A connection that ends before its answer does, and one whose answer has no end. */
export const ENDLESS = 'no end of the answer in time';

export class Sender {
  readonly #address: URL;
  readonly #agent = new http.Agent({ keepAlive: true, maxSockets: 4 });
  readonly #withinMs: number;

  constructor(address: string, withinMs = ANSWERED_WITHIN_MS) {
    this.#address = new URL(address);
    this.#withinMs = withinMs;
  }

  close(): void {
    this.#agent.destroy();
  }

  /** @throws Error where there is no answer, or none in time */
  send({ method, url, headers, body }: Request): Promise<Answer> {
    return new Promise((resolve, reject) => {
      const { hostname, port } = this.#address;
      const length =
        body === undefined ? {} : { 'content-length': String(Buffer.byteLength(body)) };
      const request = http.request(
        {
          hostname,
          port,
          method,
          path: url,
          headers: { ...headers, ...length },
          agent: this.#agent,
        },
        (response) => {
          const chunks: Buffer[] = [];
          const done = () => {
            clearTimeout(late);
            const bytes = Buffer.concat(chunks);
            resolve({
              status: response.statusCode ?? 0,
              headers: response.headers,
              text: bytes.toString('utf8'),
              bytes,
            });
          };
          response.on('data', (chunk: Buffer) => {
            chunks.push(chunk);
            // What has no end is read until it listens.
            if (
              (response.headers['content-type'] ?? '').includes('event-stream') &&
              chunk.includes('event: listening')
            ) {
              done();
              response.destroy();
            }
          });
          response.on('end', done);
          response.on('error', failed);
          response.on('close', () => {
            if (!response.complete) failed(new Error('the answer was cut off'));
          });
        },
      );
      // Not of the socket's silence: an answer may drip for ever.
      const late = setTimeout(() => {
        request.destroy(new Error(ENDLESS));
      }, this.#withinMs);
      const failed = (failure: Error): void => {
        clearTimeout(late);
        reject(failure);
      };
      request.on('error', failed);
      request.end(body);
    });
  }
}
