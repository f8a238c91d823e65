/** Resin products of the catalogue: what a maker's sheet says of resin and hardener (C3). */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { reason } from '../../domain/reasons/index.ts';
import { questionResinProduct } from '../../domain/resin.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { listResinProducts, loadResinProduct } from '../../store/resinProducts.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type {
  ResinProductChange,
  ResinProductQuery,
  ResinProductToAdd,
  ResinProductView,
} from './schemas.ts';

export const readResinProduct = (act: Act, productId: string): Promise<ResinProductView> =>
  loadResinProduct(act, productId);

export async function findResinProducts(
  act: Act,
  query: ResinProductQuery,
): Promise<Page<ResinProductView>> {
  const rows = await listResinProducts(act, {
    active: query.active === undefined ? null : query.active === 'true',
    afterName: readCursor(z.string(), query.after) ?? null,
    take: query.limit + 1,
  });
  return pageFrom(
    rows,
    query.limit,
    (row) => row.name,
    (row) => row,
  );
}

/** Enters a product. @throws Refused 'value-out-of-range', 'resin-product-name-taken'. */
export async function addResinProduct(
  act: Act,
  input: ResinProductToAdd,
): Promise<ResinProductView> {
  refuseIfAny(questionResinProduct(input));
  const id = uuidv7();
  await namedOnce(input.name, () =>
    act.tx.resinProduct.create({
      data: { clinicId: act.clinicId, id, ...input, createdAt: act.at },
    }),
  );
  act.record({
    kind: 'resin_product.added',
    subjectKind: 'resin_product',
    subjectId: id,
    data: { ...input },
  });
  return loadResinProduct(act, id);
}

/**
 * Changes a product's entry, from the version that was read; its chemistry stays.
 * Recipes keep the product as it stood when they were made.
 * @throws Refused 'version-is-stale', 'value-out-of-range', 'resin-product-name-taken'.
 */
export async function changeResinProduct(
  act: Act,
  productId: string,
  change: ResinProductChange,
  expectedVersion: number,
): Promise<ResinProductView> {
  const before = await loadResinProduct(act, productId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return before;
  const after = { ...before, ...changes.set };
  refuseIfAny(questionResinProduct(after));
  const { count } = await namedOnce(after.name, () =>
    act.tx.resinProduct.updateMany({
      where: { clinicId: act.clinicId, id: productId, version: expectedVersion },
      data: { ...changes.set, version: { increment: 1 } },
    }),
  );
  if (count === 0) refuseStale(expectedVersion, (await loadResinProduct(act, productId)).version);
  act.record({
    kind: 'resin_product.changed',
    subjectKind: 'resin_product',
    subjectId: productId,
    data: changes.event,
  });
  return loadResinProduct(act, productId);
}

async function namedOnce<T>(name: string, write: () => Promise<T>): Promise<T> {
  try {
    return await write();
  } catch (failure) {
    if (!isUniqueClash(failure, 'name')) throw failure;
    throw new Refused([reason('resin-product-name-taken', { name }, '/name')], { cause: failure });
  }
}
