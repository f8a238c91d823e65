/**
 * A patient's whole record as one JSON document, written section by section. Its schema is
 * features/rights/patientRecord.ts; who asked, why, and to whom it is handed stands in the record.
 */
import { z } from 'zod';
import { onWire } from '../../domain/patientRecord/columns.ts';
import { PATIENT_RECORD_VERSION, type RecordRow } from '../../domain/patientRecord/document.ts';
import { SECTIONS } from '../../domain/patientRecord/index.ts';
import { NOT_IN_PATIENT_RECORD, WITHHELD_COLUMNS } from '../../domain/patientRecord/leftOut.ts';
import { valuesKept } from '../../domain/seals.ts';
import { lastSeq } from '../../store/changesSince.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { patientEvents, sectionRows, whoIsWho } from '../../store/patientRecord.ts';
import { kindOf, type Step } from './kinds.ts';

/** Rows of one step; of photos fewer, for each may have a megabyte. Common practice, no source. */
const PAGE = 500;
const PHOTOS = 4;

const Asked = z.object({
  patientId: z.string(),
  chartNumber: z.string(),
  // Gone where something of the patient was erased meanwhile.
  reason: z.string().default(''),
  handedTo: z.string().default(''),
});
type Asked = z.infer<typeof Asked>;

const Position = z.object({
  phase: z.enum(['head', 'rows', 'events']),
  section: z.int(),
  after: z.string().nullable(),
  upTo: z.int(),
  afterSeq: z.int(),
  rows: z.int(),
  events: z.int(),
  /** Ids of the people that were named so far. */
  people: z.array(z.string()),
});
type Position = z.infer<typeof Position>;

export const patientExport = kindOf({
  kind: 'patient_export',
  contentType: 'application/json; charset=utf-8',
  fileName: 'patient-record.json',
  asked: Asked,
  position: Position,
  begin: {
    phase: 'head',
    section: 0,
    after: null,
    upTo: 0,
    afterSeq: 0,
    rows: 0,
    events: 0,
    people: [],
  },
  step: (act, asked, { position }) => {
    if (position.phase === 'head') return head(act, asked, position);
    return position.phase === 'rows' ? rows(act, asked, position) : events(act, asked, position);
  },
});

async function head(act: Act, asked: Asked, so: Position): Promise<Step<Position>> {
  const { id, name, timeZone, retentionYears } = await loadClinic(act.tx, act.clinicId);
  const upTo = await lastSeq(act.tx, act.clinicId);
  const { patientId, chartNumber, reason, handedTo } = asked;
  const begin = {
    format: 'castbook-patient-record',
    version: PATIENT_RECORD_VERSION,
    madeAt: act.at.toISOString(),
    clinic: { id, name, timeZone, retentionYears },
    patientId,
    chartNumber,
    reason,
    handedTo,
    askedBy: act.by.printedName,
    withheld: Object.entries({ ...NOT_IN_PATIENT_RECORD, ...WITHHELD_COLUMNS }).map(
      ([what, why]) => `${what}: ${why}`,
    ),
  };
  return {
    total: null,
    done: 0,
    position: { ...so, phase: 'rows', upTo },
    piece: { body: `${JSON.stringify(begin).slice(0, -1)},\n"sections":{` },
  };
}

async function rows(act: Act, { patientId }: Asked, so: Position): Promise<Step<Position>> {
  const section = SECTIONS[so.section];
  if (section === undefined) {
    return {
      total: null,
      done: so.rows,
      position: { ...so, phase: 'events' },
      piece: { body: '},\n"events":[' },
    };
  }
  const limit = section === 'photo' ? PHOTOS : PAGE;
  const page = await sectionRows(act, section, patientId, so.after, limit);
  const ends = page.length < limit;
  const opens = so.after === null;
  const body = [
    opens ? `${so.section === 0 ? '' : ','}\n${JSON.stringify(onWire(section))}:[` : '',
    page
      .map(({ row }, at) => `${opens && at === 0 ? '' : ','}\n${JSON.stringify(withLineEnds(row))}`)
      .join(''),
    ends ? ']' : '',
  ].join('');
  return {
    total: null,
    done: so.rows + page.length,
    position: {
      ...so,
      section: ends ? so.section + 1 : so.section,
      after: ends ? null : (page.at(-1)?.key ?? null),
      rows: so.rows + page.length,
      people: named(
        so.people,
        page.map(({ row }) => row),
      ),
    },
    piece: { body },
  };
}

/** PostgreSQL breaks base64 into lines. */
const withLineEnds = (row: RecordRow): RecordRow =>
  typeof row['bytes'] === 'string' ? { ...row, bytes: row['bytes'].replaceAll('\n', '') } : row;

async function events(act: Act, asked: Asked, so: Position): Promise<Step<Position>> {
  const { patientId, chartNumber } = asked;
  const { upTo, afterSeq } = so;
  const page = await patientEvents(act, patientId, { after: afterSeq, upTo, limit: PAGE });
  const lines = page.map(({ at, sealed, ...event }) => ({
    ...event,
    at: at.toISOString(),
    opened: valuesKept(sealed ?? {}),
  }));
  const so2: Position = {
    ...so,
    afterSeq: page.at(-1)?.seq ?? afterSeq,
    events: so.events + page.length,
    people: named(so.people, page),
  };
  const body = lines
    .map((line, at) => `${so.events === 0 && at === 0 ? '' : ','}\n${JSON.stringify(line)}`)
    .join('');
  const done = so2.rows + so2.events;
  if (page.length === PAGE) return { total: null, done, position: so2, piece: { body } };
  const people = await whoIsWho(act, so2.people);
  const end = { rows: so2.rows, events: so2.events, upToEvent: upTo };
  act.record({
    kind: 'patient.record_exported',
    subjectKind: 'patient',
    subjectId: patientId,
    data: { chartNumber, ...end, version: PATIENT_RECORD_VERSION },
  });
  return {
    total: done,
    done,
    position: so2,
    piece: {
      body: `${body}],\n"people":${JSON.stringify(people)},\n"end":${JSON.stringify(end)}}\n`,
    },
    summary: { rows: so2.rows, events: so2.events, upToEvent: upTo },
  };
}

/** Columns that name a person of the clinic. */
const NAMES_A_PERSON = /(?:ById|personId|prosthetistId|secondPersonId)$/i;

function named(
  so: readonly string[],
  rows: readonly Readonly<Record<string, unknown>>[],
): string[] {
  const ids = new Set(so);
  for (const row of rows) {
    for (const [column, value] of Object.entries(row)) {
      if (typeof value === 'string' && NAMES_A_PERSON.test(column)) ids.add(value);
    }
  }
  return [...ids];
}
