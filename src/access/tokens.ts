/**
 * Access tokens: JWT, HS256, ten minutes. Roles stand in the token, and the statement that
 * opens each transaction compares them with what stands (store/act.ts): an ended session,
 * somebody who left and a role that was taken away count no longer from that moment.
 */
import type { JWT } from '@fastify/jwt';
import { createHash, randomBytes } from 'node:crypto';
import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { granted, refused, type Verdict } from '../domain/verdict.ts';
import { REACHES, type Reach } from '../domain/secondFactor.ts';
import { ROLES } from '../domain/words.ts';
import type { Caller } from '../store/act.ts';

export const ACCESS_TOKEN_S = 600;
export const JWT_ALGORITHM = 'HS256';
export const JWT_ISSUER = 'castbook';

/** The caller, and the family of refresh tokens that the sign-in began. */
export interface SignedIn extends Caller {
  readonly familyId: string;
  /** All that its roles may, or less. */
  readonly reach: Reach;
}

/** The caller as a token says, for as long as it does. */
export interface ShownToken extends SignedIn {
  readonly expiresAt: Date;
}

const claims = z.object({
  sub: z.uuid(),
  clinic: z.uuid(),
  name: z.string(),
  roles: z.array(z.enum(ROLES)),
  family: z.uuid(),
  reach: z.enum(REACHES),
  exp: z.int(),
});

export interface AccessTokens {
  issue(caller: SignedIn, at: Date): string;
  /** Who shows the token, or why it does not count. */
  read(token: string, at: Date): Verdict<ShownToken>;
}

export function accessTokens(jwt: JWT): AccessTokens {
  return {
    issue: (caller, at) => {
      const iat = Math.floor(at.getTime() / 1000);
      return jwt.sign({
        sub: caller.personId,
        clinic: caller.clinicId,
        name: caller.printedName,
        roles: [...caller.roles],
        family: caller.familyId,
        reach: caller.reach,
        iat,
        exp: iat + ACCESS_TOKEN_S,
      });
    },
    read: (token, at) => {
      const read = claims.safeParse(verified(jwt, token));
      if (!read.success) return refused([reason('not-signed-in', {})]);
      const { sub, clinic, name, roles, family, reach, exp } = read.data;
      if (exp * 1000 <= at.getTime()) return refused([reason('token-expired', {})]);
      return granted({
        personId: sub,
        clinicId: clinic,
        printedName: name,
        roles,
        familyId: family,
        reach,
        expiresAt: new Date(exp * 1000),
      });
    },
  };
}

/** The claims of a token that we signed; expiry is judged above, by the clock passed in. */
function verified(jwt: JWT, token: string): unknown {
  try {
    return jwt.verify(token);
  } catch {
    return undefined;
  }
}

/** 256 random bits; the clinic in front says in whose scope to look it up. */
export const newRefreshToken = (clinicId: string): string =>
  `${clinicId}.${randomBytes(32).toString('base64url')}`;

/** Enough for a random token of 256 bits: there is nothing to guess. */
export const refreshTokenSha256 = (token: string): string =>
  createHash('sha256').update(token, 'utf8').digest('hex');

/** The clinic that a refresh token names; undefined where it has not the shape of one. */
export function clinicOfRefreshToken(token: string): string | undefined {
  const [clinicId, secret, ...more] = token.split('.');
  if (more.length > 0 || secret === undefined || !/^[\w-]{43}$/.test(secret)) return undefined;
  return z.uuid().safeParse(clinicId).data;
}
