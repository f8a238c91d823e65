/**
 * What was recorded at the bench and arrives later, because the network was away.
 *
 * Such a record says when it was made and what its maker had before the eyes. It never
 * overrules what others did meanwhile: evidence (R4, R7) counts only where every move to
 * and from its positions was known when it was taken, which is told by the ids of the
 * moves and not by clocks; a record is refused where a newer one of the same kind is there.
 */
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** Clocks of phones and of the service may differ by so much. Common practice, no source. */
export const CLOCK_TOLERANCE_S = 120;
/** A long weekend without a network. Common practice, no source. */
export const RECORDED_AT_MOST_HOURS_AGO = 72;

const MS_PER_MINUTE = 60_000;
const MS_PER_HOUR = 60 * MS_PER_MINUTE;

/**
 * When a record was made, as its maker says.
 * @param at when it arrives
 * @returns that instant, at the latest `at`; or 'recorded-in-future', 'recorded-long-ago'
 */
export function judgeRecordedAt(recordedAt: Date, at: Date): Verdict<Date> {
  const ahead = recordedAt.getTime() - at.getTime();
  if (ahead > CLOCK_TOLERANCE_S * 1000) {
    return refused([
      reason('recorded-in-future', { minutesAhead: ahead / MS_PER_MINUTE }, '/recordedAt'),
    ]);
  }
  const hoursAgo = -ahead / MS_PER_HOUR;
  if (hoursAgo > RECORDED_AT_MOST_HOURS_AGO) {
    const greatestHours = RECORDED_AT_MOST_HOURS_AGO;
    return refused([reason('recorded-long-ago', { hoursAgo, greatestHours }, '/recordedAt')]);
  }
  return granted(ahead > 0 ? at : recordedAt);
}

/** A move to or from one of the positions that evidence is about; the instant in words. */
export interface Touch {
  readonly moveId: string;
  readonly item: string;
  readonly movedBy: string;
  readonly movedAt: string;
}

/**
 * 'moved-since-recorded' where a move touched the positions that whoever took the evidence
 * did not know of; of several the newest is told. Moves known but not on record are ignored:
 * nothing is gained by naming them.
 * @param touches every move to and from the positions up to now, the oldest first
 * @param known ids of those that were seen, and of one's own
 * @param recordedAt in words
 */
export function judgeUntouched(
  touches: readonly Touch[],
  known: ReadonlySet<string>,
  recordedAt: string,
): Reason[] {
  const foreign = touches.findLast(({ moveId }) => !known.has(moveId));
  if (foreign === undefined) return [];
  const { item, movedBy, movedAt } = foreign;
  return [reason('moved-since-recorded', { item, movedBy, movedAt, recordedAt })];
}

/** Something recorded about the same work; its instant in words. */
export interface RecordedByOthers {
  readonly attempt: number;
  readonly personId: string;
  readonly by: string;
  readonly at: string;
}

/**
 * 'recorded-since' where somebody else recorded an attempt that was not known. One's own
 * arrive in the order in which they were recorded, and are known.
 * @param records the oldest first
 * @param attemptsKnown how many attempts were seen
 */
export function judgeAttemptsKnown(
  what: string,
  records: readonly RecordedByOthers[],
  attemptsKnown: number,
  personId: string,
): Reason[] {
  const foreign = records.findLast(
    (record) => record.attempt > attemptsKnown && record.personId !== personId,
  );
  return foreign === undefined
    ? []
    : [reason('recorded-since', { what, by: foreign.by, at: foreign.at })];
}

/** Whether a record arrived so much later than it was made that both times are worth telling. */
export const arrivedLater = (recordedAt: Date | null, arrivedAt: Date): boolean =>
  recordedAt !== null && arrivedAt.getTime() - recordedAt.getTime() >= CLOCK_TOLERANCE_S * 1000;
