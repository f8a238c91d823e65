/** A request as it is drawn: what it asks, how it is damaged on the way, and under which headers it goes. */
import fc from 'fast-check';
import type { Route } from './document.ts';
import { fittingTo, identifier, type SchemasByName } from './fromSchema.ts';
import { hostile, HOSTILE_NAMES, HOSTILE_TEXTS } from './hostile.ts';
import { isFields, RawJson, TextGiven, TWICE, type Fields, type Value } from './values.ts';

export interface Plan {
  /** Which accepted request of this route it is made from; undefined: from the schema. */
  readonly example: { readonly pick: number; readonly rebind: boolean } | undefined;
  readonly body: Value | undefined;
  readonly params: Fields;
  readonly query: Fields;
  readonly damage: readonly Damage[];
  readonly headers: HeaderPlan;
}

export interface Damage {
  readonly place: 'body' | 'query' | 'params';
  readonly at: number;
  readonly how: 'other value' | 'left out' | 'one more' | 'twice';
  readonly name: string;
  readonly value: Value;
}

export type HeaderPlan =
  | { readonly kind: 'as they should be' }
  | { readonly kind: 'set'; readonly name: string; readonly value: string | undefined }
  | { readonly kind: 'key used before'; readonly pick: number }
  | { readonly kind: 'same request twice' };

const damage: fc.Arbitrary<Damage> = fc.record({
  place: fc.constantFrom<Damage['place'][]>('body', 'body', 'body', 'query', 'params'),
  at: fc.nat(10_000),
  how: fc.constantFrom<Damage['how'][]>(
    'other value',
    'other value',
    'other value',
    'left out',
    'one more',
    'twice',
  ),
  name: fc.constantFrom(...HOSTILE_NAMES),
  value: hostile,
});

/** Headers as they may be broken; what no HTTP client sends at all is tried on bare sockets. */
const BROKEN_HEADERS: readonly (readonly [string, string | undefined])[] = [
  ['idempotency-key', undefined],
  ['idempotency-key', 'short'],
  ['idempotency-key', 'k'.repeat(101)],
  ['idempotency-key', 'key with blanks'],
  ['if-match', undefined],
  ['if-match', '*'],
  ['if-match', '"0"'],
  ['if-match', '"999999999"'],
  ['if-match', 'W/"1"'],
  ['if-match', '"1", "2"'],
  ['if-none-match', '*'],
  ['content-type', 'text/plain'],
  ['content-type', 'application/x-www-form-urlencoded'],
  ['content-type', 'multipart/form-data; boundary=x'],
  ['content-type', 'application/json; charset=utf-16'],
  ['content-type', 'application/json, text/plain'],
  ['content-type', 'application/jsonp'],
  ['content-type', 'application/merge-patch+json'],
  ['content-encoding', 'gzip'],
  ['content-encoding', 'br, deflate'],
  ['accept', 'application/xml'],
  ['accept', 'text/html;q=nonsense'],
  ['accept', '../../etc/passwd'],
  ['accept-encoding', 'gzip;q=0'],
  ['accept-language', "de'; drop table person; --"],
  ['range', 'bytes=0-0'],
  ['range', 'bytes=-99999999999'],
  ['expect', '200-ok'],
  ['host', 'evil.example'],
  ['host', 'evil.example:80@castbook.test'],
  ['x-forwarded-host', 'evil.example'],
  ['x-forwarded-proto', 'javascript'],
  ['x-forwarded-for', '127.0.0.1, ::1'],
  ['forwarded', 'for="_x";host=evil.example;proto=http'],
  ['x-original-url', '/api/v1/people'],
  ['x-rewrite-url', '/api/v1/people'],
  ['x-http-method-override', 'DELETE'],
  ['x-method-override', 'PATCH'],
  ['x-request-id', '../../x'],
  ['x-request-id', 'z'.repeat(400)],
  ['origin', 'https://evil.example'],
  ['sec-fetch-site', 'cross-site'],
  ['referer', 'https://evil.example/'],
  ['cookie', 'session=1; token=2'],
  ['authorization', ''],
  ['authorization', 'Basic YTpi'],
  ['last-event-id', '-1'],
  ['last-event-id', '9'.repeat(40)],
  ['connection', 'upgrade'],
  ['te', 'trailers'],
];

const headers: fc.Arbitrary<HeaderPlan> = fc.oneof(
  { weight: 20, arbitrary: fc.constant<HeaderPlan>({ kind: 'as they should be' }) },
  {
    weight: 3,
    arbitrary: fc
      .constantFrom(...BROKEN_HEADERS)
      .map(([name, value]): HeaderPlan => ({ kind: 'set', name, value })),
  },
  {
    weight: 1,
    arbitrary: fc.nat(10_000).map((pick): HeaderPlan => ({ kind: 'key used before', pick })),
  },
  { weight: 1, arbitrary: fc.constant<HeaderPlan>({ kind: 'same request twice' }) },
);

export function planFor(route: Route, schemas: SchemasByName): fc.Arbitrary<Plan> {
  const each = (of: Route['params']) =>
    Object.fromEntries(
      Object.entries(of).map(([name, schema]) => [
        name,
        schema.format === 'uuid'
          ? identifier(name)
          : addressed(name, fittingTo(schema, schemas, name)),
      ]),
    );
  return fc.record({
    example: fc.oneof(
      { weight: 3, arbitrary: fc.record({ pick: fc.nat(10_000), rebind: fc.boolean() }) },
      { weight: 2, arbitrary: fc.constant(undefined) },
    ),
    body: route.body === undefined ? fc.constant(undefined) : fittingTo(route.body, schemas),
    params: fc.record(each(route.params)),
    query: queryOf(each(route.query), route.queryRequired),
    damage: fc.oneof(
      { weight: 5, arbitrary: fc.constant([]) },
      { weight: 3, arbitrary: fc.array(damage, { minLength: 1, maxLength: 3 }) },
    ),
    headers,
  });
}

/** All that is required, and of the rest few at a time: many questions take one key alone. */
function queryOf(
  fields: Readonly<Record<string, fc.Arbitrary<Value>>>,
  required: readonly string[],
): fc.Arbitrary<Fields> {
  const others = Object.keys(fields).filter((name) => !required.includes(name));
  return fc
    .tuple(fc.record(fields), fc.subarray(others, { maxLength: Math.min(2, others.length) }))
    .map(([all, kept]) =>
      Object.fromEntries(
        Object.entries(all).filter(([name]) => required.includes(name) || kept.includes(name)),
      ),
    );
}

/** A text in the address is mostly one that the service gave. */
const addressed = (name: string, fitting: fc.Arbitrary<Value>): fc.Arbitrary<Value> =>
  name === 'number' || name === 'socket' || name === 'code'
    ? fc.oneof(
        {
          weight: 6,
          arbitrary: fc.nat(10_000).map((pick): Value => new TextGiven(name, pick, 'D1')),
        },
        { weight: 1, arbitrary: fc.constantFrom<Value[]>(...HOSTILE_TEXTS) },
        { weight: 1, arbitrary: fitting },
      )
    : fitting;

export type Parts = Pick<Plan, 'body' | 'params' | 'query'>;

/** The parts of the request with their damage done. */
export function damaged(parts: Parts, damages: readonly Damage[]): Parts {
  return damages.reduce((done, each) => {
    const { place } = each;
    const value = done[place];
    if (value === undefined) return done;
    // An address keeps its parameters: one that is left out is another address.
    const how = place === 'params' && each.how !== 'other value' ? 'other value' : each.how;
    const changed = change(value, pathsOf(value), { ...each, how });
    return place === 'body'
      ? { ...done, body: changed }
      : isFields(changed)
        ? { ...done, [place]: changed }
        : done;
  }, parts);
}

type Path = readonly (string | number)[];

function pathsOf(value: Value, under: Path = []): Path[] {
  if (Array.isArray(value)) {
    return [
      under,
      ...(value as readonly Value[]).flatMap((each, i) => pathsOf(each, [...under, i])),
    ];
  }
  if (!isFields(value)) return [under];
  return [
    under,
    ...Object.entries(value).flatMap(([name, each]) => pathsOf(each, [...under, name])),
  ];
}

function change(value: Value, paths: readonly Path[], damage: Damage): Value {
  return changeAt(value, paths[damage.at % paths.length] ?? [], damage);
}

function changeAt(value: Value, path: Path, damage: Damage): Value {
  const [step, ...rest] = path;
  if (step === undefined) return changeHere(value, damage);
  if (Array.isArray(value)) {
    const list = value as readonly Value[];
    if (rest.length === 0 && damage.how === 'left out')
      return list.filter((_each, i) => i !== step);
    return list.map((each, i) => (i === step ? changeAt(each, rest, damage) : each));
  }
  if (!isFields(value)) return value;
  const entries = Object.entries(value).flatMap(([name, each]): [string, Value][] => {
    if (name !== step) return [[name, each]];
    if (rest.length > 0 || damage.how === 'other value' || damage.how === 'one more') {
      return [[name, changeAt(each, rest, damage)]];
    }
    if (damage.how === 'left out') return [];
    return [
      [name, each],
      [`${name}${TWICE}`, damage.value],
    ];
  });
  return Object.fromEntries(entries);
}

function changeHere(value: Value, { how, name, value: other }: Damage): Value {
  if (how === 'one more' && isFields(value)) {
    // Not by assignment: that would change the prototype here instead of there.
    return Object.fromEntries([...Object.entries(value), [name, other]]);
  }
  if (how === 'one more' && Array.isArray(value)) return [...(value as readonly Value[]), other];
  return other instanceof RawJson || how !== 'left out' ? other : null;
}
