/**
 * How every feature's routes are registered. A route says its schemas and one call; who
 * may, the transaction, doing work once, versions, answers and their description follow.
 */
import type { FastifyInstance, FastifyRequest, RouteHandlerMethod } from 'fastify';
import { z } from 'zod';
import { PERMISSIONS, PUBLIC, type Who } from '../access/permissions.ts';
import type { ShownToken, SignedIn } from '../access/tokens.ts';
import { reauthenticate, reauthenticateByProvider } from '../access/signIn.ts';
import type { Signer } from '../access/signatures.ts';
import { reason } from '../domain/reasons/index.ts';
import { perform, type Act } from '../store/act.ts';
import { writeAnswer, type StoredAnswer } from '../store/idempotencyKeys.ts';
import type { Store } from '../store/open.ts';
import { Refused } from '../store/refused.ts';
import {
  checked,
  type Checked,
  fileSchema,
  partsOf,
  prefersHtml,
  send,
  sendAgain,
} from './answers.ts';
import type { Api, Named, Schema } from './api.ts';
import { expectedVersionFrom } from './etag.ts';
import type { signatureGiven } from './fields.ts';
import { answerBefore, answerBeforeOr, fingerprintOf, keyFrom, type Keyed } from './idempotency.ts';
import { schemaOf, type Described } from './openapi.ts';
import { DOCUMENT_SECURITY } from './safety.ts';
import { askWhatWouldBeSigned, sisterOf, ToSign } from './toSign.ts';

export interface ApiParts {
  readonly app: FastifyInstance;
  readonly store: Store;
  readonly now: () => Date;
  /** Sign-ins that one address may try in a minute. */
  readonly signInsPerMinute: number;
  /** Stops a request that may not, before its body is read. */
  readonly guard: (who: Who, permission: string) => (request: FastifyRequest) => void;
}

export function makeApi({ app, store, now, signInsPerMinute, guard }: ApiParts): {
  api: Api;
  /** To be called after the last feature: answers the methods that no route takes, and stops the boot on a line of the table without its route. */
  finish: () => void;
} {
  const methodsOf = new Map<string, string[]>();

  function register(
    described: Described,
    handler: RouteHandlerMethod,
    {
      limit,
      bodyLimitBytes,
    }: { limit?: 'sign-in' | undefined; bodyLimitBytes?: number | undefined } = {},
  ) {
    const { method, url } = described;
    const permission = `${method} ${url}`;
    const who: Who | undefined = (PERMISSIONS as Readonly<Record<string, Who>>)[permission];
    if (who === undefined) throw new Error(`${permission} is not in src/access/permissions.ts`);
    if ((who === PUBLIC) !== described.isPublic) {
      throw new Error(`${permission}: public by the table or by the route, not by both`);
    }
    methodsOf.set(url, [...(methodsOf.get(url) ?? []), method]);
    const check = guard(who, permission);
    app.route({
      method,
      url,
      schema: schemaOf(described),
      // Schemas are for the description; requests are checked below, all parts at once.
      validatorCompiler: () => () => true,
      preParsing: async (request, _reply, payload) => {
        check(request);
        return payload;
      },
      config: limit === undefined ? {} : { rateLimit: { max: signInsPerMinute } },
      ...(bodyLimitBytes === undefined ? {} : { bodyLimit: bodyLimitBytes }),
      handler,
    });
  }

  const api: Api = {
    store,
    write: (route, work) => {
      const status =
        route.answer === undefined ? 204 : (route.status ?? (route.method === 'POST' ? 201 : 200));
      const keyed = route.method === 'POST';
      if (carriesSignature(route.body) !== (route.reauthenticates === true)) {
        throw new Error(`${route.name}: "signature" in the body and reauthenticates go together`);
      }
      register(
        {
          ...described(route, route.method, route.answer),
          body: route.body,
          keyed,
          status,
          isPublic: false,
        },
        async (request, reply) => {
          const caller = signedIn(request);
          const at = now();
          const given = keyed ? keyFrom(request) : undefined;
          const expectedVersion = keyed
            ? undefined
            : expectedVersionFrom(request.headers['if-match']);
          const inputs = { ...partsOf(request, route), caller };
          // Only now is the body known to be no deeper than its schema.
          const key =
            given === undefined ? undefined : { key: given, fingerprint: fingerprintOf(request) };
          const early = route.prepare !== undefined || route.reauthenticates === true;
          const again = (before: StoredAnswer) => {
            if (route.answerOnce === true) throw new Refused([reason('shown-once', {})]);
            return sendAgain(reply, before, route.versioned);
          };
          if (early && key !== undefined) {
            const before = await answerBefore(store, caller, key);
            if (before !== undefined) return again(before);
          }
          const signer = route.reauthenticates && (await signerOf(store, caller, inputs.body, at));
          const prepared = await route.prepare?.({ ...inputs, store, at } as never);
          const input = { ...inputs, expectedVersion, signer, prepared };
          let done: Checked;
          try {
            done = await perform(
              store,
              caller,
              at,
              async (act) => {
                // The types of `input` are those of the route's schemas; they were checked one by one above.
                const made = checked(route.answer, await work(act, input as never));
                const kept = route.answerOnce === true ? undefined : keptText(route, made);
                if (key !== undefined) await keep(act, key, status, kept);
                return made;
              },
              recordedAtOf(inputs.body),
            );
          } catch (failure) {
            return again(await answerBeforeOr(failure, store, caller, key));
          }
          return send(reply, status, done.value, done.text, route.versioned);
        },
        route,
      );
      if (route.reauthenticates !== true) return;
      const sister = { ...route, ...sisterOf(route) };
      register(
        {
          ...described(sister, 'POST', ToSign),
          body: sister.body,
          keyed: false,
          status: 200,
          isPublic: false,
          versioned: false,
        },
        async (request, reply) => {
          const caller = signedIn(request);
          const input = { ...partsOf(request, sister), caller };
          const asked = await askWhatWouldBeSigned(store, caller, now(), (act, signer) =>
            work(act, { ...input, signer } as never),
          );
          const { value, text } = checked(ToSign, asked);
          return send(reply, 200, value, text, undefined);
        },
      );
    },

    read: (route, work) => {
      const method = route.body === undefined ? 'GET' : 'POST';
      register(
        {
          ...described(route, method, route.answer),
          body: route.body,
          keyed: false,
          status: 200,
          isPublic: false,
          alsoRefuses: route.alsoRefuses,
        },
        async (request, reply) => {
          const caller = signedIn(request);
          const input = { ...partsOf(request, route), caller };
          const found = await perform(store, caller, now(), (act) => work(act, input as never));
          const { value, text } = checked(route.answer, found);
          return send(reply, 200, value, text, route.versioned, request.headers['if-none-match']);
        },
      );
    },

    document: (route, load, draw) => {
      const types = [route.contentType].flat();
      const answers = types.map((type): [string, Schema] => [
        type.split(';')[0] ?? type,
        fileSchema,
      ]);
      register(
        {
          ...described(route, 'GET', undefined),
          answers: Object.fromEntries(answers),
          keyed: false,
          status: 200,
          isPublic: false,
          alsoRefuses: route.alsoRefuses,
        },
        async (request, reply) => {
          const caller = signedIn(request);
          const input = { ...partsOf(request, route), caller } as never;
          const record = await perform(store, caller, now(), (act) => load(act, input));
          const { bytes, fileName, contentType = types[0] ?? '' } = await draw(record, input);
          return reply
            .header('content-disposition', `inline; filename="${plainName(fileName)}"`)
            .header('content-security-policy', DOCUMENT_SECURITY)
            .type(contentType)
            .send(typeof bytes === 'string' ? Buffer.from(bytes, 'utf8') : bytes);
        },
      );
    },

    stream: (route, open) => {
      register(
        {
          ...described(route, 'GET', undefined),
          answers: Object.fromEntries(
            route.contentTypes.map((type) => [type.split(';')[0] ?? type, fileSchema]),
          ),
          keyed: false,
          status: 200,
          isPublic: false,
          alsoRefuses: [409],
        },
        async (request, reply) => {
          const caller = signedIn(request);
          const lastEventId = request.headers['last-event-id'];
          const { contentType, fileName, body } = await open({
            ...partsOf(request, route),
            caller,
            lastEventId: typeof lastEventId === 'string' ? lastEventId : undefined,
            at: now(),
          } as never);
          reply.type(contentType);
          if (fileName !== undefined) {
            reply.header('content-disposition', `attachment; filename="${plainName(fileName)}"`);
          }
          // Nobody reads on after it, and a connection kept for more would hold up the end.
          reply.header('connection', 'close');
          if (request.method !== 'HEAD') return reply.send(body);
          body.destroy();
          return reply.send('');
        },
      );
    },

    open: (route, work) => {
      const { page } = route;
      const answers: Record<string, Schema> = {
        'application/json': route.answer,
        ...(page === undefined ? {} : { 'text/html': fileSchema }),
      };
      register(
        {
          ...described(route, route.method, route.answer),
          answers,
          body: route.body,
          keyed: false,
          status: route.status ?? 200,
          isPublic: true,
          alsoRefuses: route.alsoRefuses,
        },
        async (request, reply) => {
          const userAgent = request.headers['user-agent'];
          const made = await work({ ...partsOf(request, route), userAgent, at: now() } as never);
          if (page !== undefined && prefersHtml(request)) {
            return reply.type('text/html; charset=utf-8').send(page(made as never));
          }
          const { value, text } = checked(route.answer, made);
          return send(reply, route.status ?? 200, value, text, undefined);
        },
        route,
      );
    },
  };

  return {
    api,
    finish: () => {
      finishRoutes(app, methodsOf);
    },
  };
}

/** When the person recorded it, where the body says so. Judged in the transaction: what was done before is answered as it was. */
const recordedAtOf = (body: unknown): Date | undefined =>
  ((body ?? {}) as { recordedAt?: Date }).recordedAt;

/** Kept for as long as the record (R10); the answer of a 204 is null. */
const keep = (act: Act, { key, fingerprint }: Keyed, status: number, text: string | undefined) =>
  writeAnswer(act, key, fingerprint, status, text ?? 'null');

/** The answer as it is kept, without what is shown once. */
function keptText(
  { answer, shownOnce = [] }: { answer?: Schema | undefined; shownOnce?: readonly string[] },
  { value, text }: Checked,
): string | undefined {
  if (shownOnce.length === 0) return text;
  const hidden = Object.fromEntries(shownOnce.map((field) => [field, null]));
  return checked(answer, { ...(value as object), ...hidden }).text;
}

interface Routed extends Named {
  readonly url: string;
  readonly params?: Schema | undefined;
  readonly query?: Schema | undefined;
  readonly versioned?: true;
}

const described = (route: Routed, method: Described['method'], answer: Schema | undefined) => ({
  method,
  url: route.url,
  name: route.name,
  tag: route.tag,
  summary: route.summary,
  description: route.description,
  params: route.params,
  query: route.query,
  versioned: route.versioned === true,
  answers: answer === undefined ? {} : { 'application/json': answer },
});

function plainName(fileName: string): string {
  if (!/^[\w.-]{1,100}$/.test(fileName)) throw new TypeError(`not a plain file name: ${fileName}`);
  return fileName;
}

function signedIn(request: FastifyRequest): ShownToken {
  if (request.signedIn === null) throw new Refused([reason('not-signed-in', {})]);
  return request.signedIn;
}

const carriesSignature = (body: Schema | undefined): boolean =>
  body instanceof z.ZodUnion
    ? body.options.some((option) => option instanceof z.ZodType && carriesSignature(option))
    : body instanceof z.ZodObject && 'signature' in body.shape;

/** Where the body carries a signature: the signer, proven. */
async function signerOf(
  store: Store,
  caller: SignedIn,
  body: unknown,
  at: Date,
): Promise<Signer | undefined> {
  const { signature } = (body ?? {}) as { signature?: z.output<typeof signatureGiven> };
  if (signature === undefined) return undefined;
  const { password, organisation, contentSha256: seen } = signature;
  const proven =
    organisation === undefined
      ? await reauthenticate(store, caller, password ?? '', at)
      : await reauthenticateByProvider(store, caller, organisation, at);
  return { proven, saw: (contentSha256) => contentSha256 === seen };
}

const METHODS = ['GET', 'POST', 'PATCH', 'PUT', 'DELETE', 'OPTIONS'] as const;

function finishRoutes(
  app: FastifyInstance,
  methodsOf: ReadonlyMap<string, readonly string[]>,
): void {
  for (const [url, taken] of methodsOf) {
    const allowed = taken.includes('GET') ? [...taken, 'HEAD'] : taken;
    app.route({
      method: METHODS.filter((method) => !taken.includes(method)),
      url,
      schema: { hide: true },
      onRequest: async ({ method }) => {
        throw new Refused([reason('method-not-here', { method, allowed })]);
      },
      handler: () => undefined,
    });
  }
  const without = Object.keys(PERMISSIONS).filter((permission) => {
    const [method = '', url = ''] = permission.split(' ');
    return !methodsOf.get(url)?.includes(method);
  });
  if (without.length > 0) {
    throw new Error(`src/access/permissions.ts names no route of ours: ${without.join(', ')}`);
  }
}
