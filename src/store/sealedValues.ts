/**
 * What is sealed in an event (domain/seals.ts) lies beside it value by value, each encrypted by
 * itself: so one of them can be erased while the others stay.
 */
import { z } from 'zod';
import type { JsonValue } from '../domain/canonical.ts';
import type { KeptValue, SealedValue } from '../domain/seals.ts';
import type { Cell, ColumnCipher } from './columnCipher.ts';

const json = z.json() as z.ZodType<JsonValue>;
const Opened = z.object({ salt: z.string(), value: json });

/** The column `event.sealed`: by path the value with its salt, encrypted, or which erasure took it; null where nothing is sealed. */
export const KeptSealed = z
  .record(z.string(), z.union([z.string(), z.object({ erased: z.string() })]))
  .nullable();
export type KeptSealed = z.infer<typeof KeptSealed>;

/** Where a sealed value stands. */
export const sealedCell = (clinicId: string, eventId: string, path: string): Cell => ({
  table: 'event',
  column: `sealed.${path}`,
  clinicId,
  rowId: eventId,
});

/** The salts are encrypted too: with them a telephone number is found by trying them all. */
export const encryptSealed = (
  cipher: ColumnCipher,
  of: { readonly clinicId: string; readonly eventId: string },
  values: Readonly<Record<string, SealedValue>>,
): Readonly<Record<string, string>> =>
  Object.fromEntries(
    Object.entries(values).map(([path, value]) => [
      path,
      cipher.encryptFor(sealedCell(of.clinicId, of.eventId, path), JSON.stringify(value)),
    ]),
  );

/** @throws Refused 'column-key-missing', 'column-value-broken' where a value does not open */
export const openSealed = (
  cipher: ColumnCipher,
  of: { readonly clinicId: string; readonly eventId: string },
  kept: KeptSealed,
): Readonly<Record<string, KeptValue>> | null =>
  kept &&
  Object.fromEntries(
    Object.entries(kept).map(([path, value]): [string, KeptValue] => [
      path,
      typeof value === 'string'
        ? Opened.parse(
            JSON.parse(cipher.decryptFor(sealedCell(of.clinicId, of.eventId, path), value)),
          )
        : value,
    ]),
  );
