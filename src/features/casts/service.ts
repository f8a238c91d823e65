import { v7 as uuidv7 } from 'uuid';
import { questionCap } from '../../domain/limbGeometry.ts';
import { questionDayTaken, questionMeasures } from '../../domain/measures.ts';
import { reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import type { CastState } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { castsOf, loadCast, type CastRecord } from '../../store/casts.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { asStored } from '../../store/days.ts';
import { writeMeasureSet } from '../../store/measureSets.ts';
import { holdOrder, loadOrder, type OrderRecord } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { changeStage } from '../orders/stage.ts';
import type { CastToTake, CastView } from './schemas.ts';

export async function listCasts(act: Act, orderId: string): Promise<{ items: CastView[] }> {
  await loadOrder(act, orderId);
  return { items: await castsOf(act, orderId) };
}

/**
 * Records a cast with the measures taken at it.
 * @throws Refused 'stage-does-not-allow', 'order-on-hold', 'day-in-future', 'day-before-birth',
 *   'limb-length-implausible', 'measures-implausible', 'value-out-of-range',
 *   'cap-depth-disagrees'.
 */
export async function takeCast(act: Act, orderId: string, input: CastToTake): Promise<CastView> {
  const { clinicId, tx } = act;
  const order = await holdOrder(act, orderId);
  orRefuse(mayWork(order, ['casting', 'check_fitting'], 'take a cast'));
  const { method, takenOn, limbLengthMm, capDepthMm = null, measures } = input;
  const today = await todayAtClinic(act);
  const { birthDate } = await loadPatient(act, order.patientId);
  refuseIfAny([
    ...questionDayTaken('The day of the cast', takenOn, { today, birthDate }),
    ...questionMeasures(order.level, limbLengthMm, measures),
    ...questionCap(measures, capDepthMm),
  ]);
  const earlier = await castsOf(act, orderId);
  const id = uuidv7();
  const number = (earlier.at(-1)?.number ?? 0) + 1;
  const note = input.note ?? null;
  await tx.cast.create({
    data: {
      clinicId,
      id,
      orderId,
      number,
      method,
      takenOn: asStored(takenOn),
      takenById: act.by.personId,
      state: 'taken',
      note,
      recordedAt: act.at,
    },
  });
  await writeMeasureSet(act, {
    orderId,
    occasion: 'cast',
    castId: id,
    socketId: null,
    takenOn,
    limbLengthMm,
    capDepthMm,
    note: null,
    measures,
  });
  act.record({
    kind: 'cast.taken',
    subjectKind: 'cast',
    subjectId: id,
    orderId,
    data: {
      number,
      method,
      takenOn,
      note,
      limbLengthMm,
      capDepthMm,
      measures: measures.map(({ heightMm, circumferenceMm }) => ({ heightMm, circumferenceMm })),
    },
  });
  return loadCast(act, id);
}

/** A prosthetist accepts a cast: sockets may be made from it. */
export async function acceptCast(act: Act, castId: string): Promise<CastView> {
  const { cast, order } = await castToJudge(act, castId);
  await decide(act, cast, 'accepted', null);
  await changeStage(act, order, 'cast_accepted', `cast ${cast.number} accepted`);
  return loadCast(act, castId);
}

/** A prosthetist rejects a cast; another is taken. */
export async function rejectCast(act: Act, castId: string, why: string): Promise<CastView> {
  const { cast } = await castToJudge(act, castId);
  await decide(act, cast, 'rejected', why);
  return loadCast(act, castId);
}

/** The cast and its order, held, so that two judgements cannot pass each other. */
async function castToJudge(
  act: Act,
  castId: string,
): Promise<{ cast: CastRecord; order: OrderRecord }> {
  const { orderId } = await loadCast(act, castId);
  const order = await holdOrder(act, orderId);
  const cast = await loadCast(act, castId);
  if (cast.state !== 'taken') {
    throw new Refused([reason('cast-already-decided', { cast: cast.number, state: cast.state })]);
  }
  orRefuse(mayWork(order, ['casting', 'check_fitting'], 'judge a cast'));
  return { cast, order };
}

async function decide(
  act: Act,
  cast: CastRecord,
  state: Exclude<CastState, 'taken'>,
  why: string | null,
): Promise<void> {
  await act.tx.cast.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: cast.id } },
    data: { state, decidedAt: act.at, decidedById: act.by.personId, decisionReason: why },
  });
  act.record({
    kind: `cast.${state}`,
    subjectKind: 'cast',
    subjectId: cast.id,
    orderId: cast.orderId,
    data: { number: cast.number, before: cast.state, after: state, why },
  });
}
