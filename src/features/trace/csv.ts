/**
 * Trace and recall as CSV: RFC 4180 (comma, CRLF, doubled quotes, a header line),
 * UTF-8 without a byte order mark. A text cell that a spreadsheet would take for a
 * formula (it begins with = + - @, tab or carriage return) gets an apostrophe in
 * front; numbers keep their sign. The JSON of the same question has the text as it is.
 */
import { stringify } from 'csv-stringify/sync';
import { correctedWords } from '../../domain/corrections.ts';
import type { Corrected } from '../rights/corrected.ts';
import { plain } from './plain.ts';
import type { RecallView } from './schemas.ts';
import type { Trace } from './service.ts';
import { callWords, countsOf, nameOf } from './words.ts';

export type CsvCell = string | number | boolean | null;

/** Lines under a header. */
export const writeCsv = (
  header: readonly string[],
  lines: readonly (readonly CsvCell[])[],
): string => csvLines([header, ...lines]);

/** Lines that go on where others ended. */
export const csvLines = (lines: readonly (readonly CsvCell[])[]): string =>
  stringify(
    lines.map((line) => [...line]),
    {
      record_delimiter: 'windows',
      escape_formulas: true,
      cast: { boolean: (value) => (value ? 'yes' : 'no') },
    },
  );

const TRACE_HEADER = [
  'at',
  'kind',
  'what',
  'from',
  'to',
  'socket',
  'order',
  'chartNumber',
  'who',
  'recordId',
  'details',
  'corrected',
];

/** The timeline, one line a row; where it was cut, the last line says so and how to go on. */
export function traceCsv({ rows, next }: Trace): string {
  const lines = rows.map((row): CsvCell[] => [
    row.at.toISOString(),
    row.kind,
    row.what,
    row.kind === 'move' ? row.details.from : null,
    row.kind === 'move' ? row.details.to : null,
    row.socketNumber,
    row.orderNumber,
    row.chartNumber,
    row.who,
    row.recordId,
    JSON.stringify(row.details),
    correctedCell(row.corrections),
  ]);
  if (next !== null) {
    lines.push([
      null,
      'cut',
      `There are more rows than the ${rows.length} of this file: ask again with after=${next}`,
      ...TRACE_HEADER.slice(3).map(() => null),
    ]);
  }
  return writeCsv(TRACE_HEADER, lines);
}

export const RECALL_HEADER = [
  'section',
  'chartNumber',
  'initials',
  'name',
  'phone',
  'order',
  'socket',
  'what',
  'since',
  'until',
  'called',
  'corrected',
];

/** Null where nothing was corrected. */
const correctedCell = (corrections: readonly Corrected[]): string | null =>
  corrections.length === 0
    ? null
    : corrections
        .map(
          (each) =>
            `${plain(each.subjectKind)}: ${correctedWords(each, each.correctedAt.toISOString())}`,
        )
        .join(' ');

export const recallCsv = (recall: RecallView): string =>
  writeCsv(RECALL_HEADER, recallLines(recall));

/** First the counts, then the people to call, then everything else by where it is. */
export function recallLines(recall: RecallView): CsvCell[][] {
  const line = (section: string, cells: Partial<Record<string, CsvCell>>): CsvCell[] => [
    section,
    ...RECALL_HEADER.slice(1).map((column) => cells[column] ?? null),
  ];
  return [
    ...countsOf(recall).map(([what, count]) => line('count', { what: `${what}: ${count}` })),
    ...recall.wearers.map(
      ({ patient, phone, orderNumber, socketNumber, pieces, deliveredAt, calls, corrections }) =>
        line('worn', {
          chartNumber: patient.chartNumber,
          initials: patient.initials,
          name: nameOf(patient),
          phone,
          order: orderNumber,
          socket: socketNumber,
          what: pieces.join('; '),
          since: deliveredAt?.toISOString() ?? null,
          called: calls.map(callWords).join('; '),
          corrected: correctedCell(corrections),
        }),
    ),
    ...(['inWork', 'inRetired'] as const).flatMap((station) =>
      recall[station].map((socket) =>
        line(station, {
          chartNumber: socket.chartNumber,
          order: socket.orderNumber,
          socket: socket.socketNumber,
          what: socket.pieces.join('; '),
          corrected: correctedCell(socket.corrections),
        }),
      ),
    ),
    ...recall.named.map(({ chartNumber, orderNumber, correction }) =>
      line('namedInCorrection', {
        chartNumber,
        order: orderNumber,
        what: plain(correction.subjectKind),
        corrected: correctedCell([correction]),
      }),
    ),
    ...(recall.kind === 'batch'
      ? []
      : [
          ...recall.elsewhere.map(({ label, place }) =>
            line('elsewhere', { what: `${label}: ${place}` }),
          ),
          ...recall.passedThrough.map((stay) =>
            line('passedThrough', {
              chartNumber: stay.chartNumber,
              order: stay.orderNumber,
              socket: stay.socketNumber,
              what: `${stay.thing}, ${stay.position}`,
              since: stay.enteredAt.toISOString(),
              until: stay.leftAt?.toISOString() ?? null,
            }),
          ),
          ...(recall.passedThroughCut
            ? [
                line('cut', {
                  what: `There are more stays than the ${recall.passedThrough.length} given: ask part by part.`,
                }),
              ]
            : []),
        ]),
  ];
}
