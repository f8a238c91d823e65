/**
 * The one catalogue of refusals. RFC 9457 `type`, the page that explains each
 * problem and the browser's texts are all made from it.
 */
import { ALIGNMENT_REASONS } from './alignment.ts';
import { QUALITY_REASONS } from './quality.ts';
import { ACCESS_REASONS } from './access.ts';
import { APPOINTMENT_REASONS } from './appointments.ts';
import { BENCH_TIME_REASONS } from './benchTime.ts';
import { CATALOGUE_REASONS } from './catalogue.ts';
import { COLUMN_KEY_REASONS } from './columnKeys.ts';
import { CHANGE_REASONS } from './changes.ts';
import { COST_REASONS } from './cost.ts';
import { CUSTODY_REASONS } from './custody.ts';
import { DATE_REASONS } from './dates.ts';
import { DELIVERY_REASONS } from './delivery.ts';
import { IDENTIFIER_REASONS } from './identifiers.ts';
import { LAYUP_REASONS } from './layup.ts';
import { LIMB_REASONS } from './limb.ts';
import { LOCK_CHECK_REASONS } from './lockCheck.ts';
import { LONG_WORK_REASONS } from './longWork.ts';
import { OPENID_REASONS } from './openid.ts';
import { ORDER_REASONS } from './orders.ts';
import { PAPERS_REASONS } from './papers.ts';
import { PATIENT_REASONS } from './patients.ts';
import { PICTURE_REASONS } from './pictures.ts';
import { RANGE_REASONS } from './ranges.ts';
import { RATED_MASS_REASONS } from './ratedMass.ts';
import { RECORD_REASONS } from './record.ts';
import { REQUEST_REASONS } from './request.ts';
import { RESIN_REASONS } from './resin.ts';
import { RIGHTS_REASONS } from './rights.ts';
import { SECOND_FACTOR_REASONS } from './secondFactor.ts';
import { TORQUE_REASONS } from './torque.ts';
import { TRACE_REASONS } from './trace.ts';
import { UDI_REASONS } from './udi.ts';
import { WORK_REASONS } from './work.ts';
import { SI } from './measures.ts';
import type { Facts, Reason, ReasonEntry } from './reason.ts';

export type { Fact, Facts, Reason, ReasonEntry, ReasonKind } from './reason.ts';

export const REASONS = {
  ...ALIGNMENT_REASONS,
  ...QUALITY_REASONS,
  ...RESIN_REASONS,
  ...RANGE_REASONS,
  ...LIMB_REASONS,
  ...LAYUP_REASONS,
  ...COST_REASONS,
  ...ACCESS_REASONS,
  ...APPOINTMENT_REASONS,
  ...BENCH_TIME_REASONS,
  ...CATALOGUE_REASONS,
  ...CHANGE_REASONS,
  ...COLUMN_KEY_REASONS,
  ...CUSTODY_REASONS,
  ...DATE_REASONS,
  ...DELIVERY_REASONS,
  ...IDENTIFIER_REASONS,
  ...LOCK_CHECK_REASONS,
  ...LONG_WORK_REASONS,
  ...OPENID_REASONS,
  ...ORDER_REASONS,
  ...PAPERS_REASONS,
  ...PATIENT_REASONS,
  ...PICTURE_REASONS,
  ...RATED_MASS_REASONS,
  ...RECORD_REASONS,
  ...REQUEST_REASONS,
  ...RIGHTS_REASONS,
  ...SECOND_FACTOR_REASONS,
  ...TORQUE_REASONS,
  ...TRACE_REASONS,
  ...UDI_REASONS,
  ...WORK_REASONS,
};

export type ReasonCode = keyof typeof REASONS;
export type FactsOf<C extends ReasonCode> =
  (typeof REASONS)[C] extends ReasonEntry<infer F> ? F : never;

/**
 * Writes one reason in words.
 * @param field JSON Pointer to the request's field, where one is to blame.
 */
export function reason<C extends ReasonCode>(code: C, facts: FactsOf<C>, field?: string): Reason {
  // The catalogue line and its facts are tied by C; TypeScript cannot follow that through the union.
  const line = REASONS[code] as unknown as ReasonEntry<Facts>;
  return {
    code,
    rule: line.rule,
    kind: line.kind,
    title: line.title,
    detail: line.words(facts, SI),
    wayOut: line.wayOut(facts, SI),
    facts,
    ...(field === undefined ? {} : { field }),
  };
}
