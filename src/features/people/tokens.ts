/** What every way of signing in answers. */
import type { z } from 'zod';
import type { SignInResult } from '../../access/signIn.ts';
import { ACCESS_TOKEN_S, type AccessTokens } from '../../access/tokens.ts';
import type { Tokens } from './schemas.ts';

export const pairOf = (
  tokens: AccessTokens,
  { caller, person, refreshToken }: SignInResult,
  at: Date,
): z.input<typeof Tokens> => ({
  accessToken: tokens.issue(caller, at),
  tokenType: 'Bearer',
  expiresInS: ACCESS_TOKEN_S,
  refreshToken,
  reach: caller.reach,
  person: { ...person, roles: [...person.roles] },
});
