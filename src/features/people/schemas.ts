import { z } from 'zod';
import { DEVICE_KINDS } from '../../domain/devices.ts';
import { REACHES } from '../../domain/secondFactor.ts';
import { ROLES, SIGN_IN_WAYS } from '../../domain/words.ts';
import { email, idOf, oneTimeCode, password, text, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

const roles = z
  .array(z.enum(ROLES))
  .max(ROLES.length)
  .refine((given) => new Set(given).size === given.length, 'each role once');

export const PersonView = z
  .object({
    id: z.uuid(),
    email: z.string(),
    printedName: z.string(),
    roles: z.array(z.enum(ROLES)),
    active: z.boolean(),
    passwordSet: z
      .boolean()
      .describe('False until the person has set a first password, and from a reset to the next.'),
    codeExpiresAt: z
      .date()
      .nullable()
      .describe(
        'When the open one-time code ends, or has ended, of age; null where there is none.',
      ),
    secondFactor: z
      .boolean()
      .describe('Whether a second factor was added: its code is asked at each sign-in.'),
    version: version(),
  })
  .meta({ id: 'Person' });

const codeOnce = z
  .string()
  .nullable()
  .describe(
    'The one-time code, to be handed to the person. It is told this once and kept nowhere: null where the request is sent again under its key.',
  );

export const InvitedPerson = PersonView.extend({ code: codeOnce }).meta({ id: 'InvitedPerson' });

export const GivenCode = z
  .object({ code: codeOnce, expiresAt: z.date() })
  .meta({ id: 'GivenCode' });

export const People = pageOf(PersonView).meta({ id: 'People' });

export const BenchPeople = z
  .object({ items: z.array(z.object({ id: z.uuid(), printedName: z.string() })) })
  .meta({ id: 'BenchPeople' });

export const MeView = z
  .object({
    person: PersonView,
    clinic: z.object({ id: z.uuid(), name: z.string(), timeZone: z.string(), paper: z.string() }),
  })
  .meta({ id: 'Me' });

export const SignIn = z
  .strictObject({ email: email(), password: password(), oneTimeCode: oneTimeCode().optional() })
  .meta({ id: 'SignIn' });

export const PasswordByCode = z
  .strictObject({
    email: email(),
    code: z
      .string()
      .min(1)
      .max(100)
      .describe('As it was given; capitals and dashes do not matter.'),
    newPassword: password(),
  })
  .meta({ id: 'PasswordByCode' });

export const PasswordSet = z.object({ passwordSet: z.literal(true) }).meta({ id: 'PasswordSet' });

export const SessionView = z
  .object({
    id: z.uuid(),
    how: z.enum(SIGN_IN_WAYS).describe('What the person proved it with.'),
    device: z
      .object({
        kind: z.enum(DEVICE_KINDS),
        names: z.string().describe('System and browser, as far as they were said; may be empty.'),
      })
      .describe('In coarse words, as the user agent says; it is not to be believed.'),
    beganAt: z.date(),
    lastUsedAt: z.date().describe('Right to ten minutes: noted when its tokens are renewed.'),
    thisOne: z.boolean().describe('The one that asks.'),
  })
  .meta({ id: 'Session' });

export const Sessions = z.object({ items: z.array(SessionView) }).meta({ id: 'Sessions' });

export const Refresh = z
  .strictObject({ refreshToken: z.string().min(1).max(200) })
  .meta({ id: 'Refresh' });

export const Tokens = z
  .object({
    accessToken: z.string(),
    tokenType: z.literal('Bearer'),
    expiresInS: z.int().describe('Seconds that the access token is good for.'),
    refreshToken: z.string().describe('Works once; gives the next pair.'),
    reach: z
      .enum(REACHES)
      .describe(
        'whole: all that the roles may; bench: the bench’s work, by PIN; enrolment: nothing but adding the second factor that the clinic asks for.',
      ),
    person: PersonView,
  })
  .meta({ id: 'Tokens' });

export const AddPerson = z
  .strictObject({
    email: email(),
    printedName: text(100).describe('As it is to stand under signatures.'),
    roles,
    currentPassword: password().describe('The own one of whoever invites, typed again for it.'),
  })
  .meta({ id: 'AddPerson' });

export const ChangePerson = z
  .strictObject({
    printedName: text(100).optional(),
    active: z.boolean().optional(),
    roles: roles.optional(),
    currentPassword: password()
      .optional()
      .describe('The own one of whoever changes it: for roles, and to let somebody back in.'),
  })
  .refine(
    ({ printedName, active, roles: given }) =>
      printedName !== undefined || active !== undefined || given !== undefined,
    'at least one change',
  )
  .refine(
    ({ active, roles: given, currentPassword }) =>
      currentPassword !== undefined || (given === undefined && active !== true),
    {
      message: 'roles, and letting somebody back in, need your own password',
      path: ['currentPassword'],
    },
  )
  .meta({ id: 'ChangePerson' });
export type ChangePerson = z.output<typeof ChangePerson>;

export const ChangePassword = z
  .strictObject({ currentPassword: password(), newPassword: password() })
  .meta({ id: 'ChangePassword' });

export const SessionParams = z.strictObject({ sessionId: idOf('Session') });
export const PersonSessionParams = z.strictObject({
  personId: idOf('Person'),
  sessionId: idOf('Session'),
});
export const PersonParams = z.strictObject({ personId: idOf('Person') });
export const PeopleQuery = z.strictObject(pageQuery);
