/** The closed lists of the domain and those of the database are the same lists. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ALIGNMENT_POSITIONS } from '../../src/domain/alignment.ts';
import { BREAK_GLASS_REASONS } from '../../src/domain/breakGlass.ts';
import { CORRECTABLE, CORRECTION_DECISIONS, DENIAL_GROUNDS } from '../../src/domain/corrections.ts';
import { FABRIC_FORMS } from '../../src/domain/fabrics.ts';
import { PLY_MEANS, VOLUME_DECISIONS } from '../../src/domain/limbVolume.ts';
import { LONG_WORK_KINDS, LONG_WORK_STATES } from '../../src/domain/longWork.ts';
import { SHOWN } from '../../src/domain/lookingUp.ts';
import { MEASURE_OCCASIONS } from '../../src/domain/measures.ts';
import { CALL_OUTCOMES } from '../../src/domain/recall.ts';
import { PICTURE_MEDIA_TYPES } from '../../src/domain/pictures.ts';
import { ERASABLE, ERASURE_STATES, HOLD_SUBJECTS } from '../../src/domain/retention.ts';
import { RESIN_CHEMISTRIES } from '../../src/domain/resin.ts';
import { UDI_ISSUERS } from '../../src/domain/udi.ts';
import { SECOND_FACTOR_FOR } from '../../src/domain/secondFactor.ts';
import * as words from '../../src/domain/words.ts';
import { PAPERS } from '../../src/store/clinic.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';

let db: TestDatabase;

beforeAll(async () => {
  db = await testDatabase();
});

afterAll(() => db.close());

const LISTS: Readonly<Record<string, readonly string[]>> = {
  role_grant_role_word: words.ROLES,
  patient_look_shown_word: SHOWN,
  break_glass_reason_word: BREAK_GLASS_REASONS,
  access_code_purpose_word: words.CODE_PURPOSES,
  access_code_ended_because_word: words.CODE_ENDS,
  session_how_word: words.SIGN_IN_WAYS,
  clinic_second_factor_for_word: SECOND_FACTOR_FOR,
  second_factor_ended_how_word: ['begun_anew', 'turned_off', 'reset'],
  bench_pin_ended_how_word: [
    'set_anew',
    'taken_off',
    'tries',
    'session',
    'password',
    'person',
    'role',
  ],
  fabrication_order_side_word: words.SIDES,
  fabrication_order_level_word: words.LEVELS,
  fabrication_order_suspension_word: words.SUSPENSIONS,
  fabrication_order_functional_level_word: words.FUNCTIONAL_LEVELS,
  fabrication_order_stage_word: words.STAGES,
  fabrication_order_hold_reason_word: words.HOLD_REASONS,
  stage_change_from_stage_word: words.STAGES,
  stage_change_to_stage_word: words.STAGES,
  socket_kind_word: words.SOCKET_KINDS,
  socket_state_word: words.SOCKET_STATES,
  limb_cast_state_word: words.CAST_STATES,
  route_socket_kind_word: words.SOCKET_KINDS,
  route_suspension_word: words.SUSPENSIONS,
  part_kind_word: words.PART_KINDS,
  part_side_word: words.SIDES,
  shop_tool_kind_word: words.SHOP_TOOL_KINDS,
  shop_tool_tool_type_word: words.TORQUE_TOOL_TYPES,
  shop_tool_tool_class_word: words.TORQUE_TOOL_CLASSES,
  place_kind_word: words.PLACE_KINDS,
  place_position_word: words.POSITIONS,
  move_reason_word: words.MOVE_REASONS,
  joint_kind_word: words.JOINT_KINDS,
  torque_setting_joint_kind_word: words.JOINT_KINDS,
  torque_setting_fastener_size_word: words.FASTENER_SIZES,
  torque_setting_property_class_word: words.PROPERTY_CLASSES,
  torque_reading_unit_word: words.TORQUE_UNITS,
  batch_kind_word: words.BATCH_KINDS,
  batch_unit_word: words.BATCH_UNITS,
  operation_state_word: words.OPERATION_STATES,
  finding_kind_word: words.FINDING_KINDS,
  finding_disposition_word: words.DISPOSITIONS,
  fitting_outcome_word: words.FIT_OUTCOMES,
  fitting_next_step_word: words.FIT_NEXT_STEPS,
  fitting_reasons_word: words.FIT_REASONS,
  fitting_areas_word: words.LIMB_AREAS,
  signature_meaning_word: words.SIGNATURE_MEANINGS,
  service_visit_kind_word: words.SERVICE_KINDS,
  appointment_purpose_word: words.APPOINTMENT_PURPOSES,
  appointment_state_word: words.APPOINTMENT_STATES,
  recall_call_outcome_word: CALL_OUTCOMES,
  clinic_ply_means_word: PLY_MEANS,
  measure_set_occasion_word: MEASURE_OCCASIONS,
  volume_decision_decision_word: VOLUME_DECISIONS,
  fabric_form_word: FABRIC_FORMS,
  resin_product_chemistry_word: RESIN_CHEMISTRIES,
  part_udi_issuer_word: UDI_ISSUERS,
  part_draft_issuer_word: UDI_ISSUERS,
  long_work_kind_word: LONG_WORK_KINDS,
  long_work_state_word: LONG_WORK_STATES,
  photo_media_type_word: PICTURE_MEDIA_TYPES,
  legal_hold_subject_kind_word: HOLD_SUBJECTS,
  correction_request_decision_word: CORRECTION_DECISIONS,
  correction_request_denial_ground_word: DENIAL_GROUNDS,
  correction_subject_kind_word: CORRECTABLE,
  erasure_what_word: ERASABLE,
  erasure_state_word: ERASURE_STATES,
  // Not named as lists of words, but they are.
  part_rated: words.LOAD_BEARING_KINDS,
  clinic_paper: PAPERS,
};

/** The words between quotes in a CHECK constraint, as the catalogue has it. */
async function wordsOf(pattern: string): Promise<Record<string, string[]>> {
  const rows = await db.store.raw<{ name: string; definition: string }>(
    `select conname::text as name, pg_get_constraintdef(oid) as definition from pg_constraint
     where contype = 'c' and connamespace = 'public'::regnamespace and conname ~ $1 order by 1`,
    [pattern],
  );
  return Object.fromEntries(
    rows.map(({ name, definition }) => [
      name,
      [...definition.matchAll(/'([^']+)'::text/g)].map((match) => match[1] ?? ''),
    ]),
  );
}

describe('closed lists', () => {
  test('every list of words in the database is a list of the domain, word for word', async () => {
    const lists = await wordsOf('_word$|^part_rated$|^clinic_paper$');
    expect(lists).toEqual(LISTS);
  });

  test('every list of words of the domain stands in the database', () => {
    const kept = new Set<unknown>(Object.values(LISTS));
    const notKept = Object.entries(words).filter(
      ([, list]) => Array.isArray(list) && !kept.has(list),
    );
    expect(notKept).toEqual([]);
  });

  test('what a position takes is the same in both', async () => {
    const rows = await db.store.raw<{ position: string; takes: string }>(
      `select position, position_takes(position) as takes from unnest($1::text[]) position`,
      [[...words.POSITIONS]],
    );
    expect(Object.fromEntries(rows.map(({ position, takes }) => [position, takes]))).toEqual(
      words.POSITION_TAKES,
    );
  });

  test('what a joint or an alignment is about is the same in both (R4, R14)', async () => {
    const kinds = { ...words.JOINTS, alignment: { positions: ALIGNMENT_POSITIONS } };
    const rows = await db.store.raw<{ kind: string; positions: string[] }>(
      'select kind, evidence_positions(kind) as positions from unnest($1::text[]) kind',
      [Object.keys(kinds)],
    );
    expect(Object.fromEntries(rows.map(({ kind, positions }) => [kind, positions]))).toEqual(
      Object.fromEntries(Object.entries(kinds).map(([kind, { positions }]) => [kind, positions])),
    );
  });
});
