/** The one catalogue of refusals in German: a code that is missing does not compile. */
import type { AllReasonWords } from '../reasons.ts';
import { ACCESS } from './reasons/access.ts';
import { ALIGNMENT } from './reasons/alignment.ts';
import { APPOINTMENTS } from './reasons/appointments.ts';
import { BENCH_TIME } from './reasons/benchTime.ts';
import { CATALOGUE } from './reasons/catalogue.ts';
import { CHANGES } from './reasons/changes.ts';
import { COLUMN_KEYS } from './reasons/columnKeys.ts';
import { COST } from './reasons/cost.ts';
import { CUSTODY } from './reasons/custody.ts';
import { DATES } from './reasons/dates.ts';
import { DELIVERY } from './reasons/delivery.ts';
import { IDENTIFIERS } from './reasons/identifiers.ts';
import { LAYUP } from './reasons/layup.ts';
import { LIMB } from './reasons/limb.ts';
import { LOCK_CHECK } from './reasons/lockCheck.ts';
import { LONG_WORK } from './reasons/longWork.ts';
import { OPENID } from './reasons/openid.ts';
import { ORDERS } from './reasons/orders.ts';
import { PAPERS } from './reasons/papers.ts';
import { PATIENTS } from './reasons/patients.ts';
import { PICTURES } from './reasons/pictures.ts';
import { QUALITY } from './reasons/quality.ts';
import { RANGES } from './reasons/ranges.ts';
import { RATED_MASS } from './reasons/ratedMass.ts';
import { RECORD } from './reasons/record.ts';
import { REQUEST } from './reasons/request.ts';
import { RESIN } from './reasons/resin.ts';
import { RIGHTS } from './reasons/rights.ts';
import { SECOND_FACTOR } from './reasons/secondFactor.ts';
import { TORQUE } from './reasons/torque.ts';
import { TRACE } from './reasons/trace.ts';
import { UDI } from './reasons/udi.ts';
import { WORK } from './reasons/work.ts';

export const REASONS_IN_GERMAN: AllReasonWords = {
  ...ACCESS,
  ...ALIGNMENT,
  ...APPOINTMENTS,
  ...BENCH_TIME,
  ...CATALOGUE,
  ...CHANGES,
  ...COLUMN_KEYS,
  ...COST,
  ...CUSTODY,
  ...DATES,
  ...DELIVERY,
  ...IDENTIFIERS,
  ...LAYUP,
  ...LIMB,
  ...LOCK_CHECK,
  ...LONG_WORK,
  ...OPENID,
  ...ORDERS,
  ...PAPERS,
  ...PATIENTS,
  ...PICTURES,
  ...QUALITY,
  ...RANGES,
  ...RATED_MASS,
  ...RECORD,
  ...REQUEST,
  ...RESIN,
  ...RIGHTS,
  ...SECOND_FACTOR,
  ...TORQUE,
  ...TRACE,
  ...UDI,
  ...WORK,
};
