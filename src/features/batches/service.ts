import { v7 as uuidv7 } from 'uuid';
import { isBefore, type Day } from '../../domain/days.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import { uuid } from '../../http/fields.ts';
import type { Act } from '../../store/act.ts';
import { listBatches, loadBatches, usesOfBatch, type BatchRow } from '../../store/batches.ts';
import { loadClinic, todayAtClinic } from '../../store/clinic.ts';
import { asStored } from '../../store/days.ts';
import { loadFabric } from '../../store/fabrics.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { loadResinProduct } from '../../store/resinProducts.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { BatchChange, BatchQuery, BatchToAdd, BatchView, BatchWithUses } from './schemas.ts';

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

/**
 * Enters a batch as it came.
 * @throws Refused 'lot-taken', 'day-in-future', 'day-order-wrong', 'resin-product-withdrawn', 'fabric-withdrawn',
 *   'prices-without-currency'.
 */
export async function addBatch(act: Act, input: BatchToAdd): Promise<BatchView> {
  const { clinicId } = act;
  const { kind, name, lot, receivedOn, quantity, unit } = input;
  const expiresOn = input.expiresOn ?? null;
  const { resinProductId = null, fabricId = null, priceMinor = null } = input;
  const today = await todayAtClinic(act);
  refuseIfAny([
    ...notInFuture('The day of receipt', receivedOn, today, '/receivedOn'),
    ...(expiresOn !== null && isBefore(expiresOn, receivedOn)
      ? [notBefore('The last day of use', expiresOn, receivedOn, '/expiresOn')]
      : []),
    ...(await againstProduct(act, resinProductId)),
    ...(await againstFabric(act, fabricId)),
    ...(await againstPrice(act, priceMinor)),
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
        resinProductId,
        fabricId,
        priceMinor,
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
    data: {
      kind,
      name,
      lot,
      receivedOn,
      expiresOn,
      quantity,
      unit,
      resinProductId,
      fabricId,
      priceMinor,
    },
  });
  return batchView(await loadBatch(act, id), today);
}

async function againstProduct(act: Act, productId: string | null): Promise<Reason[]> {
  if (productId === null) return [];
  const field = '/resinProductId';
  const { active, name } = await loadResinProduct(act, productId, field);
  return active ? [] : [reason('resin-product-withdrawn', { product: name }, field)];
}

async function againstFabric(act: Act, fabricId: string | null): Promise<Reason[]> {
  if (fabricId === null) return [];
  const field = '/fabricId';
  const { active, name } = await loadFabric(act, fabricId, field);
  return active ? [] : [reason('fabric-withdrawn', { fabric: name }, field)];
}

async function againstPrice(act: Act, priceMinor: number | null): Promise<Reason[]> {
  if (priceMinor === null) return [];
  const { currency } = await loadClinic(act.tx, act.clinicId);
  return currency === null ? [reason('prices-without-currency', {}, '/priceMinor')] : [];
}

/**
 * Enters or corrects the price of a batch, from the version that was read.
 * @throws Refused 'version-is-stale', 'prices-without-currency'.
 */
export async function changeBatch(
  act: Act,
  batchId: string,
  change: BatchChange,
  expectedVersion: number,
): Promise<BatchView> {
  const before = await loadBatch(act, batchId, true);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const today = await todayAtClinic(act);
  const changes = changesOf(before, change);
  if (!changes.any) return batchView(before, today);
  refuseIfAny(await againstPrice(act, change.priceMinor ?? null));
  await act.tx.batch.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: batchId } },
    data: { ...changes.set, version: { increment: 1 } },
  });
  act.record({
    kind: 'batch.changed',
    subjectKind: 'batch',
    subjectId: batchId,
    data: changes.event,
  });
  return batchView(await loadBatch(act, batchId), today);
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
