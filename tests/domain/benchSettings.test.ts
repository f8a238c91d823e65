/** What a clinic may set for itself of all that the bench works out. */
import { describe, expect, test } from 'vitest';
import { questionBenchSettings, type BenchSettings } from '../../src/domain/benchSettings.ts';

const SET: BenchSettings = {
  plyMeans: 'percent',
  perPly: 1.2,
  volumeLimitPercent: 5,
  bagLossG: 40,
  resinMarginPercent: 10,
  scaleResolutionG: 0.1,
  labourRatePerHourMinor: 6_500,
  currency: 'EUR',
  reorderWindowDays: 90,
  reorderLeadDays: 14,
  reorderCoverDays: 60,
  wantedChance: 0.8,
  atRiskBelow: 0.5,
  usualCastingDays: 3,
  usualCheckFittingDays: 8,
  usualLaminationDays: 4,
  usualDeliveryDays: 3,
};
const against = (over: Partial<BenchSettings>) =>
  questionBenchSettings({ ...SET, ...over }).map(({ code, field }) => [code, field]);

describe('the settings of a clinic’s bench', () => {
  test('stand with money or without, and with a sock that is counted in either way', () => {
    expect(against({})).toEqual([]);
    expect(against({ labourRatePerHourMinor: null, currency: null })).toEqual([]);
    expect(against({ labourRatePerHourMinor: null })).toEqual([]);
    expect(against({ labourRatePerHourMinor: 0 })).toEqual([]);
    expect(against({ plyMeans: 'mL', perPly: 25 })).toEqual([]);
  });

  test('labour costs nothing without a currency to count it in', () => {
    expect(against({ currency: null })).toEqual([['prices-without-currency', '/currency']]);
  });

  test.each<[string, Partial<BenchSettings>, string]>([
    ['a ply of 25 %', { perPly: 25 }, '/perPly'],
    ['a ply of half a millilitre', { plyMeans: 'mL', perPly: 0.5 }, '/perPly'],
    ['labour below nothing', { labourRatePerHourMinor: -1 }, '/labourRatePerHourMinor'],
    ['a chance in per cent', { wantedChance: 80 }, '/wantedChance'],
    ['a risk in per cent', { atRiskBelow: 50 }, '/atRiskBelow'],
    ['a stage of less than nothing', { usualCastingDays: -1 }, '/usualCastingDays'],
    ['a stage of years', { usualDeliveryDays: 251 }, '/usualDeliveryDays'],
    ['a scale without steps', { scaleResolutionG: 0 }, '/scaleResolutionG'],
  ])('%s is questioned', (_title, over, field) => {
    expect(against(over)).toEqual([['value-out-of-range', field]]);
  });
});
