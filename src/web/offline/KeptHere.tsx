/** On a page of the bench: what of this socket waits on the phone, and as of when the page is. */
import { Link } from 'wouter-preact';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';
import { openActsOf } from './acts.ts';
import { atService, offline } from './reach.ts';
import { stateWords } from './stateWords.ts';

export function KeptHere({
  socketId,
  readAtMs,
}: {
  readonly socketId: string;
  /** When what the page shows was read. */
  readonly readAtMs: number;
}) {
  const { offline: say } = words.value;
  const instant = useInstantWords();
  const acts = openActsOf(socketId);
  return (
    <>
      {offline.value && (
        <p class="as-of" role="status">
          {say.asOf(instant(atService(readAtMs).toISOString()))}
        </p>
      )}
      <div role="status">
        {acts.length > 0 && (
          <section class="kept-here" aria-label={say.title}>
            <ul>
              {acts.map((act) => (
                <li key={act.key} class={act.state.kind === 'waiting' ? '' : 'against'}>
                  <strong>{act.said}</strong>: {say.notYet}. {stateWords(act)}
                </li>
              ))}
            </ul>
            <Link class="way" href="/kept">
              {say.title}
            </Link>
          </section>
        )}
      </div>
    </>
  );
}
