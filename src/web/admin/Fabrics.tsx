/** The fabrics of the catalogue, each as the sheet of its roll has it. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link, useLocation } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { fabricPage, listPage, newPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { fabricSections } from './fabricFields.ts';
import { NewRecord } from './NewRecord.tsx';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { ifMatch } from './values.ts';
import { Withdrawal } from './Withdrawal.tsx';

export function Fabrics() {
  const { admin } = words.value;
  const { fabrics: say } = admin;
  const { data, error, refetch } = useQuery({
    queryKey: ['fabrics', 'every'],
    queryFn: () =>
      answered(api.GET('/api/v1/fabrics', { params: { query: { every: 'true' as const } } })),
  });
  return (
    <AdminSheet title={admin.entries.fabrics.title}>
      <p>
        <Link class="act" href={newPage('fabrics')}>
          {say.enter}
        </Link>
      </p>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined ? (
        <Loading />
      ) : (
        <table class="stacked record-list">
          <thead>
            <tr>
              <th>{say.fields.name}</th>
              <th>{say.fields.material}</th>
              <th>{say.fields.form}</th>
              <th>{say.fields.arealDensityGm2}</th>
              <th>{say.fields.widthMm}</th>
            </tr>
          </thead>
          <tbody>
            {data.items.map((fabric) => (
              <tr key={fabric.id}>
                <td>
                  <Link class="touch" href={fabricPage(fabric.id)}>
                    <strong>{fabric.name}</strong>
                  </Link>
                  {!fabric.active && <div>{admin.withdrawn}</div>}
                </td>
                <td data-label={say.fields.material}>{fabric.material}</td>
                <td data-label={say.fields.form}>{say.forms[fabric.form]}</td>
                <td data-label={say.fields.arealDensityGm2}>{fabric.arealDensityGm2}</td>
                <td data-label={say.fields.widthMm}>{fabric.widthMm}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </AdminSheet>
  );
}

export function NewFabric() {
  const { admin } = words.value;
  const [, go] = useLocation();
  return (
    <AdminSheet
      title={admin.fabrics.enter}
      back={[listPage('fabrics'), admin.entries.fabrics.title]}
    >
      <NewRecord
        name="fabric"
        sectionsOf={() => fabricSections(true)}
        act={admin.fabrics.enter}
        add={(values, key) =>
          answered(
            api.POST('/api/v1/fabrics', {
              params: { header: once(key) },
              body: values as unknown as Schemas['FabricToAddInput'],
            }),
          )
        }
        onDone={({ id }) => go(fabricPage(id))}
      />
    </AdminSheet>
  );
}

export function FabricPage({ params: { fabricId } }: { params: { fabricId: string } }) {
  const { admin } = words.value;
  const [said, setSaid] = useState('');
  const path = { fabricId };
  const read = () => answered(api.GET('/api/v1/fabrics/{fabricId}', { params: { path } }));
  const { data, error, refetch } = useQuery({ queryKey: ['fabrics', fabricId], queryFn: read });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  const change = (body: object, version: number) =>
    answered(
      api.PATCH('/api/v1/fabrics/{fabricId}', {
        params: { path, header: ifMatch(version) },
        body: body,
      }),
    );
  return (
    <AdminSheet
      title={data.name}
      back={[listPage('fabrics'), admin.entries.fabrics.title]}
      said={said}
    >
      <Facts
        of={[
          [admin.fabrics.fields.form, admin.fabrics.forms[data.form]],
          [admin.standing, data.active ? admin.inUse : admin.withdrawn],
        ]}
      />
      <p>{admin.fabrics.changeSays}</p>
      <RecordForm
        record={data}
        sectionsOf={() => fabricSections(false)}
        act={admin.save}
        change={change}
        readNow={read}
        onSaid={setSaid}
      />
      <Withdrawal
        record={data}
        change={(active) => change({ active }, data.version)}
        onSaid={setSaid}
      />
      <RecordHistory of={{ subjectKind: 'fabric', subjectId: data.id, version: data.version }} />
    </AdminSheet>
  );
}
