/**
 * One operation with its checks. What would stop the work is told before it is sent,
 * by the same rules as the service judges it.
 */
import { judgeOperation, type OperationKind } from '../../domain/operations.ts';
import type { Reason } from '../../domain/reasons/index.ts';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { person } from '../session/session.ts';
import { said } from '../words/said.ts';
import { words } from '../words/words.ts';
import { CheckField } from './CheckField.tsx';
import { answersOf, checkOf, judgedAs, type TypedAnswers } from './checks.ts';
import { useDraft } from './draft.ts';
import { NeededFirst } from './NeededFirst.tsx';
import type { Operation, Socket } from './record.ts';

export function OperationForm({
  socket,
  operation,
  onRecorded,
}: {
  readonly socket: Socket;
  readonly operation: Operation;
  readonly onRecorded: (outcome: 'done' | 'stopped') => void;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const { typed, change, done } = useDraft<TypedAnswers>(operation.id, {});
  const checks = operation.checks.map(checkOf);
  const stops = stopsOf(socket, operation, typed);
  return (
    <>
      <NeededFirst socket={socket} operation={operation} />
      <ActForm
        act={stops.length === 0 ? say.done : say.stopIt}
        send={async (key) => {
          const { outcome } = await answered(
            api.POST('/api/v1/operations/{operationId}/records', {
              params: {
                path: { operationId: operation.id },
                header: once(key),
              },
              body: { answers: answersOf(checks, typed) },
            }),
          );
          done();
          onRecorded(outcome);
          await readAgain();
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
