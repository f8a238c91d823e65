/** The recall of many lots or batches: one after the other, each as if it were asked alone. */
import { z } from 'zod';
import { mayAskFor } from '../../domain/longWork.ts';
import { ROLES } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { Refused } from '../../store/refused.ts';
import { seenByEach, type Corrected } from '../rights/corrected.ts';
import { csvLines, RECALL_HEADER, recallLines, type CsvCell } from '../trace/csv.ts';
import { readRecall } from '../trace/recall.ts';
import type { RecallView } from '../trace/schemas.ts';
import { kindOf, type PieceText } from './kinds.ts';

/** A step ends at either: small lots go together, a large one alone. Common practice, no source. */
const ENTRIES_A_STEP = 10;
const LENGTH_A_STEP = 20_000;

const Asked = z.object({ of: z.enum(['lot', 'batch']), list: z.array(z.string()) });

const Position = z.object({
  /** Lots that the book has. */
  answered: z.int(),
  notAnswered: z.int(),
  /** A patient who wears of two lots is on the list of each. */
  wearerLines: z.int(),
  inWork: z.int(),
  inRetired: z.int(),
  notReconciled: z.int(),
});

export const recallOfMany = kindOf({
  kind: 'recall_of_many',
  contentType: 'text/csv; charset=utf-8',
  fileName: 'recall-of-many.csv',
  asked: Asked,
  position: Position,
  begin: {
    answered: 0,
    notAnswered: 0,
    wearerLines: 0,
    inWork: 0,
    inRetired: 0,
    notReconciled: 0,
  },
  step: async (act, { of, list }, { position, done }) => {
    const so: z.infer<typeof Position> = { ...position };
    const pieces: PieceText[] = [];
    let next = done;
    let length = 0;
    while (next < list.length && next < done + ENTRIES_A_STEP && length < LENGTH_A_STEP) {
      const key = list[next] ?? '';
      const answer = await recallOrReason(act, of, key);
      count(so, answer);
      const piece = pieceOf(key, answer, next === 0);
      pieces.push(piece);
      length += piece.body.length;
      next += 1;
    }
    const textOf = (which: (piece: PieceText) => string): string => pieces.map(which).join('');
    return {
      total: list.length,
      done: next,
      position: so,
      piece: {
        body: textOf(({ body }) => body),
        withoutContact: textOf(({ body, withoutContact }) => withoutContact ?? body),
      },
      ...(next === list.length ? { summary: so } : {}),
    };
  },
});

function count(so: z.infer<typeof Position>, answer: RecallView | string): void {
  if (typeof answer === 'string') {
    so.notAnswered += 1;
    return;
  }
  so.answered += 1;
  so.wearerLines += answer.wearers.length;
  so.inWork += answer.inWork.length;
  so.inRetired += answer.inRetired.length;
  if (answer.reconciles === false) so.notReconciled += 1;
}

/** The answer, or why there is none: one unknown lot must not stop the others. */
async function recallOrReason(
  act: Act,
  of: 'lot' | 'batch',
  key: string,
): Promise<RecallView | string> {
  try {
    return await readRecall(act, of === 'lot' ? { lot: key } : { batch: key });
  } catch (failure) {
    // Recalls refuse before they write anything, so the transaction goes on.
    if (!(failure instanceof Refused)) throw failure;
    return failure.reasons.map(({ detail, wayOut }) => `${detail} ${wayOut}`).join(' ');
  }
}

function pieceOf(key: string, answer: RecallView | string, isFirst: boolean): PieceText {
  const header = isFirst ? [['asked', ...RECALL_HEADER]] : [];
  if (typeof answer === 'string') {
    const cells = RECALL_HEADER.map((column): CsvCell => {
      if (column === 'section') return 'notAnswered';
      return column === 'what' ? answer : null;
    });
    return { body: csvLines([...header, [key, ...cells]]) };
  }
  const textOf = (recall: RecallView): string =>
    csvLines([...header, ...recallLines(recall).map((line) => [key, ...line])]);
  const kept = forAnyReader(answer);
  const wearers = kept.wearers.map((wearer) => {
    const { id, chartNumber, initials } = wearer.patient;
    return { ...wearer, patient: { id, chartNumber, initials }, phone: null };
  });
  return { body: textOf(kept), withoutContact: textOf({ ...kept, wearers }) };
}

/** The result is kept, and read by others than who asked: no words of a correction that one of them does not see. */
function forAnyReader(recall: RecallView): RecallView {
  const seen = (correction: Corrected) => seenByEach(correction, READERS);
  const onEach = <T extends { corrections: Corrected[] }>(lines: readonly T[]): T[] =>
    lines.map((line) => ({ ...line, corrections: line.corrections.map(seen) }));
  return {
    ...recall,
    wearers: onEach(recall.wearers),
    inWork: onEach(recall.inWork),
    inRetired: onEach(recall.inRetired),
    named: recall.named.map((line) => ({ ...line, correction: seen(line.correction) })),
  };
}

const READERS = ROLES.filter((role) => mayAskFor('recall_of_many', [role]));
