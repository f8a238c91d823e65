/** The keys that tests encrypt columns with, in the process and in the services that it starts. */
import { columnCipher, type ColumnKey } from '../../src/store/columnCipher.ts';

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
