import { describe, expect, it } from 'vitest';
import { judgeBatchUse, type BatchFacts } from '../../src/domain/batches.ts';
import { codes, day } from '../support/limbs.ts';

const resin: BatchFacts = {
  lot: 'RES-1',
  kind: 'resin',
  expiresOn: day('2026-03-31'),
  quarantined: false,
  left: 500,
  unit: 'g',
};
const wanted = { kind: 'resin', amount: 300, on: day('2026-03-02') } as const;
const against = (batch: Partial<BatchFacts>, use: Partial<typeof wanted> = {}): string[] =>
  codes(judgeBatchUse({ ...resin, ...batch }, { ...wanted, ...use }, '/answers/resin'));

describe('drawing from a batch', () => {
  it('is free while it is the right one, in date, released and enough is left', () => {
    expect(against({})).toEqual([]);
    expect(against({ left: 300 })).toEqual([]);
    expect(against({ expiresOn: null })).toEqual([]);
  });

  it('is free on its last day, and refused on the day after', () => {
    expect(against({}, { on: day('2026-03-31') })).toEqual([]);
    expect(against({}, { on: day('2026-04-01') })).toEqual(['batch-expired']);
  });

  it('is refused from quarantine, of another kind, and past what is left', () => {
    expect(against({ quarantined: true })).toEqual(['batch-quarantined']);
    expect(against({ kind: 'hardener' })).toEqual(['batch-wrong-kind']);
    expect(against({ left: 299.9 })).toEqual(['batch-empty']);
  });

  it('asks for nothing of what is left where no amount is recorded', () => {
    expect(codes(judgeBatchUse({ ...resin, left: 0 }, { ...wanted, amount: null }, '/x'))).toEqual(
      [],
    );
  });

  it('names everything at once, each with the answer that it concerns', () => {
    const reasons = judgeBatchUse(
      { ...resin, kind: 'fabric', quarantined: true, left: 1, expiresOn: day('2025-01-01') },
      wanted,
      '/answers/resin',
    );
    expect(codes(reasons)).toEqual([
      'batch-wrong-kind',
      'batch-expired',
      'batch-quarantined',
      'batch-empty',
    ]);
    expect(reasons.every(({ field }) => field === '/answers/resin')).toBe(true);
    expect(reasons.at(-1)?.facts).toEqual({ lot: 'RES-1', left: 1, wanted: 300, unit: 'g' });
  });
});
