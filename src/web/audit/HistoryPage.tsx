/** The history of any record on a page of its own. */
import { SUBJECT_KINDS, type SubjectKind } from '../../domain/eventKinds.ts';
import { Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { OpenMore } from '../parts/openMore.tsx';
import { may } from '../session/session.ts';
import { PatientLooks } from './PatientLooks.tsx';
import { HistoryEntries, useHistory } from './HistoryEntries.tsx';

export function HistoryPage({
  params: { subjectKind, subjectId },
}: {
  params: { subjectKind: string; subjectId: string };
}) {
  const kind = SUBJECT_KINDS.find((each) => each === subjectKind);
  return kind === undefined ? (
    <Sheet title={words.value.service.notFound}>{null}</Sheet>
  ) : (
    <Told kind={kind} id={subjectId} />
  );
}

function Told({ kind, id }: { readonly kind: SubjectKind; readonly id: string }) {
  const { audit: say } = words.value;
  const of = { subjectKind: kind, subjectId: id };
  const { data } = useHistory(of, 'no');
  const name = data?.pages[0]?.subject.name ?? '';
  return (
    <Sheet title={say.historyOf(`${say.subjectKinds[kind]} ${name}`.trim())}>
      {kind === 'patient' && <OpenMore patientId={id} />}
      <HistoryEntries {...of} />
      {kind === 'patient' && may('auditor', 'administrator') && <PatientLooks patientId={id} />}
    </Sheet>
  );
}
