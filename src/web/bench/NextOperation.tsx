/** The bench page of a socket: the one operation to do next, and what stands against it. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { openActsOf } from '../offline/acts.ts';
import { stateWords } from '../offline/stateWords.ts';
import { words } from '../words/words.ts';
import { Findings } from './Findings.tsx';
import { keptFor, operationSubject } from './keptHere.ts';
import { OperationForm } from './OperationForm.tsx';
import { place } from './place.ts';
import type { Operation, Socket } from './record.ts';
import { SocketPage } from './SocketPage.tsx';

export const NextOperation = ({ params: { socketId } }: { params: { socketId: string } }) => (
  <SocketPage socketId={socketId}>{(socket) => <Work socket={socket} />}</SocketPage>
);

function Work({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const [recorded, setRecorded] = useState<string | null>(null);
  const next = socket.operations.find(({ id }) => id === socket.nextOperationId);
  // One that stops the work, or that the service refused: it is not asked twice.
  const kept =
    next === undefined ? undefined : keptFor(openActsOf(socket.id), operationSubject(next.id));
  const at = socket.operations.findIndex(({ id }) => id === next?.id);
  return (
    <>
      <p role="status">{recorded}</p>
      {next === undefined ? (
        <p class="caution">
          {socket.operations.every(({ state }) => state === 'done' || state === 'left_out')
            ? say.allDone
            : say.allKept}
        </p>
      ) : (
        <section aria-labelledby="operation">
          <Heading
            of={next}
            at={`${String(at + 1)} / ${String(socket.operations.length)}`}
            focus={recorded !== null}
          />
          {next.caution !== null && <p class="caution">{next.caution}</p>}
          {next.state === 'stopped' ? (
            <p class="problem">
              <strong>{say.stopped}</strong> {say.stoppedMore}
            </p>
          ) : kept !== undefined ? (
            <p class="caution">
              {kept.said}: {stateWords(kept)}
            </p>
          ) : (
            <OperationForm
              key={next.id}
              socket={socket}
              operation={next}
              onRecorded={(outcome) => setRecorded(`${say.recorded[outcome]} ${next.title}`)}
            />
          )}
        </section>
      )}
      <Findings socket={socket} />
      <Ways socket={socket} />
    </>
  );
}

/** Takes the focus when the operation before it was recorded: the next thing is then said aloud. */
function Heading({
  of: { id, title, bench, plannedMinutes },
  at,
  focus,
}: {
  readonly of: Operation;
  readonly at: string;
  readonly focus: boolean;
}) {
  const { bench: say } = words.value;
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (focus) heading.current?.focus();
  }, [id]);
  return (
    <>
      <h2 id="operation" class="operation" tabIndex={-1} ref={heading}>
        {title}
      </h2>
      <p class="label">
        {say.operation} {at}
        {bench === null ? '' : ` · ${bench}`}
        {plannedMinutes === null ? '' : ` · ${String(plannedMinutes)} min`}
      </p>
    </>
  );
}

/** Everything else that can be done to this socket at the bench. */
function Ways({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  return (
    <nav class="ways" aria-label={say.elsewhere}>
      <h2>{say.elsewhere}</h2>
      <Link class="way" href={place.finding(socket.id)}>
        {say.findingReport}
      </Link>
      <Link class="way" href={place.hardware(socket.id)}>
        {say.hardware}
      </Link>
      {socket.kind === 'definitive' && (
        <Link class="way" href={place.resin(socket.id)}>
          {say.resin}
        </Link>
      )}
      {socket.joints.map(({ kind }) => (
        <Link key={kind} class="way" href={place.joint(socket.id, kind)}>
          {say.torqueOf} {say.joints[kind]}
        </Link>
      ))}
      {socket.lockCheckedNow !== null && (
        <Link class="way" href={place.lock(socket.id)}>
          {say.lock}
        </Link>
      )}
      <Link class="way" href={place.order(socket.order.id)}>
        {say.toOrder}
      </Link>
      <Link class="way" href="/bench">
        {say.otherCode}
      </Link>
    </nav>
  );
}
