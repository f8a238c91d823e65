/**
 * Seals: what is personal to a patient (the particulars, and what was said to the desk when a
 * fitting was booked or called off) stands in an event as the hash of the value with a salt, and the value beside it. So the chain (R11) can be verified by somebody who may
 * not see the value (45 CFR 164.502(b)), and a value that was changed no longer fits.
 * The salt keeps a short value (a birth date) from being guessed by trying them all.
 */
import { canonicalJson, type JsonValue } from './canonical.ts';
import type { SubjectKind } from './eventKinds.ts';

/** A value with its salt (32 hexadecimal digits), as it is kept beside the event. */
export interface SealedValue {
  readonly salt: string;
  readonly value: JsonValue;
}

type Data = Readonly<Record<string, JsonValue>>;

/** The text whose SHA-256 is the seal. */
export const sealedText = ({ salt, value }: SealedValue): string => canonicalJson([salt, value]);

/** What stands in the event in the value's place. */
export const sealOf = (sha256: string): JsonValue => ({ sealedSha256: sha256 });

const sealIn = (value: unknown): string | undefined => {
  if (typeof value !== 'object' || value === null || !('sealedSha256' in value)) return undefined;
  return typeof value.sealedSha256 === 'string' ? value.sealedSha256 : undefined;
};
/** Whether a seal stands in a value's place. */
export const isSeal = (value: unknown): boolean => sealIn(value) !== undefined;

/** What is sealed in events about each kind of subject. */
const SEALED_OF: Readonly<Partial<Record<SubjectKind, readonly string[]>>> = {
  patient: [
    'givenName',
    'familyName',
    'birthDate',
    'phone',
    'address',
    'handedTo',
    'reason',
    'words',
  ],
  appointment: ['note', 'why', 'whyBefore'],
  // What was said when a wearer was called about a recall.
  socket: ['note'],
  // Free words about a patient, which must be able to go when the years are over.
  legal_hold: ['reason', 'reference', 'liftReason'],
  correction_request: ['said', 'decisionReason', 'disagreement'],
  correction: ['wrong', 'right', 'why'],
};
/** Whether events about such a subject have anything to seal. */
export const isSealed = (subjectKind: string): boolean => fieldsOf(subjectKind).length > 0;
const fieldsOf = (subjectKind: string): readonly string[] =>
  SEALED_OF[subjectKind as SubjectKind] ?? [];

interface SealedPlace {
  readonly under: string;
  readonly field: string;
}
/** Where in an event they can stand: at the top, or under the values before and after. */
const placesOf = (fields: readonly string[]): readonly SealedPlace[] =>
  ['', 'before', 'after'].flatMap((under) => fields.map((field) => ({ under, field })));
const SEALED_PLACES = placesOf([...new Set(Object.values(SEALED_OF).flat())]);

const pathOf = ({ under, field }: SealedPlace): string =>
  under === '' ? field : `${under}.${field}`;

/** The data that a place is in. */
function holder(data: Data, under: string): Data | undefined {
  const value = under === '' ? data : data[under];
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Data)
    : undefined;
}

/** The personal values that stand open in an event's data, by path; nulls hide nothing and stay. */
export function openValues(subjectKind: string, data: Data): ReadonlyMap<string, JsonValue> {
  const found = new Map<string, JsonValue>();
  for (const place of placesOf(fieldsOf(subjectKind))) {
    const value = holder(data, place.under)?.[place.field];
    if (value === undefined || value === null || sealIn(value) !== undefined) continue;
    found.set(pathOf(place), value);
  }
  return found;
}

/** The seals of an event's data, by path. */
export function sealsOf(data: Data): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  for (const place of SEALED_PLACES) {
    const seal = sealIn(holder(data, place.under)?.[place.field]);
    if (seal !== undefined) found.set(pathOf(place), seal);
  }
  return found;
}

/** What is kept beside an event in the place of a value that was erased: by which erasure. */
export interface ErasedValue {
  readonly erased: string;
}
/** What is kept beside an event for one of its seals. */
export type KeptValue = SealedValue | ErasedValue;

/** Whether the value was erased, and its salt with it: the seal stays, and nothing fits it any more. */
export const isErased = (kept: KeptValue): kept is ErasedValue => 'erased' in kept;

/** Whether a value as it is told was erased: by which erasure stands in its place. */
export const isToldErased = (value: unknown): value is ErasedValue =>
  typeof value === 'object' &&
  value !== null &&
  'erased' in value &&
  Object.keys(value).length === 1 &&
  typeof value.erased === 'string';

/** The values among what is kept, by path; what was erased is left out. */
export const valuesKept = (
  kept: Readonly<Record<string, KeptValue>>,
): Readonly<Record<string, SealedValue>> =>
  Object.fromEntries(
    Object.entries(kept).flatMap(([path, each]) => (isErased(each) ? [] : [[path, each]])),
  );

/** The data with other values at some paths; what stood there before is left alone elsewhere. */
export function withValues(data: Data, values: ReadonlyMap<string, JsonValue>): Data {
  let made = data;
  for (const { under, field } of SEALED_PLACES) {
    const value = values.get(pathOf({ under, field }));
    if (value === undefined) continue;
    made =
      under === ''
        ? { ...made, [field]: value }
        : { ...made, [under]: { ...holder(made, under), [field]: value } };
  }
  return made;
}
