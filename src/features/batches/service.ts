import { v7 as uuidv7 } from 'uuid';
import { moneyFor } from '../../access/minimumNecessary.ts';
import { isBefore, type Day } from '../../domain/days.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import { uuid } from '../../http/fields.ts';
import type { Act } from '../../store/act.ts';
import { listBatches, loadBatches, usesOfBatch, type BatchRow } from '../../store/batches.ts';
import { againstPrice, todayAtClinic } from '../../store/clinic.ts';
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
    ...batchView(act, batch, await todayAtClinic(act)),
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
    (row) => batchView(act, row, today),
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
  return batchView(act, await loadBatch(act, id), today);
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

/** As it stands a batch may name no product; a change never takes it back. */
type Naming = Omit<BatchChange, 'resinProductId'> & {
  readonly resinProductId?: string | null | undefined;
};

/** A batch of resin or hardener that names no product is given its own, once. */
async function againstNaming(
  act: Act,
  batch: BatchRow,
  productId: string | null | undefined,
): Promise<Reason[]> {
  if (productId == null) return [];
  const { lot, kind } = batch;
  const field = '/resinProductId';
  if (kind !== 'resin' && kind !== 'hardener') {
    return [reason('batch-wrong-kind', { lot, kind, expected: 'resin or hardener' }, field)];
  }
  if (batch.resinProductId !== null) {
    const product = batch.resinProduct ?? batch.resinProductId;
    return [reason('batch-product-stands', { lot, product }, field)];
  }
  return againstProduct(act, productId);
}

/**
 * Enters or corrects the price of a batch, or names its resin product, from the version that was read.
 * @throws Refused 'version-is-stale', 'prices-without-currency', 'batch-wrong-kind', 'batch-product-stands',
 *   'resin-product-withdrawn'.
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
  const changes = changesOf<Naming>(before, change);
  if (!changes.any) return batchView(act, before, today);
  refuseIfAny([
    ...(await againstPrice(act, changes.set.priceMinor ?? null)),
    ...(await againstNaming(act, before, changes.set.resinProductId)),
  ]);
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
  return batchView(act, await loadBatch(act, batchId), today);
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
  return batchView(act, await loadBatch(act, batchId), today);
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

const batchView = (act: Act, batch: BatchRow, today: Day): BatchView => ({
  ...batch,
  priceMinor: moneyFor(act.by.roles, batch.priceMinor),
  expired: batch.expiresOn !== null && isBefore(batch.expiresOn, today),
});

const notInFuture = (what: string, day: Day, today: Day, field: string): Reason[] =>
  isBefore(today, day) ? [reason('day-in-future', { what, day, today }, field)] : [];

const notBefore = (what: string, day: Day, earliest: Day, field: string): Reason =>
  reason('day-order-wrong', { what, day, earliest }, field);
