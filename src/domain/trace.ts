/**
 * The trace: what a socket is made of, where a part has been, who did what. It is
 * asked by one key at a time and answered as one timeline. Who may ask by which
 * key follows what each role's work needs (minimum necessary, 45 CFR 164.502(b)).
 */
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import type { Role } from './words.ts';

export const TRACE_KEYS = [
  'patient',
  'order',
  'socket',
  'serial',
  'lot',
  'batch',
  'tool',
  'person',
] as const;
export type TraceKey = (typeof TRACE_KEYS)[number];

/** What a row of the timeline tells of. */
export const TRACE_KINDS = [
  'order',
  'cast',
  'measures',
  'volume_decision',
  'stage',
  'socket',
  'move',
  'operation',
  'batch_use',
  'layup',
  'recipe',
  'weighing',
  'torque',
  'lock_check',
  'alignment',
  'fitting',
  'finding',
  'delivery',
  'service',
  'signature',
  'calibration',
  'part_draft',
] as const;
export type TraceKind = (typeof TRACE_KINDS)[number];

/** The bench asks by things, the front desk by patients and orders; the rest by anything. */
const MAY_ASK_BY = {
  patient: ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  order: ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  socket: ['technician', 'prosthetist', 'auditor', 'administrator'],
  serial: ['technician', 'prosthetist', 'auditor', 'administrator'],
  lot: ['technician', 'prosthetist', 'auditor', 'administrator'],
  batch: ['technician', 'prosthetist', 'auditor', 'administrator'],
  tool: ['technician', 'prosthetist', 'auditor', 'administrator'],
  person: ['prosthetist', 'auditor', 'administrator'],
} as const satisfies Record<TraceKey, readonly Role[]>;

/** Whose roles ask by any person: the rest, where they may ask by person, ask by themselves. */
const ASKS_BY_ANYBODY: readonly Role[] = ['auditor', 'administrator'];

/**
 * Whether somebody may ask what a person did: oneself always, another one only who audits
 * or administers; else 'trace-person-not-you'.
 */
export function mayTracePerson(
  personId: string,
  asker: { readonly personId: string; readonly roles: readonly Role[] },
): Verdict<string> {
  const own = personId === asker.personId;
  if (own || asker.roles.some((role) => ASKS_BY_ANYBODY.includes(role))) return granted(personId);
  return refused([reason('trace-person-not-you', {}, '/person')]);
}

/** Whether somebody with these roles may ask the trace by this key; else 'trace-key-not-yours'. */
export function mayTraceBy(by: TraceKey, roles: readonly Role[]): Verdict<TraceKey> {
  const allowed: readonly Role[] = MAY_ASK_BY[by];
  if (roles.some((role) => allowed.includes(role))) return granted(by);
  return refused([reason('trace-key-not-yours', { by, roles: allowed }, `/${by}`)]);
}
