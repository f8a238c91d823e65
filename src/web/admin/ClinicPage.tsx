/** The settings of the clinic: all that it may set for itself, each with its reason. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { clinicSections } from './clinicFields.ts';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { ifMatch } from './values.ts';

const readClinic = () => answered(api.GET('/api/v1/clinic'));

export function ClinicPage() {
  const { admin } = words.value;
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['clinic', 'set-up'],
    queryFn: readClinic,
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  return (
    <AdminSheet title={admin.entries.clinic.title} said={said}>
      <Facts of={[[admin.clinic.prefix, data.numberPrefix]]} />
      <p>{admin.clinic.says}</p>
      <RecordForm
        record={data}
        sectionsOf={({ currency }) => clinicSections(currency ?? data.currency ?? '')}
        act={admin.save}
        change={(body, version) =>
          answered(
            api.PATCH('/api/v1/clinic', {
              params: { header: ifMatch(version) },
              body: body,
            }),
          )
        }
        readNow={readClinic}
        onSaid={setSaid}
      />
      <RecordHistory of={{ subjectKind: 'clinic', subjectId: data.id, version: data.version }} />
    </AdminSheet>
  );
}
