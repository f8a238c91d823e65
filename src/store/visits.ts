import type { Tx } from './act.ts';

/** The open service visit of a socket; null where there is none. */
export async function openVisitOf(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<{ id: string } | null> {
  return tx.serviceVisit.findFirst({
    where: { clinicId, socketId, closedAt: null },
    select: { id: true },
  });
}
