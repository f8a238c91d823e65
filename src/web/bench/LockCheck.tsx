/** The lock with its pin: clicks are counted by touching, held, released, and all of it again. */
import { useQueries } from '@tanstack/preact-query';
import { clicksAskedFor, LOCK_CHECK_CYCLES_LEAST } from '../../domain/lockCheck.ts';
import { act, ownMoveKeys } from '../offline/acts.ts';
import { useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useState } from 'preact/hooks';
import { Help } from '../parts/help.tsx';
import { words } from '../words/words.ts';
import { useDraft } from './draft.ts';
import { place } from './place.ts';
import { partOf, type Socket } from './record.ts';
import { SocketPage } from './SocketPage.tsx';

interface Cycle {
  readonly clicks: number;
  readonly held?: boolean;
  readonly released?: boolean;
}
const EMPTY: Cycle = { clicks: 0 };

export const LockCheck = ({ params: { socketId } }: { params: { socketId: string } }) => (
  <SocketPage socketId={socketId} title={words.value.bench.lock}>
    {(socket) => <Check key={socket.id} socket={socket} />}
  </SocketPage>
);

/** What lock and pin ask for, by the catalogue; undefined until it is read. */
function useLeastClicks({ hardware }: Socket): number | undefined {
  const parts = useQueries({
    queries: (['lock', 'pin'] as const).map((position) => {
      const partId = hardware.find((each) => each.position === position)?.partId;
      return { ...partOf(partId), enabled: partId !== undefined };
    }),
  });
  const [lock, pin] = parts.map(({ data }) => data);
  if (lock === undefined || pin === undefined) return undefined;
  return clicksAskedFor(lock.leastClicks, pin.leastClicks);
}

function Check({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const least = useLeastClicks(socket);
  const [outcome, setOutcome] = useState<readonly string[]>();
  const { typed, change, done } = useDraft<readonly Cycle[]>(`lock.${socket.id}`, [EMPTY]);
  const now = typed.at(-1) ?? EMPTY;
  const set = (part: Partial<Cycle>): void => change([...typed.slice(0, -1), { ...now, ...part }]);
  const complete = now.held !== undefined && now.released !== undefined;
  const enough = typed.length >= LOCK_CHECK_CYCLES_LEAST;
  const fails = typed.filter((cycle) => failsBy(cycle, least)).length > 0;
  if (socket.lockCheckedNow === null) return <p class="caution">{say.noLock}</p>;
  return (
    <>
      <p class={socket.lockCheckedNow ? 'stands' : 'stands against'} role="status">
        {socket.lockCheckedNow ? say.stands.counts : say.stands.notYet}
      </p>
      {outcome !== undefined && outcome.length > 0 && (
        <div class="problem" role="alert">
          <strong>{say.lockFailed}</strong>
          <ul>
            {outcome.map((detail) => (
              <li key={detail}>{detail}</li>
            ))}
          </ul>
        </div>
      )}
      <h2 class="operation">
        {say.cycle} {typed.length}
        {enough ? '' : ` / ${String(LOCK_CHECK_CYCLES_LEAST)}`}
      </h2>
      <button
        type="button"
        class="tap"
        onClick={() => set({ clicks: Math.min(100, now.clicks + 1) })}
      >
        <span aria-live="polite">{now.clicks}</span>
        <small>
          {say.tapClick}
          {least === undefined ? '' : `, ${say.leastClicks(least)}`}
        </small>
      </button>
      <button
        type="button"
        class="wide"
        disabled={now.clicks === 0}
        onClick={() => set({ clicks: now.clicks - 1 })}
      >
        {say.clickLess}
      </button>
      <Help of={`${say.tapClick}${least === undefined ? '' : `, ${say.leastClicks(least)}`}`}>
        {words.value.help.clicks} {words.value.help.leastClicks}
      </Help>
      <Choices
        label={say.held}
        name="held"
        of={say.yesNo}
        value={yesNo(now.held)}
        onChoose={(chosen) => set({ held: chosen === 'yes' })}
      />
      <Choices
        label={say.released}
        name="released"
        of={say.yesNo}
        value={yesNo(now.released)}
        onChoose={(chosen) => set({ released: chosen === 'yes' })}
      />
      {complete && fails && (
        <div class="problem" role="alert">
          <strong>{say.lockWillFail}</strong>
        </div>
      )}
      {!enough && (
        <button
          type="button"
          class="act"
          disabled={!complete}
          onClick={() => change([...typed, EMPTY])}
        >
          {say.cycleAgain}
        </button>
      )}
      {enough && complete && (
        <ActForm
          act={say.lockAct}
          send={async (key) => {
            const outcome = await act(key, {
              path: '/api/v1/sockets/{socketId}/lock-checks',
              params: { socketId: socket.id },
              body: (recordedAt) => ({
                cycles: typed.map(({ clicks, held, released }) => ({
                  clicks,
                  heldUnderPull: held === true,
                  releasedByButton: released === true,
                })),
                recordedAt,
                basedOn: { moveIds: socket.lockMovesSoFar, keys: ownMoveKeys() },
              }),
              said: say.lock,
              about: socket.number,
              told: typed.map(
                ({ clicks, held, released }, cycle) =>
                  [
                    `${say.cycle} ${String(cycle + 1)}`,
                    say.cycleTold(clicks, held === true, released === true),
                  ] as const,
              ),
              subject: `lock:${socket.id}`,
              socketId: socket.id,
              page: place.lock(socket.id),
              draft: { name: `lock.${socket.id}`, typed, afresh: [EMPTY] },
            });
            done();
            if (outcome.kind === 'kept') return;
            setOutcome(outcome.answer.because.map(({ detail }) => detail));
            await readAgain();
          }}
        >
          {() => null}
        </ActForm>
      )}
    </>
  );
}

const yesNo = (value: boolean | undefined): 'yes' | 'no' | undefined =>
  value === undefined ? undefined : value ? 'yes' : 'no';

const failsBy = ({ clicks, held, released }: Cycle, least: number | undefined): boolean =>
  (held !== undefined && clicks < (least ?? 1)) || held === false || released === false;
