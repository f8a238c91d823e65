/** The service as the client speaks to it: typed by its own OpenAPI document. */
import createClient, { type Middleware } from 'openapi-fetch';
import type { components, paths } from '../generated/api.ts';
import { currentToken, refresh } from './session/session.ts';

export type Schemas = components['schemas'];

const PASSWORD_FIELDS = {
  'signature-not-verified': '/signature/password',
  'password-not-verified': '/currentPassword',
} as const;

/** A refusal in the service's words (RFC 9457). */
export class Problem extends Error {
  override readonly name = 'Problem';
  readonly status: number;
  readonly code: string;
  readonly wayOut: string;
  /** What stands against which field, by its JSON Pointer. */
  readonly fields: ReadonlyMap<string, string>;
  readonly reasons: readonly Reason[];

  constructor(status: number, body: ProblemBody) {
    super(body.detail ?? body.title ?? String(status));
    this.status = status;
    this.code = body.code ?? '';
    this.wayOut = body.wayOut ?? '';
    this.reasons = body.errors ?? [];
    this.fields = new Map([
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

interface Reason {
  readonly code: string;
  readonly detail: string;
  readonly wayOut: string;
  readonly pointer?: string;
}
interface ProblemBody {
  readonly title?: string;
  readonly detail?: string;
  readonly code?: string;
  readonly wayOut?: string;
  readonly errors?: readonly Reason[];
}

/** The network is not there: nothing was answered. */
export class Unreachable extends Error {
  override readonly name = 'Unreachable';
}

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
    const token = await refresh();
    if (token === null) return answer;
    again.headers.set('authorization', `Bearer ${token}`);
    return reach(again);
  },
});
client.use(authorized);

async function reach(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (failure) {
    throw new Unreachable(String(failure));
  }
}

export const api = client;

/**
 * The data of an answer, and the version for the next PATCH.
 * @throws Problem where the service refused
 */
export async function answered<D>(
  asked: Promise<{ data?: D; error?: unknown; response: Response }>,
): Promise<D> {
  const { data, error, response } = await asked;
  if (error !== undefined || !response.ok) {
    throw new Problem(response.status, error ?? {});
  }
  return data as D;
}
