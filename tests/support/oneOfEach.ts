import { CIPHERTEXT } from './columnKeys.ts';
import { randomUUID } from 'node:crypto';
import type { Values } from './plainSql.ts';
import { NOW, type ClinicRows, type Row } from './rows.ts';
import { aSigner, headRow, keyRow } from './signedHeads.ts';

const TODAY = '2026-03-02';
const SHA = 'b'.repeat(64);

/** At least one row in every table of the clinic, with every optional reference filled where it can be. */
export async function oneOfEach(rows: ClinicRows): Promise<void> {
  const { technicianId: tech, prosthetistId: pros } = rows;
  const recorded = { recorded_at: NOW, recorded_by_id: tech };
  await rows.insert('role_grant', {
    person_id: tech,
    role: 'prosthetist',
    granted_at: NOW,
    granted_by_id: pros,
    ended_at: NOW,
    ended_by_id: pros,
  });
  await rows.insert('access_code', {
    person_id: tech,
    purpose: 'invitation',
    code_hash: 'not a hash: it opens nothing',
    given_at: NOW,
    given_by_id: pros,
    expires_at: '2026-03-03T09:00:00.000Z',
    tries: 1,
    ended_at: NOW,
    ended_because: 'used',
  });
  const signedIn = { person_id: tech, how: 'password', began_at: NOW, last_used_at: NOW };
  const session = await rows.insert('session', { ...signedIn, device: 'phone Android Firefox' });
  await rows.insert('session', {
    ...signedIn,
    device: 'other',
    ended_at: NOW,
    ended_by_id: pros,
  });
  await rows.insert('refresh_token', {
    person_id: tech,
    family_id: session.id,
    token_sha256: SHA,
    issued_at: NOW,
    expires_at: NOW,
    used_at: NOW,
  });
  const factor = await rows.insert('second_factor', {
    person_id: tech,
    secret: CIPHERTEXT,
    begun_at: NOW,
    confirmed_at: NOW,
    last_step: 59_200_000,
  });
  await rows.insert('second_factor', {
    person_id: pros,
    begun_at: NOW,
    ended_at: NOW,
    ended_by_id: tech,
    ended_how: 'reset',
  });
  await rows.insert('recovery_code', {
    second_factor_id: factor.id,
    code_sha256: SHA,
    made_at: NOW,
  });
  const pin = await rows.insert('bench_pin', {
    person_id: tech,
    session_id: session.id,
    device_sha256: SHA,
    pin_hash: 'argon2id',
    set_at: NOW,
    good_until: '2026-03-02T21:00:00.000Z',
  });
  await rows.insert('session', {
    ...signedIn,
    how: 'pin',
    device: 'phone Android Firefox',
    bench_pin_id: pin.id,
  });
  await rows.insert('openid_provider', {
    issuer: 'https://sign-in.example',
    client_id: 'castbook',
    client_secret: CIPHERTEXT,
    button_name: 'The organisation',
    active: true,
    version: 1,
    changed_at: NOW,
    changed_by_id: pros,
  });
  await rows.insert('openid_link', {
    person_id: tech,
    issuer: 'https://sign-in.example',
    subject: 'tech-1',
    how: 'self',
    created_at: NOW,
    created_by_id: tech,
    linked_at: NOW,
    ended_at: NOW,
    ended_by_id: pros,
  });
  await rows.insert('openid_attempt', {
    purpose: 'link',
    state_sha256: SHA,
    browser_sha256: SHA,
    issuer: 'https://sign-in.example',
    provider_version: 1,
    kept: CIPHERTEXT,
    person_id: tech,
    family_id: randomUUID(),
    begun_at: NOW,
    expires_at: new Date(new Date(NOW).getTime() + 600_000).toISOString(),
  });
  await rows.insert('number_counter', { counts: 'order', year: 2026, last: 1 });
  await rows.insert('idempotency_key', {
    person_id: tech,
    key: 'a-key-of-its-own',
    fingerprint: CIPHERTEXT,
    status: 201,
    answer: JSON.stringify(CIPHERTEXT),
    created_at: NOW,
  });

  const { socket, lock } = await rows.worn();
  const order_id = socket.order_id;
  await rows.store.raw('update fabrication_order set prosthetist_id = $1 where id = $2', [
    pros,
    order_id,
  ]);
  const [order] = await rows.store.raw<{ patient_id: string }>(
    'select patient_id from fabrication_order where id = $1',
    [order_id],
  );
  await rows.insert('body_mass', {
    patient_id: order?.patient_id,
    mass_kg: 80,
    measured_on: TODAY,
    ...recorded,
  });
  const skipped = await rows.signature('check_fitting_skipped');
  await rows.insert('stage_change', {
    order_id,
    seq: 1,
    from_stage: 'check_fitting',
    to_stage: 'lamination',
    changed_at: NOW,
    changed_by_id: pros,
    signature_id: skipped.id,
  });
  const cast = await rows.cast(order_id, {
    state: 'accepted',
    decided_at: NOW,
    decided_by_id: pros,
  });
  const set = await rows.insert('measure_set', {
    order_id,
    cast_id: cast.id,
    taken_on: TODAY,
    taken_by_id: pros,
    limb_length_mm: 140,
    recorded_at: NOW,
  });
  await rows.insert('measure', { measure_set_id: set.id, height_mm: 20, circumference_mm: 300 });

  const pyramid = await rows.part('pyramid');
  const near = await rows.signature('mass_near_rating_acknowledged');
  await rows.insert('mass_acknowledgement', {
    order_id,
    part_id: pyramid.id,
    up_to_kg: 120,
    signature_id: near.id,
    ...recorded,
  });
  const setting = await rows.insert('torque_setting', {
    part_id: pyramid.id,
    joint_kind: 'distal',
    fastener_count: 4,
    fastener_size: 'M6',
    property_class: '12.9',
    torque_min_nm: 13.5,
    torque_max_nm: 16.5,
    threadlocker: 'required',
    document: 'Invented sheet 7',
    revision: 'C',
    ...recorded,
  });

  const later = await rows.socket('check', { order_id, replaces_socket_id: socket.id });
  const operation = await rows.insert('operation', {
    socket_id: later.id,
    seq: 1,
    kind: 'trim_edges',
    title: 'Trim the edges',
    checks: '[]',
    state: 'done',
  });
  const operationRecord = await rows.insert('operation_record', {
    operation_id: operation.id,
    attempt: 1,
    outcome: 'done',
    results: '{}',
    second_person_id: pros,
    ...recorded,
  });
  await rows.photo({ operation_record_id: operationRecord.id, check_key: 'edge' });
  const batch = await rows.insert('batch', {
    kind: 'threadlocker',
    name: 'Invented threadlocker',
    lot: 'TL-1',
    received_on: TODAY,
    quantity: 50,
    unit: 'mL',
    created_at: NOW,
    created_by_id: tech,
  });
  const wrench = await rows.tool('torque_tool');
  const calibration = await rows.insert('calibration', {
    tool_id: wrench.id,
    calibrated_on: TODAY,
    certificate: 'C-1',
    laboratory: 'Invented laboratory',
    ...recorded,
  });
  const joint = await rows.insert('joint', { socket_id: socket.id, kind: 'distal' });
  const confirmation = await rows.insert('torque_confirmation', {
    joint_id: joint.id,
    torque_setting_id: setting.id,
    tool_id: wrench.id,
    calibration_id: calibration.id,
    threadlocker_batch_id: batch.id,
    confirms: true,
    because: '[]',
    accepted_from_nm: 14,
    accepted_to_nm: 16,
    deviation_percent: 4,
    covers_move_ids: [],
    ...recorded,
  });
  await rows.insert('torque_reading', {
    confirmation_id: confirmation.id,
    fastener: 1,
    pass: 1,
    value: 15,
    unit: 'N.m',
    torque_nm: 15,
    in_band: true,
    final: true,
  });
  await rows.insert('batch_use', {
    batch_id: batch.id,
    socket_id: socket.id,
    operation_record_id: operationRecord.id,
    torque_confirmation_id: confirmation.id,
    amount: 1,
    used_at: NOW,
    used_by_id: tech,
  });
  await rows.insert('lock_check', {
    socket_id: socket.id,
    cycles: '[]',
    least_clicks: 4,
    passes: true,
    because: '[]',
    covers_move_ids: [],
    ...recorded,
  });
  const alignment = await rows.insert('alignment', {
    socket_id: socket.id,
    occasion: 'fitting',
    flexion_deg: 5,
    adduction_deg: 3,
    anterior_offset_mm: 10,
    lateral_offset_mm: -4,
    toe_out_deg: 6,
    height_to_floor_mm: 452,
    covers_move_ids: [],
    measured_at: NOW,
    measured_by_id: pros,
  });
  const accepted = await rows.signature('fit_accepted');
  await rows.insert('fitting', {
    socket_id: later.id,
    outcome: 'accepted',
    reasons: [],
    areas: [],
    alignment_id: alignment.id,
    signature_id: accepted.id,
    judged_at: NOW,
    judged_by_id: pros,
  });
  const asIs = await rows.signature('finding_accepted_as_is');
  await rows.finding(later, {
    operation_id: operation.id,
    disposition: 'accept_as_is',
    disposition_reason: 'cosmetic only',
    disposed_at: NOW,
    disposed_by_id: pros,
    signature_id: asIs.id,
  });
  const released = await rows.signature('service_released');
  await rows.visit(socket, {
    closed_at: NOW,
    closed_by_id: pros,
    outcome: 'tightened',
    signature_id: released.id,
  });
  const visit = await rows.visit(socket);
  const position = await rows.store.raw<{ id: string; name: string }>(
    'select id, name from place where socket_id = $1',
    [socket.id],
  );
  const inPlace = position[0];
  if (inPlace === undefined) throw new Error('the lock has a position');
  const bench = await rows.place('bench');
  await rows.move(lock.as, inPlace, bench, {
    service_visit_id: visit.id,
    transfer_id: randomUUID(),
  });
  await whatTheBenchWorksOut(rows, order_id);
  await rows.event({ order_id });
  const signer = aSigner();
  await rows.insert('signing_key', keyRow(rows, signer));
  await rows.insert('signed_head', await headRow(rows, signer));
  await rows.insert('merkle_node', { level: 6, index: 0, sha256: SHA });
}

/** Layup, recipe, weighing, volumes, drafts; calendar, rules, benches and fabrics came with the clinic. */
async function whatTheBenchWorksOut(rows: ClinicRows, order_id: string): Promise<void> {
  const { technicianId: tech, prosthetistId: pros } = rows;
  const [fabric] = await rows.store.raw<Row>('select id from fabric where clinic_id = $1 limit 1', [
    rows.clinicId,
  ]);
  const [rules] = await rows.store.raw<Row>('select id from layup_rule_set where clinic_id = $1', [
    rows.clinicId,
  ]);
  const [bench] = await rows.store.raw<Row>('select id from bench where clinic_id = $1 limit 1', [
    rows.clinicId,
  ]);
  await rows.insert('label_sizes', {
    version: 1,
    socket_width_mm: 57,
    socket_height_mm: 32,
    model_width_mm: 76,
    model_height_mm: 51,
    bin_width_mm: 102,
    bin_height_mm: 51,
    margin_mm: 2,
    created_at: NOW,
    created_by_id: pros,
  });
  await rows.insert('work_calendar', {
    version: 2,
    weekdays: '[]',
    closed_days: '[]',
    created_at: NOW,
    created_by_id: pros,
    superseded_at: NOW,
  });
  await rows.insert('layup_rule_set', {
    version: 2,
    rules: '{}',
    created_at: NOW,
    created_by_id: pros,
    superseded_at: NOW,
  });
  const product = await rows.resinProduct();
  const batch = (kind: string, of: Values) =>
    rows.insert('batch', {
      kind,
      name: `Invented ${kind}`,
      lot: `${kind}-1`,
      received_on: TODAY,
      quantity: 500,
      unit: 'g',
      price_minor: 4900,
      created_at: NOW,
      created_by_id: tech,
      ...of,
    });
  await batch('fabric', { fabric_id: fabric?.id });
  const resin = await batch('resin', { resin_product_id: product.id });

  const socket = await rows.socket('definitive', { order_id });
  await rows.insert('operation', {
    socket_id: socket.id,
    seq: 1,
    kind: 'laminate',
    title: 'Laminate',
    checks: '[]',
    state: 'stopped',
    bench_id: bench?.id,
    planned_minutes: 60,
  });
  const layup = await rows.layup(socket, { rule_set_id: rules?.id, rule_row: 'Nearly everybody' });
  const approved = await rows.signature('layup_approved', { subject_id: layup.id });
  await rows.store.raw('update layup set approved_at = $1, signature_id = $2 where id = $3', [
    NOW,
    approved.id,
    layup.id,
  ]);
  const recipe = await rows.insert('resin_recipe', {
    socket_id: socket.id,
    running: 1,
    layup_id: layup.id,
    product_id: product.id,
    product: '{}',
    asked: '{}',
    recipe: '{}',
    made_at: NOW,
    made_by_id: tech,
  });
  const finding = await rows.finding(socket, { kind: 'off_ratio' });
  const cup = {
    recipe_id: recipe.id,
    socket_id: socket.id,
    pour: 1,
    resin_g: 200,
    pigment_g: 0,
    stops: '[]',
    mixed_at: NOW,
    shop_temperature_c: 22,
    work_minutes: 30,
    recorded_at: NOW,
    recorded_by_id: tech,
  };
  const off = await rows.insert('resin_weighing', {
    ...cup,
    attempt: 1,
    hardener_g: 60,
    off_ratio_percent: -21,
    stops: '[{"code":"resin-off-ratio"}]',
    finding_id: finding.id,
  });
  const weighing = await rows.insert('resin_weighing', {
    ...cup,
    attempt: 2,
    hardener_g: 76,
    off_ratio_percent: 0,
    work_minutes: null,
    puts_right_id: off.id,
  });
  await rows.photo({ finding_id: finding.id });
  await rows.insert('batch_use', {
    batch_id: resin.id,
    socket_id: socket.id,
    resin_weighing_id: weighing.id,
    amount: 200,
    used_at: NOW,
    used_by_id: tech,
  });

  const set = (occasion: string) =>
    rows.insert('measure_set', {
      order_id,
      socket_id: socket.id,
      occasion,
      cap_depth_mm: 20,
      taken_on: TODAY,
      taken_by_id: pros,
      limb_length_mm: 140,
      recorded_at: NOW,
    });
  const [before, after] = [await set('fitting'), await set('delivery')];
  await rows.insert('volume_decision', {
    order_id,
    first_set_id: before.id,
    second_set_id: after.id,
    difference_ml: -90,
    percent: -6.2,
    ply: 5,
    limit_percent: 5,
    decision: 'socks',
    decided_at: NOW,
    decided_by_id: pros,
  });
  await rows.insert('recall_call', {
    batch_id: resin.id,
    socket_id: socket.id,
    outcome: 'reached',
    note: CIPHERTEXT,
    called_at: NOW,
    called_by_id: pros,
  });
  const part = await rows.part('pyramid', {
    udi_issuer: 'HIBCC',
    udi_device_identifier: 'A999INV10',
  });
  await rows.insert('part_draft', {
    issuer: 'HIBCC',
    device_identifier: 'A999INV10',
    scans: ['+A999INV10/'],
    said: '{}',
    scanned_at: NOW,
    scanned_by_id: tech,
    resolved_at: NOW,
    resolved_by_id: pros,
    part_id: part.id,
  });
  const work = await rows.insert('long_work', {
    kind: 'record_export',
    asked: '{}',
    asked_at: NOW,
    asked_by_id: tech,
    state: 'cancelled',
    total: 4,
    done: 2,
    position: '{"events":2}',
    started_at: NOW,
    ended_at: NOW,
    cancelled_at: NOW,
    cancelled_by_id: pros,
    taken_by: randomUUID(),
    lease_until: NOW,
    takings: 1,
    pieces: 1,
  });
  await rows.insert('long_work_piece', { long_work_id: work.id, seq: 1, body: CIPHERTEXT });
  await rows.insert('column_key', {
    key_id: 'test',
    check_value: SHA.slice(0, 16),
    first_used_at: NOW,
  });
  const [ordered] = await rows.store.raw<{ patient_id: string }>(
    'select patient_id from fabrication_order where id = $1',
    [order_id],
  );
  const booked = {
    patient_id: ordered?.patient_id,
    order_id,
    prosthetist_id: pros,
    purpose: 'service',
    booked_at: NOW,
    booked_by_id: pros,
  };
  const moved = await rows.insert('appointment', {
    ...booked,
    starts_at: '2026-03-09T09:00:00Z',
    ends_at: '2026-03-09T09:30:00Z',
    room: 'fitting room 1',
    note: CIPHERTEXT,
    state: 'moved',
    why: CIPHERTEXT,
    settled_at: NOW,
    settled_by_id: tech,
  });
  await rows.insert('appointment', {
    ...booked,
    starts_at: '2026-03-10T09:00:00Z',
    ends_at: '2026-03-10T09:30:00Z',
    replaces_id: moved.id,
  });
  const patient_id = ordered?.patient_id;
  await rows.insert('legal_hold', {
    subject_kind: 'order',
    order_id,
    reason: 'a claim about the lock',
    reference: 'Cg 3/26',
    placed_at: NOW,
    placed_by_id: pros,
    lifted_at: NOW,
    lifted_by_id: pros,
    lift_reason: 'settled',
  });
  const [mass] = await rows.store.raw<{ id: string; patient_id: string }>(
    'select id, patient_id from body_mass where clinic_id = $1 limit 1',
    [rows.clinicId],
  );
  const request = await rows.insert('correction_request', {
    patient_id: mass?.patient_id,
    asked_on: TODAY,
    said: 'weighs more than that',
    recorded_at: NOW,
    recorded_by_id: tech,
    decision: 'accepted',
    decision_reason: 'the scale was misread',
    decided_at: NOW,
    decided_by_id: pros,
  });
  const correctionId = randomUUID();
  const signed = await rows.signature('correction_made', { subject_id: correctionId });
  await rows.insert('correction', {
    id: correctionId,
    patient_id: mass?.patient_id,
    subject_kind: 'body_mass',
    subject_id: mass?.id,
    request_id: request.id,
    wrong: '80 kg',
    right: '85 kg',
    why: 'the scale was misread',
    corrected_at: NOW,
    corrected_by_id: pros,
    signature_id: signed.id,
  });
  await rows.insert('erasure', {
    patient_id,
    what: ['phone'],
    why: 'asked in writing',
    legal_basis: 'consent withdrawn',
    asked_at: NOW,
    asked_by_id: tech,
    state: 'withdrawn',
    settled_at: NOW,
    settled_by_id: tech,
  });
  await rows.insert('patient_look', {
    patient_id: ordered?.patient_id,
    by_id: pros,
    at: NOW,
    route: 'readOrder',
    shown: 'identity',
    order_id,
  });
  const opening = await rows.insert('break_glass', {
    patient_id: ordered?.patient_id,
    reason: 'label_unreadable',
    words: 'The traveller is torn.',
    fields: ['givenName', 'familyName'],
    opened_at: NOW,
    opened_by_id: tech,
    until: new Date(new Date(NOW).getTime() + 30 * 60_000).toISOString(),
  });
  await rows.insert('break_glass_review', {
    break_glass_id: opening.id,
    in_order: false,
    words: 'Ask the desk next time.',
    reviewed_at: NOW,
    reviewed_by_id: pros,
  });
}
