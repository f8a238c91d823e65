import { z } from 'zod';
import { REACHES } from '../../domain/secondFactor.ts';
import { ROLES } from '../../domain/words.ts';
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
    version: version(),
  })
  .meta({ id: 'Person' });

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
    initialPassword: password(),
  })
  .meta({ id: 'AddPerson' });

export const ChangePerson = z
  .strictObject({
    printedName: text(100).optional(),
    active: z.boolean().optional(),
    roles: roles.optional(),
  })
  .refine((given) => Object.keys(given).length > 0, 'at least one change')
  .meta({ id: 'ChangePerson' });
export type ChangePerson = z.output<typeof ChangePerson>;

export const ChangePassword = z
  .strictObject({ currentPassword: password(), newPassword: password() })
  .meta({ id: 'ChangePassword' });

export const ResetPassword = z
  .strictObject({ newPassword: password() })
  .meta({ id: 'ResetPassword' });

export const PersonParams = z.strictObject({ personId: idOf('Person') });
export const PeopleQuery = z.strictObject(pageQuery);
