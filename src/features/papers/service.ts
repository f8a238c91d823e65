/** Labels on the clinic's stock, the move slip, and the papers of a delivery. */
import type { DeliveryRecord } from '../../documents/deliveryRecord.ts';
import type { LabelRecord } from '../../documents/labels.ts';
import type { MoveSlip } from '../../documents/moveSlip.ts';
import type { Paper } from '../../documents/page.ts';
import type { WearerSheet } from '../../documents/wearerSheet.ts';
import { lookedUp } from '../../access/lookUp.ts';
import { sees } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { judgeLock, leastClicksOf, missingHardware, openJoints } from '../../domain/assembly.ts';
import { addDays, dayAt } from '../../domain/days.ts';
import { judgeLabelSizes, type LabelKind, type LabelSizes } from '../../domain/labelSizes.ts';
import { initialsOf } from '../../domain/lookAlikes.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { correctionsOfAny, releasedOn } from '../../store/corrections.ts';
import { loadClinic } from '../../store/clinic.ts';
import { holdLabelSizes, loadLabelSizes, writeLabelSizes } from '../../store/labelSizes.ts';
import {
  binForLabel,
  castForLabel,
  deliveryOf,
  limitsOfWorn,
  movesOfSocket,
  socketForLabel,
  type DeliveryForPaper,
} from '../../store/papers.ts';
import { found, refuseIfAny } from '../../store/refused.ts';
import { loadAssembly } from '../../store/socketFacts.ts';
import { loadSocket } from '../../store/sockets.ts';
import { refuseStale } from '../../store/versions.ts';
import { saidTo } from '../rights/corrected.ts';
import type { LabelSizesToWrite, LabelSizesView } from './schemas.ts';

export async function readLabelSizes(act: Act): Promise<LabelSizesView> {
  const { sizes, ...version } = await loadLabelSizes(act);
  return { ...sizes, ...version };
}

/**
 * Writes the next version of the clinic's label sizes.
 * @throws Refused 'label-size-impossible' for each, 'version-is-stale'
 */
export async function newLabelSizes(
  act: Act,
  { basedOnVersion, ...sizes }: LabelSizesToWrite,
): Promise<LabelSizesView> {
  refuseIfAny(judgeLabelSizes(sizes));
  const before = await holdLabelSizes(act);
  if (before.version !== basedOnVersion) refuseStale(basedOnVersion, before.version);
  const version = before.version + 1;
  const id = await writeLabelSizes(act, version, sizes);
  act.record({
    kind: 'label_sizes.written',
    subjectKind: 'label_sizes',
    subjectId: id,
    data: { version, before: plain(before.sizes), after: plain(sizes) },
  });
  return readLabelSizes(act);
}

const plain = ({ socket, model, bin, marginMm }: LabelSizes) => ({
  socket: { ...socket },
  model: { ...model },
  bin: { ...bin },
  marginMm,
});

/** A label's record with the stock that it is printed on. */
export interface LabelRead {
  readonly record: LabelRecord;
  readonly sizes: LabelSizes;
  readonly madeAt: Date;
}

export async function readLabel(act: Act, kind: LabelKind, id: string): Promise<LabelRead> {
  const { sizes } = await loadLabelSizes(act);
  return { record: await recordOf(act, kind, id), sizes, madeAt: act.at };
}

async function recordOf(act: Act, kind: LabelKind, id: string): Promise<LabelRecord> {
  switch (kind) {
    case 'socket': {
      const socket = await socketForLabel(act, id);
      const { number, side, chartNumber, kind: socketKind } = socket;
      return { kind, number, socketKind, side, chartNumber, initials: initialsOf(socket) };
    }
    case 'model': {
      const cast = await castForLabel(act, id);
      const { orderNumber, castNumber, takenOn, side, chartNumber } = cast;
      const initials = initialsOf(cast);
      return { kind, orderNumber, castNumber, takenOn, side, chartNumber, initials };
    }
    case 'bin': {
      const bin = await binForLabel(act, id);
      return { kind, placeId: bin.id, name: bin.name };
    }
  }
}

/** What a paper is drawn from, with the clinic's own paper and the moment. */
export interface PaperRead<Record> {
  readonly record: Record;
  readonly paper: Paper;
  readonly madeAt: Date;
}

/** Every move of a socket's hardware, and what stands open since. @throws Refused 'not-found' */
export async function readMoveSlip(act: Act, socketId: string): Promise<PaperRead<MoveSlip>> {
  const { tx, clinicId } = act;
  const clinic = await loadClinic(tx, clinicId);
  const socket = await loadSocket(tx, clinicId, socketId);
  const wearer = await socketForLabel(act, socketId);
  const { held, joints, evidence } = await loadAssembly(tx, clinicId, socketId);
  const { number, suspension } = socket;
  const open = [
    ...missingHardware(number, suspension, held),
    ...openJoints(number, joints),
    ...judgeLock({ socket: number, suspension, held, newest: evidence.lockCheck }),
  ];
  return {
    paper: clinic.paper,
    madeAt: act.at,
    record: {
      clinic: { name: clinic.name, timeZone: clinic.timeZone },
      orderNumber: socket.orderNumber,
      socketNumber: number,
      side: socket.side,
      chartNumber: socket.chartNumber,
      initials: initialsOf(wearer),
      moves: (await movesOfSocket(act, socketId)).map((move) => ({
        ...move,
        at: move.at.toISOString(),
      })),
      open: open.map(({ detail, wayOut }) => ({ words: detail, wayOut })),
    },
  };
}

/** @throws Refused 'not-found', 'socket-not-delivered' */
async function loadDelivery(act: Act, socketId: string): Promise<DeliveryForPaper> {
  const { number } = await loadSocket(act.tx, act.clinicId, socketId);
  return found(await deliveryOf(act, socketId), () =>
    reason('socket-not-delivered', { socket: number }),
  );
}

const nameOf = ({ givenName, familyName }: DeliveryForPaper): string =>
  // Both are empty where who the patient is was erased.
  givenName === '' ? 'name erased' : `${givenName} ${familyName}`;

/** The record of a signed delivery; the address only for those who see it elsewhere. */
export async function readDeliveryRecord(
  act: Act,
  socketId: string,
): Promise<PaperRead<DeliveryRecord>> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  const delivery = await loadDelivery(act, socketId);
  const { signature } = delivery;
  const { content } = signature;
  const sight = await sightOf(act);
  const seesAddress = sees(sight, 'address', delivery.patientId);
  const restsOn = await releasedOn(act, { socketId, until: delivery.deliveredAt });
  await lookedUp(act, {
    route: 'printDeliveryRecord',
    shown: seesAddress ? 'contact' : 'identity',
    patientIds: [delivery.patientId],
    orderId: delivery.orderId,
  });
  return {
    paper: clinic.paper,
    madeAt: act.at,
    record: {
      clinic: { name: clinic.name, timeZone: clinic.timeZone },
      orderNumber: delivery.orderNumber,
      socketNumber: delivery.socketNumber,
      side: delivery.side,
      level: delivery.level,
      suspension: delivery.suspension,
      functionalLevel: delivery.functionalLevel,
      patient: {
        name: nameOf(delivery),
        chartNumber: delivery.chartNumber,
        birthDate: delivery.birthDate,
        address: seesAddress ? delivery.address : null,
      },
      deliveredAt: delivery.deliveredAt.toISOString(),
      receivedByName: content.receivedByName,
      receivedByRelation: content.receivedByRelation,
      bodyMassKg: content.bodyMassKg,
      hardware: content.hardware,
      joints: content.joints,
      lockChecked: content.lockCheck !== null,
      releaserWasSoleWorker: content.releaserWasSoleWorker,
      signature: {
        printedName: signature.printedName,
        meaning: 'I release this limb and hand it over as it stands here',
        signedAt: signature.signedAt,
        contentSha256: signature.contentSha256,
      },
      corrections: (await correctionsOfAny(act, restsOn)).map((row) => ({
        of: row.subjectKind,
        ...saidTo(sight, row),
        correctedAt: row.correctedAt.toISOString(),
      })),
    },
  };
}

/** What the wearer takes home, after a signed delivery; ratings and clicks of what is worn now. */
export async function readWearerSheet(act: Act, socketId: string): Promise<PaperRead<WearerSheet>> {
  const { tx, clinicId } = act;
  const clinic = await loadClinic(tx, clinicId);
  const delivery = await loadDelivery(act, socketId);
  const { held } = await loadAssembly(tx, clinicId, socketId);
  const deliveredOn = dayAt(delivery.deliveredAt, clinic.timeZone);
  const { signature, suspension } = delivery;
  await lookedUp(act, {
    route: 'printWearerSheet',
    shown: 'identity',
    patientIds: [delivery.patientId],
    orderId: delivery.orderId,
  });
  return {
    paper: clinic.paper,
    madeAt: act.at,
    record: {
      clinic: clinic.name,
      wearer: nameOf(delivery),
      side: delivery.side,
      level: delivery.level,
      suspension,
      socketNumber: delivery.socketNumber,
      deliveredOn,
      prosthetist: signature.printedName,
      liner: delivery.liner,
      leastClicks: suspension === 'pin_lock' ? leastClicksOf(held) : null,
      ...(await limitsOfWorn(act, socketId)),
      bodyMassKg: signature.content.bodyMassKg,
      firstRecheckOn: addDays(deliveredOn, clinic.firstRecheckDays),
    },
  };
}
