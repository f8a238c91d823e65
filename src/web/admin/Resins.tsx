/** The resin products of the catalogue: ratio, pot life and cure by the maker's sheet. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link, useLocation } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { listPage, newPage, resinPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { NewRecord } from './NewRecord.tsx';
import { More, usePages } from './pagedList.tsx';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { resinSections } from './resinFields.ts';
import { ifMatch } from './values.ts';
import { Withdrawal } from './Withdrawal.tsx';

export function Resins() {
  const { admin } = words.value;
  const { resins: say } = admin;
  const products = usePages(['resin-products'], (query) =>
    api.GET('/api/v1/resin-products', { params: { query } }),
  );
  return (
    <AdminSheet title={admin.entries.resins.title}>
      <p>
        <Link class="act" href={newPage('resins')}>
          {say.enter}
        </Link>
      </p>
      <WentWrong failure={products.error} retry={() => void products.refetch()} />
      {products.isPending && <Loading />}
      {!products.isPending && products.lines.length === 0 && <p>{admin.none}</p>}
      {products.lines.length > 0 && (
        <table class="stacked record-list">
          <thead>
            <tr>
              <th>{say.fields.name}</th>
              <th>{say.ratio}</th>
              <th>{say.fields.potLifeMinutes}</th>
              <th>{say.fields.document}</th>
            </tr>
          </thead>
          <tbody>
            {products.lines.map((product) => (
              <tr key={product.id}>
                <td>
                  <Link class="touch" href={resinPage(product.id)}>
                    <strong>{product.name}</strong>
                  </Link>
                  {!product.active && <div>{admin.withdrawn}</div>}
                </td>
                <td data-label={say.ratio}>
                  {product.partsResin} : {product.partsHardener}
                </td>
                <td data-label={say.fields.potLifeMinutes}>{product.potLifeMinutes}</td>
                <td data-label={say.fields.document}>
                  {admin.parts.fromDocument(product.document, product.revision)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <More of={products} />
    </AdminSheet>
  );
}

export function NewResin() {
  const { admin } = words.value;
  const [, go] = useLocation();
  return (
    <AdminSheet title={admin.resins.enter} back={[listPage('resins'), admin.entries.resins.title]}>
      <NewRecord
        name="resin"
        sectionsOf={() => resinSections(true)}
        act={admin.resins.enter}
        add={(values, key) =>
          answered(
            api.POST('/api/v1/resin-products', {
              params: { header: once(key) },
              body: values as unknown as Schemas['ResinProductToAddInput'],
            }),
          )
        }
        onDone={({ id }) => go(resinPage(id))}
      />
    </AdminSheet>
  );
}

export function ResinPage({ params }: { params: { resinProductId: string } }) {
  const { admin } = words.value;
  const [said, setSaid] = useState('');
  const { resinProductId } = params;
  const path = { resinProductId };
  const read = () =>
    answered(api.GET('/api/v1/resin-products/{resinProductId}', { params: { path } }));
  const { data, error, refetch } = useQuery({
    queryKey: ['resin-products', resinProductId],
    queryFn: read,
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  const change = (body: object, version: number) =>
    answered(
      api.PATCH('/api/v1/resin-products/{resinProductId}', {
        params: { path, header: ifMatch(version) },
        body: body,
      }),
    );
  return (
    <AdminSheet
      title={data.name}
      back={[listPage('resins'), admin.entries.resins.title]}
      said={said}
    >
      <Facts
        of={[
          [admin.resins.fields.chemistry, admin.resins.chemistries[data.chemistry]],
          [admin.standing, data.active ? admin.inUse : admin.withdrawn],
        ]}
      />
      <p>{admin.resins.changeSays}</p>
      <RecordForm
        record={data}
        sectionsOf={() => resinSections(false)}
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
      <RecordHistory
        of={{ subjectKind: 'resin_product', subjectId: data.id, version: data.version }}
      />
    </AdminSheet>
  );
}
