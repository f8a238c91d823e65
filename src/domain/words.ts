/**
 * The words of the trade as closed lists. Each list is shared by the rules, the
 * wire schemas and the database's CHECK constraints (a test compares them).
 * Stages loop, so nothing here is ever compared by its position in a list.
 */

export const ROLES = [
  'front_desk',
  'technician',
  'prosthetist',
  'auditor',
  'administrator',
] as const;
export type Role = (typeof ROLES)[number];

/** What a person proves a sign-in with. */
export const SIGN_IN_WAYS = ['password', 'pin', 'openid'] as const;
export type SignInWay = (typeof SIGN_IN_WAYS)[number];

/** What a one-time code is for, and why it no longer counts. */
export const CODE_PURPOSES = ['invitation', 'reset'] as const;
export type CodePurpose = (typeof CODE_PURPOSES)[number];
export const CODE_ENDS = ['used', 'replaced', 'guessed', 'left'] as const;
export type CodeEnd = (typeof CODE_ENDS)[number];

export const SIDES = ['left', 'right'] as const;
export type Side = (typeof SIDES)[number];

/** Level of amputation. Upper limb is not covered yet. */
export const LEVELS = [
  'trans_tibial',
  'trans_femoral',
  'ankle_disarticulation',
  'knee_disarticulation',
] as const;
export type Level = (typeof LEVELS)[number];

export const SUSPENSIONS = ['pin_lock', 'suction', 'vacuum', 'lanyard', 'sleeve'] as const;
export type Suspension = (typeof SUSPENSIONS)[number];

/** Medicare functional classification levels, K0 (no ambulation) to K4. */
export const FUNCTIONAL_LEVELS = ['K0', 'K1', 'K2', 'K3', 'K4'] as const;
export type FunctionalLevel = (typeof FUNCTIONAL_LEVELS)[number];

export const STAGES = [
  'casting',
  'check_fitting',
  'lamination',
  'delivery',
  'delivered',
  'cancelled',
] as const;
export type Stage = (typeof STAGES)[number];

export const HOLD_REASONS = [
  'authorization_awaited',
  'parts_awaited',
  'patient_not_ready',
  'limb_volume_not_stable',
] as const;
export type HoldReason = (typeof HOLD_REASONS)[number];

export const SOCKET_KINDS = ['check', 'definitive'] as const;
export type SocketKind = (typeof SOCKET_KINDS)[number];

/**
 * in_work: on the bench or at fittings · accepted: its fit was accepted ·
 * rejected: its fit was refused · delivered: the patient wears it ·
 * retired: no longer used, hardware may have moved on · scrapped.
 */
export const SOCKET_STATES = [
  'in_work',
  'accepted',
  'rejected',
  'delivered',
  'retired',
  'scrapped',
] as const;
export type SocketState = (typeof SOCKET_STATES)[number];

export const CAST_STATES = ['taken', 'accepted', 'rejected'] as const;
export type CastState = (typeof CAST_STATES)[number];

export const PART_KINDS = [
  'lock',
  'lock_plate',
  'release_valve',
  'spring',
  'pin',
  'pyramid',
  'four_hole_adapter',
  'screw_set',
] as const;
export type PartKind = (typeof PART_KINDS)[number];

/** Parts that carry the wearer's weight: each must state a rated body mass (R3). */
export const LOAD_BEARING_KINDS: readonly PartKind[] = [
  'lock',
  'lock_plate',
  'pin',
  'pyramid',
  'four_hole_adapter',
];

export const SHOP_TOOL_KINDS = ['fabrication_dummy', 'tooling_plate', 'torque_tool'] as const;
export type ShopToolKind = (typeof SHOP_TOOL_KINDS)[number];

/** Where a piece of hardware or a shop tool can sit in a socket. */
export const POSITIONS = [
  'lock',
  'lock_plate',
  'release_valve',
  'lock_spring',
  'pin',
  'pyramid',
  'adapter',
  'distal_screws',
  'plate_screws',
  'dummy',
  'tooling_plate',
] as const;
export type Position = (typeof POSITIONS)[number];

/** Which kind of thing belongs in which position. */
export const POSITION_TAKES = {
  lock: 'lock',
  lock_plate: 'lock_plate',
  release_valve: 'release_valve',
  lock_spring: 'spring',
  pin: 'pin',
  pyramid: 'pyramid',
  adapter: 'four_hole_adapter',
  distal_screws: 'screw_set',
  plate_screws: 'screw_set',
  dummy: 'fabrication_dummy',
  tooling_plate: 'tooling_plate',
} as const satisfies Record<Position, PartKind | ShopToolKind>;

/** Kinds of place. An item is in exactly one place at a time (R1). */
export const PLACE_KINDS = [
  'receiving',
  'bin',
  'socket_position',
  'bench',
  'quarantine',
  'scrap',
] as const;
export type PlaceKind = (typeof PLACE_KINDS)[number];

export const MOVE_REASONS = [
  'received',
  'issued',
  'transferred',
  'taken_out_for_trimming',
  'put_back',
  'returned_to_bin',
  'replaced_in_service',
  'quarantined',
  'released_from_quarantine',
  'scrapped',
  'recalled',
  'mounted_for_lamination',
  'pulled_after_cure',
  'stock_taken',
] as const;
export type MoveReason = (typeof MOVE_REASONS)[number];

export const JOINT_KINDS = ['distal', 'lock_plate', 'release_valve'] as const;
export type JointKind = (typeof JOINT_KINDS)[number];

/**
 * The parts of a socket held by one fastener group. `carriers` names, in order
 * of preference, whose torque setting governs the joint.
 */
export const JOINTS = {
  distal: {
    words: 'lock to socket through the plate to the pyramid or adapter',
    positions: ['lock', 'lock_plate', 'pyramid', 'adapter', 'distal_screws'],
    carriers: ['pyramid', 'adapter'],
    needsScrews: 'distal_screws',
  },
  lock_plate: {
    words: 'lock plate to lock',
    positions: ['lock', 'lock_plate', 'plate_screws'],
    carriers: ['lock_plate'],
    needsScrews: 'plate_screws',
  },
  release_valve: {
    words: 'push-button release valve to lock',
    positions: ['lock', 'release_valve'],
    carriers: ['release_valve'],
    needsScrews: null,
  },
} as const satisfies Record<
  JointKind,
  {
    words: string;
    positions: readonly Position[];
    carriers: readonly Position[];
    needsScrews: Position | null;
  }
>;

/** UCUM's dot for a product. Stored in N·m, typed in any of these (R4). */
export const TORQUE_UNITS = ['N.m', 'lbf.in', 'lbf.ft'] as const;
export type TorqueUnit = (typeof TORQUE_UNITS)[number];

export const FASTENER_SIZES = ['M4', 'M5', 'M6', 'M8', 'M10'] as const;
export type FastenerSize = (typeof FASTENER_SIZES)[number];

/** Carbon steel classes of ISO 898-1, austenitic stainless classes of ISO 3506-1. */
export const PROPERTY_CLASSES = [
  '8.8',
  '10.9',
  '12.9',
  'A2-50',
  'A2-70',
  'A2-80',
  'A4-50',
  'A4-70',
  'A4-80',
] as const;
export type PropertyClass = (typeof PROPERTY_CLASSES)[number];

/** ISO 6789-1: Type I indicates the torque, Type II releases at a set torque. */
export const TORQUE_TOOL_TYPES = ['indicating', 'setting'] as const;
export type TorqueToolType = (typeof TORQUE_TOOL_TYPES)[number];
export const TORQUE_TOOL_CLASSES = ['A', 'B', 'C', 'D', 'E', 'F', 'G'] as const;
export type TorqueToolClass = (typeof TORQUE_TOOL_CLASSES)[number];

export const BATCH_KINDS = [
  'resin',
  'hardener',
  'pigment',
  'fabric',
  'threadlocker',
  'parting_agent',
  'thermoplastic_sheet',
  'casting_material',
] as const;
export type BatchKind = (typeof BATCH_KINDS)[number];
export const BATCH_UNITS = ['g', 'mL', 'm', 'piece'] as const;
export type BatchUnit = (typeof BATCH_UNITS)[number];

export const OPERATION_STATES = ['waiting', 'stopped', 'done', 'left_out'] as const;
export type OperationState = (typeof OPERATION_STATES)[number];

export const FINDING_KINDS = [
  'void',
  'dry_fibre',
  'resin_in_lock_chamber',
  'cross_thread',
  'crack',
  'rattle',
  'skin_redness',
  'out_of_limits',
  'off_ratio',
  'over_rated_mass',
  'recalled_part',
  'other',
] as const;
export type FindingKind = (typeof FINDING_KINDS)[number];

export const DISPOSITIONS = ['rework', 'remake', 'accept_as_is', 'scrap'] as const;
export type Disposition = (typeof DISPOSITIONS)[number];

export const FIT_OUTCOMES = ['accepted', 'rejected'] as const;
export type FitOutcome = (typeof FIT_OUTCOMES)[number];
export const FIT_NEXT_STEPS = ['same_socket_changed', 'another_check_socket', 'new_cast'] as const;
export type FitNextStep = (typeof FIT_NEXT_STEPS)[number];

export const FIT_REASONS = [
  'too_tight',
  'too_loose',
  'pistoning',
  'skin_redness',
  'distal_end_contact',
  'no_distal_contact',
  'trim_line_high',
  'trim_line_low',
  'rotation',
  'alignment',
  'pain',
  'other',
] as const;
export type FitReason = (typeof FIT_REASONS)[number];

export const LIMB_AREAS = [
  'patellar_tendon',
  'tibial_crest',
  'tibial_end',
  'fibular_head',
  'fibular_end',
  'medial_tibial_flare',
  'popliteal',
  'distal_end',
  'proximal_brim',
  'ischium',
  'adductor_roll',
  'femoral_end',
  'whole_limb',
] as const;
export type LimbArea = (typeof LIMB_AREAS)[number];

export const SIGNATURE_MEANINGS = [
  'fit_accepted',
  'check_fitting_skipped',
  'finding_accepted_as_is',
  'alignment_difference_accepted',
  'mass_near_rating_acknowledged',
  'delivery_released',
  'service_released',
  'layup_approved',
  'correction_made',
  'erasure_confirmed',
] as const;
export type SignatureMeaning = (typeof SIGNATURE_MEANINGS)[number];

export const SERVICE_KINDS = ['follow_up', 'adjustment', 're_torque', 'part_replaced'] as const;
export type ServiceKind = (typeof SERVICE_KINDS)[number];

/** What a patient comes to the prosthetist for. */
export const APPOINTMENT_PURPOSES = ['casting', 'check_fitting', 'delivery', 'service'] as const;
export type AppointmentPurpose = (typeof APPOINTMENT_PURPOSES)[number];

/** What became of an appointment; a moved one is replaced by another that names it. */
export const APPOINTMENT_STATES = [
  'booked',
  'came',
  'did_not_come',
  'called_off',
  'moved',
] as const;
export type AppointmentState = (typeof APPOINTMENT_STATES)[number];
