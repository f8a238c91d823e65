/**
 * Evidence about hardware in place counts only while nothing has moved since
 * (R4, R7). That is not decided by comparing clocks, which can stand still, run
 * backwards or disagree between machines: the evidence notes the id of the last
 * move of every item it was taken on, and it counts while these are still the
 * last moves. Any move of any of the items, in or out, changes the set, and so
 * does another item taking part. A piece that came later and has left again
 * changes nothing in the set: the ledger counts what has left (see `Evidence`).
 *
 * @param coveredMoveIds last moves of the items when the evidence was taken;
 *   none where anything has left since
 * @param currentMoveIds last moves of the items that are there now; none there
 *   (an empty joint) is never covered
 */
export function coversLastMoves(
  coveredMoveIds: readonly string[],
  currentMoveIds: readonly string[],
): boolean {
  const covered = new Set(coveredMoveIds);
  const current = new Set(currentMoveIds);
  return (
    current.size > 0 && covered.size === current.size && [...current].every((id) => covered.has(id))
  );
}
