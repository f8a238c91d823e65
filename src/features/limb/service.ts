/** Measures of a limb at any visit, what became of its volume, and its drawn profile (C1). */
import { questionCap } from '../../domain/limbGeometry.ts';
import { isOneLimb, questionPair } from '../../domain/limbVolume.ts';
import { questionDayTaken, questionMeasures } from '../../domain/measures.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { DrawnLimb, LimbProfileRecord } from '../../documents/figures/limbProfile.ts';
import { dayWords } from '../../documents/dates.ts';
import { spoken } from '../../documents/words.ts';
import type { Act } from '../../store/act.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import {
  loadMeasureSet,
  measureSetsOf,
  writeMeasureSet,
  type MeasureSetRecord,
} from '../../store/measureSets.ts';
import { holdOrder, loadOrder, type OrderRecord } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { loadSocket } from '../../store/sockets.ts';
import type {
  MeasureSets,
  MeasureSetTaken,
  MeasureSetToTake,
  VolumeComparisonView,
} from './schemas.ts';
import { comparisonOf, geometryOf, setView, sinceCastOf } from './view.ts';

/** All sets of the order's limb, over all orders of the patient, and the newest against the newest cast. */
export async function listMeasureSets(act: Act, orderId: string): Promise<MeasureSets> {
  const order = await loadOrder(act, orderId);
  const sets = await measureSetsOf(act, order);
  const newest = sets.findLast((set) => set.stage !== 'cancelled' && isOneLimb(set, order));
  const since =
    newest === undefined
      ? { sinceCast: null, notCompared: null }
      : await sinceCastOf(act, sets, newest);
  return { items: sets.map(setView), ...since };
}

/** A cancelled order is worked on no more; one on hold is measured, often that is what it waits for. */
export function refuseCancelled(order: OrderRecord, attempt: string): void {
  if (order.stage !== 'cancelled') return;
  const { number, stage } = order;
  throw new Refused([reason('stage-does-not-allow', { order: number, stage, attempt })]);
}

/**
 * Records the limb's measures at a fitting, the delivery or a visit, and says what
 * became of the limb since its newest accepted cast.
 * @throws Refused 'stage-does-not-allow', 'socket-of-another-order', 'day-in-future', 'day-before-birth',
 *   'limb-length-implausible', 'measures-implausible', 'value-out-of-range',
 *   'cap-depth-disagrees'.
 */
export async function takeMeasures(
  act: Act,
  orderId: string,
  input: MeasureSetToTake,
): Promise<MeasureSetTaken> {
  const order = await holdOrder(act, orderId);
  refuseCancelled(order, 'have its limb measured');
  const { occasion, socketId = null, takenOn, limbLengthMm, measures } = input;
  const { capDepthMm = null, note = null } = input;
  const socket = socketId === null ? null : await socketOnTrial(act, order, socketId);
  const today = await todayAtClinic(act);
  const { birthDate } = await loadPatient(act, order.patientId);
  refuseIfAny([
    ...questionDayTaken('The day of the measures', takenOn, { today, birthDate }),
    ...questionMeasures(order.level, limbLengthMm, measures),
    ...questionCap(measures, capDepthMm),
  ]);
  const id = await writeMeasureSet(act, {
    orderId,
    occasion,
    castId: null,
    socketId,
    takenOn,
    limbLengthMm,
    capDepthMm,
    note,
    measures,
  });
  act.record({
    kind: 'limb.measured',
    subjectKind: 'measure_set',
    subjectId: id,
    orderId,
    data: {
      occasion,
      socket: socket?.number ?? null,
      takenOn,
      limbLengthMm,
      capDepthMm,
      note,
      measures: measures.map(({ heightMm, circumferenceMm }) => ({ heightMm, circumferenceMm })),
    },
  });
  const set = await loadMeasureSet(act, id);
  const sets = await measureSetsOf(act, order);
  return { set: setView(set), ...(await sinceCastOf(act, sets, set)) };
}

async function socketOnTrial(
  act: Act,
  order: OrderRecord,
  socketId: string,
): Promise<{ number: string }> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId);
  if (socket.orderId === order.id) return socket;
  const facts = { socket: socket.number, order: order.number };
  throw new Refused([reason('socket-of-another-order', facts, '/socketId')]);
}

/** Two sets of one limb. @throws Refused where they are not, or have too little in common */
export async function compareSets(
  act: Act,
  firstId: string,
  secondId: string,
): Promise<VolumeComparisonView> {
  const first = await loadMeasureSet(act, firstId, '/first');
  const second = await loadMeasureSet(act, secondId, '/second');
  return orRefuse(await comparisonOf(act, first, second)).view;
}

/** What the drawing of a set shows, with another set of the limb over it. */
export async function readProfile(
  act: Act,
  measureSetId: string,
  withId: string | undefined,
): Promise<LimbProfileRecord> {
  const set = await loadMeasureSet(act, measureSetId);
  const over = withId === undefined ? null : await loadMeasureSet(act, withId, '/with');
  if (over !== null) refuseIfAny(questionPair(set, over));
  const { side, level, orderNumber } = set;
  return {
    limb: `${side} ${spoken(level)} limb, order ${orderNumber}`,
    drawn: drawnLimb(set),
    over: over === null ? null : drawnLimb(over),
  };
}

function drawnLimb(set: MeasureSetRecord): DrawnLimb {
  const { cap, profile } = geometryOf(set);
  const what = set.castNumber === null ? spoken(set.occasion) : `cast ${set.castNumber}`;
  return {
    label: `${what}, ${dayWords(set.takenOn)}`,
    measures: set.measures,
    cap,
    profile,
  };
}
