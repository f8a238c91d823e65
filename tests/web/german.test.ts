/** The service's refusals in German: every code, no English left over, the same figures. */
import fs from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { reason, REASONS, type ReasonCode } from '../../src/domain/reasons/index.ts';
import { measuresIn } from '../../src/domain/reasons/measures.ts';
import type { Facts } from '../../src/domain/reasons/reason.ts';
import { IN_GERMAN } from '../../src/web/words/de/measures.ts';
import { REASONS_IN_GERMAN } from '../../src/web/words/de/reasons.ts';
import { satz } from '../../src/web/words/de/satz.ts';
import { wort } from '../../src/web/words/de/wort.ts';
import { zahl } from '../../src/web/words/de/zahl.ts';
import type { InWords } from '../../src/web/words/reasons.ts';
import * as lists from '../../src/domain/words.ts';
import { OPERATION_KINDS } from '../../src/domain/operations.ts';
import { FACTS_BY_CODE } from '../support/factsOfReasons.ts';

const german = REASONS_IN_GERMAN as unknown as Readonly<Record<string, InWords<Facts>>>;
const codes = Object.keys(REASONS) as ReasonCode[];

/** Words that English has and German has not. */
const ENGLISH =
  /\b(the|is|of|and|not|has|have|with|this|that|are|it|be|from|for|cannot|or|no|which|was there|at least|at most|asks|takes|again|first)\b/i;

/** Figures as figures, whatever mark stands between them. */
const figuresOf = (sentence: string): string[] =>
  [...new Set(sentence.match(/\d+/g) ?? [])].toSorted();

const said = (code: string, facts: Facts) => {
  const line = german[code];
  if (line === undefined) throw new Error(`${code} is not in the German catalogue`);
  return {
    title: line.title,
    detail: line.words(facts, IN_GERMAN),
    wayOut: line.wayOut(facts, IN_GERMAN),
  };
};

describe('the refusals in German', () => {
  test('are those of the service, no more and no less, and facts can be made for each', () => {
    expect(Object.keys(german).toSorted()).toEqual(codes.toSorted());
    expect([...FACTS_BY_CODE.keys()].toSorted()).toEqual(codes.toSorted());
  });

  test.each(codes)('%s is said in whole sentences, with the figures of the English', (code) => {
    const facts = FACTS_BY_CODE.get(code);
    if (facts === undefined) throw new Error(code);
    fc.assert(
      fc.property(facts, (made) => {
        const { title, detail, wayOut } = said(code, made);
        const english = reason(code, made as never);
        expect(title).toMatch(/^[\p{Lu}\d].*[^.\s]$/u);
        for (const sentence of [detail, wayOut]) {
          expect(sentence).toMatch(/\S.*[.?!\d]$/s);
          expect(sentence).not.toMatch(/undefined|NaN|\[object|\$\{/);
          expect(sentence).not.toMatch(ENGLISH);
          // A decimal point would be read as a thousand; names of standards and of screws have one.
          expect(sentence.replaceAll(/HTTP\/1\.1|4\.7\.3|8\.8|10\.9|12\.9/g, '')).not.toMatch(
            /\d\.\d/,
          );
        }
        expect(title).not.toMatch(ENGLISH);
        expect(title).not.toBe(english.title);
        expect(figuresOf(detail)).toEqual(figuresOf(english.detail));
      }),
      { numRuns: 20 },
    );
  });

  test('speak formally: nobody is called du', () => {
    for (const code of codes) {
      fc.assert(
        fc.property(FACTS_BY_CODE.get(code) ?? fc.constant({}), (made) => {
          expect(said(code, made).wayOut).not.toMatch(/\b(du|dein|deine|dich)\b/i);
        }),
        { numRuns: 3 },
      );
    }
  });

  test('say the figures in the units that are shown', () => {
    const pounds = measuresIn({ length: 'in', mass: 'lb', torque: 'lbf.in' }, zahl);
    const facts = { partName: 'Pin P', ratedBodyMassKg: 125, bodyMassKg: 130.5 };
    expect(REASONS_IN_GERMAN['mass-over-rating'].words(facts, pounds)).toBe(
      'Pin P ist bis 275,6 lb zugelassen; das Körpergewicht ist 287,7 lb.',
    );
    const wall = { what: 'Expected wall thickness', value: 9, least: 0.5, greatest: 8 };
    expect(
      REASONS_IN_GERMAN['value-out-of-range'].words(
        { ...wall, unit: 'mm', usual: '1 to 6 mm' },
        pounds,
      ),
    ).toBe(
      'Zu erwartende Wandstärke: 0,354 in; möglich sind 0,02 bis 0,315 in. Üblich: 0,039 bis 0,236 in.',
    );
  });
});

describe('the closed words of the record in German', () => {
  const words = [
    ...lists.ROLES,
    ...lists.SIDES,
    ...lists.LEVELS,
    ...lists.SUSPENSIONS,
    ...lists.STAGES,
    ...lists.HOLD_REASONS,
    ...lists.SOCKET_STATES,
    ...lists.CAST_STATES,
    ...lists.PART_KINDS,
    ...lists.SHOP_TOOL_KINDS,
    ...lists.POSITIONS,
    ...lists.BATCH_KINDS,
    ...lists.OPERATION_STATES,
    ...lists.FINDING_KINDS,
    ...lists.DISPOSITIONS,
    ...Object.keys(OPERATION_KINDS),
  ];
  // The trade says them alike.
  const ALIKE = ['pin', 'dummy'];

  test.each(words)('%s', (word) => {
    if (!ALIKE.includes(word)) expect(wort(word).toLowerCase()).not.toBe(word);
    expect(wort(word)).not.toMatch(/_/);
    expect(wort(word.replaceAll('_', ' '))).toBe(wort(word));
  });
});

describe('the phrases of the service in German', () => {
  const SOURCE = path.resolve(import.meta.dirname, '../../src');
  const phrases = ['domain', 'features', 'http'].flatMap((folder) =>
    fs
      .readdirSync(path.join(SOURCE, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts') && !file.startsWith('reasons'))
      .flatMap((file) => {
        const source = fs.readFileSync(path.join(SOURCE, folder, file), 'utf8');
        return [
          ...source.matchAll(/\b(?:what|usual|why|attempt|lacks|carried|message): '([^'\n]+)'/g),
        ].map(([, phrase = '']) => phrase.replaceAll('\\\\', '\\'));
      }),
  );
  // Written for the record or for the API's pages; no refusal says them.
  const ELSEWHERE = ['its hardware moved on', 'desc', 'text', 'text?', 'texts?'];
  const SAME = ['100 g', 'Flexion'];

  test('are found in its source', () => {
    expect(phrases.length).toBeGreaterThan(120);
  });

  test.each([...new Set(phrases)].filter((each) => !ELSEWHERE.includes(each)))('%s', (phrase) => {
    if (!SAME.includes(phrase)) expect(satz(phrase)).not.toBe(phrase);
    expect(satz(phrase)).not.toMatch(ENGLISH);
  });

  test.each([
    [
      'expired on 2026-03-01, before it was used',
      'ist am 01.03.2026 abgelaufen, bevor sie verwendet wurde',
    ],
    [
      'expired on 1 Mar 2026, before it was used',
      'ist am 01.03.2026 abgelaufen, bevor sie verwendet wurde',
    ],
    ['25 Dec 2026 is closed twice', 'Der 25.12.2026 ist zweimal geschlossen'],
    [
      'Wrench W, which closed it, was found beyond its permissible deviation on 2026-11-25 (certificate C-1)',
      'Wrench W, womit sie angezogen wurde, lag am 25.11.2026 außerhalb der zulässigen Abweichung (Zertifikat C-1)',
    ],
    ['A finding on “Trim”', 'Ein Befund an „Trim“'],
    ['Cup 2', 'Becher 2'],
    ['at least 290 g', 'mindestens 290 g'],
    ['290.5 to 310 g', '290,5 bis 310 g'],
    ['18 to 26 °C', '18 bis 26 °C'],
    ['0 to 10°', '0 bis 10°'],
    ['void: at the brim', 'Lufteinschluss: at the brim'],
    [
      'Carbon braid 150 mm: 2 layers, bias, reflected over the distal end',
      'Carbon braid 150 mm: 2 Lagen, unter 45°, am distalen Ende umgeschlagen',
    ],
    ['cup 2 (good)', 'Becher 2 (gut)'],
    [
      'cup 1 is not weighed; cup 2 is set, its work time is over: to be weighed afresh',
      'Becher 1 ist nicht eingewogen; Becher 2 ist fest, seine Verarbeitungszeit ist vorbei: frisch einzuwiegen',
    ],
    [
      'joint distal: never torqued on this socket; joint lock_plate: its screws are not in',
      'Verschraubung „distal“: an diesem Schaft nie angezogen; Verschraubung „Arretierungsplatte“: ihre Schrauben sind nicht eingesetzt',
    ],
    [
      'Socket KL-26-00001-X/D1 has nothing at lock. Socket KL-26-00001-X/D1 has nothing at pin.',
      'in Schaft KL-26-00001-X/D1 sind leer: Arretierung, Pin',
    ],
    ['flexion differs by -1.5 °', 'Flexion weicht um -1,5 ° ab'],
    ['expiry date (17), serial number (21), lot (10)', undefined],
    ['device identifier (01) 51022222233335', 'Produktkennung (01) 51022222233335'],
    ['has 21 characters; 1 to 20 are allowed', 'hat 21 Zeichen; erlaubt sind 1 bis 20'],
    [
      'Row “Nearly everybody” of the rules, version 1, proposes other layers. The rules take a fibre mass fraction of 0.5, not 0.55.',
      'Zeile „Nearly everybody“ der Regeln, Fassung 1, schlägt andere Lagen vor. Die Regeln nehmen einen Fasermassenanteil von 0,5, nicht 0,55.',
    ],
    [
      'Monday: minute 480 to 1441 is no opening time of its own within the day',
      'Montag: Minute 480 bis 1441 ist keine eigene Arbeitszeit innerhalb des Tages',
    ],
    ['Lock L 4711', 'Lock L 4711'],
  ])('%s', (phrase, inGerman) => {
    if (inGerman !== undefined) expect(satz(phrase)).toBe(inGerman);
  });
});
