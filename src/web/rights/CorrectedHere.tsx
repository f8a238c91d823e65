/** Corrections beside what they correct, a sentence each: the record itself stays as it is told. */
import type { Schemas } from '../api.ts';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';

export function CorrectedHere({
  of,
  named = false,
}: {
  readonly of: readonly Schemas['Corrected'][];
  /** Says of which kind each record is, where that is not plain from what stands above. */
  readonly named?: boolean;
}) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  if (of.length === 0) return null;
  return (
    <ul class="corrected">
      {of.map(({ id, subjectKind, unseen, correctedAt, correctedBy, wrong, right, why }) => (
        <li key={id}>
          {named && <strong>{say.kinds[subjectKind]}: </strong>}
          {unseen === null
            ? say.correctedSaid(at(correctedAt), correctedBy, {
                wrong: wrong ?? '',
                right: right ?? '',
                why: why ?? '',
              })
            : say.correctedUnseen[unseen](at(correctedAt), correctedBy)}
        </li>
      ))}
    </ul>
  );
}
