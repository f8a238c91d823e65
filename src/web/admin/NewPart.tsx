/** A part that is entered, typed whole or made from the label that the bench scanned. */
import { useQuery } from '@tanstack/preact-query';
import { useLocation, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { listPage, partPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { NewRecord } from './NewRecord.tsx';
import { newPartSections } from './partFields.ts';
import type { Wire } from './values.ts';

export function NewPart() {
  const { admin: say } = words.value;
  const [asked] = useSearchParams();
  const draftId = asked.get('draft');
  return (
    <AdminSheet title={say.parts.enter} back={[listPage('parts'), say.entries.parts.title]}>
      <p>{say.parts.enterSays}</p>
      {draftId === null ? (
        <PartForm
          name="part"
          ofDraft={false}
          add={(values, key) =>
            answered(
              api.POST('/api/v1/parts', {
                params: { header: once(key) },
                body: values as Schemas['PartToAddInput'],
              }),
            )
          }
        />
      ) : (
        <OfDraft draftId={draftId} />
      )}
    </AdminSheet>
  );
}

function OfDraft({ draftId }: { readonly draftId: string }) {
  const { parts: say, drafts } = words.value.admin;
  const { data, error, refetch } = useQuery({
    queryKey: ['part-drafts', 'waiting'],
    queryFn: () => answered(api.GET('/api/v1/part-drafts', { params: { query: { limit: 100 } } })),
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  const draft = data.items.find(({ id }) => id === draftId);
  if (draft === undefined) return <p>{drafts.notWaiting}</p>;
  return (
    <>
      <Facts
        of={[
          [say.catalogue.udiIssuer, say.catalogue.issuers[draft.issuer]],
          [say.catalogue.udiDeviceIdentifier, draft.deviceIdentifier],
          [drafts.own, draft.said.additionalIdentification],
        ]}
      />
      <PartForm
        name={`draft ${draftId}`}
        ofDraft
        add={(values, key) =>
          answered(
            api.POST('/api/v1/part-drafts/{partDraftId}/part', {
              params: { path: { partDraftId: draftId }, header: once(key) },
              body: values as Schemas['PartOfDraftInput'],
            }),
          )
        }
      />
    </>
  );
}

function PartForm({
  name,
  ofDraft,
  add,
}: {
  readonly name: string;
  readonly ofDraft: boolean;
  readonly add: (values: Record<string, Wire>, key: string) => Promise<Schemas['Part']>;
}) {
  const [, go] = useLocation();
  return (
    <NewRecord
      name={name}
      sectionsOf={(typed) => newPartSections(typed, ofDraft)}
      act={words.value.admin.parts.enter}
      add={add}
      onDone={({ id }) => go(partPage(id))}
    />
  );
}
