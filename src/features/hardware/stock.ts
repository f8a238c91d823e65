/** Stock: places, pieces received into bins, and what there is of what. */
import { v7 as uuidv7 } from 'uuid';
import type { Day } from '../../domain/days.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { judgeReceivedDays, serialLookAlikes } from '../../domain/receiving.ts';
import type { Act } from '../../store/act.ts';
import { againstPrice, todayAtClinic } from '../../store/clinic.ts';
import { binPlace, insertMove, makePlace, type PlaceRow } from '../../store/custody.ts';
import { asStored } from '../../store/days.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { loadItems, movesOf, serialsAlike, type ItemRow, type MoveRow } from '../../store/items.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';

/** Makes a bin. Names are unique within the clinic. */
export async function makeBin(act: Act, name: string): Promise<PlaceRow> {
  const place = await makePlace(act.tx, act.clinicId, 'bin', name).catch((failure: unknown) => {
    if (isUniqueClash(failure, 'name')) {
      throw new Refused([reason('place-name-taken', { name }, '/name')], { cause: failure });
    }
    throw failure;
  });
  act.record({
    kind: 'place.made',
    subjectKind: 'place',
    subjectId: place.id,
    data: { name, kind: 'bin' },
  });
  return place;
}

export interface ReceiveInput {
  readonly partId: string;
  /** One serial for each piece; or a lot and a count. */
  readonly serials: readonly string[];
  readonly lot?: string | undefined;
  readonly count?: number | undefined;
  readonly udi?: string | undefined;
  /** The codes of the label as they were scanned (C9). */
  readonly scans?: readonly string[];
  /** The last day of use. */
  readonly expiresOn?: Day | undefined;
  readonly madeOn?: Day | undefined;
  /** Of each piece, in whole minor units of the clinic's currency (C7). */
  readonly priceMinor?: number | undefined;
  readonly toPlaceId: string;
}

/** Where a request names what it receives. */
const FIELDS = { part: '/partId', serials: '/serials' };

/**
 * Receives pieces of a part into a bin: each becomes an item with its first move (R1).
 * @param fields JSON Pointers to the fields that a refusal blames
 * @returns the items, and 'serial-differs-in-case' for each serial that another of the part is like
 * @throws Refused 'part-withdrawn', 'label-expired', 'day-in-future', 'day-order-wrong',
 *   'serial-already-received', 'prices-without-currency', 'not-found'.
 */
export async function receiveItems(
  act: Act,
  input: ReceiveInput,
  fields: { readonly part: string; readonly serials: string } = FIELDS,
): Promise<{ itemIds: string[]; warnings: Reason[] }> {
  const { tx, clinicId } = act;
  const part = found(
    await tx.part.findUnique({ where: { clinicId_id: { clinicId, id: input.partId } } }),
    () => reason('not-found', { what: 'part', id: input.partId }),
  );
  if (!part.active) throw new Refused([reason('part-withdrawn', { part: part.name }, fields.part)]);
  const { expiresOn = null, madeOn = null } = input;
  if (expiresOn !== null || madeOn !== null) {
    refuseIfAny(judgeReceivedDays(part.name, { expiresOn, madeOn }, await todayAtClinic(act)));
  }
  refuseIfAny(await againstPrice(act, input.priceMinor ?? null));
  const bin = await binPlace(tx, clinicId, input.toPlaceId);
  const warnings = serialLookAlikes(
    part.name,
    input.serials,
    await serialsAlike(act, part.id, input.serials),
  );
  const pieces =
    input.serials.length > 0
      ? input.serials.map((serial) => ({ serial, lot: input.lot ?? null }))
      : Array.from({ length: input.count ?? 1 }, () => ({ serial: null, lot: input.lot ?? null }));
  const rows = pieces.map((piece) => ({
    clinicId,
    id: uuidv7(),
    partId: part.id,
    ...piece,
    udi: input.udi ?? null,
    scans: [...(input.scans ?? [])],
    expiresOn: expiresOn === null ? null : asStored(expiresOn),
    madeOn: madeOn === null ? null : asStored(madeOn),
    priceMinor: input.priceMinor ?? null,
    receivedAt: act.at,
    receivedById: act.by.personId,
  }));
  await tx.item.createMany({ data: rows }).catch((failure: unknown) => {
    if (isUniqueClash(failure, 'serial')) {
      throw new Refused(
        [
          reason(
            'serial-already-received',
            { part: part.name, serials: input.serials },
            fields.serials,
          ),
        ],
        { cause: failure },
      );
    }
    throw failure;
  });
  for (const row of rows) {
    await insertMove(act, {
      thing: { itemId: row.id },
      fromPlaceId: null,
      toPlaceId: bin.id,
      reason: 'received',
    });
  }
  act.record({
    kind: 'stock.received',
    subjectKind: 'part',
    subjectId: part.id,
    data: {
      lot: input.lot ?? null,
      pieces: rows.length,
      bin: bin.name,
      udi: input.udi ?? null,
      expiresOn,
      madeOn,
      priceMinor: input.priceMinor ?? null,
    },
  });
  return { itemIds: rows.map((row) => row.id), warnings };
}

/** One item with every move it made. */
export async function itemHistory(
  act: Act,
  itemId: string,
): Promise<{ item: ItemRow; moves: MoveRow[] }> {
  const [item] = await loadItems(act.tx, act.clinicId, [itemId]);
  return {
    item: found(item, () => reason('thing-unknown', { thing: itemId })),
    moves: await movesOf(act.tx, act.clinicId, itemId),
  };
}

/**
 * Enters or corrects what a piece cost, from the version that was read.
 * @throws Refused 'thing-unknown', 'version-is-stale', 'prices-without-currency'.
 */
export async function changeItemPrice(
  act: Act,
  itemId: string,
  change: { readonly priceMinor?: number | null | undefined },
  expectedVersion: number,
): Promise<ItemRow> {
  const { item: before } = await itemHistory(act, itemId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return before;
  refuseIfAny(await againstPrice(act, change.priceMinor ?? null));
  const { count } = await act.tx.item.updateMany({
    where: { clinicId: act.clinicId, id: itemId, version: expectedVersion },
    data: { ...changes.set, version: { increment: 1 } },
  });
  const { item } = await itemHistory(act, itemId);
  if (count === 0) refuseStale(expectedVersion, item.version);
  act.record({
    kind: 'item.changed',
    subjectKind: 'item',
    subjectId: itemId,
    data: { label: before.label, ...changes.event },
  });
  return item;
}
