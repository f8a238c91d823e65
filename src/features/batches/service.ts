import { v7 as uuidv7 } from 'uuid';
import { isBefore, type Day } from '../../domain/days.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import { uuid } from '../../http/fields.ts';
import type { Act } from '../../store/act.ts';
import { listBatches, loadBatches, usesOfBatch, type BatchRow } from '../../store/batches.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { asStored } from '../../store/days.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import type { BatchQuery, BatchToAdd, BatchView, BatchWithUses } from './schemas.ts';

/** A batch with what is left of it and every socket it went into. */
export async function readBatch(act: Act, batchId: string): Promise<BatchWithUses> {
  const batch = await loadBatch(act, batchId);
  return {
    ...batchView(batch, await todayAtClinic(act)),
    uses: await usesOfBatch(act, batchId),
  };
}

export async function findBatches(act: Act, query: BatchQuery): Promise<Page<BatchView>> {
  const today = await todayAtClinic(act);
  const rows = await listBatches(act, {
    kind: query.kind ?? null,
    lot: query.lot ?? null,
    usableOn: query.usable === undefined ? null : today,
    afterId: readCursor(uuid(), query.after) ?? null,
    take: query.limit + 1,
  });
  return pageFrom(
    rows,
    query.limit,
    (row) => row.id,
    (row) => batchView(row, today),
  );
}

/** Enters a batch as it came. @throws Refused 'lot-taken', 'day-in-future', 'day-order-wrong'. */
export async function addBatch(act: Act, input: BatchToAdd): Promise<BatchView> {
  const { clinicId } = act;
  const { kind, name, lot, receivedOn, quantity, unit } = input;
  const expiresOn = input.expiresOn ?? null;
  const today = await todayAtClinic(act);
  refuseIfAny([
    ...notInFuture('The day of receipt', receivedOn, today, '/receivedOn'),
    ...(expiresOn !== null && isBefore(expiresOn, receivedOn)
      ? [notBefore('The last day of use', expiresOn, receivedOn, '/expiresOn')]
      : []),
  ]);
  const id = uuidv7();
  try {
    await act.tx.batch.create({
      data: {
        clinicId,
        id,
        kind,
        name,
        lot,
        receivedOn: asStored(receivedOn),
        expiresOn: expiresOn === null ? null : asStored(expiresOn),
        quantity,
        unit,
        createdAt: act.at,
        createdById: act.by.personId,
      },
    });
  } catch (failure) {
    if (!isUniqueClash(failure, 'lot')) throw failure;
    throw new Refused([reason('lot-taken', { kind, lot }, '/lot')], { cause: failure });
  }
  act.record({
    kind: 'batch.received',
    subjectKind: 'batch',
    subjectId: id,
    data: { kind, name, lot, receivedOn, expiresOn, quantity, unit },
  });
  return batchView(await loadBatch(act, id), today);
}

/** Says on which day a batch was opened. */
export async function openBatch(
  act: Act,
  batchId: string,
  openedOn: Day | undefined,
): Promise<BatchView> {
  const batch = await loadBatch(act, batchId, true);
  const { lot } = batch;
  const today = await todayAtClinic(act);
  const on = openedOn ?? today;
  if (batch.openedOn !== null) {
    throw new Refused([reason('batch-already-open', { lot, openedOn: batch.openedOn })]);
  }
  if (batch.quarantined) throw new Refused([reason('batch-quarantined', { lot })]);
  refuseIfAny([
    ...notInFuture('The day of opening', on, today, '/openedOn'),
    ...(isBefore(on, batch.receivedOn)
      ? [notBefore('The day of opening', on, batch.receivedOn, '/openedOn')]
      : []),
  ]);
  await act.tx.batch.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: batchId } },
    data: { openedOn: asStored(on), version: { increment: 1 } },
  });
  act.record({
    kind: 'batch.opened',
    subjectKind: 'batch',
    subjectId: batchId,
    data: { lot, before: null, after: on },
  });
  return batchView(await loadBatch(act, batchId), today);
}

/** Puts a batch into quarantine: nothing more is drawn from it, and what it is in is not delivered (R8). */
export async function quarantineBatch(
  act: Act,
  batchId: string,
  why: string,
): Promise<BatchWithUses> {
  const { lot, quarantined } = await loadBatch(act, batchId, true);
  if (quarantined) throw new Refused([reason('batch-already-quarantined', { lot })]);
  await act.tx.batch.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: batchId } },
    data: { quarantinedAt: act.at, quarantineReason: why, version: { increment: 1 } },
  });
  act.record({
    kind: 'batch.quarantined',
    subjectKind: 'batch',
    subjectId: batchId,
    data: { lot, before: false, after: true, why },
  });
  return readBatch(act, batchId);
}

/** With `lock` the batch is held, so that it is not drawn from while it is judged. */
async function loadBatch(act: Act, batchId: string, lock = false): Promise<BatchRow> {
  const [batch] = await loadBatches(act.tx, act.clinicId, [batchId], lock);
  return found(batch, () => reason('not-found', { what: 'batch', id: batchId }));
}

const batchView = (batch: BatchRow, today: Day): BatchView => ({
  ...batch,
  expired: batch.expiresOn !== null && isBefore(batch.expiresOn, today),
});

const notInFuture = (what: string, day: Day, today: Day, field: string): Reason[] =>
  isBefore(today, day) ? [reason('day-in-future', { what, day, today }, field)] : [];

const notBefore = (what: string, day: Day, earliest: Day, field: string): Reason =>
  reason('day-order-wrong', { what, day, earliest }, field);
