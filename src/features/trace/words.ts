/** Rows of the timeline and counts of a recall in words of the bench, for lists, CSV and paper. */
import type { TraceRow } from '../../store/traceTold.ts';
import { workedOut } from './benchWords.ts';
import { photosWords } from '../../documents/words.ts';
import { after, plain } from './plain.ts';
import type { RecallView } from './schemas.ts';

/** What happened, without when, where and who: these have columns of their own. */
export function whatHappened(row: TraceRow): string {
  switch (row.kind) {
    case 'order':
      return `order opened: ${row.details.side}, ${plain(row.details.level)}, ${plain(row.details.suspension)}`;
    case 'cast':
      return `cast ${row.details.number} taken (${row.details.method})`;
    case 'stage':
      return `stage ${plain(row.details.toStage)}${after(' from ', row.details.fromStage && plain(row.details.fromStage))}${after(': ', row.details.why)}`;
    case 'socket':
      return `${row.details.socketKind} socket started from cast ${row.details.castNumber}${after(', replaces ', row.details.replaces)}`;
    case 'move':
      return `${row.details.thing} ${plain(row.details.reason)}: ${row.details.from ?? 'new'} → ${row.details.to}${after(' (', row.details.note)}${row.details.note === null ? '' : ')'}`;
    case 'operation':
      return `${row.details.title}: ${plain(row.details.outcome)}, attempt ${row.details.attempt}${after(', with ', row.details.secondPerson)}${photosAfter(photosOf(row.details.results).length)}`;
    case 'batch_use':
      return `${plain(row.details.batchKind)} ${row.details.name} lot ${row.details.lot}${row.details.amount === null ? '' : `, ${row.details.amount} ${row.details.unit}`}${after(' for ', row.details.usedFor && plain(row.details.usedFor))}`;
    case 'measures':
    case 'volume_decision':
    case 'layup':
    case 'recipe':
    case 'weighing':
    case 'part_draft':
      return workedOut(row);
    case 'torque':
      return torqued(row);
    case 'lock_check':
      return row.details.passes
        ? `lock check passed, least ${row.details.leastClicks} clicks`
        : `lock check not passed: ${row.details.because.map((why) => why.detail).join(' ')}`;
    case 'alignment':
      return `alignment (${plain(row.details.occasion)}): flexion ${row.details.flexionDeg}°, adduction ${row.details.adductionDeg}°, anterior ${row.details.anteriorOffsetMm} mm, lateral ${row.details.lateralOffsetMm} mm`;
    case 'fitting':
      return `fit ${row.details.outcome}${after(': ', row.details.reasons.length === 0 ? null : row.details.reasons.map(plain).join(', '))}${after('; next: ', row.details.nextStep && plain(row.details.nextStep))}`;
    case 'finding':
      return row.details.step === 'opened'
        ? `finding ${plain(row.details.findingKind)}: ${row.details.note}${photosAfter(row.details.photoIds.length)}`
        : `finding ${plain(row.details.findingKind)} closed: ${plain(row.details.disposition ?? '')}${after(', ', row.details.dispositionReason)}`;
    case 'delivery':
      return `delivered, received by ${plain(row.details.receivedByRelation)}`;
    case 'service':
      return row.details.step === 'opened'
        ? `service visit (${plain(row.details.serviceKind)}): ${row.details.note}`
        : `service visit closed${after(': ', row.details.outcome)}`;
    case 'signature':
      return `signed: ${plain(row.details.meaning)} (${plain(row.details.subjectKind)})`;
    case 'calibration':
      return `${row.details.tool} calibrated: certificate ${row.details.certificate}, ${row.details.laboratory}`;
  }
}

/** Ids of the photos among the answers of an attempt. */
const photosOf = (results: Readonly<Record<string, unknown>>): readonly string[] =>
  Object.values(results).flatMap((answer) =>
    typeof answer === 'object' && answer !== null && 'photoIds' in answer
      ? (answer.photoIds as readonly string[])
      : [],
  );

/** That there are photos, on paper too; what they show stands on the pages. */
const photosAfter = (count: number): string =>
  count === 0 ? '' : ` (${photosWords(count)} on record)`;

const UNIT_WORDS = { 'N.m': 'N·m', 'lbf.in': 'lbf·in', 'lbf.ft': 'lbf·ft' } as const;

/** Only the last reading of each fastener is told in words; `details` has every pass. */
function torqued({ details }: Extract<TraceRow, { kind: 'torque' }>): string {
  const readings = details.readings
    .filter((reading) => reading.final)
    .map((reading) => `${reading.fastener}: ${reading.value} ${UNIT_WORDS[reading.unit]}`)
    .join(', ');
  const with_ = `${details.tool.name}, certificate ${details.calibration.certificate}${after(', threadlocker lot ', details.threadlocker?.lot ?? null)}`;
  return `joint ${plain(details.joint)} ${details.confirms ? 'confirmed' : 'not confirmed'} (${readings}) with ${with_}`;
}

const callCounts = ({ calls }: RecallView): (readonly [string, string])[] => [
  ['wearers reached', String(calls.reached)],
  ['wearers still to be reached', String(calls.left)],
];

/** The counts of a recall as words and figures, for CSV and paper. */
export function countsOf(recall: RecallView): (readonly [string, string])[] {
  if (recall.kind === 'batch') {
    const { unit, quantity } = recall.batch;
    return [
      ['received', `${quantity} ${unit}`],
      ['used, as recorded', `${recall.used} ${unit}`],
      ['uses without an amount', String(recall.usesWithoutAmount)],
      ['left by the book', `${recall.leftByBook} ${unit}`],
      ['reconciles', { true: 'yes', false: 'no', null: 'cannot be told' }[`${recall.reconciles}`]],
      ['sockets worn', String(recall.counts.worn)],
      ['sockets in work', String(recall.counts.inWork)],
      ['sockets no longer used', String(recall.counts.inRetired)],
      ...callCounts(recall),
    ];
  }
  const { counts } = recall;
  return [
    ['received', String(recall.received)],
    ['worn', String(counts.worn)],
    ['in work', String(counts.inWork)],
    ['in sockets no longer used', String(counts.inRetired)],
    ['on the bench', String(counts.bench)],
    ['in bins', String(counts.bins)],
    ['at receiving', String(counts.receiving)],
    ['in quarantine', String(counts.quarantine)],
    ['scrapped', String(counts.scrap)],
    ['accounted for', String(recall.accountedFor)],
    ['reconciles', recall.reconciles ? 'yes' : 'no'],
    ...callCounts(recall),
    ...recall.unclear.map((id) => ['unclear piece', id] as const),
  ];
}

/** Given and family name where the reader may see them. */
export const nameOf = (patient: {
  readonly givenName?: string | undefined;
  readonly familyName?: string | undefined;
}): string | null =>
  patient.givenName === undefined || patient.familyName === undefined
    ? null
    : `${patient.givenName} ${patient.familyName}`;

/** A call on one line: when, by whom, how it ended. */
export const callWords = (call: RecallView['wearers'][number]['calls'][number]): string =>
  `${call.calledAt.toISOString()} ${call.calledBy}: ${plain(call.outcome)}${after(', ', call.note)}`;
