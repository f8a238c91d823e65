/** Who is asking, and may they (the table of access/permissions.ts). */
import type { FastifyRequest } from 'fastify';
import { PERMISSIONS, PUBLIC, REACHES_ONLY, ROLE_WORDS, type Who } from '../access/permissions.ts';
import type { AccessTokens, ShownToken } from '../access/tokens.ts';
import { reason, type Reason } from '../domain/reasons/index.ts';
import type { Reach } from '../domain/secondFactor.ts';
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
  (who: Who, permission: string) =>
  (request: FastifyRequest): void => {
    if (who === PUBLIC) return;
    const shown = /^Bearer ([\w.~+/=-]+)$/i.exec(request.headers.authorization ?? '')?.[1];
    if (shown === undefined) throw new Refused([reason('not-signed-in', {})]);
    const caller = orRefuse(tokens.read(shown, now()));
    request.signedIn = caller;
    limit.count(caller.personId, now());
    if (REACHES_ONLY[caller.reach]?.has(permission) === false) {
      throw new Refused([beyond(caller.reach, permission)]);
    }
    if (!caller.roles.some((role) => who.includes(role))) {
      const roles = who.map((role) => ROLE_WORDS[role]);
      throw new Refused([reason('role-may-not', { roles })]);
    }
  };

/** Why a sign-in does not reach so far: by PIN, or until the second factor is added. */
function beyond(reach: Reach, permission: string): Reason {
  if (reach === 'enrolment') return reason('second-factor-required', {});
  // A signed act has a sister that says what would be signed.
  const signs = permission.endsWith('/to-sign') || `${permission}/to-sign` in PERMISSIONS;
  return signs ? reason('signing-not-by-pin', {}) : reason('not-by-pin', {});
}
