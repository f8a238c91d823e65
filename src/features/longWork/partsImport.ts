/**
 * Parts from a CSV file: every line is looked at first, a hundred a step, and told with what is
 * wrong in it. Only where nothing is wrong anywhere, and it was asked, are all entered, at once.
 */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { devicesTaken, insertParts, numbersTaken } from '../../store/partsImport.ts';
import { resolveByPart } from '../../store/partDrafts.ts';
import { Refused } from '../../store/refused.ts';
import type { PartToAdd } from '../catalogue/schemas.ts';
import { csvLines, type CsvCell } from '../trace/csv.ts';
import { kindOf } from './kinds.ts';
import { judgeLine, type CsvLine } from './partsCsv.ts';

/** Lines of one step. Common practice, no source. */
const LINES_A_STEP = 100;

const Line = z.object({ line: z.int(), cells: z.record(z.string(), z.string()) });
const Asked = z.object({ lines: z.array(Line), enter: z.boolean() });

const HEADER = ['line', 'catalogueNumber', 'outcome', 'field', 'wrong', 'whatToDo'];

export const partsImport = kindOf({
  kind: 'parts_import',
  contentType: 'text/csv; charset=utf-8',
  fileName: 'parts-checked.csv',
  asked: Asked,
  position: z.object({ wrong: z.int() }),
  begin: { wrong: 0 },
  step: async (act, { lines, enter }, { position, done }) => {
    if (done === lines.length) return enterAll(act, lines, done);
    const page = lines.slice(done, done + LINES_A_STEP);
    const told = await judgePage(act, lines, page);
    const wrong = position.wrong + told.filter(({ faults }) => faults.length > 0).length;
    const so = done + page.length;
    const goesOn = so < lines.length || (enter && wrong === 0);
    return {
      total: lines.length,
      done: so,
      position: { wrong },
      piece: { body: csvLines([...(done === 0 ? [HEADER] : []), ...told.flatMap(cellsOf)]) },
      ...(goesOn ? {} : { summary: { lines: lines.length, wrong, entered: 0 } }),
    };
  },
});

interface Told {
  readonly line: CsvLine;
  readonly faults: readonly Reason[];
}

const cellsOf = ({ line: { line, cells }, faults }: Told): CsvCell[][] => {
  const begin = [line, cells['catalogueNumber'] ?? null];
  if (faults.length === 0) return [[...begin, 'fits', null, null, null]];
  return faults.map((fault) => [
    ...begin,
    'wrong',
    fault.field?.slice(1) ?? null,
    fault.detail,
    fault.wayOut,
  ]);
};

/** A page's lines, each by itself, against the others of the file, and against the catalogue. */
async function judgePage(
  act: Act,
  all: readonly CsvLine[],
  page: readonly CsvLine[],
): Promise<Told[]> {
  const firstOf = firstLines(all);
  const taken = {
    numbers: await numbersTaken(
      act,
      page.flatMap(({ cells }) => cells['catalogueNumber'] ?? []),
    ),
    devices: await devicesTaken(
      act,
      page.flatMap(({ cells }) => cells['udiDeviceIdentifier'] ?? []),
    ),
  };
  return page.map((line) => {
    const { faults = [], part } = judgeLine(line);
    return {
      line,
      faults: [
        ...faults,
        ...twice(line, firstOf),
        ...(part === undefined ? [] : againstCatalogue(part, taken)),
      ],
    };
  });
}

const deviceOf = ({ cells }: CsvLine): string | undefined =>
  cells['udiIssuer'] === undefined || cells['udiDeviceIdentifier'] === undefined
    ? undefined
    : `${cells['udiIssuer']} ${cells['udiDeviceIdentifier']}`;

/** The line that first has each number and each device. */
function firstLines(lines: readonly CsvLine[]): ReadonlyMap<string, number> {
  const first = new Map<string, number>();
  for (const line of lines) {
    const keys = [
      `number ${line.cells['catalogueNumber'] ?? ''}`,
      `device ${deviceOf(line) ?? ''}`,
    ];
    for (const key of keys) if (!first.has(key)) first.set(key, line.line);
  }
  return first;
}

function twice(line: CsvLine, firstOf: ReadonlyMap<string, number>): Reason[] {
  return (
    [
      ['catalogueNumber', 'number', line.cells['catalogueNumber']],
      ['udiDeviceIdentifier', 'device', deviceOf(line)],
    ] as const
  ).flatMap(([field, key, value]) => {
    if (value === undefined) return [];
    const firstLine = firstOf.get(`${key} ${value}`) ?? line.line;
    return firstLine === line.line
      ? []
      : [reason('import-line-twice', { field, value, firstLine }, `/${field}`)];
  });
}

function againstCatalogue(
  { catalogueNumber, udiIssuer, udiDeviceIdentifier }: PartToAdd,
  taken: { readonly numbers: ReadonlySet<string>; readonly devices: ReadonlySet<string> },
): Reason[] {
  const reasons: Reason[] = [];
  if (taken.numbers.has(catalogueNumber)) {
    reasons.push(reason('catalogue-number-taken', { catalogueNumber }, '/catalogueNumber'));
  }
  if (
    udiIssuer !== null &&
    udiDeviceIdentifier !== null &&
    taken.devices.has(`${udiIssuer} ${udiDeviceIdentifier}`)
  ) {
    const facts = { issuer: udiIssuer, deviceIdentifier: udiDeviceIdentifier };
    reasons.push(reason('udi-device-taken', facts, '/udiDeviceIdentifier'));
  }
  return reasons;
}

/** All of them, in one statement; the events and the drafts that wait for such a device with them. */
async function enterAll(act: Act, lines: readonly CsvLine[], done: number) {
  const parts = lines.map((line) => {
    const { part } = judgeLine(line);
    if (part === undefined) throw new Error(`line ${String(line.line)} fitted before`);
    return { id: uuidv7(), ...part };
  });
  try {
    await insertParts(act, parts);
  } catch (failure) {
    throw takenMeanwhile(failure) ?? failure;
  }
  for (const { id, ...part } of parts) {
    act.record({ kind: 'part.added', subjectKind: 'part', subjectId: id, data: { ...part } });
    await resolveByPart(act, part, id);
  }
  return {
    total: done,
    done,
    position: { wrong: 0 },
    summary: { lines: lines.length, wrong: 0, entered: parts.length },
  };
}

/** Somebody typed one of them in between the look and the entry: nothing is entered then. */
function takenMeanwhile(failure: unknown): Refused | undefined {
  const facts = { catalogueNumber: 'that the file has' };
  if (isUniqueClash(failure, 'catalogue_number') || isUniqueClash(failure, 'one_of_a')) {
    return new Refused([reason('catalogue-number-taken', facts, '/csv')], { cause: failure });
  }
  return undefined;
}
