import { instantWords } from '../../documents/dates.ts';
import { lookedUp } from '../../access/lookUp.ts';
import { sightOf } from '../../access/sight.ts';
import { arrivedLater } from '../../domain/benchTime.ts';
import { mayTraceBy } from '../../domain/trace.ts';
import { readCursor, writeCursor } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic, type ClinicSettings } from '../../store/clinic.ts';
import { orRefuse } from '../../store/refused.ts';
import { correctionsBeside } from '../../store/corrections.ts';
import { staysOf, type Stay } from '../../store/trace.ts';
import { timeline, TraceCursor } from '../../store/traceRows.ts';
import type { TraceRow } from '../../store/traceTold.ts';
import { correctedTo, type Corrected } from '../rights/corrected.ts';
import { askedOf, subjectOf, type Asked } from './ask.ts';
import type { TraceFileQuery, TraceSubject } from './schemas.ts';
import { whatHappened } from './words.ts';

export type SaidRow = TraceRow & {
  readonly what: string;
  readonly corrections: Corrected[];
};

/** An answer of the trace. `next` is where the rows that were cut begin; null where there are none. */
export interface Trace {
  readonly asked: Asked;
  readonly subject: TraceSubject;
  readonly rows: SaidRow[];
  readonly next: string | null;
  readonly chain: Stay[];
  readonly chainCut: boolean;
}

/** How much one answer holds. A file says in itself when it was cut. Common practice, no source. */
const MOST_STAYS = 1000;
export const MOST_ROWS = { csv: 20_000, file: 20_000, pdf: 2000 } as const;

export type TraceFormat = 'json' | keyof typeof MOST_ROWS;

/**
 * Answers a question of the trace, and notes who asked what: looking into a
 * patient's record is an act of its own ('trace.read').
 * @throws Refused 'trace-needs-one-key', 'trace-key-not-yours', 'not-found', 'order-number-mistyped',
 *   'socket-number-mistyped'
 */
export async function readTrace(
  act: Act,
  query: TraceFileQuery,
  format: TraceFormat,
  limit: number,
): Promise<Trace> {
  const asked = orRefuse(askedOf(query));
  orRefuse(mayTraceBy(asked.by, act.by.roles));
  const after = readCursor(TraceCursor, query.after);
  const subject = await subjectOf(act, asked);
  const { rows, next } = await timeline(act, subject.scope, { limit, after });
  const chain = subject.stays === null ? [] : await staysOf(act, subject.stays, MOST_STAYS + 1);
  const { ids, ...about } = subject.event;
  act.record({
    kind: 'trace.read',
    ...about,
    data: { by: asked.by, ids, format, rows: rows.length, continued: after !== undefined },
  });
  if ('patient' in subject.view) {
    const { id, familyName } = subject.view.patient;
    const shown = familyName === undefined ? 'bench' : 'identity';
    const { orderId } = subject.event;
    await lookedUp(act, {
      route: 'readTrace',
      shown,
      patientIds: [id],
      ...(orderId === undefined ? {} : { orderId }),
      told: true,
    });
  }
  return {
    asked: { by: asked.by, value: subject.value },
    subject: subject.view,
    rows: await said(act, rows),
    next: next === null ? null : writeCursor(next),
    chain: chain.slice(0, MOST_STAYS),
    chainCut: chain.length > MOST_STAYS,
  };
}

/** Each row in words, with its corrections; what came later than it was recorded with both times, in the clinic's zone (R16). */
async function said(act: Act, rows: readonly TraceRow[]): Promise<SaidRow[]> {
  const late = rows.some(({ recordedAt, at }) => arrivedLater(recordedAt, at));
  const timeZone = late ? (await loadClinic(act.tx, act.clinicId)).timeZone : 'UTC';
  const words = (at: Date): string => instantWords(at.toISOString(), timeZone);
  const beside = await correctionsBeside(
    act,
    rows.map(({ recordId }) => recordId),
  );
  const told = correctedTo(await sightOf(act));
  return rows.map((row) => {
    const { recordedAt, at } = row;
    const kept =
      recordedAt !== null && arrivedLater(recordedAt, at)
        ? `; recorded on the phone ${words(recordedAt)}, arrived ${words(at)}`
        : '';
    return {
      ...row,
      what: `${whatHappened(row)}${kept}`,
      corrections: (beside.get(row.recordId) ?? []).map(told),
    };
  });
}

/** A trace with what its file or its paper says beside it. */
export async function traceForFile(
  act: Act,
  query: TraceFileQuery,
  format: keyof typeof MOST_ROWS,
): Promise<{ trace: Trace; clinic: ClinicSettings; at: Date; askedBy: string }> {
  return {
    trace: await readTrace(act, query, format, MOST_ROWS[format]),
    clinic: await loadClinic(act.tx, act.clinicId),
    at: act.at,
    askedBy: act.by.printedName,
  };
}
