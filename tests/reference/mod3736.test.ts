import { Mod37_36 } from '@konfirm/iso7064';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isValidMod3736, mod3736CheckCharacter } from '../../src/domain/orderNumber.ts';

/** Text, its published check character, and where that is published. */
const PUBLISHED = [
  ['A12425GABC1234002', 'M', 'Global Release Identifier documentation, example'],
  ['B159D8FA01240000', 'K', 'python-stdnum, iso7064.mod_37_36 doctest'],
  ['188166C734200000', '3', 'xbib standardnumber tests'],
  ['123AB', 'X', 'Lobster data manual, "checksum ISO 7064 Mod. 37/36"'],
  ['DADPIDA3897722461', 'J', 'Lobster data manual, "checksum ISO 7064 Mod. 37/36"'],
  ...[
    ['9', 'J'],
    ['OW', 'N'],
    ['1M', 'Q'],
    ['X0H', 'X'],
    ['RABD', 'A'],
    ['TBR', '1'],
    ['TRO', 'D'],
    ['WP8Z0', '9'],
    ['EFWW032G2TI', 'U'],
    ['B3739U6CR', 'K'],
    ['7LI6P5WTF2JHU', 'U'],
    ['KUHNOF8OA1NXCW', 'A'],
    ['KV0MFQXMAL4W5ICNH', 'P'],
    ['MM61BF7H6C2O86NNMW8ZY8V', '8'],
  ].map(([text = '', check = '']) => [text, check, 'test table of npm @konfirm/iso7064'] as const),
] as const;

describe('ISO/IEC 7064 MOD 37,36 as published (C9)', () => {
  it.each(PUBLISHED)('%s has check character %s (%s)', (text, check) => {
    expect(mod3736CheckCharacter(text)).toBe(check);
    expect(isValidMod3736(text + check)).toBe(true);
  });

  it('agrees with npm @konfirm/iso7064 on any text', () => {
    const unit = fc.constantFrom(...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ');
    fc.assert(
      fc.property(fc.string({ unit, minLength: 1, maxLength: 40 }), (text) => {
        expect(mod3736CheckCharacter(text)).toBe(Mod37_36.checksum(text));
      }),
      { numRuns: 500 },
    );
  });
});
