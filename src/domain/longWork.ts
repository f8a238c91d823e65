/**
 * Long work: what is asked for at once and done in many steps. It waits, is done by some
 * process, and ends once: done, cancelled by a person, or failed with a reason.
 */
import type { Role } from './words.ts';

export const LONG_WORK_KINDS = [
  'recall_of_many',
  'record_export',
  'parts_import',
  'patient_export',
] as const;
export type LongWorkKind = (typeof LONG_WORK_KINDS)[number];

export const LONG_WORK_STATES = ['waiting', 'running', 'done', 'cancelled', 'failed'] as const;
export type LongWorkState = (typeof LONG_WORK_STATES)[number];

/** Who may ask for which: whoever may ask for one recall, prove the record, or enter parts. */
const ASKED_BY = {
  recall_of_many: ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  record_export: ['auditor', 'administrator'],
  parts_import: ['administrator'],
  // A patient's own record: asked for and handed out by those who speak with patients.
  patient_export: ['front_desk', 'prosthetist'],
} as const satisfies Record<LongWorkKind, readonly Role[]>;

export const rolesFor = (kind: LongWorkKind): readonly Role[] => ASKED_BY[kind];

export const mayAskFor = (kind: LongWorkKind, roles: readonly Role[]): boolean =>
  roles.some((role) => rolesFor(kind).includes(role));

/**
 * Whether the result is handed only to who asked for it, whatever else a role sees: it says who a
 * patient is and how to reach them.
 */
export const isHandedToAskerOnly = (kind: LongWorkKind): boolean => kind === 'patient_export';

/** Whether people with these roles see everybody's long work; all others see their own. */
export const seesAllLongWork = (roles: readonly Role[]): boolean =>
  roles.includes('auditor') || roles.includes('administrator');

export const hasEnded = (state: LongWorkState): boolean =>
  state !== 'waiting' && state !== 'running';
