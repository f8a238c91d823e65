/** Where a person is signed in, for an administrator: seen, and ended. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { SessionList } from '../session/SessionList.tsx';
import { words } from '../words/words.ts';

export function PersonSessions({
  person: { id: personId, printedName },
  onSaid,
}: {
  readonly person: Schemas['Person'];
  readonly onSaid: (said: string) => void;
}) {
  const { admin, signIn } = words.value;
  const { people: say } = admin;
  const readAgain = useReadAgain();
  const [failure, setFailure] = useState<unknown>(null);
  const { data, error, refetch } = useQuery({
    queryKey: ['people', personId, 'sessions'],
    queryFn: () =>
      answered(api.GET('/api/v1/people/{personId}/sessions', { params: { path: { personId } } })),
  });
  const end = async (ended: Promise<unknown>, said: string): Promise<void> => {
    setFailure(null);
    try {
      await ended;
      onSaid(said);
    } catch (wrong) {
      setFailure(wrong);
    }
    await readAgain();
  };
  const header = () => once(crypto.randomUUID());
  const endOne = (sessionId: string) =>
    answered(
      api.POST('/api/v1/people/{personId}/sessions/{sessionId}/end', {
        params: { path: { personId, sessionId }, header: header() },
      }),
    );
  const endAll = () =>
    answered(
      api.POST('/api/v1/people/{personId}/sessions/end-all', {
        params: { path: { personId }, header: header() },
      }),
    );
  return (
    <section>
      <h2>{say.signedIn}</h2>
      <WentWrong failure={error ?? failure} retry={() => void refetch()} />
      {data === undefined ? (
        <Loading />
      ) : (
        <SessionList
          sessions={data.items}
          onEnd={(id) => void end(endOne(id), signIn.sessions.ended)}
        />
      )}
      {data !== undefined && data.items.length > 0 && (
        <p>
          <button type="button" onClick={() => void end(endAll(), say.allEnded(printedName))}>
            {say.endAll}
          </button>
        </p>
      )}
    </section>
  );
}
