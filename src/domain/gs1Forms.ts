/**
 * What GS1 elements look like (C9): identifiers, lengths and character sets by the GS1
 * Barcode Syntax Dictionary, release 2026-01-27.
 */
export interface Form {
  readonly words: string;
  /** N: figures. X: the 82 characters that any system can print. */
  readonly characters: 'N' | 'X';
  readonly least: number;
  readonly most: number;
  /** Its length is laid down for good, so that it needs no separator behind it. */
  readonly predefined: boolean;
  readonly holds: 'check digit' | 'date' | 'date and hour' | 'count' | 'text';
}

/** Forms by application identifier. */
export type Forms = ReadonlyMap<string, Form>;

const fixed = (words: string, length: number, holds: Form['holds']): Form => ({
  words,
  characters: 'N',
  least: length,
  most: length,
  predefined: true,
  holds,
});
const upTo = (words: string, most: number): Form => ({
  words,
  characters: 'X',
  least: 1,
  most,
  predefined: false,
  holds: 'text',
});

/** The elements that are read. */
export const FORMS: Forms = new Map<string, Form>([
  ['01', fixed('device identifier (01)', 14, 'check digit')],
  ['10', upTo('lot (10)', 20)],
  ['11', fixed('production date (11)', 6, 'date')],
  ['17', fixed('expiry date (17)', 6, 'date')],
  ['20', fixed('variant (20)', 2, 'text')],
  ['21', upTo('serial number (21)', 20)],
  ['22', upTo('consumer variant (22)', 20)],
  ['240', upTo("maker's additional identification (240)", 30)],
  ['241', upTo("customer's part number (241)", 30)],
  ['250', upTo('secondary serial number (250)', 30)],
  ['251', upTo('reference to source (251)', 30)],
  [
    '30',
    { words: 'count (30)', characters: 'N', least: 1, most: 8, predefined: false, holds: 'count' },
  ],
  ['90', upTo('agreed information (90)', 30)],
  ...[1, 2, 3, 4, 5, 6, 7, 8, 9].map(
    (n) => [`9${n}`, upTo(`company information (9${n})`, 90)] as const,
  ),
]);

const instant = (words: string, least: number, most: number): Form => ({
  words,
  characters: 'N',
  least,
  most,
  predefined: false,
  holds: 'date and hour',
});

/**
 * Elements that are not read, but may stand on the label of a piece: where a separator
 * was lost, one of them may hide in the value before it.
 */
export const NOT_READ: Forms = new Map<string, Form>([
  ['12', fixed('due date (12)', 6, 'date')],
  ['13', fixed('packaging date (13)', 6, 'date')],
  ['15', fixed('best before (15)', 6, 'date')],
  ['16', fixed('sell by (16)', 6, 'date')],
  ...[0, 1, 2, 3, 4, 5, 6, 7].map(
    (n) => [`71${n}`, upTo(`reimbursement number (71${n})`, 20)] as const,
  ),
  ['7003', instant('expiry date and time (7003)', 10, 10)],
  ['8008', instant('production date and time (8008)', 8, 12)],
  ['8012', upTo('software version (8012)', 20)],
  ['8013', upTo('model number (8013)', 25)],
]);
