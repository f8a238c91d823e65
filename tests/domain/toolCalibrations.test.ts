import { describe, expect, it } from 'vitest';
import { judgeCertificate } from '../../src/domain/toolCalibrations.ts';
import { day } from '../support/limbs.ts';

const ENTERED = [
  { certificate: 'K-2', calibratedOn: day('2026-02-01') },
  { certificate: 'K-1', calibratedOn: day('2025-02-03') },
];
const codes = (certificate: string, calibratedOn: string) =>
  judgeCertificate('Wrench', ENTERED, { certificate, calibratedOn: day(calibratedOn) }).map(
    ({ code, field, facts }) => [code, field, facts['certificate']],
  );

describe('a certificate of a torque tool as it is entered (R4)', () => {
  it('is entered once, whatever day is written beside it', () => {
    expect(codes('k-2', '2026-02-20')).toEqual([
      ['certificate-already-entered', '/certificate', 'K-2'],
    ]);
    expect(codes('K-2', '2026-02-01').map(([code]) => code)).toEqual([
      'tool-calibrated-that-day',
      'certificate-already-entered',
    ]);
  });

  it('is the only one of its day', () => {
    expect(codes('K-3', '2025-02-03')).toEqual([
      ['tool-calibrated-that-day', '/calibratedOn', 'K-1'],
    ]);
  });

  it('may be older than the newest: it is the record of its day', () => {
    expect(codes('K-0', '2024-02-05')).toEqual([]);
  });
});
