/** What must hold of every answer, whatever was asked. Each breach is said in words. */
import { PUBLIC } from '../../../src/access/permissions.ts';
import { REASONS } from '../../../src/domain/reasons/index.ts';
import type { BoundRequest } from './bind.ts';
import { isStranger, lets, signInOf, stands, type Knock } from './callers.ts';
import type { Described, Route } from './document.ts';
import { UUIDS } from './pool.ts';
import type { Answer } from './send.ts';
import type { Side } from './world.ts';

export interface Case {
  readonly route: Route;
  readonly knock: Knock;
  readonly request: BoundRequest;
  readonly answer: Answer;
  readonly own: Side;
  readonly other: Side;
  /** Of a paper: its text, which stands in its bytes packed. */
  readonly words?: string;
}

export interface Judged {
  readonly faults: readonly string[];
  /** The answer as JSON, where it is that. */
  readonly json: unknown;
}

/** The program's insides, as they look where they leak. */
const INSIDES: readonly [string, RegExp][] = [
  ['a stack', /\n\s+at \S+ \(|\(node:internal|\.ts:\d+:\d+/],
  ['a path of the machine', /node_modules|\/(?:tmp|home|root|usr|etc|var)\/\w|file:\/\//],
  ['SQL', /\b(?:select|insert into|update|delete from)\s+[\w"*]+\s+(?:from|set|values|where)\b/i],
  [
    'the database’s words',
    /violates|constraint|SQLSTATE|prisma|pg_catalog|relation "|syntax error at|PGlite|row-level security/i,
  ],
];

export const SECURITY_HEADERS: Readonly<Record<string, RegExp>> = {
  'content-security-policy': /default-src 'none'/,
  'x-content-type-options': /^nosniff$/,
  'x-frame-options': /^DENY$/i,
  'referrer-policy': /^no-referrer$/,
  'cross-origin-opener-policy': /^same-origin$/,
  'cross-origin-resource-policy': /^same-origin$/,
  'permissions-policy': /camera=\(self\)/,
  'strict-transport-security': /max-age=\d{7,}/,
  'cache-control': /no-store|no-cache/,
  'x-request-id': /^[0-9a-f-]{36}$/,
};
const NEVER_HEADERS = [
  'server',
  'x-powered-by',
  'set-cookie',
  'access-control-allow-origin',
  'via',
];

export function judge(judged: Case, document: Described, columns: ReadonlySet<string>): Judged {
  const { route, answer, request } = judged;
  const faults: string[] = [];
  const type = answer.headers['content-type'] ?? '';
  const isJson = /[/+]json/.test(type);
  let json: unknown;
  if (isJson) {
    try {
      json = JSON.parse(answer.text);
    } catch {
      faults.push('the answer says JSON and is none');
    }
  }
  if (answer.status >= 500) faults.push(`answered ${String(answer.status)}`);
  const unlike = document.unlike(route, answer.status, type, () => json);
  // Met by every route, and by none in particular.
  const isMetAnywhere = [408, 417, 431].includes(answer.status);
  if (unlike !== undefined && !isMetAnywhere) faults.push(unlike);
  faults.push(...headerFaults(answer), ...rightsFaults(judged, json), ...wallFaults(judged));
  if (answer.status >= 400) faults.push(...problemFaults(answer, request, json, document, columns));
  if (answer.status < 300 && request.body !== undefined && route.body !== undefined) {
    const body = jsonOf(request.body);
    if (body === undefined || !document.bodyFits(route, body.json)) {
      faults.push('a body that does not fit the document was accepted');
    }
  }
  return { faults, json };
}

function jsonOf(text: string): { readonly json: unknown } | undefined {
  try {
    return { json: JSON.parse(text) };
  } catch {
    return undefined;
  }
}

function headerFaults({ headers }: Answer): string[] {
  const missing = Object.entries(SECURITY_HEADERS)
    .filter(([name, must]) => !must.test(String(headers[name] ?? '')))
    .map(([name]) => `header ${name}: ${String(headers[name] ?? 'none')}`);
  const never = NEVER_HEADERS.filter((name) => headers[name] !== undefined);
  const foreign = JSON.stringify(headers).includes('evil.example')
    ? ['a header repeats what was sent']
    : [];
  return [...missing, ...never.map((name) => `header ${name} is there`), ...foreign];
}

/** Where the table lets in who may ask for some of it, and the domain says for which. */
const FINER = /\/(?:long-works|trace|history)\b/;

/** Said of a request before anybody asks whose it is. */
const BEFORE = [
  'url-malformed',
  'address-unknown',
  'http-malformed',
  'expectation-unknown',
  'other-site-refused',
  'body-packed',
  'body-too-large',
  'media-type-unsupported',
];

/** Said of what was sent alone, before the sign-in is looked up: nothing of the record is in it. */
const OF_THE_REQUEST = [400, 413, 415, 428];

/** Why a sign-in does not reach so far. */
const BEYOND = ['role-may-not', 'not-by-pin', 'signing-not-by-pin', 'second-factor-required'];

function rightsFaults({ route, knock, answer }: Case, json: unknown): string[] {
  if (route.who === PUBLIC) return [];
  const { code } = (json ?? {}) as { code?: unknown };
  const said = `${knock} was answered ${String(answer.status)} ${String(code)}`;
  const may = lets(route.who, route.permission, knock);
  if (may && stands(knock)) {
    const isFiner = code === 'role-may-not' && FINER.test(route.url);
    return BEYOND.includes(String(code)) && !isFiner
      ? [`${knock}, who may, was told it may not`]
      : [];
  }
  if (answer.status < 400) return [`accepted from ${knock}, who may not`];
  if (BEFORE.includes(String(code))) return [];
  if (isStranger(knock)) return answer.status === 401 ? [] : [said];
  if (!may) return answer.status === 403 && BEYOND.includes(String(code)) ? [] : [said];
  // Over: of the record nothing is told, neither that something is there nor that it is not.
  const isTold = answer.status === 401 || OF_THE_REQUEST.includes(answer.status);
  return isTold ? [] : [`${said}, whose sign-in (${signInOf(knock)?.way ?? ''}) is over`];
}

/** Nothing of the other clinic, in whatever answer. */
function wallFaults({ route, knock, answer, request, other, own, words = '' }: Case): string[] {
  const found: string[] = [];
  const text = `${JSON.stringify(answer.headers)} ${answer.text} ${words}`;
  for (const [id] of text.matchAll(UUIDS)) {
    const lower = id.toLowerCase();
    if (other.pool.has(lower) && !own.pool.has(lower) && !request.foreign.has(lower)) {
      found.push(`names ${lower} of the other clinic`);
    }
  }
  for (const secret of [other.mark, ...other.secrets]) {
    if (text.includes(secret)) found.push(`says "${secret}" of the other clinic`);
  }
  // What is public is for everybody who has a code, and shows nothing of it.
  // A list that is filtered by somebody else's record is empty.
  const isNamed =
    route.method !== 'GET' || [...request.foreign].some((id) => request.near.includes(id));
  if (
    isNamed &&
    request.foreign.size > 0 &&
    answer.status < 300 &&
    route.who !== PUBLIC &&
    !isStranger(knock)
  ) {
    found.push('accepted though it names a record of the other clinic');
  }
  return found;
}

function problemFaults(
  { status, headers, text }: Answer,
  request: BoundRequest,
  json: unknown,
  document: Described,
  columns: ReadonlySet<string>,
): string[] {
  // What was sent may be said back: a number that is none, a name that is taken.
  const sentAsText = `${decoded(request.url)} ${request.body ?? ''}`;
  const faults = INSIDES.filter(([, looks]) => {
    const [shown] = looks.exec(text) ?? [];
    return shown !== undefined && !sentAsText.includes(shown);
  }).map(([what]) => `shows ${what}`);
  if (!document.problemFits(json)) return [...faults, 'a refusal that is no problem details'];
  const {
    code,
    type,
    status: said,
    instance,
  } = json as { code: string; type: string; status: number; instance: string };
  if (type !== `/api/problems/${code}`) faults.push(`type ${type} of ${code}`);
  if (said !== status) faults.push(`says ${String(said)} under ${String(status)}`);
  if (!(code in REASONS)) faults.push(`${code} is no reason of the catalogue`);
  if (instance !== `urn:uuid:${String(headers['x-request-id'])}`)
    faults.push('another number of the request');
  const words = new Set(text.match(/[a-z]+(?:_[a-z]+)+/g) ?? []);
  // A field that was sent is named back by its name.
  const sent = `${request.url}${request.body ?? ''}`;
  const named = [...words].filter((word) => columns.has(word) && !sent.includes(word));
  if (named.length > 0) faults.push(`names columns: ${named.join(', ')}`);
  return faults;
}

function decoded(url: string): string {
  try {
    return decodeURIComponent(url);
  } catch {
    return url;
  }
}
