import { whenInWords } from '../dayWords.ts';
import { entry } from './reason.ts';

/** A kind of operation as people say it. */
const named = (kind: string): string => kind.replaceAll('_', ' ');

/** Refusals about the clinic's catalogue: parts, settings, routes, shop tools, batches. */
export const CATALOGUE_REASONS = {
  'rating-missing': entry<{ part: string; kind: string }>({
    rule: 'R3',
    kind: 'invalid',
    title: 'A part that carries the wearer states its rated body mass',
    words: (f) => `${f.part} is a ${f.kind.replaceAll('_', ' ')} without a rated body mass.`,
    wayOut: () => "Enter the rating from the part's own label, in kilograms.",
  }),
  'part-field-misfits': entry<{ kind: string; field: string; haveIt: readonly string[] }>({
    rule: 'R3',
    kind: 'invalid',
    title: 'The kind of part does not have this',
    words: (f) =>
      `A ${f.kind.replaceAll('_', ' ')} has no ${f.field}; a ${f.haveIt.join(' or a ').replaceAll('_', ' ')} has.`,
    wayOut: (f) => `Leave ${f.field} out.`,
  }),
  'catalogue-number-taken': entry<{ catalogueNumber: string }>({
    rule: null,
    kind: 'conflict',
    title: 'Catalogue number already used',
    words: (f) => `Another part of the catalogue has number ${f.catalogueNumber}.`,
    wayOut: () => 'Open that part, or check the number.',
  }),
  'setting-not-for-this-part': entry<{ joint: string; kind: string; carriers: readonly string[] }>({
    rule: 'R4',
    kind: 'invalid',
    title: 'This part does not carry the setting of that joint',
    words: (f) =>
      `The setting of joint ${f.joint} stands with ${f.carriers.join(' or ')}, not with a ${f.kind}.`,
    wayOut: () => 'Enter it with the part that carries it.',
  }),
  'route-operation-misplaced': entry<{ operation: string; socketKind: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Not an operation of this kind of socket',
    words: (f) => `A ${f.socketKind} socket has no operation “${named(f.operation)}”.`,
    wayOut: () => 'Leave it out, or write the route for the other kind of socket.',
  }),
  'route-lacks-operation': entry<{ socketKind: string; operation: string }>({
    rule: 'R6',
    kind: 'rule',
    title: 'The route lacks an operation',
    words: (f) => `A ${f.socketKind} socket's route needs “${named(f.operation)}”.`,
    wayOut: (f) => `Add “${named(f.operation)}” where it belongs.`,
  }),
  'route-order-wrong': entry<{ operation: string; after: string }>({
    rule: 'R6',
    kind: 'rule',
    title: 'Operations in the wrong order',
    words: (f) => `“${named(f.operation)}” comes after “${named(f.after)}”.`,
    wayOut: () => 'Change the order of the two.',
  }),
  'route-operation-twice': entry<{ operation: string }>({
    rule: 'R6',
    kind: 'rule',
    title: 'An operation that a route has once',
    words: (f) => `The route has “${named(f.operation)}” more than once.`,
    wayOut: () =>
      'Leave the second out: recipe, cups and cure are those of one lamination; one that is done again is a finding with rework.',
  }),
  'route-check-twice': entry<{ operation: string; key: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Two checks with one key',
    words: (f) => `“${f.operation}” has key ${f.key} twice.`,
    wayOut: () => 'Give each check of an operation a key of its own.',
  }),
  'route-limits-wrong': entry<{ check: string; min: number | null; max: number | null }>({
    rule: null,
    kind: 'invalid',
    title: 'Limits that no value meets',
    words: (f) => `“${f.check}” runs from ${f.min ?? 'nothing'} to ${f.max ?? 'nothing'}.`,
    wayOut: () => 'Give a least or a greatest value, the least not above the greatest.',
  }),
  'route-bench-unknown': entry<{ operation: string; bench: string }>({
    rule: null,
    kind: 'invalid',
    title: 'No such bench is in use',
    words: (f) => `“${f.operation}” is done at ${f.bench}; no bench in use is called so.`,
    wayOut: () => 'Name a bench of the clinic, or enter it first.',
  }),
  'bench-name-taken': entry<{ name: string }>({
    rule: null,
    kind: 'conflict',
    title: 'A bench has this name',
    words: (f) => `There is a bench ${f.name}.`,
    wayOut: () => 'Give this one a name of its own.',
  }),
  'tool-name-taken': entry<{ name: string }>({
    rule: null,
    kind: 'conflict',
    title: 'A shop tool has this name',
    words: (f) => `There is a shop tool ${f.name}.`,
    wayOut: () => 'Give this one a name of its own, as it stands on its label.',
  }),
  'tool-range-upside-down': entry<{ minNm: number; maxNm: number }>({
    rule: 'R4',
    kind: 'invalid',
    title: 'The range of the torque tool has no sense',
    words: (f, m) =>
      `The tool's range runs from ${m.torque.of(f.minNm)} to ${m.torque.of(f.maxNm)} ${m.torque.unit}.`,
    wayOut: () => 'Enter the least and the greatest torque on the tool, in that order.',
  }),
  'tool-is-not-for-torque': entry<{ tool: string; kind: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'Only torque tools are calibrated',
    words: (f) => `${f.tool} is a ${f.kind.replaceAll('_', ' ')}.`,
    wayOut: () => 'Name the torque tool of the certificate.',
  }),
  'tool-service-unchanged': entry<{ tool: string; outOfService: boolean }>({
    rule: null,
    kind: 'conflict',
    title: 'The shop tool is so already',
    words: (f) => `${f.tool} is ${f.outOfService ? 'out of service' : 'in service'} already.`,
    wayOut: () => 'Nothing to do.',
  }),
  'day-order-wrong': entry<{ what: string; day: string; earliest: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Days in the wrong order',
    words: (f) => `${f.what} is ${whenInWords(f.day)}, before ${whenInWords(f.earliest)}.`,
    wayOut: () => 'Check both days.',
  }),
  'lot-taken': entry<{ kind: string; lot: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The lot is in the book',
    words: (f) => `There is a ${f.kind.replaceAll('_', ' ')} batch of lot ${f.lot}.`,
    wayOut: () => 'Go on with that batch; a further delivery of one lot gets its own suffix.',
  }),
  'batch-already-open': entry<{ lot: string; openedOn: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The batch is open',
    words: (f) => `Batch ${f.lot} was opened on ${whenInWords(f.openedOn)}.`,
    wayOut: () => 'Nothing to do.',
  }),
  'batch-already-quarantined': entry<{ lot: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The batch is in quarantine already',
    words: (f) => `Batch ${f.lot} is in quarantine.`,
    wayOut: () => 'Nothing to do.',
  }),
};
