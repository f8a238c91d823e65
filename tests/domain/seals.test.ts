/** What is personal stands under a seal in the chain, and open beside it. */
import { describe, expect, test } from 'vitest';
import { openValues, sealedText, sealOf, sealsOf, withValues } from '../../src/domain/seals.ts';

const added = { chartNumber: 'CH-1', givenName: 'Ilka', phone: null, notTheSameAs: [] };
const changed = { before: { phone: '01' }, after: { phone: null, familyName: 'Inventum' } };

describe('personal values of a patient’s event', () => {
  test('are found at the top and under before and after; what is empty hides nothing', () => {
    expect([...openValues(added)]).toEqual([['givenName', 'Ilka']]);
    expect([...openValues(changed)]).toEqual([
      ['before.phone', '01'],
      ['after.familyName', 'Inventum'],
    ]);
    expect([...openValues({ before: 'casting', after: ['phone'] })]).toEqual([]);
  });

  test('are replaced by their seals, which are found again, and put back', () => {
    const seals = new Map(
      [...openValues(changed).keys()].map((path) => [path, sealOf(`#${path}`)]),
    );
    const sealed = withValues(changed, seals);
    expect(sealed).toEqual({
      before: { phone: { sealedSha256: '#before.phone' } },
      after: { phone: null, familyName: { sealedSha256: '#after.familyName' } },
    });
    expect([...openValues(sealed)]).toEqual([]);
    expect([...sealsOf(sealed)]).toEqual([
      ['before.phone', '#before.phone'],
      ['after.familyName', '#after.familyName'],
    ]);
    expect(withValues(sealed, openValues(changed))).toEqual(changed);
    expect(withValues(added, new Map([['givenName', sealOf('#')]]))).toEqual({
      ...added,
      givenName: { sealedSha256: '#' },
    });
  });

  test('an object that only looks like a seal is a value', () => {
    expect([...sealsOf({ phone: { sealedSha256: 7 } })]).toEqual([]);
    expect([...openValues({ address: ['Lane 1'] }).keys()]).toEqual(['address']);
  });

  test('the seal is over salt and value, so that equal values have different seals', () => {
    expect(sealedText({ salt: 'ab', value: '01' })).toBe('["ab","01"]');
  });
});
