/** Checks the parts of a request against their schemas and says every fault in words. */
import type { z } from 'zod';
import { reason, type Reason } from '../domain/reasons/index.ts';
import { RequestInvalid, type Place } from './problems.ts';

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

export type Schemas = Partial<Record<Place, z.ZodType | undefined>>;

/**
 * Parses each part; all faults of all parts are gathered before the request is refused.
 * @throws RequestInvalid
 */
export function parseParts(
  schemas: Schemas,
  given: Readonly<Record<Place, unknown>>,
): Partial<Record<Place, unknown>> {
  const parsed: Partial<Record<Place, unknown>> = {};
  const faults: { place: Place; reason: Reason }[] = [];
  for (const [place, schema] of Object.entries(schemas) as [Place, z.ZodType | undefined][]) {
    if (schema === undefined) continue;
    // A body left out altogether lacks each of its fields, and says so one by one; null is a body.
    const isLeftOut = place === 'body' && given.body === undefined;
    const value = isLeftOut ? {} : given[place];
    const result = schema.safeParse(value, { reportInput: true });
    if (result.success) parsed[place] = result.data;
    else {
      for (const issue of result.error.issues) {
        faults.push(...reasonsOf(issue, []).map((each) => ({ place, reason: each })));
      }
    }
  }
  if (faults.length > 0) throw new RequestInvalid(faults.slice(0, MOST_FAULTS));
  return parsed;
}

/** An answer stays readable; common practice, no source. */
const MOST_FAULTS = 50;

function reasonsOf(issue: Issue, under: Path): Reason[] {
  const path = [...under, ...issue.path];
  const field = nameOf(path);
  const at = pointerOf(path);
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) =>
        reason('field-unknown', { field: nameOf([...path, key]) }, pointerOf([...path, key])),
      );
    case 'invalid_type':
      return [
        issue.input === undefined
          ? reason('field-missing', { field }, at)
          : reason('field-wrong-type', { field, expected: issue.expected }, at),
      ];
    case 'too_small':
      return [
        reason(
          'field-out-of-range',
          { field, limit: `at least ${limit(issue.minimum, issue.origin)}` },
          at,
        ),
      ];
    case 'too_big':
      return [
        reason(
          'field-out-of-range',
          { field, limit: `at most ${limit(issue.maximum, issue.origin)}` },
          at,
        ),
      ];
    case 'not_multiple_of':
      return [reason('field-out-of-range', { field, limit: `a multiple of ${issue.divisor}` }, at)];
    case 'invalid_value':
      return [
        issue.input === undefined
          ? reason('field-missing', { field }, at)
          : reason('field-not-a-choice', { field, choices: issue.values.map(String) }, at),
      ];
    case 'invalid_union':
      return reasonsOfUnion(issue, path);
    case 'invalid_format':
    case 'invalid_key':
    case 'invalid_element':
    case 'custom':
      return [reason('field-malformed', { field, expected: expectedOf(issue) }, at)];
    default:
      return issue satisfies never;
  }
}

/** Of the shapes that a value may have, speaks of the one it comes closest to. */
function reasonsOfUnion(issue: z.core.$ZodIssueInvalidUnion, path: Path): Reason[] {
  const branches = issue.errors.filter((branch) => branch.length > 0);
  const [first, ...others] = branches;
  if (first === undefined) {
    return [
      reason(
        'field-malformed',
        { field: nameOf(path), expected: 'one of the shapes that the pages of the API show' },
        pointerOf(path),
      ),
    ];
  }
  const closest = others.reduce((best, each) => (each.length < best.length ? each : best), first);
  return closest.flatMap((each) => reasonsOf(each, path));
}

function expectedOf(issue: Issue): string {
  if (issue.code !== 'invalid_format') return issue.message;
  return FORMATS[issue.format] ?? issue.message;
}

const FORMATS: Readonly<Record<string, string>> = {
  uuid: 'a UUID (RFC 9562)',
  email: 'an e-mail address',
  datetime: 'an instant of RFC 3339 with its offset, as 2026-03-01T09:30:00Z',
  date: 'a calendar day, YYYY-MM-DD',
};

function limit(value: number | bigint, origin: string): string {
  if (origin === 'string') return `${value} characters long`;
  if (origin === 'array' || origin === 'set') return `${value} entries long`;
  return String(value);
}

const nameOf = (path: Path): string =>
  path.length === 0 ? 'the whole' : path.map(String).join('.');

/** RFC 6901. */
const pointerOf = (path: Path): string =>
  path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
