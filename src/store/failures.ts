import { REASONS, reason, type Facts, type ReasonCode } from '../domain/reasons/index.ts';
import { Refused } from './refused.ts';

/**
 * What the database says, in the catalogue's words. Rules that the database
 * holds raise SQLSTATE R…, with a message of code and facts; a lost race on a
 * unique key and a foreign row have codes of PostgreSQL's own. Whatever is
 * unknown stays what it was, and becomes a 500 with its cause in the log.
 */
export function asRefusal(failure: unknown): unknown {
  const origin = originOf(failure);
  if (origin?.code.startsWith('R') !== true) return failure;
  const raised = /(?:^|\s)([a-z][a-z-]+) (\{.*\})/s.exec(origin.message);
  const code = raised?.[1];
  const facts = factsIn(raised?.[2]);
  if (code === undefined || !(code in REASONS) || facts === undefined) return failure;
  // The migration and the catalogue agree on the facts of each code; a test provokes every one.
  return new Refused([reason(code as ReasonCode, facts as never)], { cause: failure });
}

function factsIn(json: string | undefined): Facts | undefined {
  if (json === undefined) return undefined;
  try {
    return JSON.parse(json) as Facts;
  } catch {
    return undefined;
  }
}

/** Deadlock or serialisation failure: nothing was written, the same work may go through next time. */
export function isWorthAnotherTry(failure: unknown): boolean {
  const code = originOf(failure)?.code;
  return code === '40001' || code === '40P01' || code === 'P2034';
}

/**
 * True where a unique key stood in the way; the columns say which. The key is known
 * by its name, which holds the names of its columns (`place_clinic_id_name_key`).
 */
export function isUniqueClash(failure: unknown, ...columns: readonly string[]): boolean {
  const origin = originOf(failure);
  if (origin === undefined || (origin.code !== '23505' && origin.code !== 'P2002')) return false;
  return columns.every((column) => origin.message.includes(`_${column}_`));
}

/** True where two rows would take the same time (an exclusion constraint). */
export const isExclusionClash = (failure: unknown): boolean => originOf(failure)?.code === '23P01';

interface Origin {
  readonly code: string;
  readonly message: string;
}

/** PostgreSQL's own code and message, which Prisma wraps differently by path (model call, raw call). */
function originOf(failure: unknown): Origin | undefined {
  if (!(failure instanceof Error)) return undefined;
  const known = failure as Error & {
    code?: unknown;
    meta?: {
      code?: unknown;
      message?: unknown;
      driverAdapterError?: { cause?: { originalCode?: unknown; originalMessage?: unknown } };
    };
    cause?: { originalCode?: unknown; originalMessage?: unknown };
  };
  const driver = known.meta?.driverAdapterError?.cause ?? known.cause;
  const code = [driver?.originalCode, known.meta?.code, known.code].find(
    (c) => typeof c === 'string',
  );
  if (typeof code !== 'string') return undefined;
  const message = [driver?.originalMessage, known.meta?.message, known.message].find(
    (m) => typeof m === 'string',
  );
  return { code, message: typeof message === 'string' ? message : '' };
}
