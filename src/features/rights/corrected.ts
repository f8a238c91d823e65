/** A correction as it is read beside what it corrects: on a trace, a recall, a paper, a signature. */
import { z } from 'zod';
import { byRoles, seesCorrection, type Sight } from '../../access/minimumNecessary.ts';
import { CORRECTABLE, UNSEEN_WORDS, type CorrectionSaid } from '../../domain/corrections.ts';
import type { Role } from '../../domain/words.ts';
import { instantOut, uuid } from '../../http/fields.ts';
import type { CorrectionRow } from '../../store/corrections.ts';

const words = () => z.string().nullable();

/** The words of a correction on the wire. */
export const SAID = {
  wrong: words().describe('What is wrong in the record; null where `unseen` says why.'),
  right: words().describe('What is right; the record itself stays as it is.'),
  why: words(),
  unseen: z
    .enum(UNSEEN_WORDS)
    .nullable()
    .describe('Why its words are not told: not seen by the reader’s role, or erased.'),
  correctedAt: instantOut(),
  correctedBy: z.string(),
};

export const Corrected = z
  .object({
    id: uuid(),
    subjectKind: z.enum(CORRECTABLE),
    subjectId: uuid(),
    ...SAID,
  })
  .meta({ id: 'Corrected' });
export type Corrected = z.input<typeof Corrected>;

/** Its words, as far as the reader sees what they correct. */
export function saidTo(
  sight: Sight,
  row: CorrectionRow,
): CorrectionSaid & { readonly correctedAt: Date } {
  const { correctedAt, correctedBy, patientId, subjectKind } = row;
  const by = { correctedAt, correctedBy };
  const nothing = { wrong: null, right: null, why: null };
  if (row.wrong === '') return { ...by, ...nothing, unseen: 'erased' };
  if (!seesCorrection(sight, subjectKind, patientId)) {
    return { ...by, ...nothing, unseen: 'withheld' };
  }
  return { ...by, wrong: row.wrong, right: row.right, why: row.why, unseen: null };
}

/** The same for a list that is kept: only words that everybody sees who may read it. */
export const seenByEach = (correction: Corrected, readers: readonly Role[]): Corrected =>
  correction.unseen === null &&
  !readers.every((role) => seesCorrection(byRoles([role]), correction.subjectKind))
    ? { ...correction, wrong: null, right: null, why: null, unseen: 'withheld' }
    : correction;

export const correctedTo =
  (sight: Sight) =>
  (row: CorrectionRow): Corrected => ({
    id: row.id,
    subjectKind: row.subjectKind,
    subjectId: row.subjectId,
    ...saidTo(sight, row),
  });
