/** A traveller is a view of the record at one moment: everything is read in one transaction. */
import type { TravellerRecord, TravellerSocket } from '../../documents/traveller/record.ts';
import { judgeWeight } from '../../domain/fit.ts';
import { initialsOf } from '../../domain/lookAlikes.ts';
import type { Act } from '../../store/act.ts';
import { castsOf, type CastRecord } from '../../store/casts.ts';
import { loadClinic, type ClinicSettings } from '../../store/clinic.ts';
import { acknowledgedMasses } from '../../store/sockets.ts';
import {
  openFindingsOf,
  orderForTraveller,
  socketsForTraveller,
  type TravellerSocketRow,
} from '../../store/traveller.ts';
import { correctedOnTraveller, type CorrectedOf } from './corrected.ts';
import { loadWork, type LoadedWork } from './work.ts';

/** A traveller's record with the moment at which it was read. */
export interface TravellerRead {
  readonly record: TravellerRecord;
  readonly readAt: Date;
  readonly clinicPaper: ClinicSettings['paper'];
}

/** Reads all that the traveller of an order shows. @throws Refused 'not-found'. */
export async function readTraveller(act: Act, orderId: string): Promise<TravellerRead> {
  const { tx, clinicId } = act;
  const clinic = await loadClinic(tx, clinicId);
  const order = await orderForTraveller(tx, clinicId, orderId);
  const sockets = await socketsForTraveller(tx, clinicId, orderId);
  const casts = await castsOf(act, orderId);
  const corrected = await correctedOnTraveller(act, orderId, order.massId);
  const tolerance = {
    angleDeg: clinic.alignmentToleranceDeg,
    lengthMm: clinic.alignmentToleranceMm,
  };
  const works: LoadedWork[] = [];
  for (const socket of sockets) {
    const loaded = await loadWork(act, socket, {
      orderId,
      suspension: order.suspension,
      tolerance,
      corrected,
    });
    if (loaded !== null) works.push(loaded);
  }
  const acknowledged = await acknowledgedMasses(tx, clinicId, orderId);
  const wearer = { chartNumber: order.chartNumber, bodyMassKg: order.massKg, side: order.side };
  const warnings = works.flatMap(({ held }) =>
    held.flatMap(({ part }) => judgeWeight(part, wearer, acknowledged[part.id] ?? null)),
  );
  const findings = await openFindingsOf(tx, clinicId, orderId);
  return {
    readAt: act.at,
    clinicPaper: clinic.paper,
    record: {
      clinic: { name: clinic.name, timeZone: clinic.timeZone },
      order: {
        number: order.number,
        version: order.version,
        side: order.side,
        level: order.level,
        suspension: order.suspension,
        functionalLevel: order.functionalLevel,
        stage: order.stage,
        hold:
          order.holdReason === null || order.heldAt === null
            ? null
            : { reason: order.holdReason, since: order.heldAt.toISOString() },
        liner: order.liner,
        openedAt: order.openedAt.toISOString(),
        promisedOn: order.promisedOn,
        deliveredAt: order.deliveredAt?.toISOString() ?? null,
      },
      patient: {
        chartNumber: order.chartNumber,
        initials: initialsOf({ givenName: order.givenInitial, familyName: order.familyInitial }),
        bodyMass:
          order.massKg === null || order.massMeasuredOn === null
            ? null
            : {
                massKg: order.massKg,
                measuredOn: order.massMeasuredOn,
                ...corrected(order.massId),
              },
      },
      cast: castInUse(casts, corrected),
      sockets: sockets.map(socketLine),
      works: works.map(({ work }) => work),
      openFindings: findings.map(({ id, ...finding }) => ({
        ...finding,
        openedAt: finding.openedAt.toISOString(),
        ...corrected(id),
      })),
      massWarnings: [...new Set(warnings.map(({ detail }) => detail))],
    },
  };
}

/** A socket as the table of sockets has it, without its id: that says nothing on paper. */
const socketLine = (socket: TravellerSocketRow): TravellerSocket => ({
  number: socket.number,
  kind: socket.kind,
  state: socket.state,
  castNumber: socket.castNumber,
  replaces: socket.replaces,
  sheetThicknessMm: socket.sheetThicknessMm,
});

/** The newest accepted cast; before there is one, the newest. */
function castInUse(casts: readonly CastRecord[], corrected: CorrectedOf): TravellerRecord['cast'] {
  const cast = casts.findLast((each) => each.state === 'accepted') ?? casts.at(-1);
  if (cast === undefined) return null;
  const { number, method, takenOn, state, limbLengthMm, capDepthMm, measures } = cast;
  return {
    number,
    method,
    takenOn,
    state,
    limbLengthMm,
    capDepthMm,
    measures,
    ...corrected(cast.id, cast.measureSetId),
  };
}
