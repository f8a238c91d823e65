/** Requests sent by so many callers at once, each its own in turn. */
import { once } from 'node:events';
import { Worker } from 'node:worker_threads';

export interface BenchRequest {
  readonly method: 'GET' | 'POST';
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string | undefined;
}

export interface Load {
  readonly address: string;
  readonly lanes: readonly (readonly BenchRequest[])[];
  /** Requests at the head of each lane that are sent and not counted. */
  readonly warm: number;
}

export interface Measured {
  readonly latenciesMs: readonly number[];
  readonly elapsedMs: number;
}

export type LoadAnswer = { readonly measured: Measured } | { readonly failure: string };

export interface Callers {
  /** Any answer but 2xx ends the run. */
  send(load: Load): Promise<Measured>;
  close(): Promise<void>;
}

export function startCallers(): Callers {
  const worker = new Worker(new URL('./loadWorker.ts', import.meta.url));
  return {
    send: async (load) => {
      worker.postMessage(load);
      const [answer] = (await once(worker, 'message')) as [LoadAnswer];
      if ('failure' in answer) throw new Error(answer.failure);
      return answer.measured;
    },
    close: async () => {
      await worker.terminate();
    },
  };
}
