import { z } from 'zod';
import { idOf, instantOut, password, text } from '../../http/fields.ts';

/** Hexadecimal SHA-256 of the secret that the browser keeps until it is back. */
const browserSha256 = z
  .string()
  .regex(/^[0-9a-f]{64}$/)
  .describe('SHA-256 of a random secret that the browser keeps until it is back.');

const browserSecret = z
  .string()
  .min(32)
  .max(200)
  .describe('The secret whose hash was given at the beginning.');

/** What the provider's page sent back with the browser. */
const back = z.strictObject({
  state: z.string().min(1).max(200),
  code: z.string().min(1).max(2000).optional(),
  iss: z.string().max(400).optional(),
  error: z.string().max(200).optional(),
});

export const LinkParams = z.strictObject({
  prefix: z
    .string()
    .regex(/^[A-Za-z]{2,4}$/)
    .describe('The letters in front of the clinic’s order numbers.'),
});

export const OpenIdButton = z
  .object({ buttonName: z.string().describe('What the button is called.') })
  .meta({ id: 'OpenIdButton' });

export const BeginSignIn = z
  .strictObject({ prefix: LinkParams.shape.prefix, browserSha256 })
  .meta({ id: 'BeginOpenIdSignIn' });

export const BeginLink = z
  .strictObject({ currentPassword: password(), browserSha256 })
  .meta({ id: 'BeginOpenIdLink' });

export const BeginToSign = z.strictObject({ browserSha256 }).meta({ id: 'BeginOpenIdToSign' });

export const ProviderPage = z
  .object({ address: z.string().describe('Where the browser goes to.') })
  .meta({ id: 'OpenIdProviderPage' });

export const Return = z.strictObject({ back, browserSecret }).meta({ id: 'OpenIdReturn' });

export const ProofView = z
  .object({
    proofId: z.uuid(),
    goodUntil: instantOut().describe('For one signature of this sign-in, until then.'),
  })
  .meta({ id: 'OpenIdProof' });

export const OpenIdLinkView = z
  .object({
    state: z.enum(['none', 'invited', 'linked']),
    invitedUntil: instantOut().nullable(),
    linkedAt: instantOut().nullable(),
  })
  .meta({ id: 'OpenIdLink' });

export const OwnOpenIdLink = OpenIdLinkView.extend({
  buttonName: z.string().nullable().describe('Null where the clinic has no such sign-in.'),
}).meta({ id: 'OwnOpenIdLink' });

export const PersonParams = z.strictObject({ personId: idOf('Person') });

export const OpenIdProviderView = z
  .object({
    version: z.int().min(0).describe('0 until it is entered.'),
    issuer: z.string().nullable(),
    clientId: z.string().nullable(),
    buttonName: z.string().nullable(),
    active: z.boolean(),
    redirectUri: z.string().describe('To be entered at the provider, exactly so.'),
    signInLink: z.string().describe('Where the clinic’s people find the button.'),
  })
  .meta({ id: 'OpenIdProvider' });

const issuer = z.string().trim().min(1).max(400);

export const WriteOpenIdProvider = z
  .strictObject({
    version: z.int().min(0).describe('The version that was read.'),
    issuer: issuer.describe('As the provider writes it: https, without anything after it.'),
    clientId: text(200),
    clientSecret: z
      .string()
      .min(8)
      .max(500)
      .optional()
      .describe('Left out: the one that is kept, for the same issuer and client.'),
    buttonName: text(60),
    active: z.boolean(),
  })
  .meta({ id: 'WriteOpenIdProvider' });
export type WriteOpenIdProvider = z.output<typeof WriteOpenIdProvider>;

export const TryIssuer = z.strictObject({ issuer }).meta({ id: 'TryOpenIdIssuer' });
