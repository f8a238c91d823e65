import { dayInWords } from '../dayWords.ts';
import { entry } from './reason.ts';

/** Refusals about what is kept, held, corrected, handed out and erased (R10). */
export const RIGHTS_REASONS = {
  'record-on-hold': entry<{ reference: string; count: number }>({
    rule: 'R10',
    kind: 'rule',
    title: 'The record is on legal hold',
    words: (f) =>
      `${f.count === 1 ? 'A legal hold is' : `${f.count} legal holds are`} in force (reference ${f.reference}); nothing of it is erased.`,
    wayOut: () => 'An administrator lifts the hold when whoever asked for it says so.',
  }),
  'retention-not-over': entry<{ keptUntil: string | null }>({
    rule: 'R10',
    kind: 'rule',
    title: 'The record must still be kept',
    words: (f) =>
      f.keptUntil === null
        ? 'An order of this patient is under way; its years have not begun.'
        : `Who the patient is must be kept until ${dayInWords(f.keptUntil)}.`,
    wayOut: () =>
      'Wait until the years are over. Phone, address and notes to the desk can be erased before.',
  }),
  'erasure-needs-two': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'rule',
    title: 'A second person confirms',
    words: () => 'You asked for this erasure; who asks does not confirm.',
    wayOut: () => 'Have a prosthetist confirm it who is not you.',
  }),
  'erasure-not-confirmed': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'rule',
    title: 'The erasure is not confirmed',
    words: () => 'An erasure is carried out by the signature of a second person, and by it alone.',
    wayOut: () => 'Have a prosthetist read and confirm it.',
  }),
  'erasure-settled': entry<{ state: string }>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The erasure is settled',
    words: (f) =>
      f.state === 'withdrawn' ? 'It was withdrawn already.' : 'It was carried out already.',
    wayOut: () => 'Where something else is to be erased, ask for another erasure.',
  }),
  'erasure-open-already': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'An erasure is waiting already',
    words: () => 'For this patient an erasure was asked for and is not settled.',
    wayOut: () => 'Have it confirmed, or withdraw it.',
  }),
  'erasure-of-nothing': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'Nothing of it is there',
    words: () => 'Of what is to be erased nothing stands in the record any more.',
    wayOut: () => 'Nothing to do.',
  }),
  'answer-erased': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The answer was erased',
    words: () =>
      'This request was done before; its answer named a patient of whom something was erased since.',
    wayOut: () => 'Read the record as it stands now.',
  }),
  'result-erased': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The result was erased',
    words: () => 'It named a patient of whom something was erased since.',
    wayOut: () => 'Ask for the work again.',
  }),
  'photo-erased': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The photo was erased',
    words: () => 'It was erased when the years of its record were over; its SHA-256 is kept.',
    wayOut: () => 'Nothing to do.',
  }),
  'hold-lifted-already': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The hold is lifted',
    words: () => 'This legal hold was lifted already.',
    wayOut: () => 'Place another one where the record is to be held again.',
  }),
  'hold-placed-already': entry<{ reference: string }>({
    rule: 'R10',
    kind: 'conflict',
    title: 'This hold is in force already',
    words: (f) => `A hold with the reference ${f.reference} is in force on it.`,
    wayOut: () => 'Nothing to do; one with another reference can be placed beside it.',
  }),
  'lot-unknown': entry<{ lot: string }>({
    rule: 'R10',
    kind: 'absent',
    title: 'There is no such lot of this part',
    words: (f) => `No piece of this part has the lot ${f.lot}.`,
    wayOut: () => 'Read the lot from the label or from a recall.',
  }),
  'correction-of-nothing': entry<{ kind: string }>({
    rule: 'R10',
    kind: 'absent',
    title: 'There is no such record',
    words: () => 'The record that is to be corrected is not one of this patient.',
    wayOut: () => 'Open the record again and correct it from there.',
  }),
  'correction-not-yours': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'forbidden',
    title: 'Not yours to correct',
    words: () => 'A record is corrected by who made it, or by a prosthetist.',
    wayOut: () => 'Ask a prosthetist.',
  }),
  'correction-not-signed': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'rule',
    title: 'The correction is not signed',
    words: () => 'A correction counts by the signature of who makes it.',
    wayOut: () => 'Sign it.',
  }),
  'correction-request-not-accepted': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'rule',
    title: 'The request was not accepted',
    words: () => 'A correction answers a request of this patient that a prosthetist accepted.',
    wayOut: () => 'Decide the request first, or correct without naming it.',
  }),
  'correction-decided-already': entry<{ decision: 'accepted' | 'denied' }>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The request is decided',
    words: (f) => `This request was ${f.decision} already.`,
    wayOut: () => 'Record another request where the patient asks for something else.',
  }),
  'denial-ground-of-nothing': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'invalid',
    title: 'Nothing is denied',
    words: () => 'A request that is accepted has no ground of denial.',
    wayOut: () => 'Leave the ground out, or deny the request.',
  }),
  'disagreement-with-nothing': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'Nothing was denied',
    words: () => 'A statement of disagreement answers a request that was denied.',
    wayOut: () => 'Decide the request first.',
  }),
  'disagreement-stands': entry<Record<never, never>>({
    rule: 'R10',
    kind: 'conflict',
    title: 'There is a statement already',
    words: () => 'The patient’s statement of disagreement stands beside this request already.',
    wayOut: () => 'Record another request where the patient has more to say.',
  }),
};
