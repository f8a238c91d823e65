/** The attack: draws requests one after another, sends them, learns from what comes back, and shrinks what should not be. */
import fc from 'fast-check';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { randomUUID } from 'node:crypto';
import { PUBLIC } from '../../../src/access/permissions.ts';
import { ROLES } from '../../../src/domain/words.ts';
import type { FakeProvider } from '../../support/fakeOpenIdProvider.ts';
import { enterProvider } from '../../support/openid.ts';
import { readPdf } from '../../support/pdf.ts';
import { filledIn } from './askedFirst.ts';
import { HASH_TO_COME } from './marks.ts';
import { bind, takesReady, type BoundRequest, type Request } from './bind.ts';
import { lets, SHORT, stands, STRANGERS, type Knock } from './callers.ts';
import type { Described, Route } from './document.ts';
import { judge, type Case } from './judge.ts';
import { planFor, type Plan } from './plan.ts';
import type { Answer, Sender } from './send.ts';
import type { Side } from './world.ts';

export interface AttackParts {
  readonly document: Described;
  readonly sides: readonly [Side, Side];
  readonly sender: Pick<Sender, 'send'>;
  /** Names of columns that are no words of the wire; what an answer says is taken out of them. */
  readonly columns: Set<string>;
  readonly seed: number;
  readonly provider: FakeProvider;
  /** Moves the service's clock on by a minute. */
  readonly passMinute: () => void;
}

export interface Fault {
  readonly what: string;
  readonly permission: string;
  readonly knock: Knock;
  /** The smallest request that still shows it. */
  readonly request: Request;
  readonly answer: { readonly status: number; readonly text: string };
  /** How many requests were sent before it. */
  readonly after: number;
}

export interface Count {
  accepted: number;
  refused: number;
}

/** Requests after which what stood ready may have been spoilt by others. */
const FRESH_FOR = 5_000;

/** Who may is several, and not everybody of a role may at this moment. */
const TRIES = 4;

/** What stands ready, unchanged. */
const AS_IT_IS: Plan['example'] = { pick: 0, rebind: false };

const MOST_FAULTS = 60;
const MOST_SHRINKS = 60;
const MOST_EXAMPLES = 40;
const MOST_KEYS = 50;

export class Attack {
  readonly counts = new Map<string, Map<Knock, Count>>();
  readonly statuses = new Map<number, number>();
  readonly codes = new Map<string, number>();
  readonly faults: Fault[] = [];
  /** Every request that was accepted, in order: what led where it led. */
  readonly accepted: string[] = [];
  /** Routes of accepted requests, by the person and the key: another's key is one's own as well. */
  readonly doneUnder = new Map<string, string>();
  readonly #parts: AttackParts;
  readonly #random: fc.Random;
  readonly #plans = new Map<string, fc.Arbitrary<Plan>>();
  readonly #keys: [string[], string[]] = [[], []];
  sent = 0;

  constructor(parts: AttackParts) {
    this.#parts = parts;
    this.#random = new fc.Random(xoroshiro128plus(parts.seed));
  }

  async run(requests: number): Promise<void> {
    await this.#opening();
    while (this.sent < requests && this.faults.length < MOST_FAULTS) await this.#one();
  }

  /**
   * What stands ready is asked for once as it should be, before others spoil it: so the attack
   * goes on from a clinic in which everything has been done. What is shown before a signature
   * comes before what is signed.
   */
  async #opening(): Promise<void> {
    const { document, sides } = this.#parts;
    const stands = document.routes.filter(({ permission }) => sides[0].ready.has(permission));
    // Before anything else everybody's door is tried by nobody.
    for (const route of document.routes.filter(({ who }) => who !== PUBLIC)) {
      await this.#round(route, 0, 'nobody', (plan) => ({
        ...plan,
        headers: { kind: 'as they should be' },
      }));
    }
    const isSister = ({ permission }: Route) => Number(!permission.endsWith('/to-sign'));
    for (const route of stands.toSorted((a, b) => isSister(a) - isSister(b))) {
      for (let left = TRIES; left > 0 && this.acceptedOf(route) === 0; left -= 1) {
        await this.#round(route, 0, this.#whoMay(route), (plan) => ({
          ...plan,
          example: AS_IT_IS,
          damage: [],
          headers: { kind: 'as they should be' },
        }));
      }
    }
  }

  /** One draw: a route, a caller, a request. */
  async #one(): Promise<void> {
    const atHand = this.#atHand();
    const route = atHand ?? this.#route();
    const side = atHand === undefined && this.#upTo(4) === 0 ? 1 : 0;
    const knock = atHand === undefined ? this.#knock(route) : this.#whoMay(route);
    await this.#round(route, side, knock, (plan) =>
      atHand === undefined ? plan : { ...plan, example: AS_IT_IS, damage: [] },
    );
  }

  /** One request, its answer judged and learned from. */
  async #round(route: Route, side: 0 | 1, knock: Knock, made: (plan: Plan) => Plan): Promise<void> {
    const arbitrary = this.#planOf(route);
    const drawn = arbitrary.generate(this.#random, undefined);
    const { faults, found } = await this.#try(made(drawn.value_), route, side, knock);
    if (this.#upTo(9) === 0) this.#parts.passMinute();
    for (const what of faults) {
      if (this.faults.some((fault) => fault.what === what && fault.permission === route.permission))
        continue;
      const small = await this.#shrunk(arbitrary, drawn, what, route, side, knock);
      this.faults.push({
        what,
        permission: route.permission,
        knock,
        after: this.sent,
        ...(small ?? found),
      });
    }
  }

  async #try(plan: Plan, route: Route, side: 0 | 1, drawn: Knock) {
    // Who shows no token, or another kind of one, is nobody.
    const isBare = plan.headers.kind === 'set' && plan.headers.name === 'authorization';
    const knock = isBare ? 'nobody' : drawn;
    const { sides, document, columns } = this.#parts;
    const [own, other] = [sides[side], sides[1 - side]!];
    const ready = own.ready.get(route.permission)?.[0];
    const request = bind(plan, {
      route,
      own,
      other,
      knock,
      examples: own.examples.get(route.permission) ?? [],
      ready,
      keysUsed: this.#keys[side],
    });
    const answers = await this.#send(request, plan, { route, own, knock });
    const wasDone = answers.some((each) => !(each instanceof Error) && each.status < 300);
    // Used up where it was done; else the next one's turn, for somebody else may have spoilt it.
    const queue = own.ready.get(route.permission);
    if (ready !== undefined && queue !== undefined && takesReady(plan)) {
      queue.shift();
      if (!wasDone) queue.push(ready);
    }
    const faults = new Set<string>();
    for (const answer of answers) {
      if (answer instanceof Error) {
        faults.add(`no answer: ${answer.message}`);
        continue;
      }
      const words = await wordsOf(answer);
      const judged = judge({ route, knock, request, answer, own, other, words }, document, columns);
      for (const fault of judged.faults) faults.add(fault);
      if (answer.status < 300) {
        for (const word of answer.text.match(/[a-z]+(?:_[a-z]+)+/g) ?? []) columns.delete(word);
      }
      await this.#learn({ route, knock, request, answer, own, other }, judged.json, side);
    }
    if (plan.headers.kind === 'same request twice' && route.keyed) {
      const twice = answers.map((each) => (each instanceof Error ? 0 : each.status));
      // It may have ended the very sign-in that it is sent by.
      const isOver = answers.some((each) => !(each instanceof Error) && isEnded(each));
      if (wasDone && twice[1] !== twice[0] && !isOver && !ONCE.has(route.permission))
        faults.add('the same request again was answered otherwise');
    }
    const last = answers.at(-1);
    const seen = last === undefined || last instanceof Error ? { status: 0, text: '' } : last;
    return {
      faults,
      found: {
        request: shown(request),
        answer: { status: seen.status, text: seen.text.slice(0, 800) },
      },
    };
  }

  /** The request, its sister before it where it is signed, and itself again where that is planned. */
  async #send(
    request: BoundRequest,
    plan: Plan,
    { route, own, knock }: Pick<Case, 'route' | 'own' | 'knock'>,
  ): Promise<(Answer | Error)[]> {
    const asking = { own, knock, permission: route.permission, provider: this.#parts.provider };
    const ask = async (method: string, url: string, body?: object, as = knock) => {
      const answer = await this.#answer(asked(own, as, method, url, body));
      return answer instanceof Error ? {} : (jsonOf(answer.text) as Record<string, unknown>);
    };
    // Only who may be let in is told what is asked first; for others anything will do.
    const mayAsk =
      route.who === PUBLIC || (lets(route.who, route.permission, knock) && stands(knock));
    let sent: Request = mayAsk ? await filledIn(request, { ...asking, ask }) : request;
    if (mayAsk && route.method === 'PATCH' && plan.headers.kind !== 'set') {
      const { version } = await ask('GET', request.url);
      if (typeof version === 'number')
        sent = { ...sent, headers: { ...sent.headers, 'if-match': `"${String(version)}"` } };
    }
    if (request.asksFirst !== undefined && mayAsk) {
      const asked = await this.#answer(await filledIn(request.asksFirst, { ...asking, ask }));
      const { contentSha256 } = (asked instanceof Error ? {} : jsonOf(asked.text)) as {
        contentSha256?: string;
      };
      if (contentSha256 !== undefined) {
        sent = { ...sent, body: sent.body?.replaceAll(HASH_TO_COME, contentSha256) };
      }
    }
    const first = await this.#answer(sent);
    return plan.headers.kind === 'same request twice' ? [first, await this.#answer(sent)] : [first];
  }

  async #answer(request: Request): Promise<Answer | Error> {
    this.sent += 1;
    try {
      return await this.#parts.sender.send(request);
    } catch (failure) {
      return failure instanceof Error ? failure : new Error(String(failure));
    }
  }

  async #learn(
    { route, knock, request, answer, own }: Case,
    json: unknown,
    side: 0 | 1,
  ): Promise<void> {
    const isDone = answer.status < 400;
    const of = this.counts.get(route.permission) ?? new Map<Knock, Count>();
    const count = of.get(knock) ?? { accepted: 0, refused: 0 };
    if (isDone) count.accepted += 1;
    else count.refused += 1;
    of.set(knock, count);
    this.counts.set(route.permission, of);
    this.statuses.set(answer.status, (this.statuses.get(answer.status) ?? 0) + 1);
    const { code } = (json ?? {}) as { code?: unknown };
    if (!isDone) this.codes.set(String(code), (this.codes.get(String(code)) ?? 0) + 1);
    if (isEnded(answer) && stands(knock)) await own.staff.revive(knock);
    if (!isDone) return;
    own.pool.learn(json, kindAnswered(route), request.near);
    if (route.method === 'GET') return;
    this.accepted.push(`${knock} ${request.method} ${request.url} ${request.body ?? ''}`);
    const key = request.headers['idempotency-key'];
    if (key !== undefined && stands(knock)) {
      this.doneUnder.set(`${own.staff.idOf(knock)} ${key}`, route.permission);
    }
    if (key !== undefined) this.#keys[side] = [...this.#keys[side], key].slice(-MOST_KEYS);
    if (request.body !== undefined && request.body.length < 20_000) {
      const known = own.examples.get(route.permission) ?? [];
      if (known.length < MOST_EXAMPLES)
        known.push({ url: request.url, body: jsonOf(request.body) as never });
      own.examples.set(route.permission, known);
    }
    await this.#mend(route, request, knock, own, json);
  }

  /** Keeps the staff able to go on: what was changed of a sign-in is known, who was sent away comes back. */
  async #mend(
    { permission }: Route,
    request: BoundRequest,
    knock: Knock,
    own: Side,
    answer: unknown,
  ): Promise<void> {
    const { staff } = own;
    const body = jsonOf(request.body ?? '{}') as Readonly<Record<string, string | undefined>>;
    const meant = staff.byId(request.near[0] ?? '');
    const told = answer as Readonly<Record<string, string | undefined>>;
    switch (permission) {
      case 'POST /api/v1/me/password':
        staff.setPassword(knock, body['newPassword'] ?? '');
        return staff.revive(knock);
      case 'POST /api/v1/sign-in/code': {
        const who = staff.byEmail(body['email'] ?? '');
        if (who !== undefined) staff.setPassword(who, body['newPassword'] ?? '');
        return;
      }
      case 'POST /api/v1/people/:personId/code':
        if (meant !== undefined) await staff.setPasswordBy(meant, told['code'] ?? '');
        return;
      case 'PATCH /api/v1/people/:personId':
        if (meant !== undefined) await staff.backAtWork(meant, body['email']);
        return;
      case 'POST /api/v1/me/second-factor':
        staff.setSecret(knock, told['secret']);
        return;
      case 'POST /api/v1/me/second-factor/confirmation':
        staff.factorConfirmed(knock);
        return;
      case 'POST /api/v1/me/second-factor/removal':
        staff.setSecret(knock, undefined);
        return;
      case 'POST /api/v1/people/:personId/second-factor/reset':
        if (meant !== undefined) staff.setSecret(meant, undefined);
        return;
      case 'PATCH /api/v1/clinic':
        return staff.asksNobodyForACode();
      case 'POST /api/v1/openid-provider': {
        const admin = await staff.administrator();
        return enterProvider({ ...staff.clinic, as: () => admin }, this.#parts.provider.issuer);
      }
    }
  }

  async #shrunk(
    arbitrary: fc.Arbitrary<Plan>,
    drawn: fc.Value<Plan>,
    what: string,
    route: Route,
    side: 0 | 1,
    knock: Knock,
  ): Promise<{ request: Request; answer: Fault['answer'] } | undefined> {
    let best: { request: Request; answer: Fault['answer'] } | undefined;
    let candidates = arbitrary.shrink(drawn.value_, drawn.context);
    for (let tries = 0; tries < MOST_SHRINKS;) {
      let smaller: fc.Value<Plan> | undefined;
      for (const candidate of candidates) {
        if ((tries += 1) > MOST_SHRINKS) break;
        const { faults, found } = await this.#try(candidate.value_, route, side, knock);
        if (!faults.has(what)) continue;
        best = found;
        smaller = candidate;
        break;
      }
      if (smaller === undefined) break;
      candidates = arbitrary.shrink(smaller.value_, smaller.context);
    }
    return best;
  }

  #planOf(route: Route): fc.Arbitrary<Plan> {
    const known = this.#plans.get(route.permission);
    if (known !== undefined) return known;
    const made = planFor(route, this.#parts.document.schemas);
    this.#plans.set(route.permission, made);
    return made;
  }

  /** Of two routes mostly the one that was accepted less often: the attack goes where it has not been. */
  #route(): Route {
    const { routes } = this.#parts.document;
    const one = routes[this.#upTo(routes.length - 1)]!;
    const two = routes[this.#upTo(routes.length - 1)]!;
    if (this.#upTo(2) === 0) return one;
    return this.acceptedOf(one) <= this.acceptedOf(two) ? one : two;
  }

  /** While things at hand are fresh, every second draw: a route that is not yet accepted and has such. */
  #atHand(): Route | undefined {
    if (this.sent > FRESH_FOR) return undefined;
    const { ready } = this.#parts.sides[0];
    const those = this.#parts.document.routes.filter(
      (route) => (ready.get(route.permission)?.length ?? 0) > 0 && this.acceptedOf(route) === 0,
    );
    if (those.length === 0 || this.#upTo(1) === 0) return undefined;
    return those[this.#upTo(those.length - 1)];
  }

  acceptedOf = ({ permission }: Route): number =>
    [...(this.counts.get(permission)?.values() ?? [])].reduce(
      (sum, { accepted }) => sum + accepted,
      0,
    );

  #knock({ who }: Route): Knock {
    const chance = this.#upTo(99);
    if (chance < 66 && who !== PUBLIC) return who[this.#upTo(who.length - 1)]!;
    if (chance < 78) return ROLES[this.#upTo(ROLES.length - 1)]!;
    if (chance < 91) return SHORT[this.#upTo(SHORT.length - 1)]!;
    return STRANGERS[this.#upTo(STRANGERS.length - 1)]!;
  }

  /** One who is let in: a thing at hand is spoilt soon, and is to be taken while it is fresh. */
  #whoMay(route: Route): Knock {
    const { who } = route;
    return who === PUBLIC ? this.#knock(route) : who[this.#upTo(who.length - 1)]!;
  }

  #upTo = (most: number): number => this.#random.nextInt(0, most);
}

/** What has an `id` at the top of a route's answer: the last collection of its address. */
function kindAnswered({ url }: Route): string | undefined {
  const step = url
    .split('/')
    .filter((each) => each !== '' && !each.startsWith(':'))
    .findLast((each) => each.endsWith('s') || each === 'clinic');
  return step
    ?.replace(/ies$/, 'y')
    .replace(/s$/, '')
    .replaceAll(/-(\w)/g, (_all, letter: string) => letter.toUpperCase());
}

/** What is good once by its nature, under whatever key. */
const ONCE = new Set([
  // A secret is shown once, and a repeat says so.
  'POST /api/v1/me/second-factor',
  'POST /api/v1/me/second-factor/confirmation',
  'POST /api/v1/me/second-factor/recovery-codes',
]);

/** Whether a sign-in is over, or says more than stands. */
function isEnded({ status, text }: Answer): boolean {
  if (status !== 401) return false;
  const { code } = jsonOf(text) as { code?: string };
  return code === 'session-ended' || code === 'access-changed';
}

/** The text of a paper: it stands in its bytes packed. */
async function wordsOf({ status, headers, bytes }: Answer): Promise<string> {
  if (status !== 200 || headers['content-type'] !== 'application/pdf') return '';
  const { words, info } = await readPdf(bytes);
  return `${words} ${JSON.stringify(info)}`;
}

/** What is asked on the way to a request, as it should be. */
function asked(own: Side, as: Knock, method: string, url: string, body?: object): Request {
  const authorization = own.staff.authorization(as);
  return {
    method,
    url,
    headers: {
      accept: 'application/json',
      ...(authorization === undefined ? {} : { authorization }),
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(method === 'POST' ? { 'idempotency-key': randomUUID() } : {}),
    },
    body: body === undefined ? undefined : JSON.stringify(body),
  };
}

const jsonOf = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return {};
  }
};

/** As it can be sent again, without the token. */
function shown({ method, url, headers, body }: Request): Request {
  const { authorization: _token, ...rest } = headers;
  return {
    method,
    url,
    headers: rest,
    body: body === undefined ? undefined : body.slice(0, 2_000),
  };
}
