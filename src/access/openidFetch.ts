/**
 * The one way by which the service fetches anything: from an organisation's OpenID Connect
 * provider, whose addresses an administrator types and whose own document names more of them.
 *
 * So nothing inside is reached by it (OWASP SSRF Prevention Cheat Sheet, from memory): https
 * only, and every address that a name resolves to must be a public one. That is judged where
 * the connection is made, on the very addresses that it then goes to, so that a name which
 * answers differently a moment later (DNS rebinding) gains nothing. Redirects are not
 * followed, answers are small, plain and soon there, and no proxy is taken from the environment.
 */
import dns from 'node:dns';
import type { LookupFunction } from 'node:net';
import ipaddr from 'ipaddr.js';
import { Agent, request } from 'undici';

export interface OutwardRules {
  /** Hosts (`name` or `name:port`) of the operator's own network that may be reached too, by https. */
  readonly allowedHosts: readonly string[];
  /** Plain http to this very machine: for tests and for trying things out. */
  readonly loopbackHttp: boolean;
}

/** Why nothing was fetched, as far as it may be told. */
export type OutwardFault =
  | 'not_https'
  | 'not_public'
  | 'unknown_name'
  | 'redirect'
  | 'too_large'
  | 'too_slow'
  | 'unreachable';

export class OutwardProblem extends Error {
  override readonly name = 'OutwardProblem';
  readonly fault: OutwardFault;

  constructor(fault: OutwardFault, options?: { cause: unknown }) {
    super(fault, options);
    this.fault = fault;
  }
}

/** What openid-client hands over for a request. */
export interface OutwardRequest {
  readonly method: string;
  readonly headers: Record<string, string>;
  readonly body?: unknown;
  readonly signal?: AbortSignal | undefined;
}

export interface Outward {
  /** @throws OutwardProblem */
  fetch(url: string, options: OutwardRequest): Promise<Response>;
  close(): Promise<void>;
}

export interface OutwardParts {
  /** Stands in for the machine's resolver. */
  readonly resolve?: (host: string) => Promise<readonly dns.LookupAddress[]>;
  /** Certificates of a tester's own authority. */
  readonly ca?: string;
  readonly waitMs?: number;
}

/** Documents of a provider are some kilobytes; common practice, no source. */
const MOST_BYTES = 512 * 1024;
const WAIT_MS = 5_000;

/** A guarded fetch; `close` it with the service. */
export function outwardBy(rules: OutwardRules, parts: OutwardParts = {}): Outward {
  const {
    resolve = (host: string) => dns.promises.lookup(host, { all: true, verbatim: true }),
    ca,
    waitMs = WAIT_MS,
  } = parts;
  /** One for each kind of reach, since a pooled connection is not resolved again. */
  const agents = new Map<Reach, Agent>();
  const agentFor = (reach: Reach): Agent => {
    const kept = agents.get(reach);
    if (kept !== undefined) return kept;
    const agent = new Agent({
      connect: { lookup: lookupWithin(reach, resolve), timeout: waitMs, ...(ca ? { ca } : {}) },
      headersTimeout: waitMs,
      bodyTimeout: waitMs,
      maxHeaderSize: 16 * 1024,
      maxResponseSize: MOST_BYTES,
      // Nothing lingers: providers are asked seldom, and each time the name is judged anew.
      keepAliveTimeout: 1,
      keepAliveMaxTimeout: 1,
      pipelining: 0,
    });
    agents.set(reach, agent);
    return agent;
  };
  return {
    fetch: async (given, { method, headers, body, signal }) => {
      const url = new URL(given);
      const reach = reachOf(url, rules);
      const literal = url.hostname.replace(/^\[|\]$/g, '');
      // A written address is not looked up on the way: it is judged here.
      if (ipaddr.isValid(literal)) requireWithin(reach, [literal]);
      const limit = AbortSignal.timeout(waitMs);
      try {
        const answer = await request(url, {
          method: method as 'GET',
          // Undone, an answer could be a thousand times as large as what was sent.
          headers: { ...headers, 'accept-encoding': 'identity' },
          body: bodyOf(body),
          signal: signal === undefined ? limit : AbortSignal.any([signal, limit]),
          dispatcher: agentFor(reach),
        });
        if (answer.statusCode >= 300 && answer.statusCode < 400) {
          await answer.body.dump();
          throw new OutwardProblem('redirect');
        }
        const bytes = await readAtMost(answer.body, MOST_BYTES);
        return new Response(EMPTY.has(answer.statusCode) ? null : bytes, {
          status: answer.statusCode,
          headers: headersOf(answer.headers),
        });
      } catch (failure) {
        throw asProblem(failure);
      }
    },
    close: async () => {
      await Promise.all([...agents.values()].map((agent) => agent.destroy()));
    },
  };
}

/** Statuses that have no body (Fetch, null body status). */
const EMPTY = new Set([204, 205]);

/** How far a request may go. */
type Reach = 'public' | 'allowed' | 'loopback';

function reachOf({ protocol, hostname, host, port }: URL, rules: OutwardRules): Reach {
  if (protocol === 'http:' && rules.loopbackHttp) return 'loopback';
  if (protocol !== 'https:') throw new OutwardProblem('not_https');
  const named = [hostname, port === '' ? `${hostname}:443` : host];
  return rules.allowedHosts.some((allowed) => named.includes(allowed.toLowerCase()))
    ? 'allowed'
    : 'public';
}

/** Ranges of IANA's registries for special purposes, as ipaddr.js names them; whatever it names otherwise is out of reach. */
const RANGES: Readonly<Record<Reach, readonly string[]>> = {
  loopback: ['loopback'],
  public: ['unicast'],
  // Never link-local: there a cloud's machine tells its secrets to whoever runs on it.
  allowed: ['unicast', 'private', 'uniqueLocal', 'carrierGradeNat', 'loopback'],
};

/** IPv6 that carries an IPv4 address in its end (::a.b.c.d, ::ffff:a.b.c.d), which is reached by its own. */
const CARRIES_IPV4 = /^::(?!1?$)/;

/** Whether an address lies within reach. */
export function isWithin(reach: Reach, address: string): boolean {
  const parsed = ipaddr.parse(address);
  return RANGES[reach].includes(parsed.range()) && !CARRIES_IPV4.test(parsed.toString());
}

function requireWithin(reach: Reach, addresses: readonly string[]): void {
  if (!addresses.every((address) => isWithin(reach, address))) {
    throw new OutwardProblem('not_public');
  }
}

/** A lookup for the connection itself, that gives no address out of reach. */
const lookupWithin =
  (reach: Reach, resolve: NonNullable<OutwardParts['resolve']>): LookupFunction =>
  (host, { all }, done) => {
    resolve(host).then(
      (found) => {
        try {
          const [first] = found;
          if (first === undefined) throw new OutwardProblem('unknown_name');
          requireWithin(
            reach,
            found.map(({ address }) => address),
          );
          if (all === true) done(null, [...found]);
          else done(null, first.address, first.family);
        } catch (problem) {
          done(problem as Error, []);
        }
      },
      (cause: unknown) => {
        done(new OutwardProblem('unknown_name', { cause }), []);
      },
    );
  };

function bodyOf(body: unknown): string | null {
  if (body === undefined || body === null) return null;
  if (typeof body === 'string') return body;
  if (body instanceof URLSearchParams) return body.toString();
  throw new TypeError('a provider is sent forms only');
}

async function readAtMost(body: AsyncIterable<Buffer>, most: number): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let length = 0;
  for await (const chunk of body) {
    length += chunk.length;
    if (length > most) throw new OutwardProblem('too_large');
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

function headersOf(given: Readonly<Record<string, string | string[] | undefined>>): Headers {
  const headers = new Headers();
  for (const [name, value] of Object.entries(given)) {
    for (const each of [value ?? []].flat()) headers.append(name, each);
  }
  return headers;
}

const FAULT_OF_CODE: Readonly<Record<string, OutwardFault>> = {
  UND_ERR_CONNECT_TIMEOUT: 'too_slow',
  UND_ERR_HEADERS_TIMEOUT: 'too_slow',
  UND_ERR_BODY_TIMEOUT: 'too_slow',
  UND_ERR_RES_EXCEEDED_MAX_SIZE: 'too_large',
  UND_ERR_HEADERS_OVERFLOW: 'too_large',
};

/** What went wrong in a word of ours: what a socket or a provider says stays in the cause. */
function asProblem(failure: unknown): OutwardProblem {
  for (let each = failure; each instanceof Error; each = each.cause) {
    if (each instanceof OutwardProblem) return each;
    if (each.name === 'TimeoutError' || each.name === 'AbortError') {
      return new OutwardProblem('too_slow', { cause: failure });
    }
    const fault = FAULT_OF_CODE[(each as NodeJS.ErrnoException).code ?? ''];
    if (fault !== undefined) return new OutwardProblem(fault, { cause: failure });
  }
  return new OutwardProblem('unreachable', { cause: failure });
}
