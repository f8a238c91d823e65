/** The keys that tests encrypt columns with, in the process and in the services that it starts. */
import { columnCipher, type ColumnKey } from '../../src/store/columnCipher.ts';
import { keptPhone } from '../../src/store/contact.ts';
import { openSealed as open, type KeptSealed } from '../../src/store/sealedValues.ts';
import type { Store } from '../../src/store/open.ts';

const bytesOf = (from: number): Uint8Array =>
  Uint8Array.from({ length: 32 }, (_, at) => (from + at * 37) % 256);

export const TEST_KEYS: readonly ColumnKey[] = [{ id: 'test', bytes: bytesOf(11) }];
/** Keys that the record does not know yet, for tests of changing them. */
export const OTHER_KEYS: readonly ColumnKey[] = [
  { id: 'second', bytes: bytesOf(90) },
  { id: 'third', bytes: bytesOf(171) },
];

/** As COLUMN_KEYS has them. */
export const keysInWords = (keys: readonly ColumnKey[]): string =>
  keys.map(({ id, bytes }) => `${id}:${Buffer.from(bytes).toString('base64')}`).join(',');

export const testCipher = columnCipher(TEST_KEYS);

/** A ciphertext of no place: for rows that are only to have the right form. */
export const CIPHERTEXT = testCipher.encryptFor(
  { table: 'none', column: 'none', clinicId: 'none', rowId: 'none' },
  'nothing',
);

export type SealedValues = Readonly<Record<string, { salt: string; value: never }>>;

/** What an event keeps sealed, readable. */
export const openSealed = (clinicId: string, eventId: string, kept: KeptSealed) =>
  open(testCipher, { clinicId, eventId }, kept) as SealedValues | null;

/** Writes a patient's telephone by plain SQL, as the service would keep it. */
export const writePhone = async (
  { store, clinicId }: { readonly store: Store; readonly clinicId: string },
  patientId: string,
  phone: string,
): Promise<void> => {
  const kept = keptPhone({ clinicId, cipher: testCipher }, patientId, phone);
  await store.raw('update patient set phone = $2, phone_digests = $3 where id = $1', [
    patientId,
    kept.phone,
    kept.phoneDigests,
  ]);
};
