/** Values of a JSON Schema as fast-check arbitraries: what fits, with its limits tried more often than chance would. */
import fc from 'fast-check';
import { MARK } from './hostile.ts';
import { PIN } from '../../support/factors.ts';
import { TAB, TAB_SHA256 } from './marks.ts';
import { IdOf, OWN_PASSWORD, SHOWN, TextGiven, ToCome, type Value } from './values.ts';

export interface JsonSchema {
  readonly $ref?: string;
  readonly type?: string | readonly string[];
  readonly enum?: readonly Value[];
  readonly const?: Value;
  readonly anyOf?: readonly JsonSchema[];
  readonly oneOf?: readonly JsonSchema[];
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: boolean | JsonSchema;
  readonly propertyNames?: JsonSchema;
  readonly items?: JsonSchema;
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly pattern?: string;
  readonly format?: string;
}

export type SchemasByName = Readonly<Record<string, JsonSchema>>;

/** @param name of the field, which says what kind of record an identifier names */
export const fittingTo = (
  schema: JsonSchema,
  schemas: SchemasByName,
  name = '',
): fc.Arbitrary<Value> => build({ schemas }, schema, name, 0);

interface Context {
  readonly schemas: SchemasByName;
}

/** Deeper than any schema of ours. */
const DEEPEST = 12;

function build(
  context: Context,
  schema: JsonSchema,
  name: string,
  depth: number,
): fc.Arbitrary<Value> {
  if (depth > DEEPEST) return fc.constant(null);
  if (schema.$ref !== undefined) {
    const named = context.schemas[schema.$ref.replace('#/components/schemas/', '')];
    if (named === undefined) throw new Error(`${schema.$ref} leads nowhere`);
    return build(context, named, name, depth);
  }
  if (schema.const !== undefined) return fc.constant(schema.const);
  if (schema.enum !== undefined) return fc.constantFrom(...schema.enum);
  const branches = schema.anyOf ?? schema.oneOf;
  if (branches !== undefined) {
    return fc.oneof(...branches.map((branch) => build(context, branch, name, depth + 1)));
  }
  switch (schema.type) {
    case 'object':
      return object(context, schema, depth);
    case 'array':
      return array(context, schema, name, depth);
    case 'string':
      return text(schema, name);
    case 'integer':
    case 'number':
      // The version that a body was made from is read right before it is sent.
      return /^(basedOnV|v)ersion$/.test(name)
        ? mostly(new ToCome('version'), figure(schema))
        : figure(schema);
    case 'boolean':
      return fc.boolean();
    case 'null':
      return fc.constant(null);
    default:
      return fc.constantFrom<Value>(null, 'text', 7, true);
  }
}

function object(context: Context, schema: JsonSchema, depth: number): fc.Arbitrary<Value> {
  const { properties = {}, required = [], additionalProperties: more, propertyNames } = schema;
  const named = Object.fromEntries(
    Object.entries(properties).map(([name, each]) => [name, build(context, each, name, depth + 1)]),
  );
  const fixed = fc.record(named, { requiredKeys: [...required] }) as fc.Arbitrary<Value>;
  if (typeof more !== 'object') return fixed;
  const names = fc.string({
    unit: 'grapheme-ascii',
    minLength: 1,
    maxLength: propertyNames?.maxLength ?? 20,
  });
  return fc.dictionary(names, build(context, more, '', depth + 1), { maxKeys: 4 });
}

function array(
  context: Context,
  schema: JsonSchema,
  name: string,
  depth: number,
): fc.Arbitrary<Value> {
  const { items = {}, minItems = 0, maxItems = 6 } = schema;
  const one = build(context, items, name.replace(/s$/, ''), depth + 1);
  const few = fc.array(one, {
    minLength: minItems,
    maxLength: Math.max(minItems, Math.min(maxItems, 6)),
  });
  // To the limit and one past it, but not so that a request weighs megabytes.
  const most = Math.min(maxItems, 300) + 1;
  return fc.oneof(
    { weight: 40, arbitrary: few },
    { weight: 1, arbitrary: one.map((each) => Array.from({ length: most }, () => each)) },
  );
}

function figure({
  type,
  minimum,
  maximum,
  exclusiveMinimum,
  exclusiveMaximum,
}: JsonSchema): fc.Arbitrary<Value> {
  const least = minimum ?? (exclusiveMinimum === undefined ? -1_000 : exclusiveMinimum + 1e-3);
  const most = Math.max(
    least,
    maximum ?? (exclusiveMaximum === undefined ? 100_000 : exclusiveMaximum - 1e-3),
  );
  const near = Math.min(most, Math.max(least, 0) + 400);
  const limits = fc.constantFrom(least, most, near);
  if (type === 'integer') {
    const whole = (from: number, to: number) =>
      fc.integer({ min: Math.ceil(from), max: Math.max(Math.ceil(from), Math.floor(to)) });
    return fc.oneof(
      { weight: 6, arbitrary: whole(least, near) },
      { weight: 2, arbitrary: whole(least, most) },
      { weight: 1, arbitrary: limits.map(Math.trunc) },
    );
  }
  return fc.oneof(
    {
      weight: 6,
      arbitrary: fc
        .integer({ min: 0, max: 1_000 })
        .map((n) => least + ((near - least) * n) / 1_000),
    },
    { weight: 2, arbitrary: fc.double({ min: least, max: most, noNaN: true }) },
    { weight: 1, arbitrary: limits },
  );
}

/** Days and instants around the day on which the story is told. */
const day = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.integer({ min: -60, max: 400 }).map((days) => isoAt(days).slice(0, 10)),
  },
  { weight: 1, arbitrary: fc.constantFrom('1900-01-01', '2199-12-31', '2024-02-29', '1960-04-17') },
);
const instant = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.integer({ min: -40, max: 4_000 }).map((quarters) => isoAt(quarters / 96)),
  },
  { weight: 1, arbitrary: fc.constantFrom('1900-01-01T00:00:00Z', '9999-12-31T23:59:59Z') },
);
const isoAt = (days: number): string =>
  new Date(Date.parse('2026-03-02T09:00:00Z') + days * 86_400_000).toISOString();

function text(schema: JsonSchema, name: string): fc.Arbitrary<Value> {
  const { format, pattern, minLength = 1, maxLength = 60 } = schema;
  const known = KNOWN_TEXTS[name];
  if (known !== undefined) return mostly(known, madeUp(minLength, maxLength));
  if (name === 'proofId') return mostly(new ToCome('proofId'), identifier(name));
  if (format === 'uuid') return identifier(name);
  if (format === 'date') return day;
  if (format === 'date-time') return instant;
  if (pattern === '^[0-9a-f]{64}$') {
    return fc.oneof(
      { weight: 9, arbitrary: fc.constant<Value>(SHOWN) },
      fc.constant('0'.repeat(64)),
    );
  }
  if (name === 'password' || name === 'currentPassword') {
    return fc.oneof({ weight: 14, arbitrary: fc.constant<Value>(OWN_PASSWORD) }, madeUp(12, 60));
  }
  if (/email/i.test(name)) {
    return fc.nat(1e6).map((n) => `${MARK}${n}@people.example`);
  }
  if (pattern !== undefined && maxLength < 200) {
    try {
      return fc.stringMatching(new RegExp(pattern, 'u'), { maxLength });
    } catch {
      return madeUp(minLength, maxLength);
    }
  }
  return fc.oneof(
    { weight: 3, arbitrary: madeUp(minLength, maxLength) },
    {
      weight: 3,
      arbitrary: fc
        .nat(10_000)
        .map((pick) => new TextGiven(name, pick, `${MARK} ${name}`.slice(0, maxLength))),
    },
    {
      weight: 1,
      arbitrary: fc.constantFrom('x'.repeat(minLength), 'ß'.repeat(Math.min(maxLength, 2_000))),
    },
    { weight: 1, arbitrary: fc.constant('x'.repeat(Math.min(maxLength, 20_000) + 1)) },
  );
}

/** What a browser, a bench device or the provider has, and nobody could make up. */
const KNOWN_TEXTS: Readonly<Record<string, Value>> = {
  browserSecret: TAB,
  browserSha256: TAB_SHA256,
  deviceSecret: 'D'.repeat(43),
  pin: PIN,
  state: new ToCome('state'),
  iss: new ToCome('iss'),
  oneTimeCode: new ToCome('oneTimeCode'),
  refreshToken: new ToCome('refreshToken'),
};
const mostly = (known: Value, other: fc.Arbitrary<Value>): fc.Arbitrary<Value> =>
  fc.oneof({ weight: 9, arbitrary: fc.constant(known) }, { weight: 1, arbitrary: other });

/** One line of made-up text with the mark, as long as it may be. */
const madeUp = (minLength: number, maxLength: number): fc.Arbitrary<Value> =>
  fc
    .string({ unit: 'grapheme', maxLength: Math.min(maxLength, 30) })
    .map((said) => `${MARK} ${said}`.slice(0, maxLength).padEnd(minLength, 'x'));

/** `socketId` names a socket; of ten, eight are of the caller's own clinic and of that kind. */
export function identifier(name: string): fc.Arbitrary<Value> {
  const kind = /^(\w+)Ids?$/.exec(name)?.[1];
  const of = (whose: IdOf['whose']) =>
    fc.nat(10_000).map((pick): Value => new IdOf(kind, whose, pick));
  return fc.oneof(
    { weight: 24, arbitrary: of('own') },
    { weight: 2, arbitrary: of('other kind') },
    { weight: 3, arbitrary: of('other clinic') },
    { weight: 1, arbitrary: of('nobody') },
  );
}
