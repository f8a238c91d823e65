/** From a plan to what is sent: names become ids, texts and passwords of this moment. */
import { randomUUID } from 'node:crypto';
import type { Knock } from './callers.ts';
import type { Route } from './document.ts';
import { HASH_TO_COME, markOf } from './marks.ts';
import { MARK } from './hostile.ts';
import { UUIDS } from './pool.ts';
import { damaged, type Parts, type Plan } from './plan.ts';
import {
  IdOf,
  isFields,
  OWN_PASSWORD,
  RawJson,
  SHOWN,
  TextGiven,
  ToCome,
  written,
  type Bound,
  type Value,
} from './values.ts';
import type { Example, Side } from './world.ts';

export interface Request {
  readonly method: string;
  readonly url: string;
  readonly headers: Readonly<Record<string, string>>;
  /** As it is sent; undefined for none. */
  readonly body: string | undefined;
}

export interface BoundRequest extends Request {
  /** Ids of the other clinic that it names. */
  readonly foreign: ReadonlySet<string>;
  /** Where the sister route must be asked first. */
  readonly asksFirst: Request | undefined;
  /** Ids in the address. */
  readonly near: readonly string[];
}

export interface Binding {
  readonly route: Route;
  readonly own: Side;
  readonly other: Side;
  readonly knock: Knock;
  readonly examples: readonly Example[];
  /** Stands ready, and comes before the examples. */
  readonly ready: Example | undefined;
  readonly keysUsed: readonly string[];
}

const NOBODYS_ID = '01890000-0000-7000-8000-000000000000';
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

export function bind(plan: Plan, binding: Binding): BoundRequest {
  const { route, own, knock } = binding;
  const foreign = new Set<string>();
  const near: string[] = [];
  const to = (value: Value): Bound => bound(value, binding, foreign, near);
  const parts = damaged(partsOf(plan, binding), plan.damage);

  let path = route.url;
  for (const name of Object.keys(route.params)) {
    const given = (parts.params as Record<string, Value>)[name] ?? '';
    const { subjectKind } = parts.params as { subjectKind?: Value };
    // Of a history the kind stands beside the id.
    const isOfKind =
      name === 'subjectId' && given instanceof IdOf && typeof subjectKind === 'string';
    const kind = isOfKind
      ? subjectKind.replaceAll(/_(\w)/g, (_all, c: string) => c.toUpperCase())
      : '';
    const value = to(isOfKind ? new IdOf(kind, given.whose, given.pick) : given);
    if (typeof value === 'string' && UUID.test(value)) near.push(value);
    path = path.replace(`:${name}`, () => inAddress(value));
  }
  const query = Object.entries(parts.query as Record<string, Value>).flatMap(([name, value]) => {
    const given = to(value);
    return (Array.isArray(given) ? (given as readonly Bound[]) : [given]).map(
      (each) => `${inAddress(name)}=${inAddress(each)}`,
    );
  });
  const url = `${path}${query.length === 0 ? '' : `?${query.join('&')}`}`;
  const body = parts.body === undefined ? undefined : to(parts.body);
  const text = body === undefined ? undefined : written(body);

  const headers: Record<string, string> = { accept: 'application/json' };
  const shown = own.staff.authorization(knock);
  if (shown !== undefined) headers['authorization'] = shown;
  if (text !== undefined) headers['content-type'] = 'application/json';
  if (route.keyed) headers['idempotency-key'] = randomUUID();
  if (route.method === 'PATCH') {
    headers['if-match'] =
      `"${String(own.pool.versionOf(near.at(-1) ?? own.staff.clinic.clinicId))}"`;
  }
  applyHeaders(plan, headers, binding);
  const request = { method: route.method, url, headers, body: text };
  // However they came in: of whatever is sent, what is the other clinic's.
  for (const [id] of `${url} ${text ?? ''}`.matchAll(UUIDS)) {
    if (binding.other.pool.has(id) && !own.pool.has(id)) foreign.add(id.toLowerCase());
  }
  const asksFirst = text?.includes(HASH_TO_COME) ? sister(request, path, body) : undefined;
  return { ...request, foreign, asksFirst, near };
}

/** Whether a plan sends what stands ready, as it is or damaged. */
export const takesReady = ({ example }: Plan): boolean => example?.rebind === false;

function partsOf(plan: Plan, { route, examples, ready }: Binding): Parts {
  const { example, body, params, query } = plan;
  const isReady = ready !== undefined && takesReady(plan);
  const from = isReady
    ? ready
    : example === undefined
      ? undefined
      : examples[example.pick % Math.max(1, examples.length)];
  if (example === undefined || from === undefined) return { body, params, query };
  const made =
    from.body === undefined
      ? body
      : example.rebind
        ? rebound(from.body, '', example.pick)
        : withOwnPassword(from.body);
  const [path = '', asked = ''] = from.url.split('?');
  const steps = path.split('/');
  const own = Object.fromEntries(
    route.url
      .split('/')
      .flatMap((step, i) =>
        step.startsWith(':') ? [[step.slice(1), decodeURIComponent(steps[i] ?? '')]] : [],
      ),
  );
  // What was done once is mostly done, so the same is asked of another record.
  const asBefore =
    isReady || example.pick % 5 === 0 || (example.pick % 2 === 0 && route.method === 'GET');
  return {
    body: made,
    params: asBefore ? own : params,
    query:
      Object.keys(query).length > 0 && !asBefore
        ? query
        : Object.fromEntries(new URLSearchParams(asked)),
  };
}

/** The same, by the password that the caller has now. */
function withOwnPassword(value: Value): Value {
  if (Array.isArray(value)) return (value as readonly Value[]).map(withOwnPassword);
  if (!isFields(value)) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, each]) => [
      name,
      name === 'password' || name === 'currentPassword' ? OWN_PASSWORD : withOwnPassword(each),
    ]),
  );
}

/** The ids of an accepted body as ids of whatever is there now. */
function rebound(value: Value, name: string, pick: number): Value {
  if (Array.isArray(value)) {
    return (value as readonly Value[]).map((each, i) =>
      rebound(each, name.replace(/s$/, ''), pick + i),
    );
  }
  if (isFields(value)) {
    return Object.fromEntries(
      Object.entries(value).map(([key, each]) => [key, rebound(each, key, pick)]),
    );
  }
  if (typeof value !== 'string') return value;
  const kind = /^(\w+)Id$/.exec(name)?.[1];
  if (UUID.test(value) && kind !== undefined) return new IdOf(kind, 'own', pick);
  return name === 'password' || name === 'currentPassword' ? OWN_PASSWORD : value;
}

function bound(
  value: Value,
  binding: Binding,
  foreign: Set<string>,
  near: readonly string[],
): Bound {
  const { own, other, knock } = binding;
  if (value === OWN_PASSWORD) return own.staff.passwordOf(knock);
  if (value === SHOWN) return HASH_TO_COME;
  if (value instanceof ToCome) return markOf(value);
  if (value instanceof TextGiven)
    return own.pool.textOf(value.name, value.pick) ?? marked(value.otherwise, own);
  if (value instanceof IdOf) return idFor(value, own, other, foreign, near);
  if (typeof value === 'string') return marked(value, own);
  if (Array.isArray(value))
    return (value as readonly Value[]).map((each) => bound(each, binding, foreign, near));
  if (isFields(value)) {
    return Object.fromEntries(
      Object.entries(value).map(([name, each]) => [name, bound(each, binding, foreign, near)]),
    );
  }
  return value as Bound;
}

function idFor(
  { kind, whose, pick }: IdOf,
  own: Side,
  other: Side,
  foreign: Set<string>,
  near: readonly string[],
): string {
  switch (whose) {
    case 'own':
      return own.pool.idOf(kind, pick, near) ?? NOBODYS_ID;
    case 'other kind':
      return own.pool.idOfAnother(kind, pick) ?? NOBODYS_ID;
    case 'other clinic': {
      const id = other.pool.idOf(kind, pick);
      if (id !== undefined) foreign.add(id);
      return id ?? NOBODYS_ID;
    }
    case 'nobody':
      return NOBODYS_ID;
  }
}

const marked = (text: string, { mark }: Side): string => text.replaceAll(MARK, mark);

/** As a component of an address; what already looks encoded goes as it is, or else it would be harmless. */
function inAddress(value: Bound): string {
  const text =
    value instanceof RawJson
      ? value.text
      : typeof value === 'object'
        ? written(value)
        : String(value);
  if (/%[0-9a-f]{2}|\.\./i.test(text) && /^[\x21-\x7e]{1,200}$/.test(text) && !/[#?]/.test(text))
    return text;
  return encodeURIComponent(text.slice(0, 3_000).replaceAll(/\p{Cs}/gu, '\ufffd'));
}

function sister(request: Request, path: string, body: Bound | undefined): Request | undefined {
  if (typeof body !== 'object' || body === null || !('signature' in body)) return undefined;
  const rest = Object.fromEntries(
    Object.entries(body as Readonly<Record<string, Bound>>).filter(
      ([name]) => name !== 'signature',
    ),
  );
  const { 'idempotency-key': _key, ...headers } = request.headers;
  return { method: 'POST', url: `${path}/to-sign`, headers, body: written(rest) };
}

function applyHeaders(
  { headers: plan }: Plan,
  headers: Record<string, string>,
  { keysUsed }: Binding,
): void {
  if (plan.kind === 'key used before') {
    const key = keysUsed[plan.pick % Math.max(1, keysUsed.length)];
    if (key !== undefined && 'idempotency-key' in headers) headers['idempotency-key'] = key;
  }
  if (plan.kind !== 'set') return;
  if (plan.value === undefined) Reflect.deleteProperty(headers, plan.name);
  else headers[plan.name] = plan.value;
}
