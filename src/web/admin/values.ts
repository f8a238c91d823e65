/** What stands in a form as it is typed, and what it is on the wire. */
import { Problem } from '../api.ts';
import { inFigures, steady } from '../words/figures.ts';
import { words } from '../words/words.ts';
import { numberTyped } from './numberTyped.ts';

/** A field of a record: how it is typed, and what its help says. */
export interface FieldSpec {
  readonly key: string;
  /** ticks: some of a few, kept with commas between them. */
  readonly kind: 'text' | 'note' | 'number' | 'money' | 'choice' | 'tick' | 'ticks' | 'day';
  readonly label: string;
  /** Short and always in sight. */
  readonly hint?: string;
  /** In the trade's words, with the source of the value or that it is a starting value. */
  readonly help?: string;
  readonly of?: readonly (readonly [value: string, words: string])[];
  /** Left empty it is nothing (null), and not missing. */
  readonly nullable?: boolean;
  /** Of money: how many figures the currency has behind the point. */
  readonly decimals?: number;
}

/** Typed texts by field. A tick is 'yes' or empty. */
export type Typed = Readonly<Record<string, string>>;
export type Wire = string | number | boolean | null | readonly string[];

/** A value of a record as it stands in its field. */
export function typedOf(spec: FieldSpec, value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'boolean') return value ? 'yes' : '';
  if (Array.isArray(value)) return value.toSorted().join(',');
  if (spec.kind === 'money' && typeof value === 'number') {
    return (value / 10 ** (spec.decimals ?? 2)).toFixed(spec.decimals ?? 2);
  }
  return typeof value === 'number' || typeof value === 'string' ? String(value) : '';
}

/** A value as it is read. */
export function shownOf(spec: FieldSpec, value: unknown): string {
  const { service } = words.value;
  const typed = typedOf(spec, value);
  if (spec.kind === 'tick') return typed === '' ? service.no : service.yes;
  if (typed === '') return service.nothing;
  if (typeof value === 'number') {
    if (spec.kind !== 'money') return inFigures(value, 6);
    const decimals = spec.decimals ?? 2;
    return steady(value / 10 ** decimals, decimals);
  }
  const named = (each: string): string => spec.of?.find(([value]) => value === each)?.[1] ?? each;
  return spec.kind === 'ticks' ? typed.split(',').map(named).join(', ') : named(typed);
}

type Read = { readonly value: Wire } | { readonly code: string; readonly why: string };

function readOne(spec: FieldSpec, typed: string): Read {
  const { service } = words.value;
  if (spec.kind === 'tick') return { value: typed !== '' };
  if (spec.kind === 'ticks') return { value: typed === '' ? [] : typed.split(',') };
  if (typed.trim() === '') {
    return spec.nullable === true
      ? { value: null }
      : { code: 'field-missing', why: service.missing };
  }
  if (spec.kind !== 'number' && spec.kind !== 'money') return { value: typed };
  const number = numberTyped(typed);
  if (!Number.isFinite(number)) return { code: 'no-number', why: service.noNumber };
  if (spec.kind === 'number') return { value: number };
  const minor = number * 10 ** (spec.decimals ?? 2);
  return Math.abs(minor - Math.round(minor)) < 1e-6
    ? { value: Math.round(minor) }
    : { code: 'no-amount', why: service.noAmount(spec.decimals ?? 2) };
}

/**
 * Reads fields as they are typed.
 * @param at JSON Pointer to the record that they are fields of
 * @throws Problem beside each field that is empty or no number; the service says the rest
 */
export function readTyped(
  specs: readonly FieldSpec[],
  typed: Typed,
  at = '',
): Record<string, Wire> {
  const values: Record<string, Wire> = {};
  const against: { pointer: string; code: string; detail: string; wayOut: string }[] = [];
  for (const spec of specs) {
    const read = readOne(spec, typed[spec.key] ?? '');
    if ('value' in read) values[spec.key] = read.value;
    else {
      const { code, why: detail } = read;
      against.push({ pointer: `${at}/${spec.key}`, code, detail, wayOut: '' });
    }
  }
  if (against.length > 0) throw notSent(against);
  return values;
}

/** As the service would refuse it; said here, for what was typed has no form on the wire. */
export const notSent = (
  errors: readonly { pointer: string; code: string; detail: string; wayOut: string }[],
): Problem =>
  new Problem(400, { detail: words.value.service.besideFields, code: 'not-sent', errors });

/** The header that names the version which a change was made from. */
export const ifMatch = (version: number): { readonly 'if-match': string } => ({
  'if-match': `"${version}"`,
});

/** Of two who changed one thing, what the second is told: what the first changed, and what to do. */
export function racedBy(changes: readonly string[], wayOut: string): Problem {
  const { raced } = words.value.admin;
  const one = changes.length === 1 ? ` ${changes[0] ?? ''}` : '';
  const errors = changes.map((detail) => ({ code: 'changed-meanwhile', detail, wayOut: '' }));
  return new Problem(412, { detail: `${raced}${one}`, code: 'version-is-stale', wayOut, errors });
}
