/**
 * What the trace tells of each kind of record beyond when, where and who: the
 * shape of it, and the SQL that reads it by the record's id. It is read for the
 * rows of one page only. No names of patients, nor of those who receive for them.
 */
import { z } from 'zod';
import type { TraceKind } from '../domain/trace.ts';
import {
  BATCH_KINDS,
  BATCH_UNITS,
  CAST_STATES,
  DISPOSITIONS,
  FINDING_KINDS,
  FIT_NEXT_STEPS,
  FIT_OUTCOMES,
  FIT_REASONS,
  JOINT_KINDS,
  LEVELS,
  LIMB_AREAS,
  MOVE_REASONS,
  SERVICE_KINDS,
  SIDES,
  SIGNATURE_MEANINGS,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
  TORQUE_UNITS,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import { because, BENCH_DETAILS, READ_BENCH } from './traceBench.ts';

const day = z.iso.date();

export const TRACE_DETAILS = {
  order: z.object({
    side: z.enum(SIDES),
    level: z.enum(LEVELS),
    suspension: z.enum(SUSPENSIONS),
    stageNow: z.enum(STAGES),
  }),
  cast: z.object({
    number: z.int(),
    method: z.string(),
    takenOn: day,
    stateNow: z.enum(CAST_STATES),
  }),
  stage: z.object({
    fromStage: z.enum(STAGES).nullable(),
    toStage: z.enum(STAGES),
    why: z.string().nullable(),
  }),
  socket: z.object({
    socketKind: z.enum(SOCKET_KINDS),
    stateNow: z.enum(SOCKET_STATES),
    castNumber: z.int(),
    replaces: z.string().nullable().describe('Number of the socket that it replaces.'),
  }),
  move: z.object({
    reason: z.enum(MOVE_REASONS),
    note: z.string().nullable(),
    thingId: z.string(),
    thing: z.string(),
    thingIs: z.enum(['item', 'shop_tool']),
    from: z.string().nullable().describe('Name of the place it left; null where it was received.'),
    to: z.string(),
    transferId: z.string().nullable(),
    serviceVisitId: z.string().nullable(),
  }),
  operation: z.object({
    operation: z.string(),
    title: z.string(),
    attempt: z.int(),
    outcome: z.string(),
    results: z.record(z.string(), z.unknown()).describe('The answers by the key of their check.'),
    minutes: z.int().nullable(),
    secondPerson: z.string().nullable(),
  }),
  batch_use: z.object({
    batchId: z.string(),
    batchKind: z.enum(BATCH_KINDS),
    name: z.string(),
    lot: z.string(),
    expiresOn: day.nullable(),
    amount: z.number().nullable(),
    unit: z.enum(BATCH_UNITS),
    usedFor: z
      .string()
      .nullable()
      .describe('Title of the operation, the joint torqued, or the cup weighed.'),
  }),
  torque: z.object({
    joint: z.enum(JOINT_KINDS),
    confirms: z.boolean(),
    because,
    acceptedFromNm: z.number(),
    acceptedToNm: z.number(),
    deviationPercent: z.number(),
    tool: z.object({ id: z.string(), name: z.string(), serial: z.string().nullable() }),
    calibration: z.object({
      certificate: z.string(),
      laboratory: z.string(),
      calibratedOn: day,
      validUntil: day.nullable(),
    }),
    setting: z.object({
      minNm: z.number(),
      maxNm: z.number(),
      document: z.string(),
      revision: z.string(),
    }),
    threadlocker: z.object({ batchId: z.string(), name: z.string(), lot: z.string() }).nullable(),
    readings: z.array(
      z.object({
        fastener: z.int(),
        pass: z.int(),
        value: z.number(),
        unit: z.enum(TORQUE_UNITS),
        torqueNm: z.number(),
        inBand: z.boolean(),
        final: z.boolean(),
      }),
    ),
  }),
  lock_check: z.object({
    passes: z.boolean(),
    because,
    leastClicks: z.int(),
    cycles: z.array(z.record(z.string(), z.unknown())),
  }),
  alignment: z.object({
    occasion: z.string(),
    flexionDeg: z.number(),
    adductionDeg: z.number(),
    anteriorOffsetMm: z.number(),
    lateralOffsetMm: z.number(),
    toeOutDeg: z.number(),
    heightToFloorMm: z.number(),
  }),
  fitting: z.object({
    outcome: z.enum(FIT_OUTCOMES),
    reasons: z.array(z.enum(FIT_REASONS)),
    areas: z.array(z.enum(LIMB_AREAS)),
    changes: z.string().nullable(),
    nextStep: z.enum(FIT_NEXT_STEPS).nullable(),
  }),
  finding: z.object({
    step: z.enum(['opened', 'disposed']),
    findingKind: z.enum(FINDING_KINDS),
    note: z.string(),
    operation: z.string().nullable(),
    photoIds: z.array(z.string()).describe('Photos that were reported with it.'),
    disposition: z.enum(DISPOSITIONS).nullable(),
    dispositionReason: z.string().nullable(),
  }),
  delivery: z.object({
    receivedByRelation: z.string().describe('Who received it, by relation to the patient.'),
    signatureId: z.string(),
  }),
  service: z.object({
    step: z.enum(['opened', 'closed']),
    serviceKind: z.enum(SERVICE_KINDS),
    note: z.string(),
    outcome: z.string().nullable(),
  }),
  signature: z.object({
    meaning: z.enum(SIGNATURE_MEANINGS),
    printedName: z.string(),
    subjectKind: z.string(),
    subjectId: z.string(),
    contentSha256: z.string(),
  }),
  calibration: z.object({
    toolId: z.string(),
    tool: z.string(),
    calibratedOn: day,
    validUntil: day.nullable(),
    certificate: z.string(),
    laboratory: z.string(),
    deviationPercent: z.number().nullable(),
  }),
  ...BENCH_DETAILS,
} as const satisfies Record<TraceKind, z.ZodType>;

/** How things are called everywhere: the part's name with serial or lot. */
export const ITEM_LABEL = `pt.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot)`;

/** By kind, the details of the record `p.record_id` at step `p.step`, as one jsonb. */
const READ = {
  order: `select jsonb_build_object('side', x.side, 'level', x.level, 'suspension', x.suspension, 'stageNow', x.stage)
    from fabrication_order x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  cast: `select jsonb_build_object('number', x.number, 'method', x.method, 'takenOn', x.taken_on, 'stateNow', x.state)
    from limb_cast x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  stage: `select jsonb_build_object('fromStage', x.from_stage, 'toStage', x.to_stage, 'why', x.why)
    from stage_change x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  socket: `select jsonb_build_object('socketKind', x.kind, 'stateNow', x.state, 'castNumber', k.number, 'replaces', r.number)
    from socket x
    join limb_cast k on k.clinic_id = x.clinic_id and k.id = x.cast_id
    left join socket r on r.clinic_id = x.clinic_id and r.id = x.replaces_socket_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  move: `select jsonb_build_object('reason', x.reason, 'note', x.note, 'thingId', coalesce(x.item_id, x.shop_tool_id),
      'thing', coalesce(${ITEM_LABEL}, t.name), 'thingIs', case when x.item_id is null then 'shop_tool' else 'item' end,
      'from', m.from_name, 'to', m.to_name, 'transferId', x.transfer_id, 'serviceVisitId', x.service_visit_id)
    from move x
    left join item i on i.clinic_id = x.clinic_id and i.id = x.item_id
    left join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
    left join shop_tool t on t.clinic_id = x.clinic_id and t.id = x.shop_tool_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  operation: `select jsonb_build_object('operation', y.kind, 'title', y.title, 'attempt', x.attempt, 'outcome', x.outcome,
      'results', x.results, 'minutes', x.minutes, 'secondPerson', n.printed_name)
    from operation_record x
    join operation y on y.clinic_id = x.clinic_id and y.id = x.operation_id
    left join person n on n.clinic_id = x.clinic_id and n.id = x.second_person_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  batch_use: `select jsonb_build_object('batchId', b.id, 'batchKind', b.kind, 'name', b.name, 'lot', b.lot, 'expiresOn', b.expires_on,
      'amount', x.amount, 'unit', b.unit, 'usedFor', coalesce(y.title, j.kind, 'cup ' || w.pour))
    from batch_use x
    join batch b on b.clinic_id = x.clinic_id and b.id = x.batch_id
    left join operation_record r on r.clinic_id = x.clinic_id and r.id = x.operation_record_id
    left join operation y on y.clinic_id = r.clinic_id and y.id = r.operation_id
    left join torque_confirmation c on c.clinic_id = x.clinic_id and c.id = x.torque_confirmation_id
    left join joint j on j.clinic_id = c.clinic_id and j.id = c.joint_id
    left join resin_weighing w on w.clinic_id = x.clinic_id and w.id = x.resin_weighing_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  torque: `select jsonb_build_object('joint', j.kind, 'confirms', x.confirms, 'because', x.because,
      'acceptedFromNm', x.accepted_from_nm, 'acceptedToNm', x.accepted_to_nm, 'deviationPercent', x.deviation_percent,
      'tool', jsonb_build_object('id', t.id, 'name', t.name, 'serial', t.serial),
      'calibration', jsonb_build_object('certificate', k.certificate, 'laboratory', k.laboratory,
        'calibratedOn', k.calibrated_on, 'validUntil', k.valid_until),
      'setting', jsonb_build_object('minNm', g.torque_min_nm, 'maxNm', g.torque_max_nm,
        'document', g.document, 'revision', g.revision),
      'threadlocker', case when b.id is not null
        then jsonb_build_object('batchId', b.id, 'name', b.name, 'lot', b.lot) end,
      'readings', coalesce((select jsonb_agg(jsonb_build_object('fastener', r.fastener, 'pass', r.pass, 'value', r.value,
          'unit', r.unit, 'torqueNm', r.torque_nm, 'inBand', r.in_band, 'final', r.final) order by r.pass, r.fastener)
        from torque_reading r where r.clinic_id = x.clinic_id and r.confirmation_id = x.id), '[]'::jsonb))
    from torque_confirmation x
    join joint j on j.clinic_id = x.clinic_id and j.id = x.joint_id
    join shop_tool t on t.clinic_id = x.clinic_id and t.id = x.tool_id
    join calibration k on k.clinic_id = x.clinic_id and k.id = x.calibration_id
    join torque_setting g on g.clinic_id = x.clinic_id and g.id = x.torque_setting_id
    left join batch b on b.clinic_id = x.clinic_id and b.id = x.threadlocker_batch_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  lock_check: `select jsonb_build_object('passes', x.passes, 'because', x.because, 'leastClicks', x.least_clicks, 'cycles', x.cycles)
    from lock_check x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  alignment: `select jsonb_build_object('occasion', x.occasion, 'flexionDeg', x.flexion_deg, 'adductionDeg', x.adduction_deg,
      'anteriorOffsetMm', x.anterior_offset_mm, 'lateralOffsetMm', x.lateral_offset_mm, 'toeOutDeg', x.toe_out_deg,
      'heightToFloorMm', x.height_to_floor_mm)
    from alignment x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  fitting: `select jsonb_build_object('outcome', x.outcome, 'reasons', coalesce(x.reasons, '{}'), 'areas', coalesce(x.areas, '{}'), 'changes', x.changes,
      'nextStep', x.next_step)
    from fitting x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  // When it was opened, its disposition was not known; each step tells what it added.
  finding: `select jsonb_build_object('step', case p.step when 0 then 'opened' else 'disposed' end, 'findingKind', x.kind,
      'note', x.note, 'operation', y.title, 'photoIds', coalesce((select jsonb_agg(h.id order by h.seq)
        from photo h where h.clinic_id = x.clinic_id and h.finding_id = x.id), '[]'::jsonb), 'disposition', case p.step when 1 then x.disposition end,
      'dispositionReason', case p.step when 1 then x.disposition_reason end)
    from finding x left join operation y on y.clinic_id = x.clinic_id and y.id = x.operation_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  delivery: `select jsonb_build_object('receivedByRelation', x.received_by_relation, 'signatureId', x.signature_id)
    from delivery x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  service: `select jsonb_build_object('step', case p.step when 0 then 'opened' else 'closed' end, 'serviceKind', x.kind,
      'note', x.note, 'outcome', case p.step when 1 then x.outcome end)
    from service_visit x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  signature: `select jsonb_build_object('meaning', x.meaning, 'printedName', x.printed_name, 'subjectKind', x.subject_kind,
      'subjectId', x.subject_id, 'contentSha256', x.content_sha256)
    from signature x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  calibration: `select jsonb_build_object('toolId', t.id, 'tool', t.name, 'calibratedOn', x.calibrated_on,
      'validUntil', x.valid_until, 'certificate', x.certificate, 'laboratory', x.laboratory,
      'deviationPercent', x.deviation_percent)
    from calibration x join shop_tool t on t.clinic_id = x.clinic_id and t.id = x.tool_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  ...READ_BENCH,
} as const satisfies Record<TraceKind, string>;

/** The details of a row `p` of these kinds; the places of a move are `m`'s. */
export const detailsSql = (kinds: readonly TraceKind[]): Prisma.Sql =>
  Prisma.raw(
    `case p.kind ${kinds.map((kind) => `when '${kind}' then (${READ[kind]})`).join(' ')} end`,
  );
