/** What stands in a request in the place of what the service has yet to give (askedFirst.ts). */
import { createHash } from 'node:crypto';
import type { ComingText, ToCome } from './values.ts';

/** In a body until the sister has answered. */
export const HASH_TO_COME = 'f'.repeat(64);
export const VERSION_TO_COME = 987_654_321;
export const PROOF_TO_COME = 'ffffffff-ffff-4fff-8fff-00000000c0de';
export const mark = (what: ComingText): string => `to-come-${what}@people.example`;

export const markOf = ({ what }: ToCome): string | number =>
  what === 'version' ? VERSION_TO_COME : what === 'proofId' ? PROOF_TO_COME : mark(what);

/** The one tab of the browser of everybody here. */
export const TAB = 'the-secret-of-the-one-tab-of-everybody-here';
export const TAB_SHA256 = createHash('sha256').update(TAB).digest('hex');
