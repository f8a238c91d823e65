/** The last changes of a record: who, when, and the value before. */
import { HelpHeading } from '../parts/help.tsx';
import { words } from '../words/words.ts';

export interface OfRecord {
  /** As events name it: `part`, `person`, `clinic` … */
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly version: number;
}

/** What of it is in sight so far is how often it was changed; the events hold the rest. */
export function RecordHistory({ of }: { readonly of: OfRecord }) {
  const { admin: say } = words.value;
  return (
    <section class="history" data-subject={`${of.subjectKind} ${of.subjectId}`}>
      <HelpHeading title={say.history} text={say.historyHelp} />
      <p>{say.versionNow(of.version)}</p>
    </section>
  );
}
