/**
 * A patient's whole record as one document: which tables stand in it with which columns, and why
 * others do not (`leftOut.ts`; 45 CFR 164.524: a person's right to a copy of what is kept about
 * them). The one list from which the file is made, its schema is written, and the paper is drawn; a
 * table or a column that is new and not named here fails a test.
 *
 * Names of other patients never stand in it. What a thing costs the clinic is no part of it: the
 * prices of pieces and batches are the clinic's own, and no table keeps what the patient paid.
 */
import type { SectionOf } from './columns.ts';
import { CAST_AND_SOCKETS } from './castAndSockets.ts';
import { FITTINGS_AND_DELIVERY } from './fittingsAndDelivery.ts';
import { HARDWARE_AND_TORQUE } from './hardwareAndTorque.ts';
import { LAYUP_AND_RESIN } from './layupAndResin.ts';
import { PATIENT_AND_ORDER } from './patientAndOrder.ts';
import { SIGNATURES_AND_RIGHTS } from './signaturesAndRights.ts';

/** In the order of the document; a row comes after what it points at where it can. */
export const PATIENT_RECORD = {
  ...PATIENT_AND_ORDER,
  ...CAST_AND_SOCKETS,
  ...LAYUP_AND_RESIN,
  ...HARDWARE_AND_TORQUE,
  ...FITTINGS_AND_DELIVERY,
  ...SIGNATURES_AND_RIGHTS,
} as const satisfies Record<string, SectionOf>;

export type Section = keyof typeof PATIENT_RECORD;
export const SECTIONS = Object.keys(PATIENT_RECORD) as readonly Section[];
