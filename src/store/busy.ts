/**
 * True where the database was not reachable, gave no turn or took too long: no
 * fault of the request, nothing was written, and the same request may go through
 * in a moment.
 */
export function isBusy(failure: unknown): boolean {
  if (!(failure instanceof Error)) return false;
  const { code, meta, cause } = failure as Error & {
    code?: unknown;
    meta?: { code?: unknown; driverAdapterError?: { cause?: { originalCode?: unknown } } };
    cause?: { originalCode?: unknown };
  };
  const codes = [
    code,
    meta?.code,
    meta?.driverAdapterError?.cause?.originalCode,
    cause?.originalCode,
  ];
  return (
    codes.some((each) => typeof each === 'string' && BUSY.has(each)) ||
    LOST_WITHOUT_CODE.test(failure.message)
  );
}

/** What pg 8 says of a full pool and of a lost connection, without any code. */
const LOST_WITHOUT_CODE =
  /^(?:timeout exceeded when trying to connect|Connection terminated\b.*|Client has encountered a connection error and is not queryable|Client was closed and is not queryable)$/;

/**
 * Prisma: P1001 unreachable, P1002 and P1008 timed out, P1017 connection closed, P2024 no
 * connection, P2028 no turn or transaction too long. PostgreSQL: 53300 too many connections,
 * 55P03 lock not available, 57014 statement timeout, 57P01 and 57P03 shutting down or starting,
 * 25P03 idle too long, 08… connection lost.
 */
const BUSY: ReadonlySet<string> = new Set([
  'P1001',
  'P1002',
  'P1008',
  'P1017',
  'P2024',
  'P2028',
  '53300',
  '55P03',
  '57014',
  '57P01',
  '57P03',
  '25P03',
  '08000',
  '08003',
  '08006',
  'ECONNREFUSED',
  'ECONNRESET',
]);
