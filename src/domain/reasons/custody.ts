import { whenInWords } from '../dayWords.ts';
import { entry } from './reason.ts';

/** Refusals about where things are, where they may go and what fits where (R1, R2, R3, R6, R9, R15). */
export const CUSTODY_REASONS = {
  'item-is-elsewhere': entry<{
    item: string;
    expected: string | null;
    place: string | null;
    movedBy: string | null;
    movedAt: string | null;
  }>({
    rule: 'R2',
    kind: 'conflict',
    title: 'The item is not where the move says',
    words: (f) =>
      f.place === null
        ? `${f.item} was never received.`
        : `${f.item} is not at ${f.expected ?? 'nowhere'}: it is at ${f.place} (${f.movedBy ?? 'somebody'}, ${whenInWords(f.movedAt ?? 'unknown time')}).`,
    wayOut: () =>
      'Read the item again; if it is in your hand, record the move from where the book has it.',
  }),
  'position-is-occupied': entry<{ place: string; holds: string }>({
    rule: 'R1',
    kind: 'conflict',
    title: 'The position already holds something',
    words: (f) => `${f.place} already holds ${f.holds}.`,
    wayOut: () => 'Move out what is there first, in the same transfer if it belongs elsewhere.',
  }),
  'single-use-again': entry<{ item: string }>({
    rule: 'R2',
    kind: 'rule',
    title: 'Single-use part in a second socket',
    words: (f) => `${f.item} is single-use and has been in another socket.`,
    wayOut: () => 'Leave it behind and issue a fresh one; scrap the used one.',
  }),
  'thing-unknown': entry<{ thing: string }>({
    rule: 'R1',
    kind: 'absent',
    title: 'No such item or shop tool',
    words: (f) => `There is no item or shop tool ${f.thing} in this clinic.`,
    wayOut: () => 'Scan it again, or receive it into a bin first.',
  }),
  'scrap-stays-scrap': entry<{ item: string }>({
    rule: 'R2',
    kind: 'rule',
    title: 'Scrapped things are not used again',
    words: (f) => `${f.item} was scrapped.`,
    wayOut: () => 'Take another one.',
  }),
  'position-takes-another-kind': entry<{ position: string; takes: string; kind: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'The position takes another kind of thing',
    words: (f) => `Position ${f.position} takes a ${f.takes}, not a ${f.kind}.`,
    wayOut: () => 'Choose the position that the part is made for.',
  }),
  'hole-pattern-differs': entry<{
    part: string;
    pattern: string;
    other: string;
    otherPattern: string;
  }>({
    rule: 'R3',
    kind: 'rule',
    title: 'Hole patterns do not meet',
    words: (f) => `${f.part} has ${f.pattern}; ${f.other} has ${f.otherPattern}.`,
    wayOut: () => 'Choose a part with the same hole pattern.',
  }),
  'thread-differs': entry<{ part: string; thread: string; other: string; otherThread: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'Threads do not meet',
    words: (f) => `${f.part} has thread ${f.thread}; ${f.other} has ${f.otherThread}.`,
    wayOut: () => 'Choose screws or a part with the same thread; never force a thread.',
  }),
  'pin-does-not-fit-lock': entry<{ part: string; fit: string; other: string; otherFit: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'Pin and lock do not belong together',
    words: (f) => `${f.part} is made for ${f.fit}; ${f.other} takes ${f.otherFit}.`,
    wayOut: () => 'Use the pin that the maker of the lock names.',
  }),
  'side-differs': entry<{ part: string; side: string; orderSide: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'Part for the other side',
    words: (f) => `${f.part} is for the ${f.side} side; the order is for the ${f.orderSide} side.`,
    wayOut: () => 'Check the side on the traveller and take the part for it.',
  }),
  'body-mass-missing': entry<{ patient: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'No body mass on record',
    words: (f) => `Patient ${f.patient} has no body mass on record, so no rating can be checked.`,
    wayOut: () => 'Weigh the patient and record the body mass with its day.',
  }),
  'part-withdrawn': entry<{ part: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'Part withdrawn from the catalogue',
    words: (f) => `${f.part} is withdrawn from this clinic's catalogue.`,
    wayOut: () => 'Choose a part that is in use, or ask an administrator why it was withdrawn.',
  }),
  'item-expired': entry<{ item: string; expiresOn: string; on: string }>({
    rule: 'R3',
    kind: 'rule',
    title: 'The item is past its last day of use',
    words: (f) =>
      `${f.item} was to be used until ${whenInWords(f.expiresOn)}; the move is of ${whenInWords(f.on)}.`,
    wayOut: () => 'Take a fresh one, and put this one into quarantine or scrap.',
  }),
  'definitive-not-ready': entry<{ socket: string }>({
    rule: 'R6',
    kind: 'rule',
    title: 'The definitive socket takes no hardware yet',
    words: (f) =>
      `Socket ${f.socket} still has its dummy in, is not cured, or its lock chamber is not inspected.`,
    wayOut: () => 'Finish cure, pull the dummy and inspect the chamber, in that order.',
  }),
  'socket-is-retired': entry<{ socket: string; state: string }>({
    rule: 'R9',
    kind: 'rule',
    title: 'The socket is no longer used',
    words: (f) => `Socket ${f.socket} is ${f.state}.`,
    wayOut: () => 'Choose the socket that replaced it.',
  }),
  'worn-hardware-still-in': entry<{ socket: string }>({
    rule: 'R9',
    kind: 'rule',
    title: 'The worn socket still holds its hardware',
    words: (f) => `Socket ${f.socket} is worn and still holds reusable hardware.`,
    wayOut: () => 'Move the hardware on in a service visit, then close the visit.',
  }),
  'worn-moves-in-service-only': entry<{ socket: string }>({
    rule: 'R15',
    kind: 'rule',
    title: 'The patient wears this socket',
    words: (f) =>
      `Socket ${f.socket} is delivered; its hardware moves only in an open service visit.`,
    wayOut: () => 'Open a service visit for the order and name it in the move.',
  }),
  'shop-tool-stays-here': entry<{ socket: string }>({
    rule: 'R6',
    kind: 'rule',
    title: 'A shop tool is still in the socket',
    words: (f) =>
      `Socket ${f.socket} still holds a shop tool; shop tools never leave with a patient.`,
    wayOut: () => 'Take the dummy or tooling plate out and record the move.',
  }),
  'bin-only-from-here': entry<{ item: string; place: string }>({
    rule: 'R2',
    kind: 'rule',
    title: 'Quarantined things go back to a bin or to scrap',
    words: (f) => `${f.item} is in quarantine and cannot go to ${f.place}.`,
    wayOut: () => 'Release it to a bin with a reason, or scrap it.',
  }),
  'nothing-to-transfer': entry<{ socket: string }>({
    rule: 'R2',
    kind: 'invalid',
    title: 'The transfer names an item that the socket does not hold',
    words: (f) => `Socket ${f.socket} does not hold one of the items named.`,
    wayOut: () => 'Read what the old socket holds and name those items.',
  }),
  'place-name-taken': entry<{ name: string }>({
    rule: null,
    kind: 'conflict',
    title: 'A place of that name exists',
    words: (f) => `There is a place called ${f.name} already.`,
    wayOut: () => 'Choose another name.',
  }),
  'serial-differs-in-case': entry<{ part: string; serial: string; other: string }>({
    rule: 'R1',
    kind: 'rule',
    title: 'Serials that differ only in their capitals',
    words: (f) =>
      `${f.part} serial ${f.serial} differs from ${f.other} only in capital and small letters; both are kept.`,
    wayOut: () =>
      'Compare both pieces with their labels. If it is one piece received twice, scrap the second entry with a note.',
  }),
  'serial-already-received': entry<{ part: string; serials: readonly string[] }>({
    rule: 'R1',
    kind: 'conflict',
    title: 'Serial number already received',
    words: (f) => `A ${f.part} with one of these serials is in the book: ${f.serials.join(', ')}.`,
    wayOut: () => 'Read the label again; each piece is received once.',
  }),
};
