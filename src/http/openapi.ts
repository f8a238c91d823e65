/** The API's own description: OpenAPI 3.1, made from the schemas that check requests and answers. */
import type { FastifySchema } from 'fastify';
import { createJsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod';
import type { FastifyDynamicSwaggerOptions } from '@fastify/swagger';
import { z } from 'zod';
import { Problem, PROBLEM_MEDIA_TYPE } from './problems.ts';

/** Subjects of the API, in the order of its pages. Each feature's routes name one. */
export const TAGS = {
  'Sign-in': 'Signing in and out, and keeping signed in.',
  People: 'Who works for the clinic, in which roles.',
  Clinic: "The clinic's own settings.",
  Patients: 'Who the limbs are for, with body mass by date.',
  'Patient rights':
    'How long a record is kept and what holds it; what a patient may ask of it: a copy, a correction, an erasure (R10).',
  Orders: "One prosthesis' socket for one side of one patient, through its stages.",
  'Fittings book': 'When patients come to a prosthetist, for what, and what became of it.',
  Casts: 'Casts and the limb measures taken with them.',
  Limb: 'Measures of the limb at any visit, its volume, and what was decided where it changed (C1).',
  Sockets: 'Check and definitive sockets, and the operations of their routes.',
  Hardware: 'Pieces of hardware and shop tools: where each is, and every move (R1, R2, R3).',
  Labels: 'Device identifiers on scanned labels (GS1, HIBC), and stock received by them.',
  'Torque and lock': 'Torque confirmations by fastener (R4, R5) and lock checks (R7).',
  'Fit and alignment': 'Judging a socket on the limb, and how the pyramid sits (R14).',
  Findings: 'Something wrong, and how it was closed.',
  Signatures: 'Who signed what, exactly as it was shown, and what is otherwise since.',
  Delivery: 'The delivery gate and the signed delivery (R8, R9).',
  'After delivery': 'Service visits, what is due, remakes (R15).',
  Resin: 'Recipe, cups on the scale, the clock of a mix (C3).',
  Batches: 'Resin, hardener, fabric, threadlocker: lots, expiry and use.',
  Catalogue: 'Parts with their torque settings, shop tools with their calibrations, routes.',
  Layup: 'Fabrics, layup rules, and the layup of each definitive socket with its figures (C2).',
  Costs: 'What sockets and orders cost: materials, hardware, minutes (C7).',
  Quality: 'Shares with their counts and intervals, times, control charts (C8).',
  'Dates and benches':
    'The working calendar, days to promise and their chance, what is late, the load of the benches (C5).',
  Traveller: 'The sheet that goes with the work.',
  Papers: 'Labels on the clinic’s own stock, the move slip, and the papers of a delivery.',
  Trace: 'What went into it, where it came from, who wears it: trace and recall.',
  Changes: 'Live updates: what changes in the clinic, as it changes.',
  'Long work':
    'Work that takes longer than a request may: asked for, followed, cancelled, its result saved.',
  History: 'Who changed what and when, with the values before, and the chain that shows it (R11).',
  Service: 'The service itself: is it up, what can it refuse, how is it described.',
} as const;
export type Tag = keyof typeof TAGS;

const PROBLEMS_BY_STATUS = {
  400: 'The request cannot be right as sent; every field to blame is listed.',
  401: 'Not signed in, or the token has expired.',
  403: 'The role may not do this, a password given again was wrong, or a page of another site asks.',
  404: 'No such record in this clinic.',
  409: 'Something stands in the way: the record has changed, or somebody was faster.',
  412: 'The record has another version than If-Match names.',
  413: 'The body is larger than is read here.',
  415: 'The body is no JSON, or it is compressed.',
  422: 'A rule of the trade says no; the answer names it.',
  428: 'If-Match is missing.',
  429: 'Too many requests or failed attempts; Retry-After says when to try again.',
} as const;

export interface Described {
  readonly name: string;
  readonly tag: Tag;
  readonly summary: string;
  readonly description?: string | undefined;
  readonly method: 'GET' | 'POST' | 'PATCH';
  readonly url: string;
  readonly isPublic: boolean;
  readonly params?: z.ZodType | undefined;
  readonly query?: z.ZodType | undefined;
  readonly body?: z.ZodType | undefined;
  readonly keyed: boolean;
  readonly versioned: boolean;
  readonly status: number;
  /** Refusals besides those that the rest of the description tells. */
  readonly alsoRefuses?: readonly (404 | 409)[] | undefined;
  /** By media type; none where nothing is answered but the status. */
  readonly answers: Readonly<Record<string, z.ZodType>>;
}

const headerFields = {
  'idempotency-key': z
    .string()
    .min(8)
    .max(100)
    .describe(
      'Any 8 to 100 printable ASCII characters, fresh for each piece of work. The same request with the same key does its work once (R13) and is answered alike, with `Idempotency-Replayed: true`.',
    ),
  'if-match': z
    .string()
    .describe('The ETag of the record as it was read; another version by now is answered 412.'),
  'if-none-match': z
    .string()
    .optional()
    .describe('An ETag; where nothing has changed since, the answer is 304 without a body.'),
};

/** A route as Fastify and the description take it. */
export function schemaOf(route: Described): FastifySchema & Record<string, unknown> {
  const { body, params, query, method, keyed, versioned } = route;
  const headers = {
    ...(keyed ? { 'idempotency-key': headerFields['idempotency-key'] } : {}),
    ...(method === 'PATCH' ? { 'if-match': headerFields['if-match'] } : {}),
    ...(method === 'GET' && versioned ? { 'if-none-match': headerFields['if-none-match'] } : {}),
  };
  return {
    operationId: route.name,
    summary: route.summary,
    description: route.description ?? route.summary,
    tags: [route.tag],
    security: route.isPublic ? [] : [{ accessToken: [] }],
    ...(body === undefined ? {} : { body }),
    ...(params === undefined ? {} : { params }),
    ...(query === undefined ? {} : { querystring: query }),
    ...(Object.keys(headers).length === 0 ? {} : { headers: z.object(headers) }),
    response: responsesOf(route),
  };
}

/** Whether a body says which version it was made from, as If-Match does elsewhere. */
const namesVersion = (body: z.ZodType | undefined): boolean =>
  body instanceof z.ZodObject && 'basedOnVersion' in body.shape;

function responsesOf(route: Described): Record<number, unknown> {
  const { method, url, isPublic, body, params, query, versioned, alsoRefuses = [] } = route;
  const changes = method !== 'GET';
  // What is asked for may be named in the body or the query too.
  const asks = body !== undefined || query !== undefined;
  const statuses: readonly [keyof typeof PROBLEMS_BY_STATUS, boolean][] = [
    [400, true],
    [401, !isPublic || body !== undefined],
    [403, !isPublic || url.startsWith('/api/v1/')],
    [404, params !== undefined || (asks && !isPublic) || alsoRefuses.includes(404)],
    [409, (changes && !isPublic) || alsoRefuses.includes(409)],
    [412, method === 'PATCH' || namesVersion(body)],
    [413, changes],
    [415, changes],
    [422, (changes || query !== undefined) && !isPublic],
    [428, method === 'PATCH'],
    [429, true],
  ];
  const content = Object.entries(route.answers).map(
    ([type, schema]) => [type, { schema }] as const,
  );
  const done =
    content.length === 0
      ? z.undefined().describe('Done.')
      : { description: 'Done.', content: Object.fromEntries(content) };
  const unchanged = z.undefined().describe('Nothing has changed.');
  return {
    [route.status]: done,
    ...(method === 'GET' && versioned ? { 304: unchanged } : {}),
    ...Object.fromEntries(
      statuses
        .filter(([, may]) => may)
        .map(([status]) => [
          status,
          {
            description: PROBLEMS_BY_STATUS[status],
            content: { [PROBLEM_MEDIA_TYPE]: { schema: Problem } },
          },
        ]),
    ),
  };
}

export const swaggerOptions = (version: string): FastifyDynamicSwaggerOptions => ({
  openapi: {
    openapi: '3.1.0',
    info: {
      title: 'Castbook',
      version,
      description:
        "The prosthetics clinic's book of casts. Masses are in kg, lengths in mm, torques in N·m, instants in RFC 3339; names of fields end in their unit. Refusals are problem details (RFC 9457), listed at /api/problems.",
      license: {
        name: 'UNLICENSED: for the clinic that runs it',
        identifier: 'LicenseRef-Castbook',
      },
    },
    servers: [{ url: '/', description: 'This service.' }],
    tags: Object.entries(TAGS).map(([name, description]) => ({ name, description })),
    components: {
      securitySchemes: {
        accessToken: {
          type: 'http',
          scheme: 'bearer',
          bearerFormat: 'JWT',
          description: 'From POST /api/v1/sign-in; good for ten minutes.',
        },
      },
    },
  },
  transform: createJsonSchemaTransform({ skipList: [] }),
  transformObject: (document) => withoutUnused(jsonSchemaTransformObject(document)),
});

type Node = Readonly<Record<string, unknown>>;

/** Each named schema is written once as sent and once as answered; of these and of the tags, what is used is kept. */
function withoutUnused<Document extends object>(document: Document): Document {
  const { components, ...rest } = document as Document & {
    components?: { schemas?: Record<string, unknown> };
    tags?: readonly { name: string }[];
    paths?: Record<string, Record<string, { tags?: readonly string[] }>>;
  };
  const { tags, paths } = rest;
  const schemas = components?.schemas ?? {};
  const used = new Set<string>();
  const look = (node: unknown): void => {
    if (Array.isArray(node)) node.forEach(look);
    else if (typeof node === 'object' && node !== null) {
      for (const [key, value] of Object.entries(node as Node)) {
        const name =
          key === '$ref' ? /^#\/components\/schemas\/(.+)$/.exec(String(value))?.[1] : undefined;
        if (name === undefined) look(value);
        else if (!used.has(name)) {
          used.add(name);
          look(schemas[name]);
        }
      }
    }
  };
  look(rest);
  const tagged = new Set(
    Object.values(paths ?? {}).flatMap((path) =>
      Object.values(path).flatMap(({ tags }) => tags ?? []),
    ),
  );
  const kept = Object.entries(schemas).filter(([name]) => used.has(name));
  return {
    ...document,
    tags: tags?.filter(({ name }) => tagged.has(name)),
    components: { ...components, schemas: Object.fromEntries(kept) },
  };
}
