/** What a patient's record says in words: names for ids, days and instants as they are read. */
import type { JsonValue } from '../domain/canonical.ts';
import type { Day } from '../domain/days.ts';
import type { PatientRecord, RecordRow } from '../domain/patientRecord/document.ts';
import type { Section } from '../domain/patientRecord/index.ts';
import { dayWords, instantWords } from './dates.ts';
import { spoken } from './words.ts';

type Value = JsonValue | undefined;

export const rowsOf = (rows: readonly RecordRow[], column: string, id: Value): RecordRow[] =>
  rows.filter((row) => row[column] === id);

/** What a piece is, and where in a socket. */
interface Held {
  readonly position: string;
  readonly item: RecordRow;
}

export interface Sayer {
  readonly text: (value: Value) => string;
  readonly word: (value: Value) => string;
  readonly words: (value: Value) => string;
  readonly day: (value: Value) => string;
  readonly instant: (value: Value) => string;
  readonly person: (id: Value) => string;
  readonly socket: (id: Value) => string;
  readonly find: (section: Section, id: Value) => RecordRow;
  readonly sideOf: (socket: RecordRow) => string;
  readonly partOf: (item: RecordRow) => string;
  readonly lotOf: (item: RecordRow) => string;
  readonly heldBy: (socket: RecordRow) => readonly Held[];
  /** Beside what was corrected: that it was, and how. */
  readonly corrected: (row: RecordRow) => string;
  readonly correctionWords: (correction: RecordRow) => string;
}

const text = (value: Value): string =>
  typeof value === 'string' || typeof value === 'number' ? String(value) : '';
const word = (value: Value): string => spoken(text(value));

/** Says the rows of one record. */
export function sayer(record: PatientRecord): Sayer {
  const { sections, people, clinic } = record;
  const names = new Map(people.map(({ id, printedName }) => [id, printedName]));
  const byId = new Map<Section, ReadonlyMap<Value, RecordRow>>();
  const find = (section: Section, id: Value): RecordRow => {
    const rows = byId.get(section) ?? new Map(sections[section].map((row) => [row['id'], row]));
    byId.set(section, rows);
    return rows.get(id) ?? {};
  };
  const correctionWords = (row: RecordRow): string =>
    `wrong: ${text(row['wrong'])}; right: ${text(row['right'])}; why: ${text(row['why'])}`;
  const corrections = new Map<Value, RecordRow[]>();
  for (const row of sections.correction) {
    corrections.set(row['subjectId'], [...(corrections.get(row['subjectId']) ?? []), row]);
  }
  return {
    text,
    word,
    words: (value) => (Array.isArray(value) ? value.map(word).join(', ') : word(value)),
    day: (value) => (typeof value === 'string' ? dayWords(value as Day) : ''),
    instant: (value) => (typeof value === 'string' ? instantWords(value, clinic.timeZone) : ''),
    person: (id) => (typeof id === 'string' ? (names.get(id) ?? '') : ''),
    socket: (id) => text(find('socket', id)['number']),
    find,
    sideOf: (socket) => {
      const order = find('fabrication_order', socket['orderId']);
      return `${word(order['side'])}, ${word(order['level'])}`;
    },
    partOf: (item) => text(find('part', item['partId'])['name']),
    lotOf: (item) =>
      item['serial'] === null ? `lot ${text(item['lot'])}` : `serial ${text(item['serial'])}`,
    heldBy: (socket) => heldIn(record, socket, find),
    corrected: (row) =>
      (corrections.get(row['id']) ?? [])
        .map((each) => ` — corrected: ${correctionWords(each)}`)
        .join(''),
    correctionWords,
  };
}

/** Each piece whose last move went into a position of the socket. */
function heldIn(record: PatientRecord, socket: RecordRow, find: Sayer['find']): Held[] {
  const last = new Map<Value, RecordRow>();
  for (const move of record.sections.move) {
    const before = last.get(move['itemId']);
    if (before === undefined || Number(before['seq']) < Number(move['seq'])) {
      last.set(move['itemId'], move);
    }
  }
  return [...last.values()].flatMap((move) => {
    const place = find('place', move['toPlaceId']);
    if (place['socketId'] !== socket['id']) return [];
    return [{ position: word(place['position']), item: find('item', move['itemId']) }];
  });
}
