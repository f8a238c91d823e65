/** Corrections on a traveller: beside each record that it shows, in words that the bench may see. */
import { byRoles, seesCorrection } from '../../access/minimumNecessary.ts';
import { doneAgainFor } from '../../domain/corrections.ts';
import type { TravellerCorrection } from '../../documents/traveller/record.ts';
import type { Act } from '../../store/act.ts';
import { correctionsOf, correctionsOfAny, type CorrectionRow } from '../../store/corrections.ts';

/** The corrections of a record by its ids, as a member of it; no member where there are none. */
export type CorrectedOf = (...ids: readonly (string | null)[]) => {
  readonly corrected?: readonly TravellerCorrection[];
};

/** Whoever prints it, the sheet lies on the bench. */
const BENCH = byRoles(['technician']);

const said = ({ correctedAt, correctedBy, subjectKind, ...row }: CorrectionRow) => ({
  at: correctedAt.toISOString(),
  by: correctedBy,
  wrong: row.wrong,
  right: row.right,
  why: row.why,
  doneAgain: doneAgainFor(subjectKind),
});

/** @param massId the body mass that the sheet shows; it is the patient's, of no order */
export async function correctedOnTraveller(
  act: Act,
  orderId: string,
  massId: string | null,
): Promise<CorrectedOf> {
  const rows = [
    ...(await correctionsOf(act, { orderId })).toReversed(),
    ...(massId === null ? [] : await correctionsOfAny(act, [massId])),
  ].filter(({ subjectKind }) => seesCorrection(BENCH, subjectKind));
  return (...ids) => {
    const corrected = rows.filter(({ subjectId }) => ids.includes(subjectId)).map(said);
    return corrected.length === 0 ? {} : { corrected };
  };
}
