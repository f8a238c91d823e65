/**
 * A patient's whole record as one document: which tables stand in it with which columns, and why
 * others do not (45 CFR 164.524: a person's right to a copy of what is kept about them). The one
 * list from which the file is made, its schema is written, and the paper is drawn; a table or a
 * column that is new and not named here fails a test.
 *
 * Names of other patients never stand in it. What a thing costs the clinic is no part of it: the
 * prices of pieces and batches are the clinic's own, and no table keeps what the patient paid.
 */
import type { JsonValue } from './canonical.ts';

/** Written into each document; raised when a reader of the one before would misread it. */
export const PATIENT_RECORD_VERSION = 1;

/** What a column holds on the wire; a question mark where it may be null. */
type Bare =
  'id' | 'ids' | 'text' | 'texts' | 'number' | 'flag' | 'day' | 'instant' | 'json' | 'base64';
export type ColumnKind = Bare | `${Bare}?`;

export interface SectionOf {
  /** In words of the patient. */
  readonly says: string;
  /** By the name in the table; on the wire in camel case. */
  readonly columns: Readonly<Record<string, ColumnKind>>;
}

/** In the order of the document; a row comes after what it points at where it can. */
export const PATIENT_RECORD = {
  patient: {
    says: 'who the patient is and how to reach them',
    columns: {
      address: 'text?',
      birth_date: 'day?',
      chart_number: 'text',
      created_at: 'instant',
      created_by_id: 'id',
      family_name: 'text',
      given_name: 'text',
      id: 'id',
      identity_erasure_id: 'id?',
      phone: 'text?',
      version: 'number',
    },
  },
  body_mass: {
    says: 'body mass by day',
    columns: {
      id: 'id',
      mass_kg: 'number',
      measured_on: 'day',
      patient_id: 'id',
      recorded_at: 'instant',
      recorded_by_id: 'id',
    },
  },
  fabrication_order: {
    says: 'the orders',
    columns: {
      delivered_at: 'instant?',
      first_promised_on: 'day?',
      functional_level: 'text',
      held_at: 'instant?',
      hold_reason: 'text?',
      id: 'id',
      level: 'text',
      liner: 'text?',
      note: 'text?',
      number: 'text',
      offer_seed: 'number?',
      offered_chance: 'number?',
      opened_at: 'instant',
      opened_by_id: 'id',
      patient_id: 'id',
      promised_on: 'day?',
      prosthetist_id: 'id?',
      side: 'text',
      stage: 'text',
      suspension: 'text',
      version: 'number',
    },
  },
  stage_change: {
    says: 'the way of each order through its stages',
    columns: {
      changed_at: 'instant',
      changed_by_id: 'id',
      from_stage: 'text?',
      id: 'id',
      order_id: 'id',
      seq: 'number',
      signature_id: 'id?',
      to_stage: 'text',
      why: 'text?',
    },
  },
  limb_cast: {
    says: 'casts of the limb',
    columns: {
      decided_at: 'instant?',
      decided_by_id: 'id?',
      decision_reason: 'text?',
      id: 'id',
      method: 'text',
      model_broken_out_at: 'instant?',
      note: 'text?',
      number: 'number',
      order_id: 'id',
      recorded_at: 'instant',
      state: 'text',
      taken_by_id: 'id',
      taken_on: 'day',
    },
  },
  measure_set: {
    says: 'when the limb was measured',
    columns: {
      cap_depth_mm: 'number?',
      cast_id: 'id?',
      id: 'id',
      limb_length_mm: 'number',
      note: 'text?',
      occasion: 'text',
      order_id: 'id',
      recorded_at: 'instant',
      socket_id: 'id?',
      taken_by_id: 'id',
      taken_on: 'day',
    },
  },
  measure: {
    says: 'circumferences at heights',
    columns: { circumference_mm: 'number', height_mm: 'number', measure_set_id: 'id' },
  },
  volume_decision: {
    says: 'what was decided where the limb changed',
    columns: {
      decided_at: 'instant',
      decided_by_id: 'id',
      decision: 'text',
      difference_ml: 'number',
      first_set_id: 'id',
      id: 'id',
      limit_percent: 'number',
      order_id: 'id',
      percent: 'number',
      ply: 'number',
      second_set_id: 'id',
      why: 'text?',
    },
  },
  socket: {
    says: 'check and definitive sockets',
    columns: {
      cast_id: 'id',
      chamber_inspected_at: 'instant?',
      cured_at: 'instant?',
      delivered_at: 'instant?',
      id: 'id',
      kind: 'text',
      number: 'text',
      order_id: 'id',
      replaces_socket_id: 'id?',
      retired_at: 'instant?',
      route_id: 'id',
      running: 'number',
      sheet_thickness_mm: 'number?',
      started_at: 'instant',
      started_by_id: 'id',
      state: 'text',
      version: 'number',
    },
  },
  place: {
    says: 'the positions in the sockets',
    columns: { id: 'id', kind: 'text', name: 'text', position: 'text?', socket_id: 'id?' },
  },
  operation: {
    says: 'the operations of each socket',
    columns: {
      bench_id: 'id?',
      caution: 'text?',
      checks: 'json',
      id: 'id',
      kind: 'text',
      planned_minutes: 'number?',
      seq: 'number',
      socket_id: 'id',
      state: 'text',
      title: 'text',
    },
  },
  operation_record: {
    says: 'what was done, by whom, with what answers',
    columns: {
      attempt: 'number',
      bench_at: 'instant?',
      id: 'id',
      minutes: 'number?',
      operation_id: 'id',
      outcome: 'text',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      results: 'json',
      second_person_id: 'id?',
    },
  },
  layup: {
    says: 'layers of the laminate',
    columns: {
      approved_at: 'instant?',
      basis: 'json',
      drafted_at: 'instant',
      drafted_by_id: 'id',
      figures: 'json',
      id: 'id',
      lines: 'json',
      rule_row: 'text?',
      rule_set_id: 'id?',
      running: 'number',
      signature_id: 'id?',
      socket_id: 'id',
      superseded_at: 'instant?',
      why: 'text?',
    },
  },
  resin_product: {
    says: 'the resins that were used',
    columns: {
      active: 'flag',
      chemistry: 'text',
      created_at: 'instant',
      cup_limit_g: 'number',
      cure_hours: 'number',
      cure_temperature_c: 'number',
      density_gcm3: 'number',
      document: 'text',
      id: 'id',
      name: 'text',
      parts_hardener: 'number',
      parts_resin: 'number',
      pot_life_mass_g: 'number',
      pot_life_minutes: 'number',
      pot_life_temperature_c: 'number',
      ratio_tolerance_percent: 'number',
      revision: 'text',
      version: 'number',
    },
  },
  resin_recipe: {
    says: 'what was to be weighed',
    columns: {
      asked: 'json',
      id: 'id',
      layup_id: 'id',
      made_at: 'instant',
      made_by_id: 'id',
      product: 'json',
      product_id: 'id',
      recipe: 'json',
      running: 'number',
      socket_id: 'id',
      superseded_at: 'instant?',
      why: 'text?',
    },
  },
  resin_weighing: {
    says: 'what was weighed',
    columns: {
      attempt: 'number',
      bench_at: 'instant?',
      finding_id: 'id?',
      hardener_g: 'number',
      id: 'id',
      mixed_at: 'instant',
      off_ratio_percent: 'number',
      pigment_g: 'number',
      pour: 'number',
      puts_right_id: 'id?',
      recipe_id: 'id',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      resin_g: 'number',
      shop_temperature_c: 'number',
      socket_id: 'id',
      stops: 'json',
      work_minutes: 'number?',
    },
  },
  part: {
    says: 'the parts that are or were in the sockets',
    columns: {
      active: 'flag',
      catalogue_number: 'text',
      created_at: 'instant',
      hole_pattern: 'text?',
      id: 'id',
      kind: 'text',
      least_clicks: 'number?',
      name: 'text',
      pin_fit: 'text?',
      range_deg: 'number?',
      rated_body_mass_kg: 'number?',
      rating_document: 'text?',
      service_interval_days: 'number?',
      side: 'text?',
      single_use: 'flag',
      thread: 'text?',
      udi_device_identifier: 'text?',
      udi_issuer: 'text?',
      version: 'number',
    },
  },
  torque_setting: {
    says: 'how tight their screws were to be',
    columns: {
      document: 'text',
      fastener_count: 'number',
      fastener_size: 'text',
      id: 'id',
      joint_kind: 'text',
      part_id: 'id',
      property_class: 'text',
      recorded_at: 'instant',
      recorded_by_id: 'id?',
      revision: 'text',
      superseded_at: 'instant?',
      threadlocker: 'text',
      torque_max_nm: 'number',
      torque_min_nm: 'number',
    },
  },
  item: {
    says: 'the pieces, with lot, serial and UDI',
    columns: {
      expires_on: 'day?',
      id: 'id',
      lot: 'text?',
      made_on: 'day?',
      part_id: 'id',
      received_at: 'instant',
      received_by_id: 'id',
      scans: 'texts?',
      serial: 'text?',
      udi: 'text?',
      version: 'number',
    },
  },
  move: {
    says: 'pieces in and out of the sockets',
    columns: {
      bench_at: 'instant?',
      from_place_id: 'id?',
      id: 'id',
      item_id: 'id?',
      moved_at: 'instant',
      moved_by_id: 'id',
      note: 'text?',
      reason: 'text',
      seq: 'number',
      service_visit_id: 'id?',
      shop_tool_id: 'id?',
      to_place_id: 'id',
      transfer_id: 'id?',
    },
  },
  joint: {
    says: 'what each group of screws holds',
    columns: { id: 'id', kind: 'text', socket_id: 'id' },
  },
  shop_tool: {
    says: 'the torque tools that were used',
    columns: {
      created_at: 'instant',
      hole_pattern: 'text?',
      id: 'id',
      kind: 'text',
      max_nm: 'number?',
      min_nm: 'number?',
      name: 'text',
      out_of_service: 'flag',
      serial: 'text?',
      tool_class: 'text?',
      tool_type: 'text?',
      version: 'number',
    },
  },
  calibration: {
    says: 'their calibrations',
    columns: {
      calibrated_on: 'day',
      certificate: 'text',
      deviation_after_percent: 'number?',
      deviation_percent: 'number?',
      id: 'id',
      laboratory: 'text',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      tool_id: 'id',
      valid_until: 'day?',
    },
  },
  torque_confirmation: {
    says: 'joints torqued',
    columns: {
      accepted_from_nm: 'number',
      accepted_to_nm: 'number',
      based_on_move_ids: 'ids?',
      because: 'json',
      bench_at: 'instant?',
      calibration_id: 'id',
      confirms: 'flag',
      covers_move_ids: 'ids?',
      departures_before: 'number',
      deviation_percent: 'number',
      id: 'id',
      joint_id: 'id',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      threadlocker_batch_id: 'id?',
      tool_id: 'id',
      torque_setting_id: 'id',
    },
  },
  torque_reading: {
    says: 'each screw, as read',
    columns: {
      confirmation_id: 'id',
      fastener: 'number',
      final: 'flag',
      in_band: 'flag',
      pass: 'number',
      torque_nm: 'number',
      unit: 'text',
      value: 'number',
    },
  },
  lock_check: {
    says: 'checks of the lock',
    columns: {
      based_on_move_ids: 'ids?',
      because: 'json',
      bench_at: 'instant?',
      covers_move_ids: 'ids?',
      cycles: 'json',
      id: 'id',
      least_clicks: 'number',
      passes: 'flag',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      socket_id: 'id',
    },
  },
  alignment: {
    says: 'alignments, as measured',
    columns: {
      adduction_deg: 'number',
      anterior_offset_mm: 'number',
      covers_move_ids: 'ids?',
      departures_before: 'number',
      flexion_deg: 'number',
      height_to_floor_mm: 'number',
      id: 'id',
      lateral_offset_mm: 'number',
      measured_at: 'instant',
      measured_by_id: 'id',
      occasion: 'text',
      socket_id: 'id',
      toe_out_deg: 'number',
    },
  },
  fitting: {
    says: 'how each fit was judged',
    columns: {
      alignment_id: 'id?',
      areas: 'texts?',
      changes: 'text?',
      id: 'id',
      judged_at: 'instant',
      judged_by_id: 'id',
      next_step: 'text?',
      outcome: 'text',
      reasons: 'texts?',
      signature_id: 'id?',
      socket_id: 'id',
    },
  },
  finding: {
    says: 'what was found wrong, and how it was closed',
    columns: {
      batch_id: 'id?',
      bench_at: 'instant?',
      disposed_at: 'instant?',
      disposed_by_id: 'id?',
      disposition: 'text?',
      disposition_reason: 'text?',
      id: 'id',
      kind: 'text',
      note: 'text',
      opened_at: 'instant',
      opened_by_id: 'id',
      operation_id: 'id?',
      signature_id: 'id?',
      socket_id: 'id',
    },
  },
  photo: {
    says: 'photos, as base64',
    columns: {
      bytes: 'base64?',
      check_key: 'text?',
      finding_id: 'id?',
      height_px: 'number',
      id: 'id',
      media_type: 'text',
      operation_record_id: 'id?',
      seq: 'number',
      sha256: 'text',
      taken_at: 'instant',
      taken_by_id: 'id',
      width_px: 'number',
    },
  },
  mass_acknowledgement: {
    says: 'acknowledged body masses near a rating',
    columns: {
      id: 'id',
      order_id: 'id',
      part_id: 'id',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      signature_id: 'id',
      up_to_kg: 'number',
    },
  },
  batch: {
    says: 'the batches that were used',
    columns: {
      created_at: 'instant',
      created_by_id: 'id',
      expires_on: 'day?',
      fabric_id: 'id?',
      id: 'id',
      kind: 'text',
      lot: 'text',
      name: 'text',
      opened_on: 'day?',
      quantity: 'number',
      quarantine_reason: 'text?',
      quarantined_at: 'instant?',
      received_on: 'day',
      resin_product_id: 'id?',
      unit: 'text',
      version: 'number',
    },
  },
  batch_use: {
    says: 'which batch went into what',
    columns: {
      amount: 'number?',
      batch_id: 'id',
      id: 'id',
      operation_record_id: 'id?',
      resin_weighing_id: 'id?',
      socket_id: 'id',
      torque_confirmation_id: 'id?',
      used_at: 'instant',
      used_by_id: 'id',
    },
  },
  delivery: {
    says: 'deliveries',
    columns: {
      delivered_at: 'instant',
      gate: 'json',
      id: 'id',
      order_id: 'id',
      received_by_name: 'text',
      received_by_relation: 'text',
      released_by_id: 'id',
      signature_id: 'id',
      socket_id: 'id',
    },
  },
  service_visit: {
    says: 'service visits',
    columns: {
      closed_at: 'instant?',
      closed_by_id: 'id?',
      id: 'id',
      kind: 'text',
      note: 'text',
      opened_at: 'instant',
      opened_by_id: 'id',
      order_id: 'id',
      outcome: 'text?',
      signature_id: 'id?',
      socket_id: 'id',
    },
  },
  appointment: {
    says: 'booked fittings',
    columns: {
      booked_at: 'instant',
      booked_by_id: 'id',
      ends_at: 'instant',
      id: 'id',
      note: 'text?',
      order_id: 'id?',
      patient_id: 'id',
      prosthetist_id: 'id',
      purpose: 'text',
      replaces_id: 'id?',
      room: 'text?',
      settled_at: 'instant?',
      settled_by_id: 'id?',
      starts_at: 'instant',
      state: 'text',
      why: 'text?',
    },
  },
  recall_call: {
    says: 'calls about recalls',
    columns: {
      batch_id: 'id?',
      called_at: 'instant',
      called_by_id: 'id',
      id: 'id',
      lot: 'text?',
      note: 'text?',
      outcome: 'text',
      socket_id: 'id',
    },
  },
  signature: {
    says: 'signatures, with exactly what was signed',
    columns: {
      content: 'json',
      content_sha256: 'text',
      id: 'id',
      meaning: 'text',
      person_id: 'id',
      printed_name: 'text',
      signed_at: 'instant',
      subject_id: 'id',
      subject_kind: 'text',
    },
  },
  correction_request: {
    says: 'what the patient asked to be corrected',
    columns: {
      asked_on: 'day',
      decided_at: 'instant?',
      decided_by_id: 'id?',
      decision: 'text?',
      decision_reason: 'text?',
      denial_ground: 'text?',
      disagreement: 'text?',
      disagreement_at: 'instant?',
      disagreement_by_id: 'id?',
      id: 'id',
      patient_id: 'id',
      recorded_at: 'instant',
      recorded_by_id: 'id',
      said: 'text',
    },
  },
  correction: {
    says: 'corrections',
    columns: {
      corrected_at: 'instant',
      corrected_by_id: 'id',
      id: 'id',
      order_id: 'id?',
      patient_id: 'id',
      request_id: 'id?',
      right: 'text',
      signature_id: 'id',
      subject_id: 'id',
      subject_kind: 'text',
      why: 'text',
      wrong: 'text',
    },
  },
  erasure: {
    says: 'what was erased',
    columns: {
      asked_at: 'instant',
      asked_by_id: 'id',
      erased: 'json?',
      id: 'id',
      legal_basis: 'text',
      patient_id: 'id',
      settled_at: 'instant?',
      settled_by_id: 'id?',
      signature_id: 'id?',
      state: 'text',
      what: 'texts?',
      why: 'text',
    },
  },
  patient_look: {
    says: 'who looked the patient up, and what they were shown',
    columns: {
      at: 'instant',
      by_id: 'id',
      id: 'id',
      order_id: 'id?',
      patient_id: 'id',
      route: 'text',
      shown: 'text',
    },
  },
} as const satisfies Record<string, SectionOf>;

export type Section = keyof typeof PATIENT_RECORD;
export const SECTIONS = Object.keys(PATIENT_RECORD) as readonly Section[];

/** Tables that are not sections of their own, each with the reason. */
export const NOT_IN_PATIENT_RECORD: Readonly<Record<string, string>> = {
  clinic: 'stands at the head of the document, as far as it concerns the patient',
  person: 'who is who: printed names and roles of those who are named, at the end of the document',
  event: 'every event about the patient, after the sections, with its hashes',
  event_head: 'the last event of the whole clinic; the document names it',
  legal_hold: 'made for a legal proceeding (45 CFR 164.524(a)(1)(ii))',
  custody: 'where a piece is now, which may be with somebody else; its moves in and out stand here',
  access_code: 'secrets of invitations',
  bench: 'how the shop is arranged',
  bench_pin: 'secrets of sign-ins',
  break_glass: 'that fields were opened stands among the looks and, with the reason, in the events',
  break_glass_review: 'how the clinic judged its staff; that it was reviewed stands in the events',
  column_key: 'which keys the database is under; this document is under none',
  fabric: 'each layup holds the fabrics as they were when it was worked out',
  idempotency_key: 'answers that were given already; what they tell of stands in the sections',
  label_sizes: 'how labels are printed',
  layup_rule_set: 'the clinic\u2019s rules; each layup holds what it was worked out from',
  long_work: 'work of the service; that the record was handed out stands in the events',
  long_work_piece: 'results of such work, this document among them',
  merkle_node: 'hashes over the events of the whole clinic',
  number_counter: 'the next number',
  openid_attempt: 'ways to the organisation’s sign-in and back; about no patient',
  openid_link: 'sign-ins of the staff; about no patient',
  openid_provider: 'sign-ins of the staff; about no patient',
  part_draft: 'labels that nobody knew; about no patient',
  recovery_code: 'secrets of sign-ins',
  refresh_token: 'secrets of sign-ins',
  role_grant: 'roles of those who are named stand beside their names',
  route: 'the clinic\u2019s rules; each operation holds what it asks for',
  route_operation: 'the clinic\u2019s rules; each operation holds what it asks for',
  second_factor: 'secrets of sign-ins',
  session: 'sign-ins of the staff; about no patient',
  signed_head: 'signatures over the events of the whole clinic',
  signing_key: 'the clinic\u2019s public keys; the record’s own page tells them',
  work_calendar: 'when the shop is open',
};

/** Columns that are left out of every section, or of one, each with the reason. */
export const WITHHELD_COLUMNS: Readonly<Record<string, string>> = {
  clinic_id: 'one clinic, named at the head',
  'signature.session_id': 'in which sign-in of theirs somebody signed',
  'patient.phone_digests': 'the phone number again, as searches compare it',
  'patient.name_key': 'the name again, as searches compare it',
  'item.price_minor': 'the clinic\u2019s own price',
  'batch.price_minor': 'the clinic\u2019s own price',
};

/** A row of a section, in camel case. */
export type RecordRow = Readonly<Record<string, JsonValue>>;

/** An event about the patient with what shows that it was not altered. */
export interface RecordEvent {
  readonly seq: number;
  readonly id: string;
  readonly at: string;
  readonly personId: string | null;
  readonly kind: string;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly orderId: string | null;
  readonly data: RecordRow;
  /** Sealed values by path in `data`; those that were erased are not there. */
  readonly opened: Readonly<Record<string, { readonly salt: string; readonly value: JsonValue }>>;
  readonly leafSha256: string;
  readonly chainSha256: string;
}

export interface PatientRecord {
  readonly format: 'castbook-patient-record';
  readonly version: typeof PATIENT_RECORD_VERSION;
  readonly madeAt: string;
  readonly clinic: {
    readonly id: string;
    readonly name: string;
    readonly timeZone: string;
    readonly retentionYears: number;
  };
  readonly patientId: string;
  readonly chartNumber: string;
  readonly reason: string;
  readonly handedTo: string;
  readonly askedBy: string;
  readonly withheld: readonly string[];
  readonly sections: Readonly<Record<Section, readonly RecordRow[]>>;
  readonly events: readonly RecordEvent[];
  readonly people: readonly {
    readonly id: string;
    readonly printedName: string;
    readonly roles: readonly string[];
  }[];
  readonly end: { readonly rows: number; readonly events: number; readonly upToEvent: number };
}

/** `mass_kg` as it stands on the wire: `massKg`. */
export const onWire = (column: string): string =>
  column.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
