/**
 * One operation with its checks. What would stop the work is told before it is sent,
 * by the same rules as the service judges it.
 */
import { judgeOperation, type OperationKind } from '../../domain/operations.ts';
import type { Reason } from '../../domain/reasons/index.ts';
import { useQueryClient } from '@tanstack/preact-query';
import type { Schemas } from '../api.ts';
import { act } from '../offline/acts.ts';
import { useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { person } from '../session/session.ts';
import { said } from '../words/said.ts';
import { words } from '../words/words.ts';
import { CheckField } from './CheckField.tsx';
import { answersOf, checkOf, judgedAs, toldOf, type TypedAnswers } from './checks.ts';
import { useDraft } from './draft.ts';
import { operationSubject } from './keptHere.ts';
import { NeededFirst } from './NeededFirst.tsx';
import { place } from './place.ts';
import type { Operation, Socket } from './record.ts';

export function OperationForm({
  socket,
  operation,
  onRecorded,
}: {
  readonly socket: Socket;
  readonly operation: Operation;
  readonly onRecorded: (outcome: 'done' | 'stopped' | 'kept') => void;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const queries = useQueryClient();
  const draft = useDraft<TypedAnswers>(operation.id, {});
  const { typed, change } = draft;
  const checks = operation.checks.map(checkOf);
  const stops = stopsOf(socket, operation, typed);
  const showNext = ({ outcome, next }: Schemas['OperationRecorded']): void => {
    const queryKey = ['socket', socket.id];
    const updatedAt = queries.getQueryState(queryKey)?.dataUpdatedAt ?? 0;
    queries.setQueryData<Socket>(
      queryKey,
      (read) =>
        read && {
          ...read,
          operations: read.operations.map((each) =>
            each.id === operation.id
              ? { ...each, state: outcome, attempts: each.attempts + 1 }
              : each,
          ),
          nextOperationId: outcome === 'stopped' ? operation.id : (next?.id ?? null),
        },
      { updatedAt },
    );
  };
  return (
    <>
      <NeededFirst socket={socket} operation={operation} />
      <ActForm
        act={stops.length === 0 ? say.done : say.stopIt}
        send={async (key) => {
          const done = await act(key, {
            path: '/api/v1/operations/{operationId}/records',
            params: { operationId: operation.id },
            body: (recordedAt) => ({
              answers: answersOf(checks, typed),
              recordedAt,
              basedOn: { attempts: operation.attempts },
            }),
            said: `${operation.title}: ${stops.length === 0 ? say.done : say.stopIt}`,
            about: socket.number,
            told: toldOf(checks, typed),
            subject: operationSubject(operation.id),
            socketId: socket.id,
            page: place.socket(socket.id),
            draft: { name: operation.id, typed },
            stops: stops.length > 0,
          });
          draft.done();
          if (done.kind === 'kept') {
            onRecorded('kept');
            return;
          }
          // The next one shows at once; all else is read again behind it.
          showNext(done.answer);
          onRecorded(done.answer.outcome);
          void readAgain();
        }}
      >
        {({ against }) => (
          <>
            {checks.map((check) => (
              <CheckField
                key={check.key}
                check={check}
                typed={typed[check.key] ?? {}}
                against={against(`/answers/${check.key}`)}
                onType={(answer) => change({ ...typed, [check.key]: answer })}
              />
            ))}
            {stops.length > 0 && <Stops because={stops} />}
          </>
        )}
      </ActForm>
    </>
  );
}

/** What of the answers given so far would stop the operation: each judged as if it were the only one asked. */
function stopsOf({ order }: Socket, operation: Operation, typed: TypedAnswers): readonly Reason[] {
  return operation.checks.map(checkOf).flatMap((check) => {
    const judged = judgeOperation(
      {
        title: operation.title,
        orderNumber: order.number,
        kind: operation.kind as OperationKind,
        state: 'waiting',
        checks: [check],
        earlierOpen: [],
        missingFacts: {},
      },
      judgedAs(answersOf([check], typed)),
      person.value?.id ?? '',
    );
    return judged.ok ? judged.value.because : [];
  });
}

const Stops = ({ because }: { readonly because: readonly Reason[] }) => (
  <div class="problem" role="alert">
    <strong>{words.value.bench.willStop}</strong>
    <ul>
      {because.map(said).map(({ detail }) => (
        <li key={detail}>{detail}</li>
      ))}
    </ul>
  </div>
);
