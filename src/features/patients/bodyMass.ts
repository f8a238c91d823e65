import { v7 as uuidv7 } from 'uuid';
import { lookedUp } from '../../access/lookUp.ts';
import { questionBodyMass, type MeasuredMass } from '../../domain/bodyMass.ts';
import { isBefore } from '../../domain/days.ts';
import { judgeWeight } from '../../domain/fit.ts';
import { judgeOutgrown } from '../../domain/layupDraft.ts';
import type { Reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { heldItems } from '../../store/assembly.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { asStored } from '../../store/days.ts';
import { newestLayup } from '../../store/layups.ts';
import { loadOperations } from '../../store/operations.ts';
import {
  bodyMassesOf,
  definitiveSockets,
  holdPatient,
  loadPatient,
  openMassFinding,
} from '../../store/patients.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { acknowledgedMasses, loadSocket, wearerOf, type SocketFacts } from '../../store/sockets.ts';
import { openFinding } from '../findings/open.ts';
import type { BodyMassRecorded, BodyMassToAdd, BodyMassView } from './schemas.ts';

/** All body masses of a patient, the latest first; a look at the patient. */
export async function lookAtBodyMasses(
  act: Act,
  patientId: string,
): Promise<{ items: BodyMassView[] }> {
  await loadPatient(act, patientId);
  await lookedUp(act, { route: 'listBodyMasses', shown: 'bench', patientIds: [patientId] });
  return { items: await bodyMassesOf(act, patientId) };
}

/**
 * Records a body mass and judges again all that the patient wears (R3), and the
 * layups of all sockets laid up for them (C2): a part over its rating, or a layup made
 * for less, opens a finding on its socket.
 * @throws Refused 'day-in-future', or 'body-mass-implausible' unless confirmed.
 */
export async function addBodyMass(
  act: Act,
  patientId: string,
  input: BodyMassToAdd,
): Promise<BodyMassRecorded> {
  await holdPatient(act, patientId);
  const earlier = (await bodyMassesOf(act, patientId)).find(
    (mass) => !isBefore(input.measuredOn, mass.measuredOn),
  );
  const before = earlier ?? null;
  const today = await todayAtClinic(act);
  refuseIfAny(questionBodyMass(input, { before, today, confirmed: input.confirmed }));
  const bodyMass = await writeBodyMass(act, patientId, input, before);
  return { bodyMass, warnings: await judgeSocketsAgain(act, patientId) };
}

/** Writes a body mass that was judged, and its event. */
export async function writeBodyMass(
  act: Act,
  patientId: string,
  { massKg, measuredOn }: MeasuredMass,
  before: MeasuredMass | null,
): Promise<BodyMassView> {
  const id = uuidv7();
  await act.tx.bodyMass.create({
    data: {
      clinicId: act.clinicId,
      id,
      patientId,
      massKg,
      measuredOn: asStored(measuredOn),
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  act.record({
    kind: 'body_mass.recorded',
    subjectKind: 'patient',
    subjectId: patientId,
    data: {
      bodyMassId: id,
      massKg,
      measuredOn,
      before: before === null ? null : { massKg: before.massKg, measuredOn: before.measuredOn },
    },
  });
  return { id, massKg, measuredOn, recordedAt: act.at, recordedBy: act.by.printedName };
}

type Warnings = BodyMassRecorded['warnings'];

/** Judges every socket that is worn or may yet be, by the present body mass. */
async function judgeSocketsAgain(act: Act, patientId: string): Promise<Warnings> {
  const warnings: Warnings = [];
  for (const id of await definitiveSockets(act, patientId)) {
    // Held: what is laid up meanwhile is either seen here, or sees the new body mass itself.
    const socket = await loadSocket(act.tx, act.clinicId, id, true);
    if (socket.state === 'delivered') warnings.push(...(await judgeParts(act, socket)));
    warnings.push(...(await judgeLayup(act, socket)));
  }
  return warnings;
}

async function judgeParts(act: Act, socket: SocketFacts): Promise<Warnings> {
  const { tx, clinicId } = act;
  const acknowledged = await acknowledgedMasses(tx, clinicId, socket.orderId);
  const against = (await heldItems(tx, clinicId, socket.id)).flatMap(({ part }) =>
    judgeWeight(part, wearerOf(socket), acknowledged[part.id] ?? null),
  );
  const over = against.filter(({ code }) => code === 'mass-over-rating');
  const findingId = await findingOn(act, socket, over, null);
  return against.map((each) =>
    warningOf(each, socket, each.code === 'mass-over-rating' ? findingId : null),
  );
}

/** Until the fabric is laid, laying up itself asks for the body mass. */
async function judgeLayup(act: Act, socket: SocketFacts): Promise<Warnings> {
  const laidUp = (await loadOperations(act.tx, act.clinicId, socket.id)).find(
    ({ kind, state, attempts }) =>
      kind === 'lay_up' && (state === 'done' || (state === 'stopped' && attempts > 0)),
  );
  const layup = laidUp === undefined ? null : await newestLayup(act, socket.id);
  if (laidUp === undefined || layup?.approvedAt == null || socket.bodyMassKg === null) return [];
  const against = judgeOutgrown(layup, socket.number, socket.bodyMassKg);
  const findingId = await findingOn(act, socket, against, laidUp.id);
  return against.map((each) => warningOf(each, socket, findingId));
}

/** The finding on what is against a body mass: the one that stands open on it, else a new one; null where nothing is. */
async function findingOn(
  act: Act,
  socket: SocketFacts,
  against: readonly Reason[],
  operationId: string | null,
): Promise<string | null> {
  if (against.length === 0) return null;
  const open = await openMassFinding(act, socket.id, operationId);
  const note = against.map(({ detail }) => detail).join(' ');
  return (
    open ??
    openFinding(act, socket, {
      kind: 'over_rated_mass',
      note,
      operationId: operationId ?? undefined,
    })
  );
}

const warningOf = (
  { code, rule, title, detail, wayOut }: Reason,
  { number }: SocketFacts,
  findingId: string | null,
): Warnings[number] => ({ code, rule, title, detail, wayOut, socket: number, findingId });
