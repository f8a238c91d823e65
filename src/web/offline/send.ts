/** One act on its way: sent under the name of whoever recorded it, and of nobody else. */
import { currentToken, person, refresh } from '../session/session.ts';
import type { ProblemBody } from '../words/said.ts';
import { isForLater, type KeptAct, type Refusal } from './queue.ts';
import { LONGEST_WAIT_MS, reach, Unreachable } from './reach.ts';

export type Sent =
  | { readonly kind: 'done'; readonly answer: unknown }
  | {
      readonly kind: 'refused';
      readonly status: number;
      readonly body: ProblemBody;
      readonly refusal: Refusal;
    }
  | { readonly kind: 'later'; readonly afterMs?: number };

type Sendable = Pick<KeptAct, 'key' | 'personId' | 'request'>;

/** Sends an act once. Whatever its answer was lost to, it is sent again under the same key (R13). */
export async function sendAct(act: Sendable): Promise<Sent> {
  try {
    let answer = await sendAs(act, await tokenOf(act.personId, false));
    if (answer?.status === 401) answer = await sendAs(act, await tokenOf(act.personId, true));
    return answer === undefined ? { kind: 'later' } : await outcomeOf(answer);
  } catch (failure) {
    if (failure instanceof Unreachable) return { kind: 'later' };
    throw failure;
  }
}

/** The token of that very person; null where somebody else is signed in by now, or nobody. */
async function tokenOf(personId: string, fresh: boolean): Promise<string | null> {
  if (fresh || currentToken() === null) await refresh();
  return person.value?.id === personId ? currentToken() : null;
}

async function sendAs(
  { key, request: { path, params, body } }: Sendable,
  token: string | null,
): Promise<Response | undefined> {
  if (token === null) return undefined;
  return reach(
    new Request(
      path.replaceAll(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent(params[name] ?? '')),
      {
        method: 'POST',
        headers: {
          authorization: `Bearer ${token}`,
          'content-type': 'application/json',
          'idempotency-key': key,
        },
        body: JSON.stringify(body),
        signal: AbortSignal.timeout(LONGEST_WAIT_MS),
      },
    ),
  );
}

async function outcomeOf(answer: Response): Promise<Sent> {
  const { status, ok, headers } = answer;
  if (isForLater(status)) {
    const seconds = Number(headers.get('retry-after'));
    return { kind: 'later', ...(seconds > 0 ? { afterMs: seconds * 1000 } : {}) };
  }
  const read: unknown = await answer.json().catch((): unknown => {
    // Done or not is not known: asked again under its key, the service says.
    if (ok) throw new Unreachable('the answer broke off');
    return {};
  });
  if (ok) return { kind: 'done', answer: read };
  const body = read as ProblemBody;
  if (isForLater(status, body.code)) return { kind: 'later' };
  return {
    kind: 'refused',
    status,
    body,
    refusal: {
      status,
      code: body.code ?? '',
      words: body.detail ?? body.title ?? String(status),
      wayOut: body.wayOut ?? '',
      reasons: (body.errors ?? []).map(({ detail, wayOut }) => ({ detail, wayOut })),
    },
  };
}
