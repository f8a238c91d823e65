/** Batches and people that are named in the answers of an operation. */
import { judgeBatchUse } from '../../domain/batches.ts';
import type { Answers } from '../../domain/operations.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { loadBatches } from '../../store/batches.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import type { OperationRow } from '../../store/operations.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { notOfLayup } from './lamination.ts';

interface NamedInAnswers {
  readonly batches: readonly { batchId: string; amount: number | null }[];
  readonly secondPersonId: string | null;
}

/**
 * The batches and the second person named in the answers: each must exist here and be usable today.
 * @param drawn batches whose amounts are on record already
 */
export async function judgeNamed(
  act: Act,
  socketId: string,
  { kind, checks }: Pick<OperationRow, 'kind' | 'checks'>,
  answers: Answers,
  drawn: ReadonlySet<string>,
): Promise<NamedInAnswers> {
  const { tx, clinicId } = act;
  const named = checks.flatMap((check) => {
    const answer = answers[check.key];
    return check.kind === 'batch' && typeof answer === 'object' && 'batchId' in answer
      ? [
          {
            check,
            batchId: answer.batchId,
            amount: drawn.has(answer.batchId) ? null : (answer.amount ?? null),
          },
        ]
      : [];
  });
  const reasons: Reason[] = [];
  if (named.length > 0) {
    const on = await todayAtClinic(act);
    const ids = named.map((use) => use.batchId);
    const batches = await loadBatches(tx, clinicId, ids, true);
    for (const { check, batchId, amount } of named) {
      const field = `/answers/${check.key}`;
      const batch = batches.find((row) => row.id === batchId);
      reasons.push(
        ...(batch === undefined
          ? [reason('not-found', { what: 'batch', id: batchId }, field)]
          : judgeBatchUse(batch, { kind: check.batchKind, amount, on }, field)),
      );
    }
    if (kind === 'lay_up') {
      const found = named.flatMap(({ check, batchId }) =>
        batches.filter(({ id }) => id === batchId).map((batch) => ({ check, batch })),
      );
      reasons.push(...(await notOfLayup(act, socketId, found)));
    }
  }
  let secondPersonId: string | null = null;
  for (const check of checks) {
    const answer = answers[check.key];
    if (check.kind !== 'second_person' || typeof answer !== 'object' || !('personId' in answer)) {
      continue;
    }
    secondPersonId = answer.personId;
    const person = await tx.person.findUnique({
      where: { clinicId_id: { clinicId, id: answer.personId } },
    });
    if (!person?.active) {
      reasons.push(
        reason('not-found', { what: 'person', id: answer.personId }, `/answers/${check.key}`),
      );
    }
  }
  refuseIfAny(reasons);
  return { batches: named.filter(({ batchId }) => !drawn.has(batchId)), secondPersonId };
}
