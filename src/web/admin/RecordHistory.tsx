/** The changes of a record that an administrator keeps: who, when, and the value before. */
import type { SubjectKind } from '../../domain/eventKinds.ts';
import { RecordHistory as History } from '../audit/RecordHistory.tsx';
import { words } from '../words/words.ts';

export interface OfRecord {
  readonly subjectKind: SubjectKind;
  readonly subjectId: string;
  readonly version: number;
}

export const RecordHistory = ({ of: { subjectKind, subjectId, version } }: { of: OfRecord }) => (
  <section class="history">
    <History subjectKind={subjectKind} subjectId={subjectId} />
    <p class="hint">{words.value.admin.versionNow(version)}</p>
  </section>
);
