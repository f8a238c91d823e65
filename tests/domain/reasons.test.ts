/** The catalogue of refusals as a whole: its form, that nothing in it hides anything else, and that all of it is used. */
import fs from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { reason, REASONS, type ReasonCode } from '../../src/domain/reasons/index.ts';
import { REASON_KINDS, type Facts, type ReasonEntry } from '../../src/domain/reasons/reason.ts';

const FOLDER = path.resolve(import.meta.dirname, '../../src/domain/reasons');
const NO_SUBJECT = ['index.ts', 'reason.ts', 'figures.ts', 'measures.ts'];
const TESTS = path.resolve(import.meta.dirname, '..');
const SOURCE = path.resolve(import.meta.dirname, '../../src');
const MIGRATIONS = path.resolve(import.meta.dirname, '../../prisma/migrations');

/** All that is written in the program files of a folder, in one. */
const textUnder = (folder: string, counts: (file: string) => boolean): string =>
  fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(ts|tsx|sql)$/.test(file) && counts(file))
    .map((file) => fs.readFileSync(path.join(folder, file), 'utf8'))
    .join('\n');

type Catalogue = Readonly<Record<string, ReasonEntry<Facts>>>;

/** The catalogues of the subjects, file by file. */
const subjects = await Promise.all(
  fs
    .readdirSync(FOLDER)
    .filter((file) => file.endsWith('.ts') && !NO_SUBJECT.includes(file))
    .map(async (file) => {
      const module = (await import(path.join(FOLDER, file))) as Readonly<Record<string, unknown>>;
      const [name, ...others] = Object.keys(module).filter((key) => key.endsWith('_REASONS'));
      if (name === undefined || others.length > 0) throw new Error(`${file}: one catalogue a file`);
      return { file, entries: module[name] as Catalogue };
    }),
);

const all = Object.entries(REASONS as unknown as Catalogue);

/** Stands for any fact: a figure, a word or a list, whatever the words do with it. */
const anyFact = (key: string | symbol): unknown => {
  if (key === 'typedIn' || /unit$/i.test(String(key))) return 'N.m';
  const list = ['some'];
  return new Proxy(Object('7'), {
    get(seven: object, method: string | symbol): unknown {
      if (method === Symbol.toPrimitive || method === 'toString') return () => '7';
      if (method === 'toFixed') return () => '7';
      const owner = method in list && !(method in seven) ? list : seven;
      const value: unknown = Reflect.get(owner, method, owner === list ? list : String(seven));
      return typeof value === 'function' ? value.bind(owner === list ? list : '7') : value;
    },
  });
};
const ANY_FACTS = new Proxy({}, { get: (_none, key) => anyFact(key) }) as Facts;

describe('the catalogue of refusals', () => {
  it('has every subject’s codes, and none of them twice', () => {
    const told = subjects.flatMap(({ file, entries }) =>
      Object.keys(entries).map((code) => [code, file] as const),
    );
    const twice = told.filter(([code], at) => told.findIndex(([other]) => other === code) !== at);
    expect(twice).toEqual([]);
    expect(all.map(([code]) => code).toSorted()).toEqual(told.map(([code]) => code).toSorted());
    for (const { entries } of subjects) {
      for (const [code, line] of Object.entries(entries)) {
        expect(REASONS[code as ReasonCode], code).toBe(line);
      }
    }
  });

  it.each(all)('%s is written as every other', (code, { rule, kind, title }) => {
    expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
    expect(REASON_KINDS).toContain(kind);
    if (rule !== null) expect(rule).toMatch(/^R([1-9]|1[0-6])$/);
    expect(title).toMatch(/^\p{Lu}.*[^.\s]$/u);
  });

  it.each(all)('%s says what is wrong and the way out, in whole sentences', (code) => {
    const { detail, wayOut, facts, field } = reason(code as ReasonCode, ANY_FACTS as never, '/x');
    for (const words of [detail, wayOut]) {
      // A check's own question may stand at the end.
      expect(words).toMatch(/\S.*[.?!7]$/s);
      expect(words).not.toMatch(/undefined|NaN|\[object|\$\{/);
    }
    expect(facts).toBe(ANY_FACTS);
    expect(field).toBe('/x');
  });

  it('names a field only where one is to blame', () => {
    expect(reason('threadlocker-missing', {})).not.toHaveProperty('field');
  });

  it('has a refusal for each rule that refuses, and for each kind', () => {
    const rules = new Set(all.map(([, line]) => line.rule));
    for (const rule of ['R1', 'R2', 'R3', 'R4', 'R5', 'R6', 'R7', 'R8', 'R9', 'R10'] as const) {
      expect(rules).toContain(rule);
    }
    for (const rule of ['R13', 'R14', 'R15'] as const) expect(rules).toContain(rule);
    expect(new Set(all.map(([, line]) => line.kind))).toEqual(new Set(REASON_KINDS));
  });

  it('has no code that the program never gives', () => {
    const given = textUnder(SOURCE, (file) => !/^(generated|domain.reasons)/.test(file));
    const inSql = textUnder(MIGRATIONS, () => true);
    const gives = (code: string) => given.includes(`'${code}'`) || inSql.includes(`'${code}'`);
    expect(all.map(([code]) => code).filter((code) => !gives(code))).toEqual([]);
  });

  it('has no code that no test names', () => {
    const written = textUnder(TESTS, (file) => path.basename(file) !== 'reasons.test.ts');
    const names = (code: string) => new RegExp(`(?<![\\w-])${code}(?![\\w-])`).test(written);
    expect(all.map(([code]) => code).filter((code) => !names(code))).toEqual([]);
  });
});
