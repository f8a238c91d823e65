/** Stock: places, pieces received into bins, and what there is of what. */
import { v7 as uuidv7 } from 'uuid';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { binPlace, insertMove, makePlace, type PlaceRow } from '../../store/custody.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { loadItems, movesOf, type ItemRow, type MoveRow } from '../../store/items.ts';
import { found, Refused } from '../../store/refused.ts';

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
  readonly toPlaceId: string;
}

/** Receives pieces of a part into a bin: each becomes an item with its first move (R1). */
export async function receiveItems(act: Act, input: ReceiveInput): Promise<{ itemIds: string[] }> {
  const { tx, clinicId } = act;
  const part = found(
    await tx.part.findUnique({ where: { clinicId_id: { clinicId, id: input.partId } } }),
    () => reason('not-found', { what: 'part', id: input.partId }),
  );
  if (!part.active) throw new Refused([reason('part-withdrawn', { part: part.name }, '/partId')]);
  const bin = await binPlace(tx, clinicId, input.toPlaceId);
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
            '/serials',
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
    data: { lot: input.lot ?? null, pieces: rows.length, bin: bin.name },
  });
  return { itemIds: rows.map((row) => row.id) };
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
