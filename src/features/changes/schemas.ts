import { z } from 'zod';

/** The data of each kind of message on the stream. */
export const CHANGE_MESSAGES = {
  change: z.strictObject({
    subjectKind: z.string(),
    subjectId: z.string(),
    orderId: z.string().nullable(),
    state: z.string().nullable(),
  }),
  listening: z.strictObject({}),
  again: z.strictObject({}),
  interrupted: z.strictObject({}),
  ended: z.strictObject({ why: z.enum(['token-expired', 'sign-in-ended', 'stopping']) }),
} as const;
export type ChangeMessages = typeof CHANGE_MESSAGES;
export type EndedBecause = z.infer<ChangeMessages['ended']>['why'];

export const STREAM_DESCRIPTION = [
  'Server-sent events (HTML Living Standard) of what is committed in the clinic, whichever process did it; ids only, what is behind them is read with the routes of its subject.',
  '`change`: an event of the record; `id` is its number in the clinic’s chain, data has `subjectKind`, `subjectId` and `orderId`. A long work’s progress comes without `id`, with its `state`.',
  '`listening`: from here on nothing is left out; `id` is the last event before it. `again`: more happened than was told, read everything again. `interrupted`: nothing is heard for now, `again` follows.',
  '`ended`, with `why`: `token-expired` (come back with a fresh token; also where the person’s roles have changed), `sign-in-ended`, `stopping` (come back in a moment).',
  'Come back with `Last-Event-ID`, and what was missed is told first, or `again`. A comment is sent now and then so that both ends know of each other. Who does not read is cut off.',
].join('\n\n');
