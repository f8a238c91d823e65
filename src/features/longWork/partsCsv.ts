/** The catalogue's parts as CSV: read into lines by column, and each line into a part or its faults. */
import { CsvError, parse } from 'csv-parse/sync';
import { judgeDeviceIdentifier } from '../../domain/deviceIdentifier.ts';
import { judgePartEntry } from '../../domain/partEntry.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { RequestInvalid } from '../../http/problems.ts';
import { parseParts } from '../../http/validation.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { PartToAdd } from '../catalogue/schemas.ts';

/** One import is checked and entered as a whole; a catalogue has some hundred parts. Common practice, no source. */
export const MOST_LINES = 2_000;

export const PART_COLUMNS = Object.keys(PartToAdd.shape);
const NEEDED = ['kind', 'catalogueNumber', 'name'];
const NUMBERS = new Set(['ratedBodyMassKg', 'leastClicks', 'serviceIntervalDays', 'rangeDeg']);
const YES_OR_NO = new Map([
  ['yes', true],
  ['true', true],
  ['no', false],
  ['false', false],
]);

/** A line of the file with the number that an editor shows for it, and its cells by column. */
export interface CsvLine {
  readonly line: number;
  readonly cells: Readonly<Record<string, string>>;
}

/**
 * Reads the text as RFC 4180, line ends of any kind; empty cells are left out, empty lines passed over.
 * @throws Refused 'import-not-csv', 'import-columns-wrong', 'import-length-wrong'
 */
export function readPartsCsv(text: string): CsvLine[] {
  const rows = rowsOf(text);
  const [header, ...rest] = rows;
  const columns = (header?.record ?? []).map((column) => column.trim());
  const unknown = columns.filter(
    (column, at) => !PART_COLUMNS.includes(column) || columns.indexOf(column) !== at,
  );
  const missing = NEEDED.filter((column) => !columns.includes(column));
  if (unknown.length > 0 || missing.length > 0) {
    refuseIfAny([
      reason('import-columns-wrong', { unknown, missing, columns: PART_COLUMNS }, '/csv'),
    ]);
  }
  if (rest.length === 0 || rest.length > MOST_LINES) {
    const facts = { lines: rest.length, limit: MOST_LINES };
    refuseIfAny([reason('import-length-wrong', facts, '/csv')]);
  }
  return rest.map(({ record, line }) => ({
    line,
    cells: Object.fromEntries(
      columns.flatMap((column, at) => {
        const cell = (record[at] ?? '').trim();
        return cell === '' ? [] : [[column, cell]];
      }),
    ),
  }));
}

interface Row {
  readonly record: readonly string[];
  readonly line: number;
}

function rowsOf(text: string): Row[] {
  try {
    const rows = parse(text, {
      bom: true,
      info: true,
      skip_empty_lines: true,
      max_record_size: 20_000,
    }) as unknown as { record: string[]; info: { lines: number } }[];
    return rows.map(({ record, info: { lines } }) => ({
      record,
      // csv-parse counts the line that a record ends in; one with line ends in its cells began before.
      line: lines - record.join('').split(/\r\n|\n|\r/).length + 1,
    }));
  } catch (failure) {
    if (!(failure instanceof CsvError)) throw failure;
    const line = Number((failure as { lines?: unknown }).lines ?? 1);
    const why = WHY[failure.code] ?? 'it is no line of a table';
    refuseIfAny([reason('import-not-csv', { line, why }, '/csv')]);
    throw failure;
  }
}

const WHY: Readonly<Partial<Record<string, string>>> = {
  CSV_RECORD_INCONSISTENT_FIELDS_LENGTH: 'it has more or fewer cells than the first line',
  CSV_QUOTE_NOT_CLOSED: 'a quote is opened and not closed',
  CSV_INVALID_CLOSING_QUOTE: 'something stands between a closing quote and the next comma',
  INVALID_OPENING_QUOTE: 'a quote stands inside a cell that has none around it',
  CSV_MAX_RECORD_SIZE: 'it is longer than any part; a quote may be open',
};

/** A part, or everything against its line. */
export type Judged =
  | { readonly part: PartToAdd; readonly faults?: undefined }
  | { readonly part?: undefined; readonly faults: readonly Reason[] };

/** Judges one line by itself, by the very schema and rules of a part that is typed. */
export function judgeLine({ cells }: CsvLine): Judged {
  const body = Object.fromEntries(
    Object.entries(cells).map(([column, cell]) => [column, valueOf(column, cell)]),
  );
  try {
    const { body: checked } = parseParts(
      { body: PartToAdd },
      { body, query: undefined, path: undefined, header: undefined },
    );
    const part = checked as PartToAdd;
    const faults = [...judgePartEntry(part), ...judgeDeviceIdentifier(part)];
    return faults.length > 0 ? { faults } : { part };
  } catch (failure) {
    if (!(failure instanceof RequestInvalid)) throw failure;
    return { faults: failure.faults.map(({ reason: each }) => each) };
  }
}

/** What is no figure and no yes or no stays as it was typed, and the schema says so. */
function valueOf(column: string, cell: string): string | number | boolean {
  if (NUMBERS.has(column) && /^-?\d+(?:\.\d+)?$/.test(cell)) return Number(cell);
  if (column === 'singleUse') return YES_OR_NO.get(cell.toLowerCase()) ?? cell;
  return cell;
}
