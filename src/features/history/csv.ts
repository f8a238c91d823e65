/** A history as CSV: one line for each field that changed, and one for what else was said. */
import { SUBJECT_WORDS, type SubjectKind } from '../../domain/eventKinds.ts';
import { fieldWords } from '../../domain/fieldWords.ts';
import { writeCsv, type CsvCell } from '../trace/csv.ts';
import type { HistoryView } from './schemas.ts';
import { valueWords } from './words.ts';

const HEADER = [
  'record',
  'at',
  'who',
  'kind',
  'what',
  'about',
  'field',
  'before',
  'after',
  'said',
] as const;

export function historyCsv({ items, names, next }: HistoryView): string {
  const lines = items.flatMap((entry): CsvCell[][] => {
    const about = SUBJECT_WORDS[entry.subjectKind as SubjectKind] as string | undefined;
    const head = [
      entry.seq,
      entry.at.toISOString(),
      entry.by,
      entry.kind,
      entry.words,
      `${about ?? entry.subjectKind} ${names[entry.subjectId] ?? entry.subjectId}`,
    ];
    const told = [
      ...entry.changes.map(({ field, before, after }) => [
        fieldWords(field),
        valueWords(before, names),
        valueWords(after, names),
        null,
      ]),
      ...entry.facts.map(({ field, value }) => [
        fieldWords(field),
        null,
        null,
        valueWords(value, names),
      ]),
      ...entry.withheld.map((field) => [fieldWords(field), null, null, 'not shown to this role']),
    ];
    return (told.length === 0 ? [[null, null, null, null]] : told).map((cells) => [
      ...head,
      ...cells,
    ]);
  });
  if (next !== null) {
    const cut = `There are older entries than the ${items.length} of this file.`;
    lines.push([null, null, null, 'cut', cut, null, null, null, null, null]);
  }
  return writeCsv(HEADER, lines);
}
