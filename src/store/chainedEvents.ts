/** Events with what shows that they were not altered, as they lie in the record. */
import { z } from 'zod';
import { Prisma } from '../generated/prisma/client.ts';
import { KeptSealed } from './sealedValues.ts';

export const ChainedEventRow = z.object({
  seq: z.number(),
  id: z.string(),
  at: z.date(),
  personId: z.string().nullable(),
  kind: z.string(),
  subjectKind: z.string(),
  subjectId: z.string(),
  orderId: z.string().nullable(),
  data: z.record(z.string(), z.json()),
  sealed: KeptSealed,
  leafSha256: z.string(),
  chainSha256: z.string(),
});
export type ChainedEventRow = z.infer<typeof ChainedEventRow>;

/** The columns of such a row, of the table `event`. */
export const CHAINED_EVENT = Prisma.raw(
  `seq::float8 as seq, id, at, person_id as "personId", kind, subject_kind as "subjectKind",
  subject_id as "subjectId", order_id as "orderId", data, sealed, leaf_sha256 as "leafSha256", chain_sha256 as "chainSha256"`,
);
