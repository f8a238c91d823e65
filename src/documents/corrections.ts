/** Corrections on paper, beside what they correct: it stays, and so does what counts by it. */
import { correctedWords } from '../domain/corrections.ts';
import { instantWords } from './dates.ts';
import type { TravellerCorrection } from './traveller/record.ts';

/** A sentence for each, and what is done again where a correction alone might be taken for it. */
export const correctedLines = (
  corrections: readonly TravellerCorrection[] | undefined,
  timeZone: string,
): string[] =>
  (corrections ?? []).map((each) => {
    const { at, by, doneAgain } = each;
    const erased = each.wrong === '';
    const said = {
      correctedBy: by,
      wrong: each.wrong,
      right: each.right,
      why: each.why,
      unseen: erased ? ('erased' as const) : null,
    };
    const counts =
      doneAgain === null ? '' : ` It changes no evidence: ${doneAgain} for it to count.`;
    return `${correctedWords(said, instantWords(at, timeZone))}${counts}`;
  });
