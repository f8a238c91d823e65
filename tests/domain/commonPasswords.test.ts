import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isCommonPassword } from '../../src/domain/commonPasswords.ts';

const list = new Set(['password', 'letmein', 'dragon', 'horse', 'battery', 'staple', 'correct']);
const context = ['castbook', 'Prosthetics Kleinlauf', 'Ada Keys', 'ada.keys@kl.example'];
const isCommon = (password: string) => isCommonPassword(password, { list, context });

describe('what is among the first to be guessed', () => {
  test.each([
    ['a listed password', 'password'],
    ['twice', 'passwordpassword'],
    ['twice, written otherwise', 'Passwörd_PASSWORD'.replace('ö', 'o')],
    ['with blanks between', 'p a s s w o r d p a s s w o r d'],
    ['with figures for letters', 'P4ssw0rd-P4$$w0rd'],
    ['with a year behind it', 'letmeinletmein2026'],
    ['with the service before it', 'castbook-dragon-26'],
    ['with the clinic’s name', 'Kleinlauf Kleinlauf'],
    ['the clinic’s name alone', 'ProstheticsKleinlauf'],
    ['with one’s own name', 'AdaKeys password!'],
    ['one’s own address', 'ada.keys@kl.example'],
    ['one’s own name over and over', 'Ada Ada Ada Ada Ada'],
    ['one character', 'aaaaaaaaaaaaaaaaaa'],
    ['blanks', '                 '],
    ['signs', '!!!!!!!!!!!!!!!!!!'],
    ['runs', 'aaaaaabbbbbbcccccc'],
    ['a few characters over and over', 'x7Qx7Qx7Qx7Qx7Qx7'],
    ['six characters over and over', 'k9w2zmk9w2zmk9w2zm'],
    ['a row of the keyboard', 'qwertyuiopasdfghjkl'],
    ['a row backwards', 'poiuytrewq09876543'],
    ['a German row', 'qwertzuiopyxcvbnm'],
    ['slants', '1qaz2wsx3edc4rfv5tgb'],
    ['counting', '123456789012345678'],
    ['the alphabet', 'abcdefghijklmnopq'],
    ['accents', 'pásswórd pàsswòrd'],
    ['full-width letters', 'ｐａｓｓｗｏｒｄｐａｓｓｗｏｒｄ'],
  ])('%s', (_what, password) => {
    expect(isCommon(password)).toBe(true);
  });

  test.each([
    ['a sentence of the bench', 'lamination cures overnight'],
    ['different listed words, which is a sentence', 'correct horse battery staple'],
    ['a listed word and something of one’s own', 'dragon over the workshop roof'],
    ['one’s name within a sentence', 'Ada laminates on Thursdays'],
    ['seven characters over and over', 'k9w2zmqk9w2zmq!'],
    ['chance', 'v8#Rk2!qLz9@tWm4x'],
    ['another script', '断端を石膏で採型する火曜日の午後に'],
    ['nothing', ''],
  ])('not %s', (_what, password) => {
    expect(isCommon(password)).toBe(false);
  });

  test('five characters of one’s own are enough, four are not', () => {
    expect(isCommon('passwordpasswordzkvw')).toBe(true);
    expect(isCommon('passwordpasswordzkvwj')).toBe(false);
  });

  test('however a listed word is repeated and written', () => {
    const piece = fc.constantFrom('password', 'PASSWORD', 'P4ssw0rd', 'Pass-word', 'pássword');
    const joint = fc.constantFrom('', ' ', '-', '_', '.');
    const repeated = fc
      .array(fc.tuple(piece, joint), { minLength: 2, maxLength: 12 })
      .map((pieces) => pieces.flat().join(''));
    fc.assert(fc.property(repeated, (password) => isCommon(password)));
  });

  test('whatever part of the context is put together, in whatever order, with a year', () => {
    const words = ['castbook', 'Prosthetics', 'Kleinlauf', 'Keys', 'Ada', 'example'];
    const password = fc
      .tuple(
        fc.array(fc.constantFrom(...words), { minLength: 2, maxLength: 8 }),
        fc.integer({ min: 1900, max: 2100 }),
      )
      .map(([parts, year]) => parts.join('') + String(year));
    fc.assert(fc.property(password, isCommon));
  });

  test('chance of letters is not, and two hundred of anything are judged', () => {
    const letters = fc.constantFrom(...Array.from('bdfhjkmptvwxz'));
    fc.assert(
      fc.property(fc.string({ unit: letters, minLength: 15, maxLength: 40 }), (password) => {
        // What repeats by chance, or runs, is found only in what has few different pairs.
        const pairs = new Set(Array.from(password).map((c, i) => c + (password[i + 1] ?? '')));
        fc.pre(pairs.size >= 13);
        return !isCommonPassword(password, { list, context: ['castbook'] });
      }),
    );
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 200 }),
        (password) => typeof isCommon(password) === 'boolean',
      ),
    );
  });
});
