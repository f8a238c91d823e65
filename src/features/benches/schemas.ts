import { z } from 'zod';
import { text, uuid, version } from '../../http/fields.ts';

const name = text(60);
const people = z.int().describe('How many people work at it at a time, 1 to 50.');
const active = z.boolean().describe('False: no route may name it any more.');

export const BenchToAdd = z.strictObject({ name, people }).meta({ id: 'BenchToAdd' });
export type BenchToAdd = z.output<typeof BenchToAdd>;

export const BenchChange = z
  .strictObject({ name, people, active })
  .partial()
  .meta({ id: 'BenchChange' });
export type BenchChange = z.output<typeof BenchChange>;

export const BenchView = z
  .object({ id: uuid(), name, people, active, version: version() })
  .meta({ id: 'Bench' });
export type BenchView = z.input<typeof BenchView>;
export const Benches = z.object({ items: z.array(BenchView) }).meta({ id: 'Benches' });
export type Benches = z.input<typeof Benches>;
