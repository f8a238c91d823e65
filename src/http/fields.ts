/** Fields that the wire schemas of all subjects share. */
import { z } from 'zod';
import { RECORDED_AT_MOST_HOURS_AGO } from '../domain/benchTime.ts';
import { parseDay, type Day } from '../domain/days.ts';

/** Control characters, and halves of surrogate pairs, which no UTF-8 holds. */
const UNPRINTABLE = /[\p{Cc}\p{Cs}]/u;
/** The same, but for line feed and tab. */
const UNPRINTABLE_IN_NOTE = /[\p{Cs}]|(?![\n\t])\p{Cc}/u;

/** One line of text, 1 to `max` characters, blanks at both ends cut off. */
export const text = (max: number) =>
  z
    .string()
    .trim()
    .min(1)
    .max(max)
    .refine((value) => !UNPRINTABLE.test(value), 'one line without control characters');

/** A note of several lines, 1 to `max` characters. */
export const note = (max: number) =>
  z
    .string()
    .trim()
    .min(1)
    .max(max)
    .refine((value) => !UNPRINTABLE_IN_NOTE.test(value), 'text without control characters');

/** A UUID in lower case that names a record: `idOf('Order')`. */
export const idOf = (thing: string) =>
  z.uuid().toLowerCase().describe(`Identifies the ${thing.toLowerCase()}.`);

/** A UUID in lower case. */
export const uuid = () => z.uuid().toLowerCase();

const dayThat = (may: (written: string) => boolean, message: string) =>
  z.iso
    .date()
    .transform((written, ctx): Day => {
      const read = parseDay(written);
      if (read !== undefined && may(written)) return read;
      ctx.addIssue({ code: 'custom', message, input: written });
      return z.NEVER;
    })
    .meta({ type: 'string', format: 'date', examples: ['2026-03-01'] });

/**
 * A calendar day that exists, `YYYY-MM-DD` (R16), as it is sent: those who come to a
 * clinic were born after 1899, and nothing of theirs is planned past 2199.
 */
export const day = () =>
  dayThat(
    (written) => written >= '1900-01-01' && written <= '2199-12-31',
    'a calendar day from 1900 to 2199, YYYY-MM-DD',
  );

/** A calendar day in an answer: whatever stands in the book or on a label. */
export const dayOut = () => dayThat(() => true, 'a calendar day, YYYY-MM-DD');

/** An instant in an answer: takes a Date, goes out in UTC (R16). */
export const instantOut = () =>
  z
    .date()
    .transform((at) => at.toISOString())
    .pipe(z.iso.datetime());

/** When a person recorded what arrives only now, for the network was away. */
export const recordedAt = () =>
  z.iso
    .datetime({ offset: true })
    .transform((at) => new Date(at))
    .optional()
    .describe(
      `When it was recorded, where it arrives later: at most ${RECORDED_AT_MOST_HOURS_AGO} hours ago; left out: now. It stands on the record beside the time of arrival.`,
    )
    .meta({ type: 'string', format: 'date-time' });

/** An e-mail address, in lower case as it is kept. */
export const email = () => z.string().trim().toLowerCase().max(254).pipe(z.email());

/** As typed; how long a password must be, access/passwords.ts says. */
export const password = () => z.string().min(1).max(1000);

/** The caller's own password, typed again for an act that an open screen alone may not do. */
export const OwnPassword = z
  .strictObject({ currentPassword: password() })
  .meta({ id: 'OwnPassword' });

/** A code of an authenticator app, or a recovery code, as typed. */
export const oneTimeCode = () =>
  z
    .string()
    .trim()
    .min(1)
    .max(64)
    .describe('The six figures that the authenticator app shows now, or a recovery code.');

/** The version of a record that can be edited; it stands in the ETag too. */
export const version = () => z.int().min(1);

/**
 * What a signed act carries: the signer's own password, typed at the act, and the hash of what
 * was shown (21 CFR 11.70, 11.200).
 */
export const signatureGiven = z
  .strictObject({
    password: password()
      .optional()
      .describe('Your own password, typed for this signature; or `organisation` in its place.'),
    organisation: z
      .strictObject({ proofId: uuid(), browserSecret: z.string().min(32).max(200) })
      .optional()
      .describe(
        'That the organisation’s provider has just asked for you anew (`/api/v1/me/openid/sign`).',
      ),
    contentSha256: z
      .string()
      .regex(/^[0-9a-f]{64}$/)
      .describe(
        'Of what you were shown, as the sister route `…/to-sign` answered it. Where something else stands by now, nothing is signed.',
      ),
  })
  .refine(
    ({ password: typed, organisation }) => (typed === undefined) !== (organisation === undefined),
    'either the password or the organisation’s word',
  )
  .meta({ id: 'SignatureGiven' });
