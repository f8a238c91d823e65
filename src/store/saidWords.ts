/** What was said on the telephone, as it is kept: encrypted like the number itself. */
import type { Act } from './act.ts';
import type { Cell } from './columnCipher.ts';

type Columns = Pick<Act, 'clinicId' | 'cipher'>;
/** A text of a row that is kept encrypted. */
type Place = Pick<Cell, 'table' | 'column' | 'rowId'>;

export const keptText = (act: Columns, place: Place, text: string | null): string | null =>
  text === null ? null : act.cipher.encryptFor({ ...place, clinicId: act.clinicId }, text);

/** @throws Refused 'column-key-missing', 'column-value-broken' */
export const openText = (act: Columns, place: Place, kept: string | null): string | null =>
  kept === null ? null : act.cipher.decryptFor({ ...place, clinicId: act.clinicId }, kept);
