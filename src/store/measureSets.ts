/** Tables of measures of a limb, and what was decided where the limb had changed (C1). */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import {
  isOneLimb,
  VOLUME_DECISIONS,
  type LimbSinceCast,
  type VolumeComparison,
  type VolumeDecision,
  type VolumeSettings,
} from '../domain/limbVolume.ts';
import { MEASURE_OCCASIONS, type LimbMeasure, type MeasureOccasion } from '../domain/measures.ts';
import { reason } from '../domain/reasons/index.ts';
import { CAST_STATES, LEVELS, SIDES, STAGES } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { loadClinic, type ClinicSettings } from './clinic.ts';
import { asStored } from './days.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';
import type { SocketFacts } from './sockets.ts';

const storedDay = z.string().transform((text) => text as Day);

const SetRow = z.object({
  id: z.string(),
  orderId: z.string(),
  orderNumber: z.string(),
  stage: z.enum(STAGES),
  patientId: z.string(),
  side: z.enum(SIDES),
  level: z.enum(LEVELS),
  occasion: z.enum(MEASURE_OCCASIONS),
  castId: z.string().nullable(),
  castNumber: z.number().nullable(),
  castState: z.enum(CAST_STATES).nullable(),
  socketId: z.string().nullable(),
  socketNumber: z.string().nullable(),
  takenOn: storedDay,
  takenBy: z.string(),
  limbLengthMm: z.number(),
  capDepthMm: z.number().nullable(),
  note: z.string().nullable(),
  recordedAt: z.date(),
  measures: z.array(z.object({ heightMm: z.number(), circumferenceMm: z.number() })),
});

/** A table of measures with the order, and the limb, that it is of. Lengths in mm. */
export type MeasureSetRecord = z.infer<typeof SetRow>;

const SELECT = Prisma.sql`
  select s.id, s.order_id as "orderId", o.number as "orderNumber", o.stage, o.patient_id as "patientId", o.side,
    o.level, s.occasion, s.cast_id as "castId", k.number as "castNumber", k.state as "castState",
    s.socket_id as "socketId", t.number as "socketNumber", s.taken_on::text as "takenOn", p.printed_name as "takenBy",
    s.limb_length_mm as "limbLengthMm", s.cap_depth_mm as "capDepthMm", s.note, s.recorded_at as "recordedAt",
    coalesce((select json_agg(json_build_object('heightMm', m.height_mm, 'circumferenceMm', m.circumference_mm)
        order by m.height_mm)
      from measure m where m.clinic_id = s.clinic_id and m.measure_set_id = s.id), '[]'::json) as measures
  from measure_set s
  join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
  join person p on p.clinic_id = s.clinic_id and p.id = s.taken_by_id
  left join limb_cast k on k.clinic_id = s.clinic_id and k.id = s.cast_id
  left join socket t on t.clinic_id = s.clinic_id and t.id = s.socket_id`;

/**
 * @param field JSON Pointer to the request's field that names it
 * @throws Refused 'not-found' where the clinic has no such set.
 */
export async function loadMeasureSet(
  act: Act,
  id: string,
  field?: string,
): Promise<MeasureSetRecord> {
  const row = parseFirst(
    SetRow,
    await act.tx
      .$queryRaw`${SELECT} where s.clinic_id = ${act.clinicId}::uuid and s.id = ${id}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'set of measures', id }, field));
}

/** All sets of one side of a patient, over all orders, the oldest first. */
export async function measureSetsOf(
  act: Act,
  { patientId, side }: Pick<MeasureSetRecord, 'patientId' | 'side'>,
): Promise<MeasureSetRecord[]> {
  return parseRows(
    SetRow,
    await act.tx.$queryRaw`
      ${SELECT} where o.clinic_id = ${act.clinicId}::uuid and o.patient_id = ${patientId}::uuid and o.side = ${side}
      order by s.taken_on, s.id`,
  );
}

/** The newest set of the limb that was taken with an accepted cast; what was cancelled does not count. */
export const setOfAcceptedCast = (
  sets: readonly MeasureSetRecord[],
  limb: Pick<MeasureSetRecord, 'patientId' | 'side' | 'level'>,
): MeasureSetRecord | undefined =>
  sets.findLast(
    (set) => set.castState === 'accepted' && set.stage !== 'cancelled' && isOneLimb(set, limb),
  );

export interface NewMeasureSet {
  readonly orderId: string;
  readonly occasion: MeasureOccasion;
  readonly castId: string | null;
  readonly socketId: string | null;
  readonly takenOn: Day;
  readonly limbLengthMm: number;
  readonly capDepthMm: number | null;
  readonly note: string | null;
  readonly measures: readonly LimbMeasure[];
}

/** Writes a table of measures. @returns its id */
export async function writeMeasureSet(act: Act, set: NewMeasureSet): Promise<string> {
  const { clinicId, tx } = act;
  const { takenOn, measures, ...rest } = set;
  const id = uuidv7();
  await tx.measureSet.create({
    data: {
      clinicId,
      id,
      ...rest,
      takenOn: asStored(takenOn),
      takenById: act.by.personId,
      recordedAt: act.at,
    },
  });
  await tx.measure.createMany({
    data: measures.map(({ heightMm, circumferenceMm }) => ({
      clinicId,
      measureSetId: id,
      heightMm,
      circumferenceMm,
    })),
  });
  return id;
}

const DecisionRow = z.object({
  id: z.string(),
  decision: z.enum(VOLUME_DECISIONS),
  why: z.string().nullable(),
  differenceMl: z.number(),
  percent: z.number(),
  ply: z.number(),
  limitPercent: z.number(),
  decidedAt: z.date(),
  decidedBy: z.string(),
});
/** What was decided on two sets, with the figures and the clinic's limit of that moment. */
export type VolumeDecisionRecord = z.infer<typeof DecisionRow>;

/** @param firstSetId the earlier of the two */
export async function decisionOn(
  act: Act,
  firstSetId: string,
  secondSetId: string,
): Promise<VolumeDecisionRecord | null> {
  const row = parseFirst(
    DecisionRow,
    await act.tx.$queryRaw`
      select d.id, d.decision, d.why, d.difference_ml as "differenceMl", d.percent, d.ply,
        d.limit_percent as "limitPercent", d.decided_at as "decidedAt", p.printed_name as "decidedBy"
      from volume_decision d
      join person p on p.clinic_id = d.clinic_id and p.id = d.decided_by_id
      where d.clinic_id = ${act.clinicId}::uuid and d.first_set_id = ${firstSetId}::uuid
        and d.second_set_id = ${secondSetId}::uuid`,
  );
  return row ?? null;
}

export interface NewVolumeDecision {
  readonly orderId: string;
  readonly firstSetId: string;
  readonly secondSetId: string;
  readonly compared: VolumeComparison;
  readonly limitPercent: number;
  readonly decision: VolumeDecision;
  readonly why: string | null;
}

/** Writes a decision. @returns its id; null where one on these two sets is on record already */
export async function writeDecision(act: Act, made: NewVolumeDecision): Promise<string | null> {
  const id = uuidv7();
  const { differenceMl, percent, ply } = made.compared;
  const written = await act.tx.$executeRaw`
    insert into volume_decision (clinic_id, id, order_id, first_set_id, second_set_id, difference_ml, percent, ply,
      limit_percent, decision, why, decided_at, decided_by_id)
    values (${act.clinicId}::uuid, ${id}::uuid, ${made.orderId}::uuid, ${made.firstSetId}::uuid,
      ${made.secondSetId}::uuid, ${differenceMl}::float8, ${percent}::float8, ${ply}::int,
      ${made.limitPercent}::float8, ${made.decision}, ${made.why}, ${act.at}::timestamptz, ${act.by.personId}::uuid)
    on conflict (clinic_id, first_set_id, second_set_id) do nothing`;
  return written === 1 ? id : null;
}

export const volumeSettingsOf = (
  clinic: Pick<ClinicSettings, 'plyMeans' | 'perPly' | 'volumeLimitPercent'>,
): VolumeSettings => ({
  ply: { means: clinic.plyMeans, perPly: clinic.perPly },
  limitPercent: clinic.volumeLimitPercent,
});

/** The limb's newest measures beside those of the cast that a socket came from; null where those are the newest. */
export async function limbSinceCast(act: Act, socket: SocketFacts): Promise<LimbSinceCast | null> {
  const sets = await measureSetsOf(act, socket);
  const ofCast = sets.find((set) => set.castId === socket.castId);
  if (ofCast === undefined) return null;
  const ofLimb = sets.filter((set) => set.stage !== 'cancelled' && isOneLimb(set, ofCast));
  const newest = ofLimb.at(-1) ?? ofCast;
  const { newCastDecidedAfter } = socket;
  if (newest.id === ofCast.id && newCastDecidedAfter === null) return null;
  const decided = await decisionOn(act, ofCast.id, newest.id);
  const later = ofLimb.findLast(
    (set) => set.castState === 'accepted' && set.orderId === socket.orderId,
  );
  return {
    castNumber: socket.castNumber,
    castMeasures: ofCast.measures,
    newestTakenOn: newest.takenOn,
    newestMeasures: newest.measures,
    settings: volumeSettingsOf(await loadClinic(act.tx, act.clinicId)),
    decision: decided?.decision ?? null,
    newCastDecidedAfter,
    laterCast: later === undefined || later.id === ofCast.id ? null : later.castNumber,
  };
}
