/** Requests sent by so many callers at once, each its own in turn. */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

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

export interface Timed {
  readonly latenciesMs: readonly number[];
  readonly elapsedMs: number;
}

export interface Measured extends Timed {
  /** Processor time of this process for one request, those that only warm up among them. */
  readonly cpuMs: number;
}

export type LoadAnswer = { readonly measured: Timed } | { readonly failure: string };

export interface Callers {
  /** Any answer but 2xx ends the run. */
  send(load: Load): Promise<Measured>;
  close(): Promise<void>;
}

export function startCallers(): Callers {
  const callers = fork(fileURLToPath(new URL('./loadCallers.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx'],
  });
  return {
    send: async (load) => {
      const before = process.cpuUsage();
      callers.send(load);
      const [answer] = (await once(callers, 'message')) as [LoadAnswer];
      if ('failure' in answer) throw new Error(answer.failure);
      const { user, system } = process.cpuUsage(before);
      const requests = load.lanes.reduce((sum, lane) => sum + lane.length, 0);
      return { ...answer.measured, cpuMs: (user + system) / 1000 / requests };
    },
    close: async () => {
      const gone = once(callers, 'exit');
      callers.disconnect();
      await gone;
    },
  };
}
