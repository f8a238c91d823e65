import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { PLACE_KINDS, type MoveReason, type PlaceKind, type Position } from '../domain/words.ts';
import type { Act, Tx } from './act.ts';
import { isUniqueClash } from './failures.ts';
import { found, Refused } from './refused.ts';
import { parseFirst } from './rows.ts';

/** The clinic's places of which there is one each, made when the clinic is founded. */
export const SINGLE_PLACES = ['receiving', 'bench', 'quarantine', 'scrap'] as const;
export type SinglePlace = (typeof SINGLE_PLACES)[number];

const PlaceRow = z.object({
  id: z.string(),
  kind: z.enum(PLACE_KINDS),
  name: z.string(),
});
export type PlaceRow = z.infer<typeof PlaceRow>;

/** A bin of the clinic, by its id. */
export async function binPlace(tx: Tx, clinicId: string, placeId: string): Promise<PlaceRow> {
  const place = parseFirst(
    PlaceRow,
    await tx.$queryRaw`
      select id, kind, name from place
      where clinic_id = ${clinicId}::uuid and id = ${placeId}::uuid and kind = 'bin'`,
  );
  return found(place, () => reason('not-found', { what: 'bin', id: placeId }));
}

/** The clinic's bench, quarantine, scrap or receiving. */
export async function singlePlace(tx: Tx, clinicId: string, kind: SinglePlace): Promise<PlaceRow> {
  const place = parseFirst(
    PlaceRow,
    await tx.$queryRaw`
      select id, kind, name from place where clinic_id = ${clinicId}::uuid and kind = ${kind} limit 1`,
  );
  return found(place, () => reason('not-found', { what: 'place', id: kind }));
}

/** A position of a socket as a place; made the first time something goes there. */
export async function positionPlace(
  tx: Tx,
  clinicId: string,
  socket: { readonly id: string; readonly number: string },
  position: Position,
): Promise<PlaceRow> {
  const place = parseFirst(
    PlaceRow,
    await tx.$queryRaw`
      with made as (
        insert into place (clinic_id, id, kind, name, socket_id, position)
        values (${clinicId}::uuid, ${uuidv7()}::uuid, 'socket_position', ${`${socket.number} ${position}`},
          ${socket.id}::uuid, ${position})
        on conflict (clinic_id, socket_id, position) do nothing
        returning id, kind, name)
      select id, kind, name from made
      union all
      select id, kind, name from place
      where clinic_id = ${clinicId}::uuid and socket_id = ${socket.id}::uuid and position = ${position}
      limit 1`,
  );
  if (place === undefined) throw new Error(`No place was made for ${socket.number} ${position}.`);
  return place;
}

/** Makes a place without a socket: bins, and the single places of a new clinic. */
export async function makePlace(
  tx: Tx,
  clinicId: string,
  kind: PlaceKind,
  name: string,
): Promise<PlaceRow> {
  const id = uuidv7();
  await tx.place.create({ data: { clinicId, id, kind, name } });
  return { id, kind, name };
}

export interface NewMove {
  readonly thing: { readonly itemId: string } | { readonly shopToolId: string };
  /** Where it must be now; null where it is being received (R2). */
  readonly fromPlaceId: string | null;
  readonly toPlaceId: string;
  readonly reason: MoveReason;
  readonly note?: string | undefined;
  readonly transferId?: string | undefined;
  readonly serviceVisitId?: string | undefined;
}

/**
 * Writes one move into the ledger. The database's own rule decides: the thing
 * must be where the move says, the target free and of its kind (R1, R2, R3, R6,
 * R15). Of two at once one wins; the other's transaction ends with
 * 'item-is-elsewhere' (and where it went) or 'position-is-occupied'.
 * @returns the move's id.
 */
export async function insertMove(act: Act, move: NewMove): Promise<string> {
  const id = uuidv7();
  const itemId = 'itemId' in move.thing ? move.thing.itemId : null;
  const shopToolId = 'shopToolId' in move.thing ? move.thing.shopToolId : null;
  try {
    await act.tx.$executeRaw`
      insert into move (clinic_id, id, item_id, shop_tool_id, seq, from_place_id, to_place_id, reason, note,
        transfer_id, service_visit_id, bench_at, moved_at, moved_by_id)
      values (${act.clinicId}::uuid, ${id}::uuid, ${itemId}::uuid, ${shopToolId}::uuid, 0,
        ${move.fromPlaceId}::uuid, ${move.toPlaceId}::uuid, ${move.reason}, ${move.note ?? null},
        ${move.transferId ?? null}::uuid, ${move.serviceVisitId ?? null}::uuid, ${act.benchAt}::timestamptz, ${act.at}, ${act.by.personId}::uuid)`;
  } catch (failure) {
    // Two things raced for one position: both saw it free, the unique key let one in.
    if (isUniqueClash(failure, 'exclusive_place_id')) {
      throw new Refused(
        [
          reason('position-is-occupied', {
            place: 'That position',
            holds: 'another part, just put in',
          }),
        ],
        { cause: failure },
      );
    }
    throw failure;
  }
  act.record({
    kind: 'custody.moved',
    subjectKind: itemId === null ? 'shop_tool' : 'item',
    subjectId: itemId ?? shopToolId ?? '',
    data: {
      moveId: id,
      from: move.fromPlaceId,
      to: move.toPlaceId,
      reason: move.reason,
      note: move.note ?? null,
      transferId: move.transferId ?? null,
      serviceVisitId: move.serviceVisitId ?? null,
    },
  });
  return id;
}
