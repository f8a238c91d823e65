/** A store that fails at a chosen statement: what a full disk, a cut wire or a bug would do there. */
import type { Store } from '../../src/store/open.ts';

const RAW = new Set(['$queryRaw', '$executeRaw', '$queryRawUnsafe', '$executeRawUnsafe']);

type Call = (...args: unknown[]) => unknown;

/** Counts the statements of what runs on its store, and fails one of them. */
export class Breakage {
  #statements = 0;
  #at = 0;
  #failure: () => Error = () => new Error('nothing is armed');
  #answerOfCommitLost: (() => Error) | undefined;

  /** True once the armed statement has failed. */
  get broke(): boolean {
    return this.#at > 0 && this.#statements >= this.#at;
  }

  /** The n-th statement from here on fails; the end of each transaction counts as one, before it commits. */
  arm(statement: number, failure: () => Error): void {
    this.#statements = 0;
    this.#at = statement;
    this.#failure = failure;
  }

  /** The next transaction that records an answer commits, and its caller never hears of it. */
  loseAnswerOfCommit(failure: () => Error): void {
    this.#answerOfCommitLost = failure;
  }

  disarm(): void {
    this.arm(0, this.#failure);
    this.#answerOfCommitLost = undefined;
  }

  readonly store = (whole: Store): Store => {
    const prisma = new Proxy(whole.prisma, {
      get: (client, name) =>
        name === '$transaction'
          ? (work: (tx: unknown) => Promise<unknown>, options?: object) =>
              this.#transaction(client.$transaction.bind(client) as Call, work, options)
          : Reflect.get(client, name),
    });
    return { ...whole, prisma };
  };

  async #transaction(
    begin: Call,
    work: (tx: unknown) => Promise<unknown>,
    options: object | undefined,
  ): Promise<unknown> {
    let answers = false;
    const value = await begin(async (tx: object) => {
      const made = await work(
        this.#watched(tx, (sql) => (answers ||= sql.includes('insert into idempotency_key'))),
      );
      this.#count();
      return made;
    }, options);
    const lost = this.#answerOfCommitLost;
    if (answers && lost !== undefined) {
      this.#answerOfCommitLost = undefined;
      throw lost();
    }
    return value;
  }

  /** The transaction, or one model of it, with every statement counted before it is sent. */
  #watched(of: object, heard: (sql: string) => void): object {
    return new Proxy(of, {
      get: (target, name) => {
        const member: unknown = Reflect.get(target, name);
        if (typeof member === 'function' && RAW.has(String(name))) {
          return async (...args: unknown[]) => {
            this.#count();
            heard(String(args[0]));
            return (member as Call).apply(target, args);
          };
        }
        if (typeof member === 'object' && member !== null) return this.#watchedModel(member);
        return member;
      },
    });
  }

  #watchedModel(model: object): object {
    return new Proxy(model, {
      get: (target, name) => {
        const member: unknown = Reflect.get(target, name);
        if (typeof member !== 'function') return member;
        return async (...args: unknown[]) => {
          this.#count();
          return (member as Call).apply(target, args);
        };
      },
    });
  }

  #count(): void {
    this.#statements += 1;
    if (this.#statements === this.#at) throw this.#failure();
  }
}
