/** One part: its entry, its torque settings with their documents, its pieces and what they cost. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { LotHolds } from '../rights/LotHolds.tsx';
import { words } from '../words/words.ts';
import { listPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { partSections } from './partFields.ts';
import { Pieces } from './Pieces.tsx';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { Settings } from './Settings.tsx';
import { ifMatch } from './values.ts';
import { Withdrawal } from './Withdrawal.tsx';

export function PartPage({ params: { partId } }: { params: { partId: string } }) {
  const { admin: say } = words.value;
  const [said, setSaid] = useState('');
  const path = { partId };
  const read = () => answered(api.GET('/api/v1/parts/{partId}', { params: { path } }));
  const { data: part, error, refetch } = useQuery({ queryKey: ['parts', partId], queryFn: read });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (part === undefined) return <Loading />;
  const change = (body: object, version: number) =>
    answered(
      api.PATCH('/api/v1/parts/{partId}', {
        params: { path, header: ifMatch(version) },
        body: body,
      }),
    );
  return (
    <AdminSheet title={part.name} back={[listPage('parts'), say.entries.parts.title]} said={said}>
      <Facts
        of={[
          [say.parts.catalogue.kind, say.parts.kinds[part.kind]],
          [say.parts.catalogue.catalogueNumber, part.catalogueNumber],
          [say.standing, part.active ? say.inUse : say.withdrawn],
        ]}
      />
      <Settings part={part} onSaid={setSaid} />
      <RecordForm
        record={part}
        sectionsOf={() => partSections(part.kind)}
        act={say.save}
        change={change}
        readNow={read}
        onSaid={setSaid}
      />
      <Withdrawal
        record={part}
        change={(active) => change({ active }, part.version)}
        onSaid={setSaid}
      />
      <Pieces partId={part.id} onSaid={setSaid} />
      <LotHolds parts={[part]} />
      <RecordHistory of={{ subjectKind: 'part', subjectId: part.id, version: part.version }} />
    </AdminSheet>
  );
}
