/** The operations of a route, edited by buttons and fields; what stands against them is told at once. */
import { useEffect, useRef } from 'preact/hooks';
import { isSameBench } from '../../domain/benchLoad.ts';
import { judgeRoute } from '../../domain/routeOfWork.ts';
import { answered, api, Problem } from '../api.ts';
import { useKept } from '../desk/kept.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { HelpHeading, WithHelp } from '../parts/help.tsx';
import { said } from '../words/said.ts';
import { words } from '../words/words.ts';
import { AddOperation } from './AddOperation.tsx';
import { useBenches } from './Benches.tsx';
import { OperationEditor } from './OperationEditor.tsx';
import { PutBack } from './PutBack.tsx';
import { routeChanges } from './routeChanges.ts';
import { routesTogether } from './routesTogether.ts';
import {
  moved,
  operationsOf,
  operationTyped,
  type OperationTyped,
  type Route,
} from './routeDraft.ts';
import { readRoute } from './versionsRead.ts';
import { notSent, racedBy } from './values.ts';
import { Changes } from './Versions.tsx';

interface Draft {
  readonly base: Route;
  readonly name: string;
  readonly operations: readonly OperationTyped[];
}
const begun = (base: Route): Draft => ({
  base,
  name: base.name,
  operations: base.operations.map(operationTyped),
});

export function RouteForm({
  inForce,
  onSaid,
}: {
  readonly inForce: Route;
  readonly onSaid: (said: string) => void;
}) {
  const { routes: say } = words.value.admin;
  const readAgain = useReadAgain();
  const benches = (useBenches().data?.items ?? []).filter(({ active }) => active);
  const { socketKind, suspension } = inForce;
  const [draft, setDraft, forget] = useKept(`route ${socketKind} ${suspension}`, begun(inForce));
  const beginFrom = (route: Route): void => {
    setDraft(() => begun(route));
    forget();
  };
  const changes = routeChanges(draft.base, {
    name: draft.name,
    operations: operationsOf(draft.operations).operations,
  });
  useEffect(() => {
    // What somebody else wrote is taken over only where nothing was typed yet.
    if (changes.length === 0) beginFrom(inForce);
  }, [inForce.id]);
  /** The order in which the operations were sent: what was refused is told beside the same ones, wherever they are by now. */
  const sent = useRef<readonly number[]>([]);
  const place = useRef<HTMLOListElement>(null);
  const change = (operations: readonly OperationTyped[]): void =>
    setDraft((before) => ({ ...before, operations }));
  const { operations } = operationsOf(draft.operations);
  const judged = judgeRoute(inForce.socketKind, operations).map((each) => said(each));
  const wrongAt = (pointer: string): string | undefined =>
    judged.find(({ field }) => field === pointer)?.detail;
  const send = async (key: string): Promise<void> => {
    onSaid('');
    sent.current = draft.operations.map(({ at }) => at);
    const typed = operationsOf(draft.operations);
    if (judged.length > 0 || typed.against.length > 0) {
      focusWrong();
      throw notSent(typed.against);
    }
    try {
      const written = await answered(
        api.POST('/api/v1/routes', {
          params: { header: once(key) },
          body: {
            basedOnVersion: draft.base.version,
            name: draft.name,
            socketKind,
            suspension,
            operations: typed.operations,
          },
        }),
      );
      await readAgain();
      beginFrom(written);
      onSaid(say.written(written.version));
    } catch (failure) {
      if (failure instanceof Problem && failure.code === 'version-is-stale') {
        const [theirs] = await readRoute(draft.base);
        if (theirs !== undefined) {
          setDraft(() => ({
            base: theirs,
            name: draft.name === draft.base.name ? theirs.name : draft.name,
            operations: routesTogether(draft.base, draft.operations, theirs),
          }));
          void readAgain();
          throw racedBy(routeChanges(draft.base, theirs), say.racedWayOut);
        }
      }
      throw failure;
    }
  };
  /** The keyboard stays with what was moved. */
  const move = (at: number, by: -1 | 1): void => {
    change(moved(draft.operations, at, by));
    const word = by === -1 ? 'up' : 'down';
    requestAnimationFrame(() => {
      const item = place.current?.children[at + by];
      const button = item?.querySelector<HTMLButtonElement>(`button[data-move=${word}]`);
      const other = item?.querySelector<HTMLButtonElement>('button[data-move]:not(:disabled)');
      (button?.disabled === true ? other : button)?.focus();
    });
  };
  return (
    <ActForm act={say.write} send={send}>
      {({ against }) => (
        <>
          <WithHelp about={say.name} text={say.nameHelp}>
            <TextField
              label={say.name}
              value={draft.name}
              against={against('/name')}
              onInput={({ currentTarget: { value } }) =>
                setDraft((before) => ({ ...before, name: value }))
              }
            />
          </WithHelp>
          <HelpHeading title={say.operations} text={say.operationsHelp} />
          <div role="status">
            {judged.length > 0 && <p class="stands-against">{say.standAgainst(judged.length)}</p>}
            {judged
              .filter(({ field }) => field === '/operations')
              .map(({ detail, wayOut }) => (
                <p key={detail} class="stands-against" data-wrong tabIndex={-1}>
                  {detail} {wayOut}
                </p>
              ))}
          </div>
          <ol class="layers operations" ref={place}>
            {draft.operations.map((operation, at) => (
              <OperationEditor
                key={operation.at}
                n={at + 1}
                operation={operation}
                benches={benchNames(benches, operation.bench)}
                against={(rest) => {
                  const then = sent.current.indexOf(operation.at);
                  return (
                    wrongAt(`/operations/${at}${rest}`) ??
                    (then < 0 ? undefined : against(`/operations/${then}${rest}`))
                  );
                }}
                first={at === 0}
                last={at === draft.operations.length - 1}
                onChange={(to) =>
                  change(draft.operations.map((each) => (each.at === to.at ? to : each)))
                }
                onMove={(by) => move(at, by)}
                onTakeOut={() => change(draft.operations.filter((each) => each !== operation))}
              />
            ))}
          </ol>
          <AddOperation
            socketKind={inForce.socketKind}
            onAdd={(operation) => change([...draft.operations, operation])}
          />
          <HelpHeading title={say.whatChanges(draft.base.version)} text={say.whatChangesHelp} />
          <Changes of={changes} />
          <PutBack when={changes.length > 0} onPutBack={() => beginFrom(inForce)} />
        </>
      )}
    </ActForm>
  );
}

/** What stands against an operation as a whole has no field: the words themselves take the focus. */
const focusWrong = (): void =>
  void requestAnimationFrame(() =>
    document
      .querySelector<HTMLElement>('.sheet [data-wrong], .sheet [aria-invalid="true"]')
      ?.focus(),
  );

/** Those in use; and the one that the operation names already, whatever became of it. */
function benchNames(inUse: readonly { readonly name: string }[], named: string): string[] {
  const names = inUse.map(({ name }) => name);
  return named === '' || names.some((name) => isSameBench(name, named)) ? names : [...names, named];
}
