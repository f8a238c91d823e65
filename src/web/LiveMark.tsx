/** The small marks of live updates: that they are off, that some wait, that an answer is old. */
import { useQueryClient } from '@tanstack/preact-query';
import { isHeldBack, isNewAgain, keyText, live, outdated, showChanges } from './live.ts';
import { person, reachOfSignIn } from './session/session.ts';
import { words } from './words/words.ts';

/** In the head. Nothing where all is as it should be. */
export function LiveMark() {
  const { live: say } = words.value.work;
  const queries = useQueryClient();
  const off = live.value === 'lost' ? say.lost : live.value === 'resting' ? say.resting : null;
  return (
    <div class="live" role="status">
      {person.value != null && off !== null && reachOfSignIn.value !== 'enrolment' && (
        <span>{off}</span>
      )}
      {person.value != null && isHeldBack.value && (
        <>
          <span>{say.heldBack}</span>
          <button type="button" onClick={() => showChanges(queries)}>
            {say.show}
          </button>
        </>
      )}
    </div>
  );
}

/** Beside an answer that is asked by people only: something in it has changed since. */
export function ChangedSince({
  of,
  again,
}: {
  readonly of: readonly unknown[];
  readonly again: () => unknown;
}) {
  const { live: say } = words.value.work;
  if (!outdated.value.has(keyText(of))) return null;
  return (
    <p class="caution" role="status">
      {say.changedSince}{' '}
      <button
        type="button"
        onClick={() => {
          isNewAgain(of);
          again();
        }}
      >
        {say.askAgain}
      </button>
    </p>
  );
}
