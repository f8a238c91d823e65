/**
 * Operations: the steps of the work on one socket. Each is done in its route's
 * order, answers its checks, and where the record can bear it out, the record
 * must (the dummy is really out, the joint is really torqued).
 */
import { parseOrderLink } from './orderLink.ts';
import { parseOrderNumber } from './orderNumber.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import type { BatchKind, OperationState, SocketKind } from './words.ts';

/** What a kind of operation is for, what the record must show before it is done, and what it changes. */
interface OperationKindRule {
  readonly sockets: readonly SocketKind[];
  /** The facts that must be on record; see `BORNE_OUT_BY`. */
  readonly needs: readonly FactNeeded[];
  /** What saying done changes on the socket or cast. */
  readonly effect: 'cured' | 'chamber_inspected' | 'model_broken_out' | null;
}

export const FACTS_NEEDED = [
  'dummy_in',
  'dummy_out',
  'hardware_in',
  'joints_confirmed',
  'lock_checked',
  'alignment_measured',
  'model_not_needed',
  'layup_approved',
  'resin_weighed',
] as const;
export type FactNeeded = (typeof FACTS_NEEDED)[number];

export const OPERATION_KINDS = {
  prepare_model: { sockets: ['check', 'definitive'], needs: [], effect: null },
  thermoform: { sockets: ['check'], needs: [], effect: null },
  trim_edges: { sockets: ['check', 'definitive'], needs: [], effect: null },
  fit_hardware: { sockets: ['check', 'definitive'], needs: ['hardware_in'], effect: null },
  seal_model: { sockets: ['definitive'], needs: [], effect: null },
  mount_dummy: { sockets: ['definitive'], needs: ['dummy_in'], effect: null },
  lay_up: { sockets: ['definitive'], needs: ['layup_approved'], effect: null },
  laminate: { sockets: ['definitive'], needs: ['resin_weighed'], effect: null },
  cure: { sockets: ['definitive'], needs: [], effect: 'cured' },
  grind_flush: { sockets: ['definitive'], needs: [], effect: null },
  pull_dummy: { sockets: ['definitive'], needs: ['dummy_out'], effect: null },
  break_out_model: {
    sockets: ['check', 'definitive'],
    needs: ['model_not_needed'],
    effect: 'model_broken_out',
  },
  inspect_chamber: {
    sockets: ['definitive'],
    needs: ['dummy_out'],
    effect: 'chamber_inspected',
  },
  check_lock: { sockets: ['check', 'definitive'], needs: ['lock_checked'], effect: null },
  torque_joints: {
    sockets: ['check', 'definitive'],
    needs: ['joints_confirmed'],
    effect: null,
  },
  measure_alignment: {
    sockets: ['check', 'definitive'],
    needs: ['alignment_measured'],
    effect: null,
  },
  finish: { sockets: ['check', 'definitive'], needs: [], effect: null },
} as const satisfies Record<string, OperationKindRule>;
export type OperationKind = keyof typeof OPERATION_KINDS;
export const OPERATION_KIND_NAMES = Object.keys(OPERATION_KINDS) as [
  OperationKind,
  ...OperationKind[],
];

/** A question that an operation asks when it is done. `key` names the answer. */
export type Check =
  | { readonly kind: 'yes_no'; readonly key: string; readonly ask: string }
  | {
      readonly kind: 'measured';
      readonly key: string;
      readonly ask: string;
      readonly unit: string;
      readonly min: number | null;
      readonly max: number | null;
    }
  | {
      readonly kind: 'batch';
      readonly key: string;
      readonly ask: string;
      readonly batchKind: BatchKind;
      readonly amountAsked: boolean;
    }
  | { readonly kind: 'note'; readonly key: string; readonly ask: string }
  | { readonly kind: 'second_person'; readonly key: string; readonly ask: string }
  | {
      readonly kind: 'scan';
      readonly key: string;
      readonly ask: string;
      /** Of the order's own traveller: another order's is refused. Of anything else: kept as it was read. */
      readonly of: ScanOf;
    }
  | { readonly kind: 'photo'; readonly key: string; readonly ask: string };

export const SCANS_OF = ['traveller', 'anything'] as const;
export type ScanOf = (typeof SCANS_OF)[number];

export const CHECK_KINDS = [
  'yes_no',
  'measured',
  'batch',
  'note',
  'second_person',
  'scan',
  'photo',
] as const;

export type Answer =
  | boolean
  | number
  | string
  | { readonly batchId: string; readonly amount?: number | undefined }
  | { readonly personId: string }
  | { readonly scan: string }
  | { readonly photoIds: readonly string[] };

export type Answers = Readonly<Record<string, Answer>>;

const EXPECTS: Record<Check['kind'], string> = {
  yes_no: 'true or false',
  measured: 'a number',
  batch: 'a batch ({ batchId, amount })',
  note: 'words',
  second_person: 'a person ({ personId })',
  scan: 'what the code says ({ scan })',
  photo: 'at least one picture ({ photos })',
};

function answerFits(check: Check, answer: Answer): boolean {
  switch (check.kind) {
    case 'yes_no':
      return typeof answer === 'boolean';
    case 'measured':
      return typeof answer === 'number' && Number.isFinite(answer);
    case 'batch':
      return (
        typeof answer === 'object' &&
        'batchId' in answer &&
        (!check.amountAsked || (answer.amount !== undefined && answer.amount > 0))
      );
    case 'note':
      return typeof answer === 'string' && answer.trim() !== '';
    case 'second_person':
      return typeof answer === 'object' && 'personId' in answer;
    case 'scan':
      return typeof answer === 'object' && 'scan' in answer && answer.scan.trim() !== '';
    case 'photo':
      return typeof answer === 'object' && 'photoIds' in answer && answer.photoIds.length > 0;
  }
}

/** The number of an order that a traveller's code, or a number typed from it, names; else what was read. */
function orderScanned(scanned: string): string {
  const link = parseOrderLink(scanned);
  const number = link.ok ? link : parseOrderNumber(scanned);
  return number.ok ? number.value : scanned.slice(0, 40);
}

/** What a complete answer says against doing this operation to this socket at all. */
function answerAgainst(
  facts: Pick<OperationFacts, 'title' | 'orderNumber'>,
  check: Check,
  answer: Answer,
  recordedBy: string,
): Reason | undefined {
  const field = `/answers/${check.key}`;
  if (typeof answer !== 'object') return undefined;
  if ('personId' in answer && answer.personId === recordedBy) {
    return reason('second-person-is-the-same', { operation: facts.title }, field);
  }
  if (check.kind === 'scan' && check.of === 'traveller' && 'scan' in answer) {
    const scanned = orderScanned(answer.scan);
    if (scanned !== facts.orderNumber) {
      const order = facts.orderNumber;
      return reason('scan-of-another-order', { check: check.ask, order, scanned }, field);
    }
  }
  return undefined;
}

const limitsOf = (min: number | null, max: number | null, unit: string): string => {
  if (min !== null && max !== null) return `${min} to ${max} ${unit}`;
  return min !== null ? `at least ${min} ${unit}` : `at most ${max} ${unit}`;
};

/** What stops the operation although the answers are complete: a no, or a value outside its limits. */
function stopsAt(check: Check, answer: Answer): Reason[] {
  if (check.kind === 'yes_no' && answer === false) {
    return [reason('check-answered-no', { check: check.ask })];
  }
  if (check.kind === 'measured' && typeof answer === 'number') {
    const low = check.min !== null && answer < check.min;
    const high = check.max !== null && answer > check.max;
    if (low || high) {
      return [
        reason('check-out-of-limits', {
          check: check.ask,
          value: answer,
          limits: limitsOf(check.min, check.max, check.unit),
        }),
      ];
    }
  }
  return [];
}

export interface OperationFacts {
  readonly title: string;
  /** Of the order that the socket is made under, as printed. */
  readonly orderNumber: string;
  readonly kind: OperationKind;
  readonly state: OperationState;
  readonly checks: readonly Check[];
  /** Earlier operations of the socket that are not done or left out, first first. */
  readonly earlierOpen: readonly { readonly title: string; readonly state: OperationState }[];
  /** For each fact that the record does not show yet, what is missing, in words. */
  readonly missingFacts: Partial<Record<FactNeeded, string>>;
  /** What the record says against it although the answers are complete: it stops the operation. */
  readonly stops?: readonly Reason[];
}

/** Of a socket's operations, those that come before one and are neither done nor left out. */
export const earlierOpen = <T extends { readonly seq: number; readonly state: OperationState }>(
  operations: readonly T[],
  seq: number,
): T[] =>
  operations.filter((each) => each.seq < seq && each.state !== 'done' && each.state !== 'left_out');

/** Everything against working on an operation now: it is over, stopped, or others come first. */
export function notItsTurn({
  title: operation,
  state,
  earlierOpen: open,
}: Pick<OperationFacts, 'title' | 'state' | 'earlierOpen'>): Reason[] {
  if (state === 'done') return [reason('operation-already-done', { operation })];
  if (state === 'stopped') return [reason('operation-stopped', { operation })];
  if (state === 'left_out') return [reason('operation-left-out', { operation })];
  return open.map((earlier) =>
    reason('earlier-operation-open', { operation, earlier: earlier.title, state: earlier.state }),
  );
}

export interface OperationOutcome {
  readonly outcome: 'done' | 'stopped';
  readonly because: readonly Reason[];
  readonly effect: OperationKindRule['effect'];
}

/**
 * Judges one attempt to say that an operation is done.
 * @returns the outcome: `stopped` keeps the answers and opens a finding; or
 *   every reason why nothing can be recorded (wrong order, checks unanswered,
 *   facts not on record).
 */
export function judgeOperation(
  facts: OperationFacts,
  answers: Answers,
  recordedBy: string,
): Verdict<OperationOutcome> {
  const operation = facts.title;
  const against = notItsTurn(facts);
  if (facts.state !== 'waiting') return refused(against);
  for (const need of OPERATION_KINDS[facts.kind].needs) {
    const missing = facts.missingFacts[need];
    if (missing !== undefined) {
      against.push(reason('facts-do-not-bear-it-out', { operation, missing }));
    }
  }
  const asked = new Set(facts.checks.map((check) => check.key));
  for (const key of Object.keys(answers)) {
    if (!asked.has(key)) {
      against.push(reason('check-unknown', { operation, key }, `/answers/${key}`));
    }
  }
  const because: Reason[] = [...(facts.stops ?? [])];
  for (const check of facts.checks) {
    const answer = Object.hasOwn(answers, check.key) ? answers[check.key] : undefined;
    const field = `/answers/${check.key}`;
    if (answer === undefined) {
      against.push(reason('check-unanswered', { operation, check: check.ask }, field));
    } else if (!answerFits(check, answer)) {
      against.push(
        reason('check-answer-misfits', { check: check.ask, expects: EXPECTS[check.kind] }, field),
      );
    } else {
      const wrong = answerAgainst(facts, check, answer, recordedBy);
      if (wrong === undefined) because.push(...stopsAt(check, answer));
      else against.push(wrong);
    }
  }
  if (against.length > 0) return refused(against);
  return granted({
    outcome: because.length === 0 ? 'done' : 'stopped',
    because,
    effect: because.length === 0 ? OPERATION_KINDS[facts.kind].effect : null,
  });
}
