/**
 * Facts for every code of the catalogue of refusals, made by fast-check from the types that
 * the catalogue's source gives them: a code that is added tomorrow has facts tomorrow.
 */
import fs from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import type { Fact, Facts } from '../../src/domain/reasons/reason.ts';
import {
  BATCH_KINDS,
  FASTENER_SIZES,
  PROPERTY_CLASSES,
  TORQUE_TOOL_CLASSES,
  TORQUE_TOOL_TYPES,
  TORQUE_UNITS,
} from '../../src/domain/words.ts';

const FOLDER = path.resolve(import.meta.dirname, '../../src/domain/reasons');

/** A name that is no word of any language. */
const name = fc.integer({ min: 100, max: 999 }).map((n) => `XQ${String(n)}`);
const count = fc.integer({ min: 1, max: 999 });
const figure = fc.integer({ min: 1, max: 99_999 }).map((n) => n / 100);
/** Measures and amounts have decimals; fasteners, cups and orders are counted. */
const MEASURED =
  /(Mm|Kg|Nm|G|Percent|Hours|C|N|Deg|Ml|Minutes|Minor)$|^(value|greatest|left|wanted|min|max|nutFactor|minutes\w+|daysLeft|daysUsual|ply)$/;

const CLOSED: Readonly<Record<string, readonly string[]>> = {
  BatchKind: BATCH_KINDS,
  FastenerSize: FASTENER_SIZES,
  PropertyClass: PROPERTY_CLASSES,
  TorqueToolClass: TORQUE_TOOL_CLASSES,
  TorqueToolType: TORQUE_TOOL_TYPES,
  TorqueUnit: TORQUE_UNITS,
};

function factOf(fact: string, type: string): fc.Arbitrary<Fact> {
  const options = type.split('|').map((each) => each.trim());
  if (options.length > 1) return fc.oneof(...options.map((each) => factOf(fact, each)));
  const [only = ''] = options;
  const list = /^readonly (\w+)\[\]$/.exec(only);
  if (list !== null) {
    return fc.array(factOf(fact, list[1] ?? ''), { minLength: 1, maxLength: 3 }) as fc.Arbitrary<
      string[]
    >;
  }
  const closed = CLOSED[only];
  if (closed !== undefined) return fc.constantFrom(...closed);
  const literal = /^'(.*)'$/.exec(only);
  if (literal !== null) return fc.constant(literal[1] ?? '');
  if (only === 'string') return name;
  if (only === 'number') return MEASURED.test(fact) ? figure : count;
  if (only === 'boolean') return fc.boolean();
  if (only === 'null') return fc.constant(null);
  throw new Error(`No facts can be made of ${type}`);
}

const ENTRY = /^ {2}'?([a-z-]+)'?: entry<\s*(Record<\w+, never>|\{[^}]*\})\s*>\(/gm;

/** Every code with facts of its type. */
export const FACTS_BY_CODE: ReadonlyMap<string, fc.Arbitrary<Facts>> = new Map(
  fs
    .readdirSync(FOLDER)
    .flatMap((file) => [...fs.readFileSync(path.join(FOLDER, file), 'utf8').matchAll(ENTRY)])
    .map(([, code = '', types = '']) => [
      code,
      fc.record(
        Object.fromEntries(
          [...types.matchAll(/(\w+): ([^;}]+)/g)].map(([, fact = '', type = '']) => [
            fact,
            factOf(fact, type.trim()),
          ]),
        ),
      ),
    ]),
);
