/** What is personal stands under a seal in the chain, and open beside it. */
import { describe, expect, test } from 'vitest';
import {
  isSeal,
  isSealed,
  isToldErased,
  openValues,
  sealedText,
  sealOf,
  sealsOf,
  withValues,
} from '../../src/domain/seals.ts';

const added = { chartNumber: 'CH-1', givenName: 'Ilka', phone: null, notTheSameAs: [] };
const changed = { before: { phone: '01' }, after: { phone: null, familyName: 'Inventum' } };

describe('personal values of a patient’s event', () => {
  test('are found at the top and under before and after; what is empty hides nothing', () => {
    expect([...openValues('patient', added)]).toEqual([['givenName', 'Ilka']]);
    expect([...openValues('patient', changed)]).toEqual([
      ['before.phone', '01'],
      ['after.familyName', 'Inventum'],
    ]);
    expect([...openValues('patient', { before: 'casting', after: ['phone'] })]).toEqual([]);
  });

  test('are replaced by their seals, which are found again, and put back', () => {
    const seals = new Map(
      [...openValues('patient', changed).keys()].map((path) => [path, sealOf(`#${path}`)]),
    );
    const sealed = withValues(changed, seals);
    expect(sealed).toEqual({
      before: { phone: { sealedSha256: '#before.phone' } },
      after: { phone: null, familyName: { sealedSha256: '#after.familyName' } },
    });
    expect([...openValues('patient', sealed)]).toEqual([]);
    expect([...sealsOf(sealed)]).toEqual([
      ['before.phone', '#before.phone'],
      ['after.familyName', '#after.familyName'],
    ]);
    expect(withValues(sealed, openValues('patient', changed))).toEqual(changed);
    expect(withValues(added, new Map([['givenName', sealOf('#')]]))).toEqual({
      ...added,
      givenName: { sealedSha256: '#' },
    });
  });

  test('are of the kind of subject: what was said at a booking is, a finding’s note is not', () => {
    const said = { note: 'Comes with a daughter', why: null, whyBefore: 'ill', before: 'booked' };
    expect([...openValues('appointment', said)]).toEqual([
      ['note', 'Comes with a daughter'],
      ['whyBefore', 'ill'],
    ]);
    expect([...openValues('patient', said)]).toEqual([]);
    expect([...openValues('finding', { ...said, ...added })]).toEqual([]);
    expect(['patient', 'appointment', 'finding'].map(isSealed)).toEqual([true, true, false]);
  });

  test('a value that was erased is told by which erasure, and by nothing that looks like it', () => {
    expect(isToldErased({ erased: '0192' })).toBe(true);
    const others = ['erased', null, 7, {}, { erased: 7 }, { erased: '0192', by: 'Pia' }];
    for (const other of others) expect(isToldErased(other)).toBe(false);
  });

  test('an object that only looks like a seal is a value', () => {
    expect([...sealsOf({ phone: { sealedSha256: 7 } })]).toEqual([]);
    expect([sealOf('#'), { sealedSha256: 7 }, ['#'], '#', null].map(isSeal)).toEqual([
      true,
      ...Array<boolean>(4).fill(false),
    ]);
    expect([...openValues('patient', { address: ['Lane 1'] }).keys()]).toEqual(['address']);
  });

  test('the seal is over salt and value, so that equal values have different seals', () => {
    expect(sealedText({ salt: 'ab', value: '01' })).toBe('["ab","01"]');
  });
});
