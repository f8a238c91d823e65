import { whenInWords } from '../dayWords.ts';
import { entry } from './reason.ts';

const BY_HAND = 'Scan it again, or enter part, lot, serial and expiry by hand from the label.';

/** Refusals about scanned device identifiers (C9). What cannot be told apart is refused, never guessed. */
export const UDI_REASONS = {
  'udi-not-recognised': entry<{ scanned: string; why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Not a device identifier that can be read',
    words: (f) => `"${f.scanned}" cannot be read: ${f.why}.`,
    wayOut: () =>
      'Scan the GS1 or HIBC code of the label; codes of other issuers are entered by hand.',
  }),
  'udi-element-unknown': entry<{ element: string; issuer: string }>({
    rule: null,
    kind: 'invalid',
    title: 'An element that is not known',
    words: (f) =>
      `At "${f.element}" the ${f.issuer} code says something that is not read here, so the rest of it cannot be trusted.`,
    wayOut: () => BY_HAND,
  }),
  'udi-element-malformed': entry<{ element: string; value: string; why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'An element has a value that it cannot have',
    words: (f) => `${f.element}: "${f.value}" ${f.why}.`,
    wayOut: () => BY_HAND,
  }),
  'udi-check-wrong': entry<{ of: string; found: string; expected: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The check character does not agree',
    words: (f) => `${f.of} ends in "${f.found}"; its other characters ask for "${f.expected}".`,
    wayOut: () => 'A character was misread or mistyped: scan it again.',
  }),
  'udi-date-impossible': entry<{ element: string; value: string }>({
    rule: null,
    kind: 'invalid',
    title: 'There is no such day',
    words: (f) => `${f.element}: "${f.value}" is no day of the calendar.`,
    wayOut: () => BY_HAND,
  }),
  'udi-device-identifier-missing': entry<{ issuer: string; carried: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The code does not say which device it is',
    words: (f) => `This ${f.issuer} code carries ${f.carried} only.`,
    wayOut: () => 'Scan the other code of the label as well, and send both.',
  }),
  'udi-cannot-be-told-apart': entry<{ value: string; readings: readonly string[] }>({
    rule: null,
    kind: 'invalid',
    title: 'The code can be read in more than one way',
    words: (f) => `Without its separator, "${f.value}" may be ${f.readings.join(' or ')}.`,
    wayOut: () =>
      'Let the scanner hand on the separator (FNC1 as character 29), scan with the camera, or type the elements with their brackets as printed.',
  }),
  'udi-blank-may-be-check': entry<{ scanned: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The blank behind the code may belong to it',
    words: (f) =>
      `"${f.scanned}" ends in a blank that may be its check character, or was added by the reader; the code is right either way.`,
    wayOut: () =>
      'Let the scanner add nothing behind a code and scan again, or enter part, lot, serial and expiry by hand from the label.',
  }),
  'udi-says-two-things': entry<{ element: string; values: readonly string[] }>({
    rule: null,
    kind: 'invalid',
    title: 'The codes contradict each other',
    words: (f) => `${f.element} is given as ${f.values.join(' and as ')}.`,
    wayOut: () => 'Scan the codes of one label only.',
  }),
  'udi-codes-not-of-one-label': entry<{ why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The codes are not of one label',
    words: (f) => `The codes do not belong together: ${f.why}.`,
    wayOut: () => 'Scan the codes of one label only.',
  }),
  'udi-half-given': entry<{ missing: string; given: string }>({
    rule: null,
    kind: 'invalid',
    title: 'A device identifier goes with its issuer',
    words: (f) => `The ${f.given} of a device is given without ${f.missing}.`,
    wayOut: () => 'Give both, as the label has them, or neither.',
  }),
  'udi-device-taken': entry<{ issuer: string; deviceIdentifier: string }>({
    rule: null,
    kind: 'conflict',
    title: 'Another part has this device identifier',
    words: (f) => `The catalogue knows ${f.issuer} device ${f.deviceIdentifier} as another part.`,
    wayOut: () => 'Scan its label to see which part it is, and change that one.',
  }),
  'label-expired': entry<{ part: string; expiresOn: string; on: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'Past its expiry on the day it comes in',
    words: (f) =>
      `${f.part} was to be used until ${whenInWords(f.expiresOn)}; today is ${whenInWords(f.on)}.`,
    wayOut: () => 'Keep it out of the bins and send it back to where it came from.',
  }),
  'label-says-otherwise': entry<{ what: string; label: string; byHand: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The label says otherwise',
    words: (f) => `The label's ${f.what} is ${f.label}; ${f.byHand} was typed.`,
    wayOut: () =>
      'Leave out what the label says. If the label is wrong, receive the piece by hand, with a note to its maker.',
  }),
  'label-without-serial-or-lot': entry<{ part: string }>({
    rule: 'R1',
    kind: 'invalid',
    title: 'The label names neither serial nor lot',
    words: (f) => `Nothing on the label of ${f.part} says which piece or which lot it is.`,
    wayOut: () => 'Scan the other code of the label as well, or type serial or lot from it.',
  }),
  'label-of-a-package': entry<{ serial: string; quantity: number }>({
    rule: 'R1',
    kind: 'invalid',
    title: 'The label is of a package, not of a piece',
    words: (f) => `Serial ${f.serial} is on a package of ${f.quantity} pieces.`,
    wayOut: () => 'Open it and scan the label of each piece.',
  }),
  'label-count-missing': entry<{ lot: string }>({
    rule: 'R1',
    kind: 'invalid',
    title: 'How many pieces?',
    words: (f) => `The label of lot ${f.lot} does not count its pieces.`,
    wayOut: () => 'Count them and give the count.',
  }),
  'part-draft-resolved': entry<{ deviceIdentifier: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The draft is resolved already',
    words: (f) => `The draft for device ${f.deviceIdentifier} is a part, or was set aside.`,
    wayOut: () => 'Scan the label again to see what the catalogue knows now.',
  }),
};
