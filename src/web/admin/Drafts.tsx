/** Labels that the bench scanned and the catalogue does not know: made into parts, or set aside. */
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { dayWords, words } from '../words/words.ts';
import { partOfDraftPage, partPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { More, usePages } from './pagedList.tsx';

type Draft = Schemas['PartDraft'];

export function Drafts() {
  const { admin: say } = words.value;
  const [said, setSaid] = useState('');
  const [every, setEvery] = useState(false);
  const state = every ? ('any' as const) : ('waiting' as const);
  const drafts = usePages(['part-drafts', state], (query) =>
    api.GET('/api/v1/part-drafts', { params: { query: { ...query, state } } }),
  );
  return (
    <AdminSheet title={say.entries.drafts.title} said={said}>
      <p>{say.drafts.says}</p>
      <label class="tick">
        <input
          type="checkbox"
          checked={every}
          onChange={({ currentTarget }) => setEvery(currentTarget.checked)}
        />
        {say.drafts.every}
      </label>
      <WentWrong failure={drafts.error} retry={() => void drafts.refetch()} />
      {drafts.isPending && <Loading />}
      {!drafts.isPending && drafts.lines.length === 0 && <p>{say.drafts.none}</p>}
      {drafts.lines.map((draft) => (
        <OneDraft key={draft.id} draft={draft} onSaid={setSaid} />
      ))}
      <More of={drafts} />
    </AdminSheet>
  );
}

function OneDraft({
  draft,
  onSaid,
}: {
  readonly draft: Draft;
  readonly onSaid: (said: string) => void;
}) {
  const { drafts: say, parts } = words.value.admin;
  const instantWords = useInstantWords();
  const { said } = draft;
  return (
    <section class="setting">
      <h2>{draft.deviceIdentifier}</h2>
      <Facts
        of={[
          [parts.catalogue.udiIssuer, parts.catalogue.issuers[draft.issuer]],
          [say.lot, said.lot],
          [say.serial, said.serial],
          [say.expires, said.expiresOn === null ? null : dayWords(said.expiresOn)],
          [say.own, said.additionalIdentification],
        ]}
      />
      <p>{say.scanned(draft.scannedBy, instantWords(draft.scannedAt))}</p>
      {draft.resolvedAt === null ? (
        <>
          <p>
            <Link class="act" href={partOfDraftPage(draft.id)}>
              {say.make}
            </Link>
          </p>
          <details>
            <summary>{say.setAside}</summary>
            <SetAside draft={draft} onSaid={onSaid} />
          </details>
        </>
      ) : (
        <Resolved draft={draft} />
      )}
    </section>
  );
}

function Resolved({ draft }: { readonly draft: Draft }) {
  const { drafts: say } = words.value.admin;
  const instantWords = useInstantWords();
  const when = draft.resolvedAt === null ? '' : instantWords(draft.resolvedAt);
  if (draft.partId === null) {
    return <p>{say.wasSetAside(draft.resolvedBy ?? '', when, draft.note ?? '')}</p>;
  }
  return (
    <p>
      {say.wasMade(draft.resolvedBy ?? '', when)}{' '}
      <Link href={partPage(draft.partId)}>{say.itsPart}</Link>
    </p>
  );
}

function SetAside({
  draft,
  onSaid,
}: {
  readonly draft: Draft;
  readonly onSaid: (said: string) => void;
}) {
  const { drafts: say } = words.value.admin;
  const readAgain = useReadAgain();
  const [note, setNote] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/part-drafts/{partDraftId}/set-aside', {
        params: { path: { partDraftId: draft.id }, header: once(key) },
        // Left out where nothing is typed: the service says that it is missing.
        body: (note.trim() === '' ? {} : { note }) as Schemas['SetDraftAsideInput'],
      }),
    );
    await readAgain();
    onSaid(say.setAsideNow(draft.deviceIdentifier));
  };
  return (
    <ActForm act={say.setAside} send={send}>
      {({ against }) => (
        <NoteField label={say.why} value={note} against={against('/note')} onType={setNote} />
      )}
    </ActForm>
  );
}
