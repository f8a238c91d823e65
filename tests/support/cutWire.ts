/** A phone that loses the network: sends a request, or a part of it, and is gone before any answer. */
import net from 'node:net';
import type { Request } from './benchLoad.ts';
import type { TestClinic } from './clinic.ts';

/**
 * @param part how much of the body is sent; all of it if left out
 */
export async function sendAndCut(
  { address, people, token }: TestClinic,
  request: Request,
  part = 1,
): Promise<void> {
  const body = Buffer.from(JSON.stringify(request.body ?? {}), 'utf8');
  const head = [
    `POST ${request.url} HTTP/1.1`,
    `Host: ${new URL(address).host}`,
    `Authorization: Bearer ${token(people[request.who])}`,
    `Idempotency-Key: ${request.key}`,
    'Content-Type: application/json',
    `Content-Length: ${body.length}`,
    '',
    '',
  ].join('\r\n');
  const { hostname, port } = new URL(address);
  const socket = net.connect(Number(port), hostname);
  const sent = Buffer.concat([
    Buffer.from(head, 'utf8'),
    body.subarray(0, Math.floor(body.length * part)),
  ]);
  await new Promise<void>((resolve, reject) => {
    socket.once('error', reject);
    socket.once('close', () => {
      resolve();
    });
    socket.write(sent, () => socket.destroy());
  });
}
