/** What differs between two versions of a route, in sentences: what a socket begun now does otherwise. */
import { words } from '../words/words.ts';
import type { CheckOf, Operation, Route } from './routeDraft.ts';

export type RouteLike = Pick<Route, 'name'> & {
  readonly operations: readonly Omit<Operation, 'seq'>[];
};
type Step = Omit<Operation, 'seq'>;

/** An operation is the same one while its kind is: of several of one kind, in their order. */
function pairs(before: readonly Step[], after: readonly Step[]) {
  const nth = (list: readonly Step[], at: number): string => {
    const kind = list[at]?.kind ?? '';
    return `${kind} ${list.slice(0, at).filter((each) => each.kind === kind).length}`;
  };
  const places = new Map(before.map((_step, at) => [nth(before, at), at]));
  return after.map((step, at) => ({ step, at, was: places.get(nth(after, at)) }));
}

/** The longest run of places that kept their order; the others are those that moved. */
function keptOrder(places: readonly number[]): ReadonlySet<number> {
  let best: readonly number[] = [];
  const runs: (readonly number[])[] = [];
  for (const place of places) {
    let longest: readonly number[] = [];
    for (const run of runs) {
      if ((run.at(-1) ?? -1) < place && run.length > longest.length) longest = run;
    }
    const run = [...longest, place];
    runs.push(run);
    if (run.length > best.length) best = run;
  }
  return new Set(best);
}

export function routeChanges(before: RouteLike, after: RouteLike): string[] {
  const { routes: say } = words.value.admin;
  const paired = pairs(before.operations, after.operations);
  const kept = paired.flatMap(({ was }) => (was === undefined ? [] : [was]));
  const inOrder = keptOrder(kept);
  const changes = before.name === after.name ? [] : [say.nameChanged(before.name, after.name)];
  for (const { step, at, was } of paired) {
    const earlier = was === undefined ? undefined : before.operations[was];
    if (was === undefined || earlier === undefined) {
      changes.push(say.added(step.title, at + 1));
      continue;
    }
    if (!inOrder.has(was)) changes.push(say.movedTo(step.title, was + 1, at + 1));
    changes.push(...stepChanges(earlier, step));
  }
  for (const [at, step] of before.operations.entries()) {
    if (!kept.includes(at)) changes.push(say.takenOut(step.title));
  }
  return changes;
}

function stepChanges(before: Step, after: Step): string[] {
  const { routes: say } = words.value.admin;
  const { title } = after;
  const differs = (what: string, was: string | number | null, is: string | number | null) =>
    was === is ? [] : [say.changed(title, what, was ?? say.nothing, is ?? say.nothing)];
  const of = (list: readonly CheckOf[], key: string): CheckOf | undefined =>
    list.find((check) => check.key === key);
  return [
    ...differs(say.fields.title, before.title, title),
    ...differs(say.fields.bench, before.bench, after.bench),
    ...differs(say.fields.plannedMinutes, before.plannedMinutes, after.plannedMinutes),
    ...differs(say.fields.caution, before.caution, after.caution),
    ...after.checks.flatMap((check) => {
      const earlier = of(before.checks, check.key);
      if (earlier === undefined) return [say.checkAdded(title, checkWords(check))];
      const [was, is] = [checkWords(earlier), checkWords(check)];
      return was === is ? [] : [say.checkChanged(title, was, is)];
    }),
    ...before.checks
      .filter(({ key }) => of(after.checks, key) === undefined)
      .map((check) => say.checkTakenOut(title, checkWords(check))),
  ];
}

/** A check as it is asked, with its limits. */
export function checkWords(check: CheckOf): string {
  const { routes: say, batchKinds } = words.value.admin;
  if (check.kind === 'measured') {
    return `${check.ask} (${say.limits(check.min, check.max, check.unit)})`;
  }
  if (check.kind === 'batch') return `${check.ask} (${batchKinds[check.batchKind]})`;
  if (check.kind === 'scan') return `${check.ask} (${say.scansOf[check.of]})`;
  return `${check.ask} (${say.checkKinds[check.kind]})`;
}
