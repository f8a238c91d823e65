/** The service put together, apart from any port: every feature is listed here by hand. */
import fastifyJwt from '@fastify/jwt';
import fastifyRateLimit from '@fastify/rate-limit';
import fastifySwagger from '@fastify/swagger';
import fastifySwaggerUi from '@fastify/swagger-ui';
import Fastify, {
  LogController,
  type FastifyBaseLogger,
  type FastifyInstance,
  type FastifyReply,
  type FastifyRequest,
} from 'fastify';
import { serializerCompiler } from 'fastify-type-provider-zod';
import type { Logger } from 'pino';
import { warmUp } from './access/passwords.ts';
import { openIdClient } from './access/openidClient.ts';
import { outwardBy, type Outward } from './access/openidFetch.ts';
import { accessTokens, JWT_ALGORITHM, JWT_ISSUER, type AccessTokens } from './access/tokens.ts';
import type { Config } from './config.ts';
import { reason } from './domain/reasons/index.ts';
import { afterDeliveryRoutes } from './features/afterDelivery/routes.ts';
import { appointmentRoutes } from './features/appointments/routes.ts';
import { benchLoadRoutes } from './features/benchLoad/routes.ts';
import { benchPinRoutes } from './features/benchPin/routes.ts';
import { benchRoutes } from './features/benches/routes.ts';
import { batchRoutes } from './features/batches/routes.ts';
import { calendarRoutes } from './features/calendar/routes.ts';
import { changeRoutes } from './features/changes/routes.ts';
import { changeStreams } from './features/changes/streams.ts';
import { castRoutes } from './features/casts/routes.ts';
import { catalogueRoutes } from './features/catalogue/routes.ts';
import { clinicRoutes } from './features/clinic/routes.ts';
import { costRoutes } from './features/costs/routes.ts';
import { dateRoutes } from './features/dates/routes.ts';
import { deliveryRoutes } from './features/delivery/routes.ts';
import { fabricRoutes } from './features/fabrics/routes.ts';
import { findingRoutes } from './features/findings/routes.ts';
import { fittingRoutes } from './features/fittings/routes.ts';
import { historyRoutes } from './features/history/routes.ts';
import { hardwareRoutes } from './features/hardware/routes.ts';
import { limbRoutes } from './features/limb/routes.ts';
import { labelRoutes } from './features/labels/routes.ts';
import { layupRoutes } from './features/layup/routes.ts';
import { layupRuleRoutes } from './features/layupRules/routes.ts';
import { longWorkRoutes } from './features/longWork/routes.ts';
import { redirectUriAt } from './features/openid/provider.ts';
import {
  openIdLinkRoutes,
  openIdProviderRoutes,
  openIdSignInRoutes,
  type ProviderSettings,
} from './features/openid/routes.ts';
import { orderRoutes } from './features/orders/routes.ts';
import { papersRoutes } from './features/papers/routes.ts';
import { patientRoutes } from './features/patients/routes.ts';
import { breakGlassRoutes } from './features/breakGlass/routes.ts';
import { lookUpRoutes } from './features/lookUps/routes.ts';
import { photoRoutes } from './features/photos/routes.ts';
import { headSigner, type HeadSigner } from './features/record/signer.ts';
import { headRoutes } from './features/record/headRoutes.ts';
import { peopleRoutes, sessionRoutes, signInRoutes } from './features/people/routes.ts';
import { recordRoutes } from './features/record/routes.ts';
import { resinRoutes } from './features/resin/routes.ts';
import { resinProductRoutes } from './features/resinProducts/routes.ts';
import { rightsRoutes } from './features/rights/routes.ts';
import { searchRoutes } from './features/search/routes.ts';
import { secondFactorRoutes } from './features/secondFactor/routes.ts';
import { shopToolRoutes } from './features/shopTools/routes.ts';
import { signatureRoutes } from './features/signatures/routes.ts';
import { socketRoutes } from './features/sockets/routes.ts';
import { stockRoutes } from './features/stock/routes.ts';
import { torqueRoutes } from './features/torque/routes.ts';
import { qualityRoutes } from './features/quality/routes.ts';
import { recallRoutes, traceRoutes } from './features/trace/routes.ts';
import { travellerRoutes } from './features/traveller/routes.ts';
import { workRouteRoutes } from './features/workRoutes/routes.ts';
import type { Api } from './http/api.ts';
import { readJsonOnly } from './http/bodies.ts';
import { answerExpectations, clientErrorsWith } from './http/clientErrors.ts';
import { guardWith } from './http/guard.ts';
import { logRequests, requestIdFrom } from './http/logging.ts';
import { swaggerOptions } from './http/openapi.ts';
import { problemRoutes } from './http/problemPages.ts';
import { BODY_LIMIT_BYTES, problemFrom, PROBLEM_MEDIA_TYPE } from './http/problems.ts';
import { refuseOtherSites, refusePacked } from './http/origin.ts';
import { PersonLimit } from './http/personLimit.ts';
import { makeApi } from './http/route.ts';
import { CONTENT_SECURITY, safetyHeaders } from './http/safety.ts';
import { serviceRoutes } from './http/serviceRoutes.ts';
import { isWebPage, sendWebPage, serveWeb } from './http/webPages.ts';
import { listenToChanges, type Changes } from './store/changes.ts';
import type { Store } from './store/open.ts';
import { Refused } from './store/refused.ts';

export const VERSION = '0.1.0';

export interface AppParts {
  readonly store: Store;
  readonly config: Pick<
    Config,
    'jwtSecret' | 'publicUrl' | 'trustProxy' | 'requestsPerMinute' | 'signInsPerMinute'
  > &
    // Left out by tests: no limit where the clock stands, no heads, public providers by https and nothing else.
    Partial<Pick<Config, 'headSigningKey' | 'requestsPerPersonPerMinute' | 'openId'>>;
  readonly log: Logger;
  /** The clock; the demo and the tests set their own. */
  readonly now?: () => Date;
  /** What is committed, as it is; left out, the app listens itself. Whoever gives it closes it. */
  readonly changes?: Changes;
  readonly heartbeatMs?: number;
  readonly requestWithinMs?: number;
  /** By which providers are asked; the tests give their own. Whoever gives it closes it. */
  readonly outward?: Outward;
}

/** How long a request may take to arrive, body and all. Common practice, no source. */
const REQUEST_WITHIN_MS = 30_000;

/** Builds the app on an open, migrated store. `close()` leaves the store open: whoever opened it closes it. */
export async function buildApp({
  store,
  config,
  log,
  now = () => new Date(),
  changes: given,
  heartbeatMs,
  requestWithinMs = REQUEST_WITHIN_MS,
  outward: givenOutward,
}: AppParts): Promise<FastifyInstance> {
  // As Fastify's own kind of logger, so that the instance has Fastify's own type.
  const loggerInstance: FastifyBaseLogger = log;
  const safety = safetyHeaders(config.publicUrl);
  const answerFailure = failuresWith(safety);
  const app = Fastify({
    loggerInstance,
    // Its own lines hold whole requests; http/logging.ts writes ours.
    logController: new LogController({
      disableRequestLogging: true,
      requestIdLogLabel: 'requestId',
    }),
    genReqId: requestIdFrom,
    bodyLimit: BODY_LIMIT_BYTES,
    trustProxy: trustedProxies(config.trustProxy),
    // A request must arrive within this, its headers too; idle connections may be kept by a proxy for a minute.
    requestTimeout: requestWithinMs,
    http: {
      headersTimeout: requestWithinMs,
      connectionsCheckingInterval: Math.ceil(requestWithinMs / 6),
    },
    keepAliveTimeout: 72_000,
    connectionTimeout: 120_000,
    forceCloseConnections: 'idle',
    return503OnClosing: false,
    routerOptions: { maxParamLength: 200 },
    frameworkErrors: (failure, request, reply) => void answerFailure(failure, request, reply),
    clientErrorHandler: clientErrorsWith(safety),
  });
  answerExpectations(app.server, safety);
  app.decorateRequest('signedIn', null);
  // Before any route: routes take the handler that there is when they are made.
  app.setErrorHandler(answerFailure);
  app.setSerializerCompiler(serializerCompiler);
  readJsonOnly(app);
  logRequests(app);
  let stopping = false;
  app.addHook('preClose', async () => {
    stopping = true;
  });
  app.addHook('onSend', async (request, reply) => {
    reply.header('x-request-id', request.id);
    // The clock of the service: by it the browser says when something was recorded.
    reply.header('date', now().toUTCString());
    // A connection kept alive past its last answer would hold up the end for as long as it may idle.
    if (stopping) reply.header('connection', 'close');
    if (!reply.hasHeader('cache-control')) {
      // Health records: nothing is kept on the way. What has an ETag may be asked for again.
      reply.header('cache-control', reply.hasHeader('etag') ? 'private, no-cache' : 'no-store');
    }
  });
  app.addHook('onRequest', async (_request, reply) => {
    reply.headers(safety);
  });
  refuseOtherSites(app);
  refusePacked(app);
  app.addHook('onRequest', async ({ url }) => {
    if (url.includes('%00')) throw new Refused([reason('url-malformed', {})]);
  });
  await app.register(fastifyRateLimit, {
    max: config.requestsPerMinute,
    timeWindow: 60_000,
    errorResponseBuilder: (_request, { ttl }) =>
      new Refused([reason('too-many-requests', { retryAfterS: Math.ceil(ttl / 1000) })]),
  });
  await app.register(fastifyJwt, {
    secret: config.jwtSecret,
    sign: { algorithm: JWT_ALGORITHM, iss: JWT_ISSUER },
    // Expiry is judged in access/tokens.ts, by the clock passed in.
    verify: { algorithms: [JWT_ALGORITHM], allowedIss: JWT_ISSUER, ignoreExpiration: true },
  });
  await app.register(fastifySwagger, swaggerOptions(VERSION));
  await app.register(fastifySwaggerUi, {
    routePrefix: '/api/docs',
    // Its own policy would allow a validator elsewhere and inline styles.
    staticCSP: CONTENT_SECURITY,
    uiConfig: { validatorUrl: null, deepLinking: true },
  });
  const hasWeb = await serveWeb(app);
  app.setNotFoundHandler({ preHandler: app.rateLimit() }, (request, reply) => {
    if (hasWeb && isWebPage(request)) return sendWebPage(reply);
    throw new Refused([reason('address-unknown', {})]);
  });

  const tokens = accessTokens(app.jwt);
  const { api, finish } = makeApi({
    app,
    store,
    now,
    signInsPerMinute: config.signInsPerMinute,
    guard: guardWith(tokens, now, new PersonLimit(config.requestsPerPersonPerMinute ?? Infinity)),
  });
  serviceRoutes(api, app);
  problemRoutes(api);
  const changes = given ?? listenToChanges(store, log);
  const streams = changeStreams({ store, changes, now, heartbeatMs });
  app.addHook('preClose', async () => {
    streams.stop();
  });
  app.addHook('onClose', async () => {
    if (given === undefined) await changes.close();
  });
  changeRoutes(api, streams);
  const { publicUrl, headSigningKey, openId = { allowedHosts: [], loopbackHttp: false } } = config;
  const outward = givenOutward ?? outwardBy(openId);
  app.addHook('onClose', async () => {
    if (givenOutward === undefined) await outward.close();
  });
  const { loopbackHttp } = openId;
  features(api, tokens, headSigningKey === undefined ? undefined : headSigner(headSigningKey), {
    store,
    publicUrl,
    loopbackHttp,
    client: openIdClient(outward, loopbackHttp, redirectUriAt(publicUrl)),
  });
  finish();
  await warmUp();
  await app.ready();
  return app;
}

function features(
  api: Api,
  tokens: AccessTokens,
  signer: HeadSigner | undefined,
  openId: ProviderSettings,
): void {
  const { publicUrl } = openId;
  signInRoutes(api, tokens);
  secondFactorRoutes(api);
  benchPinRoutes(api, tokens);
  openIdSignInRoutes(api, openId, tokens);
  peopleRoutes(api);
  sessionRoutes(api);
  openIdLinkRoutes(api, openId);
  openIdProviderRoutes(api, openId);
  clinicRoutes(api);
  patientRoutes(api);
  breakGlassRoutes(api);
  lookUpRoutes(api);
  orderRoutes(api);
  searchRoutes(api);
  travellerRoutes(api, publicUrl);
  appointmentRoutes(api);
  papersRoutes(api, publicUrl);
  castRoutes(api);
  limbRoutes(api);
  socketRoutes(api);
  resinRoutes(api);
  hardwareRoutes(api);
  labelRoutes(api);
  torqueRoutes(api);
  fittingRoutes(api);
  findingRoutes(api);
  photoRoutes(api);
  signatureRoutes(api);
  deliveryRoutes(api);
  afterDeliveryRoutes(api);
  catalogueRoutes(api);
  workRouteRoutes(api);
  shopToolRoutes(api);
  fabricRoutes(api);
  layupRuleRoutes(api);
  layupRoutes(api);
  batchRoutes(api);
  resinProductRoutes(api);
  stockRoutes(api);
  costRoutes(api);
  qualityRoutes(api);
  calendarRoutes(api);
  benchRoutes(api);
  benchLoadRoutes(api);
  dateRoutes(api);
  historyRoutes(api);
  recordRoutes(api);
  headRoutes(api, signer);
  traceRoutes(api);
  recallRoutes(api);
  longWorkRoutes(api);
  rightsRoutes(api);
}

/** A count of proxies, as Fastify's types have no place for it. */
const trustedProxies = (trust: boolean | number | string) =>
  typeof trust === 'number' ? (_address: string, hop: number) => hop < trust : trust;

/** Every refusal and every fault leaves here, as problem details. @param safety headers of every answer */
const failuresWith =
  (safety: Readonly<Record<string, string>>) =>
  (failure: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply => {
    const { status, problem, headers } = problemFrom(
      failure,
      request.id,
      request.routeOptions.bodyLimit,
    );
    if (status >= 500) request.log.error({ err: failure, code: problem.code }, 'fault');
    else request.log.info({ code: problem.code }, 'refused');
    // Said here too: what Fastify refuses before it has found a route passes no hook.
    const always = { ...safety, 'x-request-id': request.id, 'cache-control': 'no-store' };
    return reply
      .code(status)
      .headers({ ...headers, ...always })
      .type(PROBLEM_MEDIA_TYPE)
      .send(JSON.stringify(problem));
  };
