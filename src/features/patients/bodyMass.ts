import { v7 as uuidv7 } from 'uuid';
import { questionBodyMass, type MeasuredMass } from '../../domain/bodyMass.ts';
import { isBefore } from '../../domain/days.ts';
import { judgeWeight } from '../../domain/fit.ts';
import type { Act } from '../../store/act.ts';
import { heldItems } from '../../store/assembly.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { asStored } from '../../store/days.ts';
import { bodyMassesOf, holdPatient, loadPatient, wornSockets } from '../../store/patients.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { acknowledgedMasses, loadSocket, wearerOf } from '../../store/sockets.ts';
import { openFinding } from '../findings/open.ts';
import type { BodyMassRecorded, BodyMassToAdd, BodyMassView } from './schemas.ts';

/** All body masses of a patient, the latest first. */
export async function listBodyMasses(
  act: Act,
  patientId: string,
): Promise<{ items: BodyMassView[] }> {
  await loadPatient(act, patientId);
  return { items: await bodyMassesOf(act, patientId) };
}

/**
 * Records a body mass and judges again all that the patient wears (R3): a part
 * over its rating opens a finding on its socket.
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
  return { bodyMass, warnings: await judgeWornAgain(act, patientId) };
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

/** Judges every part that the patient wears by the present body mass. */
async function judgeWornAgain(act: Act, patientId: string): Promise<BodyMassRecorded['warnings']> {
  const { tx, clinicId } = act;
  const warnings: BodyMassRecorded['warnings'] = [];
  for (const worn of await wornSockets(act, patientId)) {
    const socket = await loadSocket(tx, clinicId, worn.id, true);
    const acknowledged = await acknowledgedMasses(tx, clinicId, socket.orderId);
    const against = (await heldItems(tx, clinicId, worn.id)).flatMap(({ part }) =>
      judgeWeight(part, wearerOf(socket), acknowledged[part.id] ?? null),
    );
    const over = against.filter(({ code }) => code === 'mass-over-rating');
    const findingId =
      over.length === 0
        ? null
        : (worn.openFindingId ??
          (await openFinding(act, socket, {
            kind: 'over_rated_mass',
            note: over.map(({ detail }) => detail).join(' '),
          })));
    for (const { code, rule, title, detail, wayOut } of against) {
      warnings.push({
        code,
        rule,
        title,
        detail,
        wayOut,
        socket: socket.number,
        findingId: code === 'mass-over-rating' ? findingId : null,
      });
    }
  }
  return warnings;
}
