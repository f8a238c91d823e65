/** Opening what a role does not see, for one patient and half an hour; and the review of it. */
import { z } from 'zod';
import { lookedUp } from '../../access/lookUp.ts';
import { mayOpen, mostShown } from '../../access/minimumNecessary.ts';
import { sightAgain } from '../../access/sight.ts';
import { countedSince, MOST_OPENINGS_AN_HOUR, openUntil } from '../../domain/breakGlass.ts';
import { reason } from '../../domain/reasons/index.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import {
  countOpenings,
  loadOpening,
  openings,
  writeOpening,
  writeReview,
  type OpeningRow,
} from '../../store/breakGlass.ts';
import { loadPatient } from '../../store/patients.ts';
import { refuseIfAny } from '../../store/refused.ts';
import type { MoreAsked, MoreOpened, OpeningsQuery, OpeningView } from './schemas.ts';

/**
 * Opens the fields that the person's roles may open of one patient. The event and the reason
 * stand before anything is shown: both are of this transaction.
 * @throws Refused 'not-found', 'nothing-to-open', 'opened-too-often'
 */
export async function openMore(act: Act, patientId: string, asked: MoreAsked): Promise<MoreOpened> {
  await loadPatient(act, patientId);
  const fields = mayOpen(act.by.roles);
  if (fields.length === 0) refuseIfAny([reason('nothing-to-open', {})]);
  const { count, first } = await countOpenings(act, countedSince(act.at));
  if (count >= MOST_OPENINGS_AN_HOUR) {
    const waitMs = (first?.getTime() ?? 0) - countedSince(act.at).getTime();
    refuseIfAny([reason('opened-too-often', { count, retryAfterS: Math.ceil(waitMs / 1000) })]);
  }
  const until = openUntil(act.at);
  const breakGlassId = await writeOpening(act, { patientId, ...asked, fields, until });
  act.record({
    kind: 'patient.opened',
    subjectKind: 'patient',
    subjectId: patientId,
    data: {
      breakGlassId,
      reason: asked.reason,
      words: asked.words,
      fields: [...fields],
      until: until.toISOString(),
    },
  });
  const shown = mostShown(await sightAgain(act), patientId);
  await lookedUp(act, { route: 'openMore', shown, patientIds: [patientId], told: true });
  return { breakGlassId, fields: [...fields], openUntil: until };
}

const Cursor = z.object({ openedAt: z.coerce.date(), id: z.uuid() });

export async function findOpenings(act: Act, query: OpeningsQuery): Promise<Page<OpeningView>> {
  const rows = await openings(act, {
    reviewed: query.reviewed === undefined ? null : query.reviewed === 'yes',
    before: readCursor(Cursor, query.after) ?? null,
    take: query.limit + 1,
  });
  return pageFrom(rows, query.limit, ({ openedAt, id }) => ({ openedAt, id }), viewOf);
}

/**
 * Notes what the review of an opening found; a later review stands for an earlier one (R10).
 * @throws Refused 'not-found', 'opening-is-your-own'
 */
export async function reviewOpening(
  act: Act,
  id: string,
  {
    inOrder,
    words = null,
  }: { readonly inOrder: boolean; readonly words?: string | null | undefined },
): Promise<OpeningView> {
  const before = await loadOpening(act, id);
  if (before.openedById === act.by.personId) refuseIfAny([reason('opening-is-your-own', {})]);
  await writeReview(act, id, { inOrder, words });
  act.record({
    kind: 'patient.opening_reviewed',
    subjectKind: 'patient',
    subjectId: before.patientId,
    data: { breakGlassId: id, inOrder: { before: before.inOrder, after: inOrder }, words },
  });
  return viewOf(await loadOpening(act, id));
}

const viewOf = (row: OpeningRow): OpeningView => ({
  id: row.id,
  patient: { id: row.patientId, chartNumber: row.chartNumber },
  reason: row.reason,
  words: row.words,
  fields: row.fields,
  openedAt: row.openedAt,
  openedBy: { id: row.openedById, printedName: row.openedBy },
  until: row.until,
  review:
    row.reviewedAt === null || row.inOrder === null
      ? null
      : {
          inOrder: row.inOrder,
          words: row.reviewWords,
          reviewedAt: row.reviewedAt,
          reviewedBy: row.reviewedBy ?? '',
        },
});
