/** The newest signed head: to be saved, printed, renewed, and held against one that was saved before. */
import { useQuery, useQueryClient } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, Problem } from '../api.ts';
import { Download } from '../parts/download.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Facts, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { holdsSaved, readSavedHead, type SignedHead } from './signedHeads.ts';

const KEY = ['signed-heads'];

export function SignedHeads() {
  const { audit: say } = words.value;
  const queries = useQueryClient();
  const { data, error } = useQuery({
    queryKey: KEY,
    queryFn: () => answered(api.GET('/api/v1/record/heads', { params: { query: { limit: 1 } } })),
  });
  const sign = async (key: string): Promise<void> => {
    const params = { header: { 'idempotency-key': key } };
    await answered(api.POST('/api/v1/record/heads', { params }));
    await queries.invalidateQueries({ queryKey: KEY });
  };
  const head = data?.items[0];
  return (
    <>
      <h2>{say.signedHeads}</h2>
      <p>{say.signedHeadsIntro}</p>
      <WentWrong failure={error} />
      {data?.signing === false && (
        <p class="problem" role="alert">
          {say.notSigning}
        </p>
      )}
      {data !== undefined && head === undefined && <p>{say.noHead}</p>}
      {head !== undefined && <Head of={head} />}
      {data?.signing === true && (
        <ActForm act={say.headSignNow} send={sign}>
          {() => null}
        </ActForm>
      )}
    </>
  );
}

function Head({ of }: { readonly of: SignedHead }) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  const file = `record-head-${of.number}`;
  return (
    <>
      <Facts
        of={[
          [say.newestHead(of.number), say.recordsCount(of.treeSize)],
          [say.headSigned, `${at(of.signedAt)}${of.askedBy === null ? '' : `, ${of.askedBy}`}`],
          [
            say.headRoot,
            <span class="noted">{of.rootSha256.replaceAll(/(.{4})(?=.)/g, '$1 ')}</span>,
          ],
          [say.headKey, <span class="noted">{of.keyId}</span>],
        ]}
      />
      <p class="acts">
        <Download
          words={say.headSave}
          fileName={`${file}.json`}
          read={() =>
            Promise.resolve(new Blob([JSON.stringify(of, null, 2)], { type: 'application/json' }))
          }
        />{' '}
        <Download
          words={say.headPrint}
          fileName={`${file}.pdf`}
          read={() =>
            answered(
              api.GET('/api/v1/record/heads/{number}/notice.pdf', {
                params: { path: { number: of.number } },
                parseAs: 'blob',
              }),
            )
          }
        />
      </p>
      <SavedHeadCheck newest={of} />
    </>
  );
}

function SavedHeadCheck({ newest }: { readonly newest: SignedHead }) {
  const { audit: say } = words.value;
  const [told, setTold] = useState<{ words: string; isWell: boolean }>();
  const [failure, setFailure] = useState<unknown>(null);
  const check = async (file: File | undefined): Promise<void> => {
    setTold(undefined);
    setFailure(null);
    if (file === undefined) return;
    const saved = readSavedHead(await file.text());
    if (saved === null) {
      setTold({ words: say.savedHeadWrong, isWell: false });
      return;
    }
    try {
      const holds = await holdsSaved(newest, saved);
      const holding = say.savedHeadHolds(saved.number, newest.number);
      setTold({ words: holds ? holding : say.savedHeadFails(saved.number), isWell: holds });
    } catch (wrong) {
      // A head that the record does not know any more is not proven either.
      if (wrong instanceof Problem)
        setTold({ words: say.savedHeadFails(saved.number), isWell: false });
      setFailure(wrong);
    }
  };
  return (
    <div class="field">
      <label class="label" for="saved-head">
        {say.savedHead}
      </label>
      <input
        id="saved-head"
        type="file"
        accept="application/json,.json"
        aria-describedby="saved-head-hint"
        onChange={({ currentTarget }) => void check(currentTarget.files?.[0])}
      />
      <span class="hint" id="saved-head-hint">
        {say.savedHeadHint}
      </span>
      {told !== undefined && (
        <p class={told.isWell ? 'told' : 'problem'} role={told.isWell ? 'status' : 'alert'}>
          {told.words}
        </p>
      )}
      <WentWrong failure={failure} />
    </div>
  );
}
