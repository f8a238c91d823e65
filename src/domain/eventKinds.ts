/**
 * Every kind of event that the record holds, with what it says in words (R11). What is
 * written names one of these; a kind without words cannot be written.
 */
export const EVENT_WORDS = {
  // Orders
  'order.opened': 'order opened',
  'order.changed': 'order changed',
  'order.put_on_hold': 'put on hold',
  'order.resumed': 'taken off hold',
  'order.stage_changed': 'stage changed',

  // Patients
  'patient.added': 'patient entered',
  'patient.changed': 'patient’s particulars changed',
  'body_mass.recorded': 'body mass recorded',
  'patient.export_asked': 'patient’s whole record asked for',
  'patient.record_exported': 'patient’s whole record made ready to hand out',
  'correction_request.recorded': 'patient asked for a correction',
  'correction_request.accepted': 'patient’s correction accepted',
  'correction_request.denied': 'patient’s correction denied',
  'correction_request.disagreed': 'patient’s statement of disagreement added',
  'record.corrected': 'record corrected by an addition',
  'legal_hold.placed': 'legal hold placed',
  'legal_hold.lifted': 'legal hold lifted',
  'erasure.asked': 'erasure asked for',
  'erasure.carried_out': 'erasure confirmed and carried out',
  'erasure.withdrawn': 'erasure withdrawn',
  'patient.opened': 'fields opened for a reason',
  'patient.opening_reviewed': 'opening of fields reviewed',

  // Limb and casts
  'cast.taken': 'cast taken',
  'cast.accepted': 'cast accepted',
  'cast.rejected': 'cast rejected',
  'limb.measured': 'limb measured',
  'limb.change_decided': 'decided what the limb’s change means',

  // Sockets and their operations
  'socket.started': 'socket started',
  'socket.accepted': 'socket accepted',
  'socket.rejected': 'socket rejected',
  'socket.scrapped': 'socket scrapped',
  'socket.delivered': 'socket delivered',
  'socket.retired': 'socket retired',
  'operation.done': 'operation done',
  'operation.stopped': 'operation stopped',
  'operation.left_out': 'operation left out',
  'operation.held_up': 'operation stopped by a finding',
  'operation.released': 'stopped operation released',
  'socket.cured': 'lamination cured',
  'socket.chamber_inspected': 'lock chamber inspected',
  'cast.model_broken_out': 'model broken out',
  'operation.to_do_again': 'operation to be done again',

  // Layup and resin
  'layup.drafted': 'layup drafted',
  'layup.approved': 'layup approved',
  'resin_recipe.made': 'resin recipe made',
  'cup.weighed': 'cup of resin weighed',
  'cup.stopped': 'cup of resin stopped',

  // Hardware, torque and lock
  'custody.moved': 'moved',
  'hardware.transferred': 'hardware transferred',
  'torque.confirmed': 'joint torqued and confirmed',
  'torque.recorded_without_confirming': 'torque recorded, joint not confirmed',
  'lock.checked': 'lock check passed',
  'lock.failed_check': 'lock check not passed',

  // Fit, findings, signatures
  'alignment.measured': 'alignment measured',
  'fit.rejected': 'fit rejected',
  'finding.opened': 'finding opened',
  'finding.closed': 'finding closed',
  'record.signed': 'signed',

  // After delivery
  'service.opened': 'service visit opened',
  'service.closed': 'service visit closed',

  // Stock and catalogue
  'stock.received': 'stock received',
  'item.changed': 'piece’s entry changed',
  'place.made': 'place made',
  'part.added': 'part entered',
  'part.changed': 'part’s entry changed',
  'part_draft.made': 'unknown part noted from its label',
  'part_draft.resolved': 'noted part entered in the catalogue',
  'part_draft.set_aside': 'noted part set aside',
  'torque_setting.recorded': 'torque setting entered',
  'batch.received': 'batch received',
  'batch.changed': 'batch’s entry changed',
  'batch.opened': 'batch opened',
  'batch.quarantined': 'batch put into quarantine',
  'fabric.added': 'fabric entered',
  'fabric.changed': 'fabric’s entry changed',
  'resin_product.added': 'resin product entered',
  'resin_product.changed': 'resin product’s entry changed',
  'shop_tool.added': 'shop tool entered',
  'shop_tool.calibrated': 'tool calibrated',
  'shop_tool.taken_out_of_service': 'tool taken out of service',
  'shop_tool.put_back_in_service': 'tool put back in service',

  // The clinic's own rules
  'clinic.changed': 'clinic’s settings changed',
  'clinic.openid_provider_written': 'organisation’s sign-in entered or changed',
  'route.written': 'route written',
  'layup_rules.written': 'layup rules written',
  'calendar.written': 'working calendar written',
  'label_sizes.written': 'sizes of the labels written',
  'bench.added': 'bench entered',
  'bench.changed': 'bench’s entry changed',

  // Done by whoever runs the service
  'record.keys_rotated': 'what is kept encrypted was put under a new key',

  // Book of fittings
  'appointment.booked': 'fitting booked',
  'appointment.moved': 'fitting moved to another time',
  'appointment.called_off': 'fitting called off',
  'appointment.came': 'patient came to the fitting',
  'appointment.did_not_come': 'patient did not come to the fitting',

  // People
  'person.added': 'person entered',
  'person.changed': 'person’s entry changed',
  'person.invited': 'invited, with a one-time code',
  'person.reset_code_given': 'password ended, one-time code given for a new one',
  'person.code_given_by_operator':
    'one-time code given from outside the clinic, by whoever runs the service',
  'person.code_refused': 'wrong one-time code',
  'person.password_set': 'password set by one-time code',
  'person.session_ended': 'sign-in ended from elsewhere',
  'person.password_changed': 'password changed',
  'person.signed_in': 'signed in',
  'person.signed_out': 'signed out',
  'person.openid_invited': 'invited to sign in by the organisation',
  'person.openid_linked': 'account of the organisation linked',
  'person.openid_unlinked': 'account of the organisation unlinked',
  'person.openid_asked_to_sign': 'asked anew by the organisation, to sign',
  'person.sign_in_failed': 'sign-in failed',
  'person.second_factor_added': 'second factor added',
  'person.second_factor_removed': 'second factor turned off',
  'person.second_factor_reset': 'second factor reset by an administrator',
  'person.recovery_codes_made': 'recovery codes made',
  'person.recovery_code_used': 'recovery code used',
  'person.pin_set': 'PIN set on a bench device',
  'person.pin_ended': 'PIN on a bench device ended',
  'person.refresh_token_shown_again': 'sign-in renewed a second time, its answer was lost',
  'person.refresh_token_reused': 'stolen sign-in ended',

  // Long work
  'long_work.asked': 'long work asked for',
  'long_work.cancelled': 'long work cancelled',
  'long_work.ended': 'long work ended',
  'long_work.read': 'result of long work read',

  // Looking things up, and recalls
  'patient.read': 'patient looked up',
  'patients.read': 'patients looked up',
  'trace.read': 'trace read',
  'history.read': 'history read',
  'record.read': 'record read for verification',
  'record.verified': 'record verified',
  'record.head_signed': 'head of the record signed',
  'record.signing_key_introduced': 'key for signing heads brought in',
  'recall.read': 'recall asked',
  'recall.called': 'wearer called about a recall',
  'lot.recalled': 'lot taken out of use',
} as const;

export type EventKind = keyof typeof EVENT_WORDS;
/** The list itself, in the order above. */
export const EVENT_KINDS = Object.keys(EVENT_WORDS) as readonly EventKind[];

/** Those that only tell that somebody looked: nothing changed by them. */
export const LOOKS: readonly EventKind[] = [
  'patient.read',
  'patients.read',
  'trace.read',
  'history.read',
  'record.read',
  'record.verified',
  'recall.read',
  'long_work.read',
];

/** What an event can be about, as `event.subject_kind` names it. */
export const SUBJECT_WORDS = {
  order: 'order',
  patient: 'patient',
  socket: 'socket',
  operation: 'operation',
  cast: 'cast',
  measure_set: 'measures',
  volume_decision: 'decision on the limb’s volume',
  layup: 'layup',
  resin_recipe: 'resin recipe',
  resin_weighing: 'cup of resin',
  item: 'piece',
  shop_tool: 'shop tool',
  torque_confirmation: 'torque confirmation',
  lock_check: 'lock check',
  alignment: 'alignment',
  fitting: 'fitting',
  appointment: 'booked fitting',
  finding: 'finding',
  mass_acknowledgement: 'acknowledged body mass',
  delivery: 'delivery',
  service_visit: 'service visit',
  place: 'place',
  part: 'part',
  part_draft: 'noted part',
  batch: 'batch',
  fabric: 'fabric',
  resin_product: 'resin product',
  clinic: 'clinic',
  route: 'route',
  layup_rule_set: 'layup rules',
  calendar: 'working calendar',
  label_sizes: 'sizes of the labels',
  bench: 'bench',
  person: 'person',
  legal_hold: 'legal hold',
  correction_request: 'request for a correction',
  correction: 'correction',
  erasure: 'erasure',
  long_work: 'long work',
} as const;

export type SubjectKind = keyof typeof SUBJECT_WORDS;
export const SUBJECT_KINDS = Object.keys(SUBJECT_WORDS) as readonly SubjectKind[];
