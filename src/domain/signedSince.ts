/**
 * What has become of something since it was signed (21 CFR 11.70: a signature stays with the
 * record that it is of). Nothing that was signed is ever changed: what is done later is a
 * newer state of the same thing. So a signature is held against the state of now, and where
 * the two differ it is said to be of the earlier one.
 */
import { canonicalJson, type JsonValue } from './canonical.ts';

type Members = Readonly<Record<string, JsonValue>>;

/** One place in which what was signed and what stands now differ. */
export interface SignedDifference {
  /** The member of the signed content, `hardware`. */
  readonly field: string;
  /** Which of several, where it is a list: the position, the kind of joint; null elsewhere. */
  readonly of: string | null;
  /** Null where there was nothing, or there is nothing any more. */
  readonly signed: JsonValue;
  readonly now: JsonValue;
}

/**
 * The corrections that came after a signature. Whoever signed later had them in sight; of an
 * earlier signature they say that what it vouches for was put right in words since.
 */
export const correctedSince = <T extends { readonly correctedAt: Date }>(
  signedAt: Date,
  corrections: readonly T[],
): readonly T[] =>
  corrections.filter(({ correctedAt }) => correctedAt.getTime() > signedAt.getTime());

/** By which member the entries of a list are told apart. */
const KEYS = ['position', 'component', 'title', 'kind'] as const;

/**
 * What differs, in the order of the fields of now.
 * @param signed the content as it was signed
 * @param now the same fields as they stand; those that nothing can change are left out
 */
export const differencesSince = (signed: Members, now: Members): readonly SignedDifference[] =>
  Object.entries(now).flatMap(([field, stands]) => {
    const was = signed[field] ?? null;
    return isSame(was, stands) ? [] : differencesIn(field, was, stands);
  });

const isSame = (one: JsonValue, other: JsonValue): boolean =>
  canonicalJson(one) === canonicalJson(other);

function differencesIn(field: string, signed: JsonValue, now: JsonValue): SignedDifference[] {
  const before = byKey(signed);
  const after = byKey(now);
  if (before === null || after === null) return [{ field, of: null, signed, now }];
  return [...new Set([...before.keys(), ...after.keys()])].flatMap((of) => {
    const was = before.get(of) ?? null;
    const stands = after.get(of) ?? null;
    return isSame(was, stands) ? [] : [{ field, of, signed: was, now: stands }];
  });
}

/** The entries of a list by what tells them apart, without it; null where nothing does. */
function byKey(value: JsonValue): ReadonlyMap<string, JsonValue> | null {
  if (!isList(value) || !value.every(isMembers)) return null;
  const key = KEYS.find((each) => value.every((entry) => typeof entry[each] === 'string'));
  if (key === undefined) return null;
  const found = new Map<string, JsonValue>();
  for (const { [key]: of, ...rest } of value) found.set(String(of), only(rest));
  return found.size === value.length ? found : null;
}

/** The one value of an entry that has but one, `item`; else the entry. */
function only(rest: Members): JsonValue {
  const [first, ...others] = Object.values(rest);
  return first === undefined || others.length > 0 ? rest : first;
}

const isList = (value: JsonValue): value is readonly JsonValue[] => Array.isArray(value);
const isMembers = (value: JsonValue): value is Members =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
