/** The chain of events on the wire, as whoever verifies it needs it. */
import { z } from 'zod';
import { CHAIN_FAULTS } from '../../domain/eventChain.ts';
import { HEAD_FINDINGS } from '../../domain/signedHeads.ts';
import { instantOut } from '../../http/fields.ts';

const seq = () => z.int().min(0).max(Number.MAX_SAFE_INTEGER);
const sha256 = () => z.string().regex(/^[0-9a-f]{64}$/, 'a SHA-256 in lower-case hexadecimal');

export const RecordHead = z
  .object({
    seq: seq().describe('Number of the newest event; 0 where there is none.'),
    chainSha256: sha256().describe('Its chain value.'),
    at: instantOut().describe('When this was asked.'),
  })
  .meta({ id: 'RecordHead' });

/** Events of a page: one page is hashed in a blink, and a million events are a thousand pages. */
const EVENTS = { byDefault: 500, most: 1000 };

export const ChainQuery = z.strictObject({
  after: z.coerce
    .number()
    .int()
    .min(0)
    .max(Number.MAX_SAFE_INTEGER)
    .default(0)
    .describe('Events after this number.'),
  limit: z.coerce.number().int().min(1).max(EVENTS.most).default(EVENTS.byDefault),
});

const Leaf = z
  .object({
    at: z.string(),
    clinicId: z.string(),
    data: z.record(z.string(), z.unknown()),
    id: z.string(),
    kind: z.string(),
    orderId: z.string().nullable(),
    personId: z.string().nullable(),
    subjectId: z.string(),
    subjectKind: z.string(),
  })
  .describe('What is hashed, as RFC 8785 canonical JSON, to make `leafSha256`.');

const ChainedEvent = z.object({
  seq: seq(),
  leaf: Leaf.nullable().describe(
    'Null where an older event holds personal values open that the reader’s role does not see.',
  ),
  leafSha256: z.string(),
  chainSha256: z.string().describe('SHA-256 of the chain value before and `leafSha256`.'),
  opened: z
    .record(z.string(), z.object({ salt: z.string(), value: z.unknown() }))
    .describe('Sealed personal values that the reader’s role sees, by path in `data`.'),
  erased: z
    .record(z.string(), z.uuid())
    .describe(
      'Sealed values that were erased, by path in `data`, each with the erasure that says when, by whom and why. Their seals stay, and the chain with them.',
    ),
  notOpened: z
    .array(z.string())
    .describe('Paths of the sealed values that the reader’s role does not see.'),
  notOpenedFits: z
    .boolean()
    .describe('Whether these fit their seals, as the service itself found.'),
});

const ErasureTold = z.object({
  id: z.uuid(),
  at: instantOut(),
  by: z.string().describe('Printed name of who confirmed it.'),
  askedBy: z.string(),
  why: z.string(),
  legalBasis: z.string(),
});

export const ChainPage = z
  .object({
    items: z.array(ChainedEvent),
    erasures: z.array(ErasureTold).describe('The erasures that are named in these events.'),
  })
  .meta({ id: 'ChainPage' });
export type ChainPage = z.input<typeof ChainPage>;

export const VerificationToNote = z
  .strictObject({
    from: seq().describe('The event after which it was verified; 0 for all.'),
    to: seq().describe('Up to which event all was well.'),
    chainSha256: sha256().describe('The chain value there, as it was recomputed.'),
    fault: z
      .strictObject({ seq: seq(), kind: z.enum(CHAIN_FAULTS) })
      .nullable()
      .describe('The first thing that was wrong.'),
    signedHead: z
      .strictObject({ number: seq(), found: z.enum(HEAD_FINDINGS) })
      .optional()
      .describe('What was found of a signed head, where the verification passed its records.'),
  })
  .refine(({ from, to }) => from <= to, {
    message: 'what was verified ends no earlier than it began',
    path: ['to'],
  })
  .meta({ id: 'VerificationToNote' });
export type VerificationToNote = z.output<typeof VerificationToNote>;

export const VerificationNoted = z.object({ at: instantOut() }).meta({ id: 'VerificationNoted' });
