/** One socket of a traveller: its operations, its hardware, and what of that still counts. */
import { ALIGNMENT_POSITIONS, type AlignmentTolerance } from '../../domain/alignment.ts';
import {
  itemsAt,
  judgeLock,
  leastClicksOf,
  LOCK_POSITIONS,
  missingHardware,
  moveIdsAt,
  type JointState,
} from '../../domain/assembly.ts';
import { arrivedLater } from '../../domain/benchTime.ts';
import { coversLastMoves } from '../../domain/lastMoves.ts';
import type { Answer, Check } from '../../domain/operations.ts';
import type { OperationState, Suspension } from '../../domain/words.ts';
import type {
  SocketWork,
  TravellerAlignment,
  TravellerItem,
  TravellerJoint,
  TravellerLockCheck,
  TravellerOperation,
} from '../../documents/traveller/record.ts';
import { photosWords } from '../../documents/words.ts';
import type { Act } from '../../store/act.ts';
import { shopToolsIn, type HeldItemRow } from '../../store/assembly.ts';
import { loadOperations, type OperationRow } from '../../store/operations.ts';
import {
  acceptedAlignment,
  loadAssembly,
  newestAlignment,
  type Assembly,
} from '../../store/socketFacts.ts';
import {
  alignmentDetails,
  confirmationDetails,
  lastRecords,
  lockCheckDetails,
  originsOf,
  type ConfirmationDetails,
  type LastRecord,
  type Origin,
  type TravellerSocketRow,
} from '../../store/traveller.ts';
import type { CorrectedOf } from './corrected.ts';
import { layupOf, resinOf } from './layup.ts';

export interface LoadedWork {
  readonly work: SocketWork;
  readonly held: readonly HeldItemRow[];
}

/** What the work on a socket is measured against. */
interface Against {
  readonly orderId: string;
  readonly suspension: Suspension;
  readonly tolerance: AlignmentTolerance;
  readonly corrected: CorrectedOf;
}

/**
 * The work on a socket; null where there is none left. A socket whose fit was
 * refused shows only the hardware that still waits in it, and a check socket
 * whose hardware has moved on, but for its spent screws, is only a line in the
 * table of sockets.
 */
export async function loadWork(
  act: Act,
  socket: TravellerSocketRow,
  against: Against,
): Promise<LoadedWork | null> {
  const { state } = socket;
  if (state === 'retired' || state === 'scrapped') return null;
  const { tx, clinicId } = act;
  const assembly = await loadAssembly(tx, clinicId, socket.id);
  const { held } = assembly;
  const rows = await loadOperations(tx, clinicId, socket.id);
  const holdsReusable = held.some((item) => !isSingleUse(item));
  const hasWork =
    socket.kind === 'definitive' || rows.some((row) => STILL_TO_DO.includes(row.state));
  if (!holdsReusable && (state === 'rejected' || !hasWork)) return null;

  const origins = await originsOf(tx, clinicId, socket.id);
  const shopTools = await shopToolsIn(tx, clinicId, socket.id);
  const inIt = {
    number: socket.number,
    kind: socket.kind,
    hardware: held.map((item) => itemOf(item, origins.get(item.itemId))),
    shopTools: shopTools.map(({ name, position }) => ({ name, position })),
  };
  if (state === 'rejected') {
    const nothing = {
      operations: [],
      missing: [],
      joints: [],
      lockCheck: null,
      alignment: null,
      layup: null,
      resin: null,
    };
    return { held, work: { ...inIt, ...nothing } };
  }
  const { corrected } = against;
  const records = await lastRecords(tx, clinicId, socket.id);
  return {
    held,
    work: {
      ...inIt,
      operations: rows.map((row) => operationOf(row, records.get(row.id), corrected)),
      missing: missingHardware(socket.number, against.suspension, held).map(({ facts }) =>
        String(facts['position']),
      ),
      joints: await jointsOf(act, assembly, corrected),
      lockCheck: await lockCheckOf(act, socket.number, against, assembly),
      alignment: await alignmentOf(act, socket.id, against, held),
      layup: socket.kind === 'definitive' ? await layupOf(act, socket.id, corrected) : null,
      resin: socket.kind === 'definitive' ? await resinOf(act, socket.id, corrected) : null,
    },
  };
}

const STILL_TO_DO: readonly OperationState[] = ['waiting', 'stopped'];

const isSingleUse = (item: HeldItemRow): boolean => item.part.singleUse;

async function jointsOf(
  act: Act,
  { joints, evidence }: Assembly,
  corrected: CorrectedOf,
): Promise<TravellerJoint[]> {
  const ids = Object.values(evidence.torque).map(({ id }) => id);
  const confirmations = await confirmationDetails(act.tx, act.clinicId, ids);
  return joints.map((joint) =>
    jointOf(joint, confirmations.get(evidence.torque[joint.kind]?.id ?? ''), corrected),
  );
}

/** When it was recorded at the bench; and when it arrived, where that was later. */
function recorded({ recordedAt, benchAt }: { recordedAt: Date; benchAt: Date | null }) {
  const at = (benchAt ?? recordedAt).toISOString();
  return arrivedLater(benchAt, recordedAt) ? { at, arrivedAt: recordedAt.toISOString() } : { at };
}

function operationOf(
  row: OperationRow,
  last: LastRecord | undefined,
  corrected: CorrectedOf,
): TravellerOperation {
  const { seq, title, caution, state, checks } = row;
  return {
    seq,
    title,
    caution,
    state,
    checks,
    last:
      last === undefined
        ? null
        : {
            outcome: last.outcome,
            by: last.recordedBy,
            ...recorded(last),
            ...corrected(last.id),
            answers: Object.fromEntries(
              checks.flatMap((check) => {
                const answer = last.results[check.key];
                return answer === undefined ? [] : [[check.key, answerWords(check, answer, last)]];
              }),
            ),
          },
  };
}

function answerWords(check: Check, answer: Answer, { batches, secondPerson }: LastRecord): string {
  if (typeof answer === 'boolean') return answer ? 'yes' : 'no';
  if (typeof answer === 'string') return answer;
  if (typeof answer === 'number') {
    return check.kind === 'measured' ? `${answer} ${check.unit}` : String(answer);
  }
  if ('personId' in answer) return secondPerson ?? 'a second person';
  if ('scan' in answer) return `read: ${separatorsShown(answer.scan)}`;
  if ('photoIds' in answer) return photosWords(answer.photoIds.length);
  const batch = batches.find((each) => each.batchId === answer.batchId);
  const lot = batch === undefined ? 'a batch not on record' : `lot ${batch.lot}`;
  return answer.amount === undefined ? lot : `${lot}, ${answer.amount} ${batch?.unit ?? ''}`.trim();
}

/** FNC1 cannot be seen on paper. */
const separatorsShown = (scanned: string): string => scanned.replaceAll('\u001d', '{GS}');

function itemOf(item: HeldItemRow, origin: Origin | undefined): TravellerItem {
  return {
    position: item.position,
    part: item.part.name,
    catalogueNumber: origin?.catalogueNumber ?? '',
    serial: item.serial,
    lot: item.lot,
    singleUse: item.part.singleUse,
    ratedBodyMassKg: item.part.ratedBodyMassKg,
    from: originWords(origin),
  };
}

function originWords(origin: Origin | undefined): string {
  switch (origin?.fromKind) {
    case 'socket_position':
      return `socket: ${origin.fromSocket ?? origin.fromName ?? ''}`;
    case 'bin':
      return `bin: ${origin.fromName ?? ''}`;
    case 'receiving':
    case 'quarantine':
      return origin.fromKind;
    case null:
    case undefined:
      return 'the bench';
  }
}

function jointOf(
  joint: JointState,
  confirmed: ConfirmationDetails | undefined,
  corrected: CorrectedOf,
): TravellerJoint {
  const { setting } = joint;
  return {
    kind: joint.kind,
    parts: joint.items.map((item) => item.part.name),
    setting:
      setting === null
        ? null
        : {
            jointKind: setting.jointKind,
            fastenerCount: setting.fastenerCount,
            fastenerSize: setting.fastenerSize,
            propertyClass: setting.propertyClass,
            torqueMinNm: setting.torqueMinNm,
            torqueMaxNm: setting.torqueMaxNm,
            threadlocker: setting.threadlocker,
            document: setting.document,
            revision: setting.revision,
          },
    settingFrom: joint.settingFrom,
    openBecause: joint.openBecause,
    confirmation:
      joint.openBecause !== null || confirmed === undefined
        ? null
        : {
            by: confirmed.recordedBy,
            ...recorded(confirmed),
            ...corrected(confirmed.id),
            tool: confirmed.tool,
            threadlockerLot: confirmed.threadlockerLot,
            readings: confirmed.readings,
          },
  };
}

async function lockCheckOf(
  act: Act,
  socket: string,
  { suspension, corrected }: Against,
  { held, evidence }: Assembly,
): Promise<TravellerLockCheck | null> {
  if (suspension !== 'pin_lock') return null;
  const newest = evidence.lockCheck;
  const [against] = judgeLock({ socket, suspension, held, newest });
  const bothIn = LOCK_POSITIONS.every((position) => itemsAt(held, [position]).length > 0);
  const leastClicks = bothIn ? leastClicksOf(held) : null;
  if (against !== undefined || newest === null) {
    return {
      leastClicks,
      openBecause: against === undefined ? null : String(against.facts['why']),
      passed: null,
    };
  }
  const done = await lockCheckDetails(act.tx, act.clinicId, newest.id);
  return {
    leastClicks,
    openBecause: null,
    passed:
      done === undefined
        ? null
        : {
            by: done.recordedBy,
            ...recorded(done),
            ...corrected(newest.id),
            clicks: done.cycles.map(({ clicks }) => clicks),
          },
  };
}

async function alignmentOf(
  act: Act,
  socketId: string,
  { orderId, tolerance, corrected }: Against,
  held: readonly HeldItemRow[],
): Promise<TravellerAlignment> {
  const { tx, clinicId } = act;
  const acceptedThen = await acceptedAlignment(tx, clinicId, orderId);
  const newest = await newestAlignment(tx, clinicId, socketId);
  const stillCounts =
    newest !== null && coversLastMoves(newest.coversMoveIds, moveIdsAt(held, ALIGNMENT_POSITIONS));
  const accepted =
    acceptedThen === null ? undefined : await alignmentDetails(tx, clinicId, acceptedThen.id);
  const measured = stillCounts ? await alignmentDetails(tx, clinicId, newest.id) : undefined;
  return {
    tolerance,
    accepted:
      accepted === undefined
        ? null
        : {
            socket: accepted.socket,
            by: accepted.measuredBy,
            at: accepted.measuredAt.toISOString(),
            values: accepted.values,
            ...corrected(acceptedThen?.id ?? null),
          },
    measured:
      measured === undefined
        ? null
        : {
            by: measured.measuredBy,
            at: measured.measuredAt.toISOString(),
            values: measured.values,
            ...corrected(newest?.id ?? null),
          },
  };
}
