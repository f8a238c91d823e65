/**
 * Certificates of calibration of a torque tool (R4): what may be entered, and what a
 * certificate says of the joints that the tool closed before it. Calibrations count in the
 * order of their own days, not of their entry: one that is older than the newest is a
 * record of its day and makes no use of the tool undone.
 */
import type { Day } from './days.ts';
import { reason, type Reason } from './reasons/index.ts';

/** A certificate by its number and its day. */
export interface Certificate {
  readonly certificate: string;
  readonly calibratedOn: Day;
}

/**
 * Everything against a certificate beside those that are entered for the tool:
 * 'tool-calibrated-that-day', 'certificate-already-entered'. Entered again, it would count
 * the tool's uses from nought (ISO 6789-1:2017, 5.3: 5,000 between two calibrations).
 */
export function judgeCertificate(
  tool: string,
  entered: readonly Certificate[],
  { certificate, calibratedOn }: Certificate,
): Reason[] {
  const thatDay = entered.find((known) => known.calibratedOn === calibratedOn);
  const same = entered.find(
    (known) => known.certificate.toLowerCase() === certificate.toLowerCase(),
  );
  const facts = (known: Certificate) => ({
    tool,
    calibratedOn: known.calibratedOn,
    certificate: known.certificate,
  });
  return [
    ...(thatDay === undefined
      ? []
      : [reason('tool-calibrated-that-day', facts(thatDay), '/calibratedOn')]),
    ...(same === undefined
      ? []
      : [reason('certificate-already-entered', facts(same), '/certificate')]),
  ];
}
