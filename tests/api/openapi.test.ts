/** The API's description: made from the schemas that check, and clean by a foreign linter. */
import { execFile } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PERMISSIONS, PUBLIC, type Who } from '../../src/access/permissions.ts';
import { testClinic, type TestClinic } from '../support/api.ts';

interface Operation {
  readonly operationId: string;
  readonly summary: string;
  readonly description: string;
  readonly tags: readonly string[];
  readonly security: readonly object[];
  readonly parameters?: readonly { in: string; name: string; required?: boolean }[];
  readonly responses: Readonly<Record<string, { content?: Record<string, unknown> }>>;
}
interface Description {
  readonly openapi: string;
  readonly tags: readonly { name: string }[];
  readonly paths: Readonly<Record<string, Record<string, Operation>>>;
  readonly components: { readonly schemas: Record<string, unknown> };
}

let clinic: TestClinic;
let description: Description;
beforeAll(async () => {
  clinic = await testClinic();
  description = (await clinic.stranger.get('/api/openapi.json')).body as Description;
});
afterAll(() => clinic.close());

const operations = (): [string, Operation][] =>
  Object.entries(description.paths).flatMap(([url, methods]) =>
    Object.entries(methods).map(([method, operation]): [string, Operation] => [
      `${method.toUpperCase()} ${url.replaceAll(/\{(\w+)\}/g, ':$1')}`,
      operation,
    ]),
  );

/** Questions that are a POST so that no name, and no scan, stands in an address; they change nothing. */
const ASKED_BY_POST = [
  'POST /api/v1/trace/find',
  'POST /api/v1/patients/search',
  'POST /api/v1/patients/look-alikes',
  'POST /api/v1/search',
  'POST /api/v1/udi/readings',
];
/** What would be signed is asked like that too. */
const isQuestion = (route: string): boolean =>
  ASKED_BY_POST.includes(route) || route.endsWith('/to-sign');

describe('the description of the API', () => {
  test('is OpenAPI 3.1, and Redocly’s linter finds nothing in it', async () => {
    expect(description.openapi).toBe('3.1.0');
    const file = path.resolve('tests/output/openapi.json');
    fs.mkdirSync(path.dirname(file), { recursive: true });
    fs.writeFileSync(file, JSON.stringify(description, null, 1));
    const redocly = path.resolve('node_modules/@redocly/cli/bin/cli.js');
    const config = path.resolve('redocly.yaml');
    const { stdout } = await promisify(execFile)(
      process.execPath,
      [redocly, 'lint', file, '--config', config, '--format', 'json'],
      { env: { ...process.env, REDOCLY_TELEMETRY: 'off', REDOCLY_SUPPRESS_UPDATE_NOTICE: 'true' } },
    ).catch(
      // It fails with what it found on its standard output.
      (failure: unknown) => failure as { stdout: string },
    );
    const { totals, problems } = JSON.parse(stdout) as {
      totals: { errors: number; warnings: number };
      problems: { message: string; location: { pointer?: string }[] }[];
    };
    const said = problems.map(
      ({ message, location }) => `${location[0]?.pointer ?? ''} ${message}`,
    );
    expect(said).toEqual([]);
    expect(totals).toMatchObject({ errors: 0, warnings: 0 });
  });

  test('has every route of the table, and no other', () => {
    const described = operations().map(([route]) => route);
    expect(described.sort()).toEqual(Object.keys(PERMISSIONS).sort());
  });

  test('says of each route what it does, who may try, and how it refuses', () => {
    const names = operations().map(([, { operationId }]) => operationId);
    expect(new Set(names).size).toBe(names.length);
    const tags = description.tags.map(({ name }) => name);
    for (const [route, operation] of operations()) {
      const who: Who | undefined = (PERMISSIONS as Record<string, Who>)[route];
      const what = {
        route,
        security: operation.security,
        tagged: tags.includes(operation.tags[0] ?? ''),
      };
      const security = who === PUBLIC ? [] : [{ accessToken: [] }];
      expect(what).toEqual({ route, security, tagged: true });
      expect(operation.summary.length).toBeGreaterThan(4);
      const refusals = Object.entries(operation.responses).filter(([status]) => status >= '400');
      expect(refusals.length).toBeGreaterThan(0);
      for (const [, { content }] of refusals) {
        expect(Object.keys(content ?? {})).toEqual(['application/problem+json']);
      }
    }
  });

  test('asks for a key on every POST of a person and for a version on every PATCH', () => {
    for (const [route, { parameters = [], security }] of operations()) {
      const required = parameters
        .filter((each) => each.in === 'header' && each.required)
        .map(({ name }) => name);
      const keyed = route.startsWith('POST ') && security.length > 0 && !isQuestion(route);
      const expected = keyed ? ['idempotency-key'] : route.startsWith('PATCH ') ? ['if-match'] : [];
      expect({ route, required }).toEqual({ route, required: expected });
    }
  });

  test('says of every figure of a layup what it is, and in which unit where it has one', () => {
    interface Node {
      readonly type?: unknown;
      readonly description?: string;
      readonly properties?: Readonly<Record<string, Node>>;
      readonly items?: Node;
      readonly anyOf?: readonly Node[];
      readonly oneOf?: readonly Node[];
    }
    /** Every number under a schema, by its path, with what is said of it. */
    const numbers = (node: Node, at: string, above = ''): [string, string][] => {
      const said = node.description ?? above;
      if (/number|integer/.test(JSON.stringify(node.type ?? null))) return [[at, said]];
      const inside = [...(node.items === undefined ? [] : [node.items])];
      return [
        ...Object.entries(node.properties ?? {}).flatMap(([key, each]) =>
          numbers(each, `${at}/${key}`),
        ),
        ...[...inside, ...(node.anyOf ?? []), ...(node.oneOf ?? [])].flatMap((each) =>
          numbers(each, at, said),
        ),
      ];
    };
    const named = [
      'LayupBasis',
      'LayupFigures',
      'Cut',
      'SectionLayer',
      'LayupLine',
      'LayupRuleLine',
    ];
    const told = named.flatMap((name) =>
      numbers(description.components.schemas[name] as Node, name),
    );
    expect(told.length).toBeGreaterThan(35);
    expect(told.filter(([, text]) => text.length < 8)).toEqual([]);
    const units: [RegExp, RegExp][] = [
      [/Mm$/, /\bmm\b/],
      [/Kg$/, /\bkg\b/],
      [/MassG$/, /\bg\b/],
      [/Gm2$/, /g\/m²/],
      [/Gcm3$/, /g\/cm³/],
      [/Mm2$/, /mm²/],
      [/Percent$/, /%/],
      [/Fraction$/, /fraction of 1/],
    ];
    for (const [name, unit] of units) {
      const those = told.filter(([place]) => name.test(place));
      expect(those.length, String(name)).toBeGreaterThan(0);
      expect(those.filter(([, text]) => !unit.test(text))).toEqual([]);
    }
  });

  test('names each schema that it uses, and none besides', () => {
    const text = JSON.stringify(description);
    const names = Object.keys(description.components.schemas);
    expect(names).toContain('Problem');
    for (const name of names) expect(text).toContain(`"#/components/schemas/${name}"`);
  });
});

describe('the pages of the API', () => {
  test('are readable, under a policy that lets nothing foreign in', async () => {
    const page = await clinic.stranger.get('/api/docs/');
    expect(page.status).toBe(200);
    const policy = page.headers['content-security-policy'] ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toMatch(/https?:|unsafe|\*/);
    const links = [...page.text.matchAll(/(?:src|href)="([^"]+)"/g)].map(([, link]) => link ?? '');
    expect(links.length).toBeGreaterThan(3);
    for (const link of links) {
      expect(link).not.toMatch(/^(https?:)?\/\//);
      const asset = await clinic.stranger.get(new URL(link, 'http://x/api/docs/').pathname);
      expect({ link, status: asset.status }).toEqual({ link, status: 200 });
    }
    const script = await clinic.stranger.get('/api/docs/static/swagger-initializer.js');
    expect(script.text).toContain('"validatorUrl":null');
  });
});
