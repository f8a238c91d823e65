/**
 * Correction by addition (R10). A patient may ask that the record be corrected (45 CFR 164.526);
 * a record that is never rewritten is corrected by another one that names it, says what is wrong
 * and what is right in words, why, and who says so, by signature. The original stays in sight.
 *
 * A correction is words about a record, never the record: it does not make evidence. A torque
 * reading that is corrected to a better one does not make a joint confirmed, a lock check that is
 * corrected does not pass, and a body mass that is corrected is weighed anew. What counts is done
 * again at the bench, under the rules of that act.
 */
import { addDays, isBefore, type Day } from './days.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { Role } from './words.ts';

/** Records that are never rewritten, and can be corrected. */
export const CORRECTABLE = [
  'body_mass',
  'cast',
  'measure_set',
  'volume_decision',
  'operation_record',
  'layup',
  'resin_weighing',
  'torque_confirmation',
  'lock_check',
  'alignment',
  'fitting',
  'finding',
  'mass_acknowledgement',
  'delivery',
  'service_visit',
  'appointment',
] as const;
export type Correctable = (typeof CORRECTABLE)[number];

/** What is done again to count, where a correction alone would be taken for it. */
const DONE_AGAIN: Readonly<Partial<Record<Correctable, string>>> = {
  body_mass: 'weigh the patient again',
  measure_set: 'measure the limb again',
  operation_record: 'do the operation again',
  resin_weighing: 'weigh the cup again',
  torque_confirmation: 'torque the joint again',
  lock_check: 'check the lock again',
  alignment: 'measure the alignment again',
  fitting: 'judge the fit again',
};

/** What has to be done besides, so that anything but the words changes; null where nothing hangs on it. */
export const doneAgainFor = (kind: Correctable): string | null => DONE_AGAIN[kind] ?? null;

/** Why the words of a correction are not told: the reader's role does not see them, or they were erased. */
export const UNSEEN_WORDS = ['withheld', 'erased'] as const;
export type UnseenWords = (typeof UNSEEN_WORDS)[number];

/** A correction as it is read beside what it corrects; its words are null where they are not told. */
export interface CorrectionSaid {
  readonly correctedBy: string;
  readonly wrong: string | null;
  readonly right: string | null;
  readonly why: string | null;
  readonly unseen: UnseenWords | null;
}

/**
 * A correction in one sentence, for papers and lists.
 * @param when in words, in the clinic's zone
 */
export function correctedWords(said: CorrectionSaid, when: string): string {
  const { correctedBy, wrong, right, why, unseen } = said;
  const head = `Corrected on ${when} by ${correctedBy}`;
  if (unseen === 'withheld') return `${head}; its words are not shown to your role.`;
  // Erased one by one or all at once: what is left of a sentence says nothing.
  if (unseen === 'erased' || right === null || wrong === null || why === null) {
    return `${head}; its words are erased.`;
  }
  return `${head}: “${right}” stands for “${wrong}” (${why}).`;
}

/** Whether words have a name in them by itself: lot 12 is not named by 123. */
export function names(words: string, name: string): boolean {
  const [text, sought] = [words, name].map((each) => each.toLowerCase());
  if (text === undefined || sought === undefined || sought === '') return false;
  const part = /[\p{L}\p{N}]/u;
  for (let at = text.indexOf(sought); at >= 0; at = text.indexOf(sought, at + 1)) {
    const [before, after] = [text.slice(0, at), text.slice(at + sought.length)];
    if (!part.test(before.slice(-1)) && !part.test(after.slice(0, 1))) return true;
  }
  return false;
}

/** Whether a correction of such a record leaves evidence as it is: it always does. */
export const EVIDENCE_STAYS = true;

/**
 * Who corrects: a prosthetist any record; another one of the bench what that person recorded.
 * @param recordedById null where the record does not say who made it
 */
export function judgeCorrecting(
  recordedById: string | null,
  by: { readonly personId: string; readonly roles: readonly Role[] },
): Reason[] {
  if (by.roles.includes('prosthetist') || by.personId === recordedById) return [];
  return [reason('correction-not-yours', {})];
}

export const CORRECTION_DECISIONS = ['accepted', 'denied'] as const;
export type CorrectionDecision = (typeof CORRECTION_DECISIONS)[number];

/** On what a request may be denied: 45 CFR 164.526(a)(2)(i) to (iv). */
export const DENIAL_GROUNDS = [
  'accurate_and_complete',
  'not_made_here',
  'not_in_the_record',
  'not_open_to_access',
] as const;
export type DenialGround = (typeof DENIAL_GROUNDS)[number];

/** Days within which a request is decided: 45 CFR 164.526(b)(2)(i). */
const DECIDE_WITHIN_DAYS = 60;
export const decideBy = (askedOn: Day): Day => addDays(askedOn, DECIDE_WITHIN_DAYS);

/** A request is asked on a day that has come. */
export const judgeAskedOn = (askedOn: Day, today: Day): Reason[] =>
  isBefore(today, askedOn)
    ? [reason('day-in-future', { what: 'The day of the request', day: askedOn, today }, '/askedOn')]
    : [];

/** Decided once; a statement is added to what was denied, once. */
export function judgeDecision(
  decision: CorrectionDecision | null,
  then: { readonly decision: CorrectionDecision; readonly ground: DenialGround | undefined },
): Reason[] {
  if (decision !== null) return [reason('correction-decided-already', { decision })];
  if (then.decision === 'denied' && then.ground === undefined) {
    return [reason('field-missing', { field: 'denialGround' }, '/denialGround')];
  }
  if (then.decision === 'accepted' && then.ground !== undefined) {
    return [reason('denial-ground-of-nothing', {}, '/denialGround')];
  }
  return [];
}

export function judgeDisagreement(decision: CorrectionDecision | null, already: boolean): Reason[] {
  if (decision !== 'denied') return [reason('disagreement-with-nothing', {})];
  return already ? [reason('disagreement-stands', {})] : [];
}
