/** A history's fields and values in words, for CSV and paper. */
import { SUBJECT_WORDS } from '../../domain/eventKinds.ts';
import { fieldWords } from '../../domain/fieldWords.ts';
import { isToldErased } from '../../domain/seals.ts';
import type { HistoryEntry, HistoryView } from './schemas.ts';

/** A value as it is read: ids by their names, lists and objects as JSON. */
export function valueWords(value: unknown, names: Readonly<Record<string, string>>): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'string') return names[value] ?? value;
  if (typeof value === 'number') return String(value);
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (isToldErased(value)) return 'erased';
  if (Array.isArray(value) && value.every((each) => typeof each !== 'object' || each === null)) {
    return value.map((each) => valueWords(each, names)).join(', ');
  }
  return JSON.stringify(value);
}

/** What an entry says beside its change, line by line. */
export const entryLines = (
  entry: HistoryEntry,
  names: Readonly<Record<string, string>>,
): string[] => [
  ...entry.changes.map(
    ({ field, before, after }) =>
      `${fieldWords(field)}: ${valueWords(before, names) || 'nothing'} → ${valueWords(after, names) || 'nothing'}`,
  ),
  ...entry.facts.map(({ field, value }) => `${fieldWords(field)}: ${valueWords(value, names)}`),
  ...(entry.withheld.length === 0
    ? []
    : [`not shown to this role: ${entry.withheld.map(fieldWords).join(', ')}`]),
];

export const subjectWords = ({ subject }: Pick<HistoryView, 'subject'>): string =>
  `${SUBJECT_WORDS[subject.kind]} ${subject.name ?? subject.id}`;
