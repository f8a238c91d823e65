/**
 * Canonical JSON (RFC 8785): the one text of a value, which is hashed, chained
 * and signed (R11). Keys stand in order of their UTF-16 code units, numbers as
 * ECMAScript writes them, no blanks, no Unicode normalisation.
 */
import canonicalizeModule from 'canonicalize';

/** What JSON can hold. */
export type JsonValue =
  null | boolean | number | string | readonly JsonValue[] | { readonly [key: string]: JsonValue };

// The package is CommonJS and its types describe an ES module: the import is the function itself.
const canonicalize = canonicalizeModule as unknown as (value: unknown) => string;

// With the u flag, only a surrogate without its partner matches.
const HALF_PAIR = /\p{Surrogate}/u;

/**
 * Stops at whatever would not come back from the text as it went in. The
 * package leaves out undefined members, calls `toJSON` and lets half a
 * surrogate pair through; a hash must not rest on such repairs.
 */
function assertJson(value: unknown, at: string): void {
  const fault = (what: string): never => {
    throw new TypeError(`not JSON: ${what} at ${at === '' ? 'the top' : at}`);
  };
  if (value === null || typeof value === 'boolean') return;
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) fault(String(value));
  } else if (typeof value === 'string') {
    if (HALF_PAIR.test(value)) fault('half a surrogate pair');
  } else if (Array.isArray(value)) {
    // By index, so that holes are met too.
    for (let i = 0; i < value.length; i += 1) assertJson(value[i], `${at}/${i}`);
  } else if (typeof value === 'object') {
    const prototype: unknown = Object.getPrototypeOf(value);
    if (prototype !== Object.prototype && prototype !== null) fault('an object of a class');
    for (const [key, member] of Object.entries(value)) {
      if (HALF_PAIR.test(key)) fault('half a surrogate pair in a key');
      assertJson(member, `${at}/${key}`);
    }
  } else fault(typeof value);
}

/**
 * Writes a value as canonical JSON.
 * @throws TypeError, naming the place, on what JSON cannot hold (undefined, not
 *   a number, infinite, dates, half a surrogate pair): a fault of the program
 */
export function canonicalJson(value: JsonValue): string {
  assertJson(value, '');
  return canonicalize(value);
}
