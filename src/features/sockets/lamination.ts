/** What the record of layup and resin says to an operation that is being recorded (C2, C3). */
import type { Answers, Check } from '../../domain/operations.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { judgeCure } from '../../domain/weighing.ts';
import { workedAt, type Act } from '../../store/act.ts';
import type { BatchRow } from '../../store/batches.ts';
import { newestLayup } from '../../store/layups.ts';
import type { OperationRow } from '../../store/operations.ts';
import { cupsOf } from '../../store/resin.ts';

/** What stops the curing of a socket: its resin had less time than its sheet asks. None where no recipe says what it was. */
export async function stopsOfCure(
  act: Act,
  socketId: string,
  operations: readonly OperationRow[],
  operation: OperationRow,
  answers: Answers,
): Promise<Reason[]> {
  if (operation.kind !== 'cure') return [];
  const lamination = operations.findLast(
    ({ kind, state }) => kind === 'laminate' && state === 'done',
  );
  const cups = await cupsOf(act, socketId);
  if (lamination?.doneAt == null || cups === null) return [];
  const { product } = cups.recipe;
  return judgeCure(
    { laminatedAt: lamination.doneAt, at: workedAt(act), product },
    operation.checks,
    answers,
  );
}

/** 'fabric-not-in-layup' for each batch laid up that is a roll of a fabric which the cut list does not have. */
export async function notOfLayup(
  act: Act,
  socketId: string,
  named: readonly { readonly check: Check; readonly batch: BatchRow }[],
): Promise<Reason[]> {
  const layup = await newestLayup(act, socketId);
  if (layup === null) return [];
  const cut = new Set(layup.figures.cutList.map(({ fabricId }) => fabricId));
  return named.flatMap(({ check, batch: { lot, fabricId, fabric } }) =>
    fabricId === null || cut.has(fabricId)
      ? []
      : [
          reason(
            'fabric-not-in-layup',
            { lot, fabric: fabric ?? fabricId, layup: layup.running },
            `/answers/${check.key}`,
          ),
        ],
  );
}
