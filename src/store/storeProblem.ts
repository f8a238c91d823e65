/** What can stop the store from opening. Codes are stable; the words are for whoever starts the service. */
export type StoreProblemCode =
  | 'folder-held'
  | 'other-postgres-version'
  | 'folder-unreadable'
  | 'backup-unusable'
  | 'column-key-other'
  | 'migration-failed'
  | 'migration-unreadable'
  | 'migration-changed'
  | 'migration-unknown'
  | 'migration-half-applied';

/** A start-up refusal of the store: what is wrong, and the way out, in words. */
export class StoreProblem extends Error {
  readonly code: StoreProblemCode;
  readonly wayOut: string;

  constructor(code: StoreProblemCode, what: string, wayOut: string, cause?: unknown) {
    super(`${what} ${wayOut}`, cause === undefined ? {} : { cause });
    this.name = 'StoreProblem';
    this.code = code;
    this.wayOut = wayOut;
  }
}
