/**
 * What would be signed: each signed act has a sister route that takes the same body without
 * the signature, does the act up to the signature, rolls it back, and answers what would have
 * been signed, or what stands against the act. One mechanism for all signed acts, and no
 * second account of their content that could drift from what is signed.
 */
import { z } from 'zod';
import { ASKS, OnlyAsked, type Signer, type ToSign as Shown } from '../access/signatures.ts';
import type { SignedIn } from '../access/tokens.ts';
import { SIGNATURE_MEANINGS } from '../domain/words.ts';
import { perform, type Act } from '../store/act.ts';
import type { Store } from '../store/open.ts';
import type { Schema } from './api.ts';

export const ToSign = z
  .object({
    meaning: z.enum(SIGNATURE_MEANINGS),
    printedName: z.string().describe('Of the signer, as it would stand under it.'),
    content: z
      .record(z.string(), z.unknown())
      .describe('All that the signature would vouch for, as it stands at this moment.'),
    contentSha256: z
      .string()
      .describe(
        'SHA-256 (hex) of the content as RFC 8785 canonical JSON; send it with the signature.',
      ),
  })
  .meta({ id: 'ToSign' });

interface SignedRoute {
  readonly name: string;
  readonly url: string;
  readonly summary: string;
  readonly body?: Schema | undefined;
}

/** The name, address, words and body of the sister of a signed act. */
export function sisterOf({ name, url, summary, body }: SignedRoute) {
  if (!(body instanceof z.ZodObject)) throw new Error(`${name}: what is signed comes in an object`);
  return {
    name: `${name}ToSign`,
    url: `${url}/to-sign`,
    summary: `What would be signed: ${summary.charAt(0).toLowerCase()}${summary.slice(1)}`,
    description:
      'Judges the act and answers its exact content with its hash; nothing is written. Show it to the signer, and send the hash with the signature.',
    body: body.omit({ signature: true }) as Schema,
  };
}

/** Does the act up to its signature, and undoes it. @throws Refused as the act itself would be */
export async function askWhatWouldBeSigned(
  store: Store,
  caller: SignedIn,
  at: Date,
  work: (act: Act, signer: Signer) => Promise<unknown>,
): Promise<Shown> {
  try {
    await perform(store, caller, at, async (act) => {
      await work(act, ASKS);
      throw new TypeError('a signed act that signs nothing');
    });
  } catch (ended) {
    if (ended instanceof OnlyAsked) return ended.toSign;
    throw ended;
  }
  throw new TypeError('unreachable: the work above always ends by throwing');
}
