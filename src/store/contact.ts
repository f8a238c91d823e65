/**
 * How a patient is reached, as it is kept: encrypted, beside keyed digests of the number's
 * endings, by which it is found. Without the key nobody can tell more of a number than that two
 * patients' numbers end alike.
 */
import type { Act } from './act.ts';
import type { ColumnCipher } from './columnCipher.ts';

type Columns = Pick<Act, 'clinicId' | 'cipher'>;

const cell = ({ clinicId }: Columns, column: 'phone' | 'address', patientId: string) => ({
  table: 'patient',
  column,
  clinicId,
  rowId: patientId,
});

/** What is kept of a telephone number; `phone` may be null. */
export const keptPhone = (
  act: Columns,
  patientId: string,
  phone: string | null,
): { phone: string | null; phoneDigests: string[] } => ({
  phone: phone === null ? null : act.cipher.encryptFor(cell(act, 'phone', patientId), phone),
  phoneDigests: phone === null ? [] : phoneDigests(act.cipher, act.clinicId, phone),
});

export const keptAddress = (
  act: Columns,
  patientId: string,
  address: string | null,
): string | null =>
  address === null ? null : act.cipher.encryptFor(cell(act, 'address', patientId), address);

/** @throws Refused 'column-key-missing', 'column-value-broken' */
export const openPhone = (act: Columns, patientId: string, kept: string | null): string | null =>
  kept === null ? null : act.cipher.decryptFor(cell(act, 'phone', patientId), kept);

/** @throws Refused 'column-key-missing', 'column-value-broken' */
export const openAddress = (act: Columns, patientId: string, kept: string | null): string | null =>
  kept === null ? null : act.cipher.decryptFor(cell(act, 'address', patientId), kept);

/** What a row says of a patient, with the number readable. */
export const withOpenPhone = <
  Row extends { readonly patientId: string; readonly phone: string | null },
>(
  act: Columns,
  row: Row,
): Row => ({ ...row, phone: openPhone(act, row.patientId, row.phone) });

const USE = 'patient.phone';
const LEAST_DIGITS = 3;
/** ITU-T E.164: a number has 15 digits at most. Longer ones are found by their last 15. */
const MOST_DIGITS = 15;

const digitsOf = (text: string): string => text.replace(/\D/g, '').slice(-MOST_DIGITS);

/** Digests of all endings of a number under the present key, each of three digits at least. */
export function phoneDigests(cipher: ColumnCipher, clinicId: string, phone: string): string[] {
  const digits = digitsOf(phone);
  const endings = Array.from({ length: Math.max(0, digits.length - LEAST_DIGITS + 1) }, (_, at) =>
    digits.slice(at),
  );
  return endings.flatMap((ending) => cipher.digestsOf(USE, clinicId, ending).slice(0, 1));
}

/** What an ending that is sought may stand as, under each key; none where it is too short. */
export const soughtDigests = ({ clinicId, cipher }: Columns, ending: string): readonly string[] => {
  const digits = digitsOf(ending);
  return digits.length < LEAST_DIGITS ? [] : cipher.digestsOf(USE, clinicId, digits);
};
