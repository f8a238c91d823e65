/**
 * ETag and If-Match. A tag is `"<version>-<hash>"`: the version is what a change is
 * made from, the hash tells a reader whether anything in the answer differs (an answer
 * may show more than the record whose version it carries).
 */
import { createHash } from 'node:crypto';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';

/** @param body the answer as it is sent */
export function etagOf(version: number, body: string): string {
  const hash = createHash('sha256').update(body, 'utf8').digest('hex').slice(0, 12);
  return `"${version}-${hash}"`;
}

/** If-None-Match compares weakly (RFC 9110, 13.1.2). */
export const isUnchanged = (ifNoneMatch: string | undefined, etag: string): boolean =>
  (ifNoneMatch ?? '')
    .split(',')
    .some((each) => each.trim() === '*' || each.trim().replace(/^W\//, '') === etag);

/**
 * The version named by If-Match: an ETag as it was given out, or only the version in quotes.
 * `*` names none and is refused: it would undo what the header is for.
 */
export function expectedVersionFrom(ifMatch: string | undefined): number {
  const version = /^"([1-9]\d{0,8})(?:-[0-9a-f]{12})?"$/.exec(ifMatch?.trim() ?? '')?.[1];
  if (version === undefined) throw new Refused([reason('if-match-missing', {})]);
  return Number(version);
}

/** Refuses a change made from another version than the record has. */
export function requireVersion(current: number, expected: number): void {
  if (current !== expected) {
    throw new Refused([reason('version-is-stale', { yours: expected, current })]);
  }
}
