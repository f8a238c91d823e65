import { z } from 'zod';
import { SIGNATURE_MEANINGS } from '../../domain/words.ts';
import { Corrected } from '../rights/corrected.ts';
import { idOf, instantOut, uuid } from '../../http/fields.ts';

export const OrderParams = z.strictObject({ orderId: uuid() });
export const SignatureParams = z.strictObject({ signatureId: idOf('Signature') });

const SignatureInShort = z.object({
  id: uuid(),
  meaning: z.enum(SIGNATURE_MEANINGS),
  printedName: z.string(),
  signedAt: instantOut(),
  subjectKind: z.string(),
  subjectId: uuid(),
  contentSha256: z
    .string()
    .describe('SHA-256 (hex) of the RFC 8785 canonical JSON that was shown.'),
  intact: z.boolean().describe('Whether the content kept is the one that was signed.'),
  differencesSince: z
    .int()
    .min(0)
    .describe(
      'In how many places the thing signed is otherwise now; the signature is of the earlier one.',
    ),
  correctedSince: z
    .int()
    .min(0)
    .describe('How many corrections of what it vouches for were made since; each is words alone.'),
});

/** What was signed and what stands are any JSON: each meaning has a content of its own. */
const anything = () => z.unknown();

export const SignatureList = z
  .object({ items: z.array(SignatureInShort) })
  .meta({ id: 'SignatureList' });

export const SignatureView = SignatureInShort.extend({
  orderId: uuid().nullable(),
  socketId: uuid().nullable(),
  content: z.record(z.string(), anything()).describe('As it was shown and signed.'),
  withheld: z
    .array(z.string())
    .describe('Members of the content that the reader’s role does not see; the hash is of all.'),
  since: z
    .array(
      z.object({
        field: z.string(),
        of: z.string().nullable().describe('Which of several: the position, the joint.'),
        signed: anything().describe('Null where there was nothing.'),
        now: anything().describe('Null where there is nothing any more.'),
      }),
    )
    .describe('What is otherwise now. Nothing here changes what was signed.'),
  corrections: z
    .array(Corrected)
    .describe(
      'Corrections, since it was signed, of the record signed and of those it rests on. What was signed stands.',
    ),
}).meta({ id: 'Signature' });
