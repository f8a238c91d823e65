/**
 * Refusals, questions and warnings of the service in the language and the units that are
 * shown, made anew from their code and facts. A code that the catalogue does not know stays
 * in the service's English, and says so.
 */
import { computed, signal } from '@preact/signals';
import type { components } from '../../generated/api.ts';
import { dayInWords, isInstant } from '../../domain/dayWords.ts';
import type { Facts } from '../../domain/reasons/reason.ts';
import { METRIC } from '../../domain/units.ts';
import type { InWords } from './reasons.ts';
import { measures, units } from './units.ts';
import { pack } from './words.ts';
import { atClinic } from './zone.ts';

/** What comes of a reason over the wire. */
export interface Sent {
  readonly code: string;
  readonly title?: string;
  readonly detail: string;
  readonly wayOut: string;
  readonly facts?: Facts;
}
/** A refusal as it comes (RFC 9457). */
export interface ProblemBody {
  readonly title?: string;
  readonly detail?: string;
  readonly code?: string;
  readonly wayOut?: string;
  readonly facts?: Facts;
  readonly errors?: readonly (Sent & { readonly pointer?: string })[];
}

type Catalogue = Readonly<Record<string, InWords<Facts> | undefined>>;

/** The service's own catalogue, fetched where its English is shown in other units. */
const english = signal<Catalogue | null>(null);
const isMetric = computed(() => JSON.stringify(units.value) === JSON.stringify(METRIC));

/** Null where the service's own words are what is to be shown. */
const catalogue = computed<Catalogue | null>(() => {
  // By code and facts, which the wire keeps together; the types of each line are tied to its code.
  if (pack.value !== null) return pack.value.reasons as unknown as Catalogue;
  return isMetric.value ? null : english.value;
});

/** Whether what the service says is made anew here. */
export const saysAnew = computed(() => catalogue.value !== null);

/** Fetches what the chosen units need. */
export async function readySaid(): Promise<void> {
  if (isMetric.value || pack.value !== null || english.value !== null) return;
  const { REASONS } = await import('../../domain/reasons/index.ts');
  english.value = REASONS as unknown as Catalogue;
}

/** An instant as the shown language says a day, and the clinic's clock: `25 Nov 2026, 14:05`. */
function instantSaid(instant: string): string {
  const { day, clock } = atClinic(instant);
  return `${(pack.value?.day ?? dayInWords)(day)}, ${clock}`;
}

/**
 * Facts with their instants said at the clinic, as the service does before it makes its
 * sentences. Days stay: each sentence knows which of its facts is one, and a lot may look alike.
 */
const atTheClinic = (facts: Facts): Facts =>
  Object.fromEntries(
    Object.entries(facts).map(([name, fact]) => [
      name,
      typeof fact === 'string' && isInstant(fact) ? instantSaid(fact) : fact,
    ]),
  );

/** One reason as it is to be read. */
export function said<R extends Sent>(reason: R): R {
  const line = catalogue.value?.[reason.code];
  if (line === undefined || reason.facts === undefined) {
    return pack.value === null
      ? reason
      : { ...reason, detail: pack.value.inEnglish(reason.detail) };
  }
  const facts = atTheClinic(reason.facts);
  return {
    ...reason,
    ...(reason.title === undefined ? {} : { title: line.title }),
    detail: line.words(facts, measures.value),
    wayOut: line.wayOut(facts, measures.value),
  };
}

/** A phrase that the service says outside of a reason. */
export const saidPhrase = (phrase: string): string =>
  pack.value?.phrase(phrase, measures.value) ?? phrase;

/** The same beside what is typed as it is recorded: its figures stay in the record's units. */
export const saidAsRecorded = (phrase: string): string => pack.value?.phrase(phrase) ?? phrase;

/** Answers of the service hold such phrases under these names. */
const PHRASES: ReadonlySet<string> = new Set(['openBecause', 'lacking', 'inWords']);

const isReason = (part: object): part is Sent =>
  'code' in part &&
  typeof part.code === 'string' &&
  'detail' in part &&
  typeof part.detail === 'string' &&
  'wayOut' in part &&
  typeof part.wayOut === 'string';

/** A row of the timeline says what happened, and holds what it is made of. */
const isTraceRow = (part: object): part is components['schemas']['TraceRow'] =>
  'what' in part && 'kind' in part && 'details' in part && 'recordId' in part;

/** An answer of the service with all that it says put into the language and the units shown. */
export function allSaid<D>(answer: D): D {
  if (!saysAnew.value) return answer;
  return eachSaid(answer) as D;
}

/** A phrase, or several. */
const phraseSaid = (value: unknown): unknown =>
  typeof value === 'string'
    ? saidPhrase(value)
    : Array.isArray(value)
      ? value.map(phraseSaid)
      : eachSaid(value);

function eachSaid(part: unknown): unknown {
  if (Array.isArray(part)) return part.map((each: unknown) => eachSaid(each));
  // A file of the service is no record.
  if (part === null || typeof part !== 'object' || part instanceof Blob) return part;
  const inner = Object.fromEntries(
    Object.entries(part).map(([name, value]) => [
      name,
      PHRASES.has(name) ? phraseSaid(value) : eachSaid(value),
    ]),
  );
  if (isTraceRow(inner) && pack.value !== null) {
    return { ...inner, what: pack.value.traceWords(inner, measures.value) };
  }
  return isReason(inner) ? said(inner) : inner;
}
