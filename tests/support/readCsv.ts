import { parse } from 'csv-parse/sync';

/** CSV by a reader that did not write it: lines end in CRLF only, as RFC 4180 has it. */
export const readCsv = (text: string): Record<string, string>[] =>
  parse<Record<string, string>>(text, { columns: true, record_delimiter: '\r\n' });
