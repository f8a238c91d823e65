/** The OpenAPI document as the fuzzer reads it: routes, what they take, and what their answers must be. */
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import addFormatsModule from 'ajv-formats';
import { PERMISSIONS, type Who } from '../../../src/access/permissions.ts';
import type { JsonSchema, SchemasByName } from './fromSchema.ts';

// CommonJS under types of an ES module: the import is the function itself.
const addFormats = addFormatsModule as unknown as (ajv: Ajv2020) => void;

interface Content {
  readonly schema?: JsonSchema;
}
interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly {
    readonly in: 'path' | 'query' | 'header';
    readonly name: string;
    readonly required?: boolean;
    readonly schema: JsonSchema;
  }[];
  readonly requestBody?: { readonly content: Readonly<Record<string, Content>> };
  readonly responses: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, Content>> }>
  >;
}
export interface OpenApi {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: SchemasByName };
}

export interface Route {
  /** As in access/permissions.ts. */
  readonly permission: string;
  readonly method: string;
  /** With `:name` for each parameter. */
  readonly url: string;
  readonly who: Who;
  readonly params: Readonly<Record<string, JsonSchema>>;
  readonly query: Readonly<Record<string, JsonSchema>>;
  readonly queryRequired: readonly string[];
  readonly body: JsonSchema | undefined;
  readonly keyed: boolean;
  readonly operation: Operation;
}

export interface Described {
  readonly routes: readonly Route[];
  readonly schemas: SchemasByName;
  /** What is wrong with an answer by the document; undefined where it fits. */
  unlike(
    route: Route,
    status: number,
    contentType: string,
    body: () => unknown,
  ): string | undefined;
  /** Whether a body fits the document; true where the route names none. */
  bodyFits(route: Route, body: unknown): boolean;
  problemFits(body: unknown): boolean;
}

export function described(document: OpenApi): Described {
  const ajv = new Ajv2020({ strict: false, allErrors: false, validateFormats: true });
  addFormats(ajv);
  ajv.addSchema({ $id: 'document', ...document });
  const validators = new Map<string, ValidateFunction>();
  const validatorAt = (pointer: string): ValidateFunction => {
    const known = validators.get(pointer);
    if (known !== undefined) return known;
    const made = ajv.compile({ $ref: `document#${pointer}` });
    validators.set(pointer, made);
    return made;
  };
  const routes = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => routeOf(path, method, operation)),
  );
  return {
    routes,
    schemas: document.components.schemas,
    unlike: ({ operation, method, url }, status, contentType, body) => {
      const answer = operation.responses[String(status)];
      if (answer === undefined) return `status ${String(status)} is not documented`;
      const type = contentType.split(';')[0] ?? '';
      const { content } = answer;
      if (content === undefined)
        return type === '' ? undefined : `${type} where nothing is answered`;
      if (content[type] === undefined) return `content type ${type || 'none'} is not documented`;
      if (!/[/+]json$/.test(type) || content[type].schema?.type === 'string') return undefined;
      const pointer = [
        'paths',
        pathOf(url),
        method.toLowerCase(),
        'responses',
        String(status),
        'content',
        type,
        'schema',
      ];
      const validate = validatorAt(pointer.map((step) => `/${escaped(step)}`).join(''));
      return validate(body()) ? undefined : ajv.errorsText(validate.errors, { dataVar: 'answer' });
    },
    bodyFits: ({ method, url, body }, given) => {
      if (body === undefined) return true;
      const pointer = [
        'paths',
        pathOf(url),
        method.toLowerCase(),
        'requestBody',
        'content',
        'application/json',
        'schema',
      ];
      return validatorAt(pointer.map((step) => `/${escaped(step)}`).join(''))(given);
    },
    problemFits: (body) => validatorAt('/components/schemas/Problem')(body),
  };
}

const pathOf = (url: string): string => url.replaceAll(/:(\w+)/g, '{$1}');
const escaped = (step: string): string =>
  encodeURIComponent(step.replaceAll('~', '~0').replaceAll('/', '~1'));

function routeOf(path: string, lowerMethod: string, operation: Operation): Route {
  const method = lowerMethod.toUpperCase();
  const url = path.replaceAll(/\{(\w+)\}/g, ':$1');
  const permission = `${method} ${url}`;
  const who = (PERMISSIONS as Readonly<Record<string, Who>>)[permission];
  if (who === undefined) throw new Error(`${permission} is not in the table`);
  const { parameters = [] } = operation;
  const named = (place: 'path' | 'query') =>
    Object.fromEntries(
      parameters.filter((each) => each.in === place).map(({ name, schema }) => [name, schema]),
    );
  return {
    permission,
    method,
    url,
    who,
    params: named('path'),
    query: named('query'),
    queryRequired: parameters
      .filter((each) => each.in === 'query' && each.required)
      .map(({ name }) => name),
    body: operation.requestBody?.content['application/json']?.schema,
    keyed: parameters.some(({ name }) => name === 'idempotency-key'),
    operation,
  };
}
