/** Long work as it is asked for and followed over the API, and doers of it beside the service. */
import { runLongWork } from '../../src/features/longWork/runner.ts';
import { listenToChanges } from '../../src/store/changes.ts';
import { silentLog } from '../../src/store/database.ts';
import type { Store } from '../../src/store/open.ts';
import type { Role } from '../../src/domain/words.ts';
import { expect } from 'vitest';
import type { TestClinic } from './clinic.ts';
import { ok } from './shop.ts';

export interface Work {
  readonly id: string;
  readonly state: string;
  readonly done: number;
  readonly total: number | null;
  readonly summary: Readonly<Record<string, number>> | null;
  readonly failure: { readonly code: string } | null;
  readonly askedBy: { readonly printedName: string };
  readonly askedCount: number | null;
  readonly orderNumber: string | null;
}

/** A process' doer of long work; `stop()` it. */
export function aDoer(store: Store, now: () => Date): { stop: () => Promise<void> } {
  const changes = listenToChanges(store);
  const runner = runLongWork({ store, changes, log: silentLog, now });
  return {
    stop: async () => {
      await runner.stop();
      await changes.close();
    },
  };
}

export const ask = (clinic: TestClinic, who: Role, body: object): Promise<Work> =>
  ok<Work>(clinic.as(who).post('/api/v1/long-works', body));

export const look = (clinic: TestClinic, who: Role, id: string): Promise<Work> =>
  ok<Work>(clinic.as(who).get(`/api/v1/long-works/${id}`));

/** The work, once it is so. */
export async function whenSo(
  clinic: TestClinic,
  who: Role,
  id: string,
  isSo: (work: Work) => boolean,
): Promise<Work> {
  let seen: Work | undefined;
  await expect
    .poll(
      async () => {
        seen = await look(clinic, who, id);
        return isSo(seen);
      },
      { interval: 5, timeout: 30_000 },
    )
    .toBe(true);
  return seen!;
}

export const whenEnded = (clinic: TestClinic, who: Role, id: string): Promise<Work> =>
  whenSo(clinic, who, id, ({ state }) => state !== 'waiting' && state !== 'running');

/** Asks, and waits until it has ended. */
export async function doneWork(clinic: TestClinic, who: Role, body: object): Promise<Work> {
  const { id } = await ask(clinic, who, body);
  return whenEnded(clinic, who, id);
}

export async function resultOf(clinic: TestClinic, who: Role, id: string): Promise<string> {
  const answer = await clinic
    .as(who)
    .get(`/api/v1/long-works/${id}/result`)
    .buffer(true)
    .parse((stream, done) => {
      const chunks: Buffer[] = [];
      const reading = stream as unknown as NodeJS.ReadableStream;
      reading.on('data', (chunk: Buffer) => void chunks.push(chunk));
      reading.on('end', () => done(null, Buffer.concat(chunks).toString('utf8')));
    });
  expect(answer.status).toBe(200);
  return answer.body;
}
