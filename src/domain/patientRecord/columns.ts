/** What a section of the record is: its words, and its columns with what each holds. */

/** What a column holds on the wire; a question mark where it may be null. */
type Bare =
  'id' | 'ids' | 'text' | 'texts' | 'number' | 'flag' | 'day' | 'instant' | 'json' | 'base64';
export type ColumnKind = Bare | `${Bare}?`;

export interface SectionOf {
  /** In words of the patient. */
  readonly says: string;
  /** By the name in the table; on the wire in camel case. */
  readonly columns: Readonly<Record<string, ColumnKind>>;
}

/** `mass_kg` as it stands on the wire: `massKg`. */
export const onWire = (column: string): string =>
  column.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
