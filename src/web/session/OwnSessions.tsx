/** Where one is signed in oneself, and signing out from afar. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { SessionList } from './SessionList.tsx';

export function OwnSessions({ onSaid }: { readonly onSaid: (said: string) => void }) {
  const { signedIn, sessions: say } = words.value.signIn;
  const readAgain = useReadAgain();
  const [failure, setFailure] = useState<unknown>(null);
  const { data, error, refetch } = useQuery({
    queryKey: ['me', 'sessions'],
    queryFn: () => answered(api.GET('/api/v1/me/sessions')),
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
      api.POST('/api/v1/me/sessions/{sessionId}/end', {
        params: { path: { sessionId }, header: header() },
      }),
    );
  const endOthers = () =>
    answered(api.POST('/api/v1/me/sessions/end-others', { params: { header: header() } }));
  return (
    <section>
      <h2>{signedIn}</h2>
      <WentWrong failure={error ?? failure} retry={() => void refetch()} />
      {data === undefined ? (
        <Loading />
      ) : (
        <>
          <SessionList sessions={data.items} onEnd={(id) => void end(endOne(id), say.ended)} />
          <p class="hint">{say.unknownHelp}</p>
        </>
      )}
      {data !== undefined && data.items.length > 1 && (
        <p>
          <button type="button" onClick={() => void end(endOthers(), say.othersEnded)}>
            {say.endOthers}
          </button>
        </p>
      )}
    </section>
  );
}
