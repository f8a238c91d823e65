/** Sends a request over the wire, and takes as much of the answer as there is. */
import http from 'node:http';
import type { Request } from './bind.ts';

export interface Answer {
  readonly status: number;
  readonly headers: http.IncomingHttpHeaders;
  readonly text: string;
}

/** Far beyond what any answer takes: a bound against hanging, not a measure of speed. */
const ANSWERED_WITHIN_MS = 60_000;

export class Sender {
  readonly #address: URL;
  readonly #agent = new http.Agent({ keepAlive: true, maxSockets: 4 });

  constructor(address: string) {
    this.#address = new URL(address);
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
            resolve({
              status: response.statusCode ?? 0,
              headers: response.headers,
              text: Buffer.concat(chunks).toString('utf8'),
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
          response.on('error', reject);
        },
      );
      request.setTimeout(ANSWERED_WITHIN_MS, () => {
        request.destroy(new Error('no answer in time'));
      });
      request.on('error', reject);
      request.end(body);
    });
  }
}
