/** The service as the client speaks to it: typed by its own OpenAPI document. */
import createClient, { type Middleware } from 'openapi-fetch';
import type { components, paths } from '../generated/api.ts';
import { reach, Unreachable } from './offline/reach.ts';
import { refresh, currentToken, signedInAgain } from './session/session.ts';
import { allSaid, said, type ProblemBody, type Sent } from './words/said.ts';

export type Schemas = components['schemas'];

const PASSWORD_FIELDS = {
  'signature-not-verified': '/signature/password',
  'password-not-verified': '/currentPassword',
  'own-password-missing': '/currentPassword',
  'code-not-verified': '/oneTimeCode',
} as const;

/** A refusal in the service's words (RFC 9457). */
export class Problem extends Error {
  override readonly name = 'Problem';
  readonly status: number;
  readonly code: string;
  readonly #sent: Sent;
  readonly #reasons: readonly Reason[];
  /** Where the act is kept until a form shows what stands against it. */
  onShown: (() => void) | undefined;

  constructor(status: number, body: ProblemBody) {
    super();
    this.status = status;
    this.code = body.code ?? '';
    this.#sent = {
      code: this.code,
      detail: body.detail ?? body.title ?? String(status),
      wayOut: body.wayOut ?? '',
      ...(body.facts === undefined ? {} : { facts: body.facts }),
    };
    this.#reasons = body.errors ?? [];
    // Said when it is read: the language may be turned while the problem stands.
    Object.defineProperty(this, 'message', { get: () => this.#said.detail });
  }

  /** What did not come from the service's catalogue is said as it came. */
  get #said(): Sent {
    return this.code === '' ? this.#sent : said(this.#sent);
  }
  get wayOut(): string {
    return this.#said.wayOut;
  }
  get reasons(): readonly Reason[] {
    return this.#reasons.map(said);
  }
  /** What stands against which field, by its JSON Pointer. */
  get fields(): ReadonlyMap<string, string> {
    return new Map([
      ...this.reasons.flatMap(({ pointer, detail }): [string, string][] =>
        pointer ? [[pointer, detail]] : [],
      ),
      // A refused password names no field; there is only one that it can mean.
      ...(this.code in PASSWORD_FIELDS
        ? ([[PASSWORD_FIELDS[this.code as keyof typeof PASSWORD_FIELDS], this.message]] as const)
        : []),
    ]);
  }
}

type Reason = NonNullable<ProblemBody['errors']>[number];

export { Unreachable };

const authorized: Middleware = {
  onRequest({ request }) {
    const token = currentToken();
    if (token !== null) request.headers.set('authorization', `Bearer ${token}`);
    // R13: sent twice, done once. Who queues work brings a key of their own.
    if (request.method === 'POST' && !request.headers.has('idempotency-key')) {
      request.headers.set('idempotency-key', crypto.randomUUID());
    }
    return request;
  },
};

const client = createClient<paths>({
  baseUrl: '/',
  fetch: async (request) => {
    const again = request.clone();
    const answer = await reach(request);
    if (answer.status !== 401) return answer;
    // What was asked goes on when the same person has signed in again: nothing typed is lost.
    const token = (await refresh()) ?? (await signedInAgain());
    if (token === null) return answer;
    again.headers.set('authorization', `Bearer ${token}`);
    return reach(again);
  },
});
client.use(authorized);

export const api = client;

/**
 * The data of an answer, and the version for the next PATCH; what the service says in it is in
 * the language and the units that are shown.
 * @throws Problem where the service refused
 */
export async function answered<D>(
  asked: Promise<{ data?: D; error?: unknown; response: Response }>,
): Promise<D> {
  const { data, error, response } = await asked;
  if (error !== undefined || !response.ok) {
    throw new Problem(response.status, error ?? {});
  }
  return allSaid(data as D);
}
