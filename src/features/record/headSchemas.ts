/** Signed heads, keys and proofs on the wire. */
import { z } from 'zod';
import { HEAD_CAUSES, KEY_ENTRIES } from '../../domain/signedHeads.ts';
import { dayOut, instantOut } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

const sha256 = () => z.string().describe('SHA-256 in lower-case hexadecimal.');
const number = () => z.coerce.number().int().min(1).max(2_147_483_647);

export const SignedHeadView = z
  .object({
    number: z.int().describe('1, 2, 3 … in the clinic.'),
    treeSize: z.int().describe('Events 1 to this are under it.'),
    rootSha256: sha256().describe('Root of the RFC 9162 tree over them.'),
    chainSha256: sha256().describe('Chain value of the last of them.'),
    signedAt: instantOut(),
    day: dayOut().describe('The clinic’s day.'),
    cause: z.enum(HEAD_CAUSES),
    askedBy: z.string().nullable().describe('Who asked; null for the daily one.'),
    keyId: z.string(),
    previousHeadSha256: z.string().nullable(),
    headSha256: sha256().describe(
      'Of the canonical JSON of `signature` and statement; the next head names it.',
    ),
    statement: z.string().describe('What is signed: RFC 8785 canonical JSON, to the byte.'),
    signature: z.string().describe('Ed25519 over the UTF-8 of `statement`, base64.'),
  })
  .meta({ id: 'SignedHead' });
export type SignedHeadView = z.input<typeof SignedHeadView>;

export const HeadPage = pageOf(SignedHeadView)
  .extend({
    signing: z
      .boolean()
      .describe('Whether the service has a key, and so signs a head each day of the clinic.'),
  })
  .meta({ id: 'SignedHeadPage' });
export const HeadQuery = z.strictObject(pageQuery);
export type HeadQuery = z.output<typeof HeadQuery>;
export const HeadParams = z.strictObject({ number: number() });

export const SigningKeyList = z
  .object({
    items: z.array(
      z.object({
        number: z.int(),
        keyId: z.string().describe('RFC 7638 thumbprint.'),
        jwk: z.object({
          kty: z.literal('OKP'),
          crv: z.literal('Ed25519'),
          x: z.string(),
          kid: z.string(),
          use: z.literal('sig'),
          alg: z.literal('EdDSA'),
        }),
        pem: z.string().describe('SubjectPublicKeyInfo (RFC 8410).'),
        validFrom: instantOut(),
        afterHead: z.int().describe('It signs the heads after this number, until the next key.'),
        entry: z
          .enum(KEY_ENTRIES)
          .describe(
            '`rotation`: signed in by the key before. `lost`: that one was lost, and vouches for nothing.',
          ),
        previousKeyId: z.string().nullable(),
        statement: z.string(),
        ownSignature: z.string(),
        previousSignature: z.string().nullable(),
      }),
    ),
  })
  .meta({ id: 'SigningKeyList' });
export type SigningKeyList = z.input<typeof SigningKeyList>;

export const InclusionQuery = z.strictObject({
  event: z.coerce.number().int().min(1).max(Number.MAX_SAFE_INTEGER).describe('Its number.'),
});
export const InclusionProof = z
  .object({
    head: SignedHeadView,
    event: z.int(),
    leafSha256: sha256().describe('The event’s own hash: what the leaf holds, as 32 raw bytes.'),
    proof: z.array(z.string()).describe('RFC 9162, 2.1.3: from the leaf upward, in hexadecimal.'),
  })
  .meta({ id: 'InclusionProof' });
export type InclusionProof = z.input<typeof InclusionProof>;

export const ConsistencyQuery = z.strictObject({
  from: number().describe('Number of an earlier head.'),
});
export const ConsistencyProof = z
  .object({
    from: SignedHeadView,
    to: SignedHeadView,
    proof: z.array(z.string()).describe('RFC 9162, 2.1.4, in hexadecimal.'),
  })
  .meta({ id: 'ConsistencyProof' });
export type ConsistencyProof = z.input<typeof ConsistencyProof>;
