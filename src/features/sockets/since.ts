/** What others recorded about the same work between its recording at the bench and its arrival. */
import { judgeAttemptsKnown } from '../../domain/benchTime.ts';
import type { Act } from '../../store/act.ts';
import { attemptsAt, cupsSince, findingsSince } from '../../store/benchTime.ts';
import type { OperationRow } from '../../store/operations.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { cupsOf } from '../../store/resin.ts';

/**
 * Ends the act where an operation was recorded, or something found on it, by somebody else
 * meanwhile; a lamination also where a cup was weighed after it, which it cannot have poured.
 */
export async function refuseIfRecordedSince(
  act: Act,
  socketId: string,
  { id, kind, title }: Pick<OperationRow, 'id' | 'kind' | 'title'>,
  attemptsKnown: number | undefined,
): Promise<void> {
  const { benchAt } = act;
  const me = act.by.personId;
  if (attemptsKnown !== undefined) {
    refuseIfAny(judgeAttemptsKnown(`“${title}”`, await attemptsAt(act, id), attemptsKnown, me));
  }
  if (benchAt === null) return;
  const found = await findingsSince(act, id, benchAt);
  refuseIfAny(judgeAttemptsKnown(`A finding on “${title}”`, found, 0, me));
  if (kind !== 'laminate') return;
  const cups = await cupsOf(act, socketId);
  if (cups === null) return;
  const weighed = await cupsSince(act, cups.recipe.id, benchAt, null);
  refuseIfAny(judgeAttemptsKnown('A cup', weighed, 0, me));
}

/** Ends the act where somebody else weighed the same cup meanwhile. */
export async function refuseIfWeighedSince(
  act: Act,
  recipeId: string,
  pour: number,
): Promise<void> {
  if (act.benchAt === null) return;
  const weighed = await cupsSince(act, recipeId, act.benchAt, pour);
  refuseIfAny(judgeAttemptsKnown(`Cup ${pour}`, weighed, 0, act.by.personId));
}
