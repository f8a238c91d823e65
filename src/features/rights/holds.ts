/** Legal holds, and the records that fall due for review. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { addMonths, type Day } from '../../domain/days.ts';
import { reason } from '../../domain/reasons/index.ts';
import { dueWhen, retentionOf } from '../../domain/retention.ts';
import { pageFrom, readCursor } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { loadPart } from '../../store/catalogue.ts';
import { loadClinic, todayAtClinic } from '../../store/clinic.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { loadOrder } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { hasLot, loadHold, recordsDue, type HoldRow } from '../../store/rights.ts';
import type { DueQuery, DueRecords, HoldToPlace } from './schemas.ts';

const Cursor = z.object({ keptUntil: z.iso.date(), chartNumber: z.string() });

/** Records whose years end until the end of a year: nothing is done to them; a person decides. */
export async function findDue(act: Act, query: DueQuery): Promise<DueRecords> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  const today = await todayAtClinic(act);
  const nextYear = Number(addMonths(today, 12).slice(0, 4));
  const before = `${(query.year ?? nextYear) + 1}-01-01` as Day;
  const after = readCursor(Cursor, query.after);
  const rows = await recordsDue(act, before, after, query.limit + 1);
  return pageFrom(
    rows,
    query.limit,
    ({ keptUntil, chartNumber }) => ({ keptUntil, chartNumber }),
    ({ patientId, chartNumber, holds, erasureAsked, keptUntil, ...facts }) => ({
      patientId,
      chartNumber,
      holds,
      erasureAsked,
      ...retentionOf(facts, clinic),
      when: dueWhen(keptUntil, today),
    }),
  );
}

/**
 * Places a legal hold: while it is in force nothing about its subject is erased.
 * @throws Refused 'not-found', 'lot-unknown', 'hold-placed-already'
 */
export async function placeHold(act: Act, hold: HoldToPlace): Promise<HoldRow> {
  const id = uuidv7();
  const of = await subjectOf(act, hold);
  const { reason: why, reference } = hold;
  try {
    await act.tx.legalHold.create({
      data: {
        clinicId: act.clinicId,
        id,
        ...of.row,
        reason: why,
        reference,
        placedAt: act.at,
        placedById: act.by.personId,
      },
    });
  } catch (failure) {
    if (!isUniqueClash(failure, 'one')) throw failure;
    throw new Refused([reason('hold-placed-already', { reference }, '/reference')], {
      cause: failure,
    });
  }
  act.record({
    kind: 'legal_hold.placed',
    subjectKind: 'legal_hold',
    subjectId: id,
    data: { ...of.told, reason: why, reference },
  });
  return readHold(act, id);
}

async function subjectOf(act: Act, { patientId, orderId, partId, lot }: HoldToPlace) {
  if (patientId !== undefined) {
    const { chartNumber } = await loadPatient(act, patientId);
    return { row: { subjectKind: 'patient', patientId }, told: { patientId, chartNumber } };
  }
  if (orderId !== undefined) {
    const { number } = await loadOrder(act, orderId);
    return { row: { subjectKind: 'order', orderId }, told: { orderId, orderNumber: number } };
  }
  const part = await loadPart(act, partId ?? '');
  if (lot === undefined || !(await hasLot(act, part.id, lot))) {
    throw new Refused([reason('lot-unknown', { lot: lot ?? '' }, '/lot')]);
  }
  return {
    row: { subjectKind: 'part_lot', partId: part.id, lot },
    told: { partId: part.id, part: part.name, lot },
  };
}

/** @throws Refused 'not-found', 'hold-lifted-already' */
export async function liftHold(act: Act, id: string, why: string): Promise<HoldRow> {
  await readHold(act, id);
  const { count } = await act.tx.legalHold.updateMany({
    where: { clinicId: act.clinicId, id, liftedAt: null },
    data: { liftedAt: act.at, liftedById: act.by.personId, liftReason: why },
  });
  if (count === 0) refuseIfAny([reason('hold-lifted-already', {})]);
  const hold = await readHold(act, id);
  act.record({
    kind: 'legal_hold.lifted',
    subjectKind: 'legal_hold',
    subjectId: id,
    data: { patientId: hold.patientId, orderId: hold.orderId, lot: hold.lot, liftReason: why },
  });
  return hold;
}

const readHold = async (act: Act, id: string): Promise<HoldRow> =>
  found(await loadHold(act, id), () => reason('not-found', { what: 'legal hold', id }));
