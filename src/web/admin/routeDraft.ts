/** A route as it is typed: its operations keep a name of their own, wherever they are moved to. */
import type { ScanOf } from '../../domain/operations.ts';
import type { components } from '../../generated/api.ts';
import { words } from '../words/words.ts';
import { numberTyped } from './numberTyped.ts';

export type Route = components['schemas']['WorkRoute'];
export type Operation = Route['operations'][number];
export type CheckOf = Operation['checks'][number];

export interface CheckTyped {
  /** Names it on the page; never sent. */
  readonly at: number;
  readonly kind: CheckOf['kind'];
  readonly key: string;
  readonly ask: string;
  readonly unit: string;
  readonly min: string;
  readonly max: string;
  readonly batchKind: string;
  readonly amountAsked: boolean;
  readonly scanOf: ScanOf;
}

export interface OperationTyped {
  readonly at: number;
  readonly kind: Operation['kind'];
  readonly title: string;
  readonly caution: string;
  readonly bench: string;
  readonly plannedMinutes: string;
  readonly checks: readonly CheckTyped[];
}

let last = 0;
/** A name for what is new on the page. */
export const nextAt = (): number => (last += 1);

export const emptyCheck = (): CheckTyped => ({
  at: nextAt(),
  kind: 'yes_no',
  key: '',
  ask: '',
  unit: '',
  min: '',
  max: '',
  batchKind: 'resin',
  amountAsked: false,
  scanOf: 'traveller',
});

const limitTyped = (limit: number | null): string => (limit === null ? '' : String(limit));

function checkTyped(check: CheckOf): CheckTyped {
  const typed = { ...emptyCheck(), kind: check.kind, key: check.key, ask: check.ask };
  if (check.kind === 'measured') {
    const { unit, min, max } = check;
    return { ...typed, unit, min: limitTyped(min), max: limitTyped(max) };
  }
  if (check.kind === 'batch') {
    return { ...typed, batchKind: check.batchKind, amountAsked: check.amountAsked };
  }
  if (check.kind === 'scan') return { ...typed, scanOf: check.of };
  return typed;
}

export const operationTyped = (operation: Operation): OperationTyped => ({
  at: nextAt(),
  kind: operation.kind,
  title: operation.title,
  caution: operation.caution ?? '',
  bench: operation.bench ?? '',
  plannedMinutes: limitTyped(operation.plannedMinutes),
  checks: operation.checks.map(checkTyped),
});

/**
 * A name for the answer of a check, from what it asks: `Is the vacuum tight?` is `vacuum_tight`.
 * Nobody should have to think one up; records know the answer by it.
 */
export function keyOf(ask: string, taken: readonly string[]): string {
  const plain = ask
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '_')
    .replace(/^(?:is|are|does|do|did|the|which|how|what|was|has)_+(?:the_+)?/, '')
    .replace(/^[^a-z]+|_+$/g, '')
    .slice(0, 36)
    .replace(/_+$/, '');
  const first = plain === '' ? 'check' : plain;
  let key = first;
  for (let n = 2; taken.includes(key); n += 1) key = `${first}_${n}`;
  return key;
}

interface Wrong {
  readonly pointer: string;
  readonly code: string;
  readonly detail: string;
  readonly wayOut: string;
}

/** Numbers of the draft; what is none is told beside its field. */
class Numbers {
  readonly against: Wrong[] = [];

  read(typed: string, pointer: string): number | null {
    if (typed.trim() === '') return null;
    const number = numberTyped(typed);
    if (Number.isFinite(number)) return number;
    const detail = words.value.service.noNumber;
    this.against.push({ pointer, code: 'no-number', detail, wayOut: '' });
    return null;
  }
}

function checkOf(check: CheckTyped, key: string, at: string, numbers: Numbers): CheckOf {
  const { kind, ask } = check;
  if (kind === 'measured') {
    return {
      kind,
      key,
      ask,
      unit: check.unit,
      min: numbers.read(check.min, `${at}/min`),
      max: numbers.read(check.max, `${at}/max`),
    };
  }
  if (kind === 'batch') {
    const batchKind = check.batchKind as Extract<CheckOf, { kind: 'batch' }>['batchKind'];
    return { kind, key, ask, batchKind, amountAsked: check.amountAsked };
  }
  if (kind === 'scan') return { kind, key, ask, of: check.scanOf };
  return { kind, key, ask };
}

/** The operations as they are on the wire, and what of them is no number. */
export function operationsOf(typed: readonly OperationTyped[]): {
  readonly operations: Omit<Operation, 'seq'>[];
  readonly against: readonly Wrong[];
} {
  const numbers = new Numbers();
  const operations = typed.map((operation, index) => {
    const at = `/operations/${index}`;
    const taken: string[] = operation.checks.map(({ key }) => key).filter((key) => key !== '');
    const checks = operation.checks.map((check, of) => {
      const key = check.key === '' ? keyOf(check.ask, taken) : check.key;
      taken.push(key);
      return checkOf(check, key, `${at}/checks/${of}`, numbers);
    });
    const { kind, title, caution, bench } = operation;
    return {
      kind,
      title,
      checks,
      caution: caution.trim() === '' ? null : caution,
      bench: bench === '' ? null : bench,
      plannedMinutes: numbers.read(operation.plannedMinutes, `${at}/plannedMinutes`),
    };
  });
  return { operations, against: numbers.against };
}

/** A list with one of its things a place earlier or later. */
export function moved<T>(list: readonly T[], at: number, by: -1 | 1): T[] {
  const [one, other] = [list[at], list[at + by]];
  if (one === undefined || other === undefined) return [...list];
  return list.map((each, index) => (index === at ? other : index === at + by ? one : each));
}
