/** What was opened beyond a role's line, to be reviewed by somebody else. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { historyPage } from '../links.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';

type Opening = Schemas['Opening'];
type YesNo = 'yes' | 'no';

export function OpeningsPage() {
  const { looks: say, pages } = words.value;
  const [reviewed, setReviewed] = useState<YesNo>('no');
  const { data, error, isPending, isFetching, fetchNextPage, hasNextPage, refetch } =
    useInfiniteQuery({
      queryKey: ['openings', reviewed],
      initialPageParam: undefined as string | undefined,
      queryFn: ({ pageParam }) => {
        const after = pageParam === undefined ? {} : { after: pageParam };
        return answered(
          api.GET('/api/v1/break-glass', { params: { query: { reviewed, limit: 30, ...after } } }),
        );
      },
      getNextPageParam: ({ next }) => next ?? undefined,
    });
  const all = data?.pages.flatMap(({ items }) => items) ?? [];
  return (
    <Sheet title={pages.openings}>
      <p>{say.reviewIntro}</p>
      <Choices
        label={say.which}
        name="reviewed"
        of={say.whichOnes}
        value={reviewed}
        onChoose={setReviewed}
      />
      <WentWrong failure={error} retry={() => void refetch()} />
      {isPending && <Loading />}
      {!isPending && all.length === 0 && <p role="status">{say.noOpenings}</p>}
      {all.map((opening) => (
        <One key={opening.id} opening={opening} />
      ))}
      {hasNextPage && (
        <button type="button" disabled={isFetching} onClick={() => void fetchNextPage()}>
          {say.older}
        </button>
      )}
    </Sheet>
  );
}

function One({ opening }: { readonly opening: Opening }) {
  const { looks: say } = words.value;
  const at = useInstantWords();
  const { patient, openedBy, openedAt, review } = opening;
  const fields: Readonly<Record<string, string>> = say.fields;
  const mine = person.value?.id === openedBy.id;
  return (
    <section>
      <h2>
        <Link href={historyPage('patient', patient.id)}>{patient.chartNumber}</Link>
      </h2>
      <Facts
        of={[
          [say.opened, `${at(openedAt)}, ${openedBy.printedName}`],
          [say.shown, opening.fields.map((field) => fields[field] ?? field).join(', ')],
          [say.reason, say.reasons[opening.reason]],
          [say.inWords, opening.words],
          [
            say.review,
            review === null
              ? null
              : [
                  say.reviewed(
                    review.reviewedBy,
                    at(review.reviewedAt),
                    say.verdicts[review.inOrder ? 'yes' : 'no'],
                  ),
                  review.words,
                ]
                  .filter((part) => part !== null)
                  .join('. '),
          ],
        ]}
      />
      {!mine && <Review opening={opening} />}
    </section>
  );
}

function Review({ opening: { id, patient } }: { readonly opening: Opening }) {
  const { looks: say } = words.value;
  const readAgain = useReadAgain();
  const [verdict, setVerdict] = useState<YesNo>();
  const [said, setSaid] = useState('');
  const send = async (key: string): Promise<void> => {
    const note = said.trim() === '' ? {} : { words: said };
    // Left out where nothing is chosen: the service says that it is missing.
    const inOrder = verdict === undefined ? {} : { inOrder: verdict === 'yes' };
    await answered(
      api.POST('/api/v1/break-glass/{breakGlassId}/reviews', {
        params: { path: { breakGlassId: id }, header: once(key) },
        body: { ...inOrder, ...note } as Schemas['ReviewGivenInput'],
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary aria-label={say.reviewOf(patient.chartNumber)}>{say.review}</summary>
      <ActForm act={say.reviewAct} send={send}>
        {({ against }) => (
          <>
            <Choices
              label={say.verdict}
              name={`verdict ${id}`}
              of={say.verdicts}
              value={verdict}
              against={against('/inOrder')}
              onChoose={setVerdict}
            />
            <NoteField
              label={say.reviewWords}
              hint={say.reviewWordsHint}
              value={said}
              against={against('/words')}
              onType={setSaid}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
