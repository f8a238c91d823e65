/** Two people's changes of one route, brought together. */
import { operationsOf, operationTyped, type OperationTyped, type Route } from './routeDraft.ts';

/** An operation is the same one while its kind is: of several of one kind, in their order. */
const named = (kinds: readonly { readonly kind: string }[]): string[] =>
  kinds.map(
    ({ kind }, at) => `${kind} ${kinds.slice(0, at).filter((each) => each.kind === kind).length}`,
  );

/**
 * My list with what another made of its base meanwhile: an operation that I left as it was is
 * the other's. The order, and what is in the list, is the other's where I changed neither.
 */
export function routesTogether(
  base: Pick<Route, 'operations'>,
  mine: readonly OperationTyped[],
  theirs: Pick<Route, 'operations'>,
): OperationTyped[] {
  const [ofBase, ofMine, ofTheirs] = [
    named(base.operations),
    named(mine),
    named(theirs.operations),
  ];
  const typedBase = operationsOf(base.operations.map(operationTyped)).operations;
  const typedMine = operationsOf(mine).operations;
  const left = (name: string): boolean =>
    JSON.stringify(typedMine[ofMine.indexOf(name)]) ===
    JSON.stringify(typedBase[ofBase.indexOf(name)]);
  const myOperation = (name: string): OperationTyped | undefined => mine[ofMine.indexOf(name)];
  const theirOperation = (name: string): OperationTyped | undefined => {
    const operation = theirs.operations[ofTheirs.indexOf(name)];
    return operation === undefined ? undefined : operationTyped(operation);
  };
  const orderIsMine = ofMine.join() !== ofBase.join();
  return (orderIsMine ? ofMine : ofTheirs).flatMap((name) => {
    const own = myOperation(name);
    const other = theirOperation(name);
    const chosen = own === undefined || left(name) ? (other ?? own) : own;
    return chosen === undefined ? [] : [chosen];
  });
}
