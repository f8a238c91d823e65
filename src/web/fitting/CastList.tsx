/** The casts of an order; one that was taken is accepted, or rejected with the reason. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { Facts } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { lengthWords } from '../words/units.ts';
import { dayWords, words } from '../words/words.ts';
import { LimbDrawing, tableOf } from './LimbDrawing.tsx';

type Cast = Schemas['Cast'];

export function CastList({
  casts,
  limb,
  onDone,
}: {
  readonly casts: readonly Cast[];
  readonly limb: string;
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const at = useInstantWords();
  if (casts.length === 0) return <p role="status">{say.noCast}</p>;
  return (
    <>
      {[...casts].reverse().map((cast, place) => {
        const label = say.castOf(cast.number);
        const table = tableOf(label, cast.measures, cast.capDepthMm);
        return (
          <section key={cast.id} aria-label={label}>
            <h2>
              {label}: {say.castStates[cast.state]}
            </h2>
            <Facts
              of={[
                [say.method, say.methods[cast.method]],
                [say.takenOn, dayWords(cast.takenOn)],
                [say.takenBy, cast.takenBy],
                [say.length, lengthWords(cast.limbLengthMm)],
                [say.decidedBy, cast.decidedBy],
                [say.decidedAt, cast.decidedAt === null ? null : at(cast.decidedAt)],
                [say.rejectedBecause, cast.decisionReason],
                [say.note, cast.note],
              ]}
            />
            {table !== null && (
              <details open={place === 0 && cast.state === 'taken'}>
                <summary>{say.showDrawing}</summary>
                <LimbDrawing limb={limb} table={table} over={null} />
              </details>
            )}
            {cast.state === 'taken' && may('prosthetist') && <Judge cast={cast} onDone={onDone} />}
          </section>
        );
      })}
    </>
  );
}

function Judge({ cast, onDone }: { cast: Cast; onDone: (said: string) => void }) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [reason, setReason] = useState('');
  const params = (key: string) => ({ path: { castId: cast.id }, header: once(key) });
  const accept = async (key: string): Promise<void> => {
    await answered(api.POST('/api/v1/casts/{castId}/accept', { params: params(key) }));
    onDone(say.castAccepted(cast.number));
    await readAgain();
  };
  const reject = async (key: string): Promise<void> => {
    const body = { reason };
    await answered(api.POST('/api/v1/casts/{castId}/reject', { params: params(key), body }));
    onDone(say.castRejected(cast.number));
    await readAgain();
  };
  return (
    <>
      <ActForm act={say.acceptCast(cast.number)} send={accept}>
        {() => null}
      </ActForm>
      <details>
        <summary>{say.rejectInstead}</summary>
        <ActForm act={say.rejectCast(cast.number)} send={reject}>
          {({ against }) => (
            <NoteField
              label={say.rejectWhy}
              value={reason}
              against={against('/reason')}
              onType={setReason}
            />
          )}
        </ActForm>
      </details>
    </>
  );
}
