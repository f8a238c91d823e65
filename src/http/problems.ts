/**
 * Refusals as RFC 9457 problem details. The one place where a reason gets its
 * HTTP status and where any failure becomes an answer.
 */
import { z } from 'zod';
import { reason, type Reason, type ReasonCode, type ReasonKind } from '../domain/reasons/index.ts';
import { isBusy } from '../store/busy.ts';
import { Refused } from '../store/refused.ts';
import { reasonFacts as facts } from './reasonView.ts';

export const PROBLEM_MEDIA_TYPE = 'application/problem+json';
export const PROBLEMS_URL = '/api/problems';
export const BODY_LIMIT_BYTES = 1_048_576;

const STATUS_OF_KIND = {
  invalid: 400,
  unidentified: 401,
  forbidden: 403,
  absent: 404,
  conflict: 409,
  rule: 422,
} as const satisfies Record<ReasonKind, number>;

/** Codes for which HTTP has a status of its own. */
const STATUS_OF_CODE: Partial<Record<ReasonCode, number>> = {
  'method-not-here': 405,
  'request-timed-out': 408,
  'version-is-stale': 412,
  'body-too-large': 413,
  'media-type-unsupported': 415,
  'body-packed': 415,
  'file-part-unknown': 416,
  'expectation-unknown': 417,
  'if-match-missing': 428,
  'sign-in-locked': 429,
  'too-many-requests': 429,
  'person-asks-too-often': 429,
  'too-many-live-streams': 429,
  'opened-too-often': 429,
  internal: 500,
  'service-busy': 503,
  'column-key-missing': 503,
};

export const statusOf = ({ code, kind }: Pick<Reason, 'code' | 'kind'>): number =>
  STATUS_OF_CODE[code as ReasonCode] ?? STATUS_OF_KIND[kind];

/** The part of the request that a JSON Pointer points into. */
export type Place = 'body' | 'query' | 'path' | 'header';

/** A request whose fields do not fit; every one of them is listed. */
export class RequestInvalid extends Error {
  readonly faults: readonly { readonly place: Place; readonly reason: Reason }[];

  constructor(faults: RequestInvalid['faults']) {
    super('request-invalid');
    this.name = 'RequestInvalid';
    this.faults = faults;
  }
}

const rule = z.string().nullable().describe('The rule that says no, R1 to R16, where one does.');
const wayOut = z.string().describe('What to do about it.');

/** The wire form of every refusal. */
export const Problem = z
  .object({
    type: z.string().describe('Address of the page that explains this kind of problem.'),
    title: z.string(),
    status: z.int(),
    detail: z.string(),
    instance: z.string().describe('The number of this request, as in the log and in X-Request-Id.'),
    code: z.string(),
    rule,
    wayOut,
    facts,
    errors: z
      .array(
        z.object({
          code: z.string(),
          detail: z.string(),
          wayOut,
          rule,
          facts,
          in: z.enum(['body', 'query', 'path', 'header']).optional(),
          pointer: z.string().optional().describe('JSON Pointer (RFC 6901) to the field to blame.'),
        }),
      )
      .describe('Every reason; the first decides the type.'),
  })
  .meta({ id: 'Problem', description: 'A refusal (RFC 9457).' });
export type Problem = z.infer<typeof Problem>;

/** What is sent for a refusal. */
export interface ProblemAnswer {
  readonly status: number;
  readonly problem: Problem;
  readonly headers: Readonly<Record<string, string>>;
}

/**
 * Says a failure in problem details. What nobody foresaw becomes `internal`,
 * without a word of the cause; the caller writes that to the log.
 * @param bodyLimitBytes of the route that was asked
 */
export function problemFrom(
  failure: unknown,
  requestId: string,
  bodyLimitBytes = BODY_LIMIT_BYTES,
): ProblemAnswer {
  if (failure instanceof RequestInvalid) {
    const fields = failure.faults.map(({ reason: { facts } }) => String(facts['field']));
    return answer(reason('request-invalid', { fields }), failure.faults, requestId);
  }
  const [first, ...rest] = reasonsOf(failure, bodyLimitBytes);
  const errors = [first, ...rest].map((each) => ({ place: 'body' as const, reason: each }));
  return answer(first, errors, requestId);
}

function reasonsOf(failure: unknown, bodyLimitBytes: number): readonly [Reason, ...Reason[]] {
  if (failure instanceof Refused) return failure.reasons;
  const ofFramework = reasonOfFramework(failure, bodyLimitBytes);
  if (ofFramework !== undefined) return [ofFramework];
  return [isBusy(failure) ? reason('service-busy', {}) : reason('internal', {})];
}

/** Fastify's own refusals of a request, by its codes. */
function reasonOfFramework(failure: unknown, bodyLimitBytes: number): Reason | undefined {
  const code = failure instanceof Error && 'code' in failure ? failure.code : undefined;
  switch (code) {
    case 'FST_ERR_CTP_EMPTY_JSON_BODY':
    case 'FST_ERR_CTP_INVALID_JSON_BODY':
    case 'FST_ERR_CTP_INVALID_CONTENT_LENGTH':
      return reason('body-malformed', {});
    case 'FST_ERR_CTP_BODY_TOO_LARGE':
      return reason('body-too-large', { limitBytes: bodyLimitBytes });
    case 'FST_ERR_CTP_INVALID_MEDIA_TYPE':
      return reason('media-type-unsupported', {});
    case 'FST_ERR_BAD_URL':
    case 'FST_ERR_MAX_PARAM_LENGTH':
      return reason('url-malformed', {});
    case 'FST_ERR_NOT_FOUND':
      return reason('address-unknown', {});
    default:
      return reasonOfFile(failure);
  }
}

/** What @fastify/static says of files, by the status that it gives: outside its folder, or a part that there is not. */
function reasonOfFile(failure: unknown): Reason | undefined {
  const status =
    failure instanceof Error && 'statusCode' in failure ? failure.statusCode : undefined;
  switch (status) {
    case 400:
      return reason('url-malformed', {});
    case 403:
    case 404:
      return reason('address-unknown', {});
    case 412:
    case 416:
      return reason('file-part-unknown', {});
    default:
      return undefined;
  }
}

function answer(first: Reason, faults: RequestInvalid['faults'], requestId: string): ProblemAnswer {
  const status = statusOf(first);
  return {
    status,
    problem: {
      type: `${PROBLEMS_URL}/${first.code}`,
      title: first.title,
      status,
      detail: first.detail,
      instance: `urn:uuid:${requestId}`,
      code: first.code,
      rule: first.rule,
      wayOut: first.wayOut,
      facts: first.facts,
      errors: faults.map(({ place, reason: each }) => ({
        code: each.code,
        detail: each.detail,
        wayOut: each.wayOut,
        rule: each.rule,
        facts: each.facts,
        ...(each.field === undefined ? {} : { in: place, pointer: each.field }),
      })),
    },
    headers: headersFor(first, status),
  };
}

function headersFor(first: Reason, status: number): Record<string, string> {
  const { retryAfterS, allowed } = first.facts;
  return {
    // RFC 9110: a 401 names the scheme, a 405 the methods, RFC 6585: a 429 may say when.
    ...(status === 401 ? { 'www-authenticate': 'Bearer realm="castbook"' } : {}),
    ...(Array.isArray(allowed) && status === 405 ? { allow: allowed.join(', ') } : {}),
    ...(typeof retryAfterS === 'number' ? { 'retry-after': String(Math.ceil(retryAfterS)) } : {}),
    ...(status === 503 ? { 'retry-after': '2' } : {}),
  };
}
