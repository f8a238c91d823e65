/** The callers: a process of their own, so that their work is not counted as the service's. */
import http from 'node:http';
import { performance } from 'node:perf_hooks';
import type { BenchRequest, Load, LoadAnswer } from './load.ts';

process.on('message', (load: Load) => {
  run(load).then(
    (measured) => process.send?.({ measured } satisfies LoadAnswer),
    (failure: unknown) => process.send?.({ failure: String(failure) } satisfies LoadAnswer),
  );
});

async function run({ address, lanes, warm }: Load) {
  const agent = new http.Agent({ keepAlive: true, maxSockets: lanes.length });
  try {
    await Promise.all(lanes.map((lane) => inTurn(agent, address, lane.slice(0, warm))));
    const began = performance.now();
    const latencies = await Promise.all(
      lanes.map((lane) => inTurn(agent, address, lane.slice(warm))),
    );
    return { latenciesMs: latencies.flat(), elapsedMs: performance.now() - began };
  } finally {
    agent.destroy();
  }
}

async function inTurn(
  agent: http.Agent,
  address: string,
  requests: readonly BenchRequest[],
): Promise<number[]> {
  const latencies: number[] = [];
  for (const request of requests) {
    const began = performance.now();
    await send(agent, address, request);
    latencies.push(performance.now() - began);
  }
  return latencies;
}

function send(agent: http.Agent, address: string, request: BenchRequest): Promise<void> {
  const { method, path, headers, body } = request;
  const length = body === undefined ? {} : { 'content-length': Buffer.byteLength(body) };
  return new Promise((resolve, reject) => {
    const sent = http.request(
      `${address}${path}`,
      { method, agent, headers: { ...headers, ...length } },
      (answer) => {
        const chunks: Buffer[] = [];
        answer.on('data', (chunk: Buffer) => chunks.push(chunk));
        answer.on('error', reject);
        answer.on('end', () => {
          const status = answer.statusCode ?? 0;
          if (status >= 200 && status < 300) resolve();
          else {
            const said = Buffer.concat(chunks).toString('utf8');
            reject(new Error(`${method} ${path}: ${String(status)} ${said}`));
          }
        });
      },
    );
    sent.on('error', reject);
    sent.end(body);
  });
}
