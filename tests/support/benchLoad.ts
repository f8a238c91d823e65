/**
 * People at work over HTTP: each does one thing after the other, notes what was answered, and
 * when an answer is lost sends the same request again under its key to the next service.
 */
import { randomUUID } from 'node:crypto';
import type { Role } from '../../src/domain/words.ts';
import { shopAt, type Shop } from './job.ts';

/** One thing to do. */
export interface Task {
  readonly who: Role;
  readonly url: string;
  readonly body?: object;
  /** The event that doing it writes, exactly once. */
  readonly event: string;
}

export interface Request extends Task {
  readonly key: string;
}

export interface Answer {
  readonly status: number;
  readonly body: Readonly<Record<string, unknown>>;
  /** Not done now, but before: the first answer again. */
  readonly replayed: boolean;
}

export interface Acknowledged {
  readonly request: Request;
  readonly answer: Answer;
}

/** Names the next task once it knows how the last one was answered. */
export type Worker = Generator<Task, never, Answer>;

interface Bench {
  readonly worker: Worker;
  request: Request;
  /** Sent before to a service that was killed; it may have been done. */
  unanswered: boolean;
}

export class BenchLoad {
  readonly #benches: Bench[];
  #underWay = 0;
  readonly acknowledged: Acknowledged[] = [];
  readonly refused: Acknowledged[] = [];
  /** Answers to requests that an earlier service had left unanswered. */
  readonly sentAgain: Acknowledged[] = [];

  constructor(workers: readonly Worker[]) {
    this.#benches = workers.map((worker) => ({
      worker,
      request: keyed(firstOf(worker)),
      unanswered: false,
    }));
  }

  get underWay(): number {
    return this.#underWay;
  }

  /** What was sent and not answered, when the service was killed. */
  get unanswered(): readonly Request[] {
    return this.#benches.filter((bench) => bench.unanswered).map((bench) => bench.request);
  }

  /**
   * Works until the service is gone.
   * @param onAcknowledged told after each; the place to kill the service.
   */
  async workAt(shop: Shop, address: string, onAcknowledged: () => void): Promise<void> {
    const here = shopAt(shop, address);
    await Promise.all(this.#benches.map((bench) => this.#work(bench, here, onAcknowledged)));
  }

  async #work(bench: Bench, shop: Shop, onAcknowledged: () => void): Promise<void> {
    for (;;) {
      this.#underWay += 1;
      const answer = await send(shop, bench.request).finally(() => (this.#underWay -= 1));
      if (answer === undefined) {
        bench.unanswered = true;
        return;
      }
      const done = { request: bench.request, answer };
      (answer.status < 300 ? this.acknowledged : this.refused).push(done);
      if (bench.unanswered) this.sentAgain.push(done);
      bench.unanswered = false;
      bench.request = keyed(bench.worker.next(answer).value);
      if (answer.status < 300) onAcknowledged();
    }
  }

  /** Settles what is left unanswered, and begins nothing new. */
  async settleAt(shop: Shop, address: string): Promise<void> {
    const here = shopAt(shop, address);
    for (const bench of this.#benches.filter(({ unanswered }) => unanswered)) {
      const answer = await send(here, bench.request);
      if (answer === undefined) throw new Error(`no answer to ${bench.request.url}`);
      const done = { request: bench.request, answer };
      (answer.status < 300 ? this.acknowledged : this.refused).push(done);
      this.sentAgain.push(done);
      bench.unanswered = false;
    }
  }
}

const keyed = (task: Task): Request => ({ ...task, key: randomUUID() });

function firstOf(worker: Worker): Task {
  return worker.next().value;
}

/** Undefined where the connection ended without an answer. */
export async function send(shop: Shop, request: Request): Promise<Answer | undefined> {
  const { who, url, body, key } = request;
  try {
    const answer = await shop.clinic.as(who).post(url, body, { key });
    const replayed = answer.headers['idempotency-replayed'] === 'true';
    return { status: answer.status, body: answer.body as Answer['body'], replayed };
  } catch (failure) {
    // Where it could not even connect, supertest leaves the code in the message only.
    const { code, message } = failure as { code?: string; message: string };
    if (/^(?:ECONNRESET|ECONNREFUSED|EPIPE)\b/.test(code ?? message)) return undefined;
    throw failure;
  }
}
