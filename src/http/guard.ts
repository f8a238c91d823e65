/** Who is asking, and may they (the table of access/permissions.ts). */
import type { FastifyRequest } from 'fastify';
import { PUBLIC, ROLE_WORDS, type Who } from '../access/permissions.ts';
import type { AccessTokens, ShownToken } from '../access/tokens.ts';
import { reason } from '../domain/reasons/index.ts';
import { orRefuse, Refused } from '../store/refused.ts';
import type { PersonLimit } from './personLimit.ts';

declare module 'fastify' {
  interface FastifyRequest {
    /** Set by the guard of every route that is not public. */
    signedIn: ShownToken | null;
  }
}

export const guardWith =
  (tokens: AccessTokens, now: () => Date, limit: PersonLimit) =>
  (who: Who) =>
  (request: FastifyRequest): void => {
    if (who === PUBLIC) return;
    const shown = /^Bearer ([\w.~+/=-]+)$/i.exec(request.headers.authorization ?? '')?.[1];
    if (shown === undefined) throw new Refused([reason('not-signed-in', {})]);
    const caller = orRefuse(tokens.read(shown, now()));
    request.signedIn = caller;
    limit.count(caller.personId, now());
    if (!caller.roles.some((role) => who.includes(role))) {
      const roles = who.map((role) => ROLE_WORDS[role]);
      throw new Refused([reason('role-may-not', { roles })]);
    }
  };
