import type { z } from 'zod';
import { judgeLock } from '../../domain/assembly.ts';
import { tighteningOrder } from '../../domain/fasteners.ts';
import type { Act } from '../../store/act.ts';
import { shopToolsIn } from '../../store/assembly.ts';
import { movesSoFar } from '../../store/benchTime.ts';
import { cameFrom, movedOn } from '../../store/hardwarePaths.ts';
import { layupStateOf } from '../../store/layups.ts';
import { loadOperations } from '../../store/operations.ts';
import { loadAssembly } from '../../store/socketFacts.ts';
import { loadSocket } from '../../store/sockets.ts';
import { FindingKindOf, type SocketView } from './schemas.ts';

/** A socket with its operations, what it holds, and what of that still counts. */
export async function readSocket(act: Act, socketId: string): Promise<z.input<typeof SocketView>> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId);
  const operations = await loadOperations(tx, clinicId, socketId);
  const { held, joints, evidence } = await loadAssembly(tx, clinicId, socketId);
  const from = await cameFrom(tx, clinicId, socketId);
  const findings = await tx.finding.findMany({
    where: { clinicId, socketId, disposition: null },
    orderBy: { id: 'asc' },
  });
  const moves = await movesSoFar(tx, clinicId, socketId);
  const lock = judgeLock({
    socket: socket.number,
    suspension: socket.suspension,
    held,
    newest: evidence.lockCheck,
  });
  return {
    id: socket.id,
    number: socket.number,
    kind: socket.kind,
    state: socket.state,
    order: {
      id: socket.orderId,
      number: socket.orderNumber,
      stage: socket.stage,
      side: socket.side,
      suspension: socket.suspension,
    },
    chartNumber: socket.chartNumber,
    bodyMassKg: socket.bodyMassKg,
    castId: socket.castId,
    castNumber: socket.castNumber,
    replacesSocketId: socket.replacesSocketId,
    sheetThicknessMm: socket.sheetThicknessMm,
    curedAt: socket.curedAt,
    chamberInspectedAt: socket.chamberInspectedAt,
    deliveredAt: socket.deliveredAt,
    startedAt: socket.startedAt,
    layup: await layupStateOf(act, socketId),
    operations: operations.map(({ doneAt, doneBy, ...row }) => ({
      ...row,
      lastRecordedAt: doneAt,
      lastRecordedBy: doneBy,
    })),
    nextOperationId:
      operations.find((row) => row.state === 'waiting' || row.state === 'stopped')?.id ?? null,
    hardware: held.map((item) => ({
      itemId: item.itemId,
      label: item.label,
      position: item.position,
      partId: item.part.id,
      singleUse: item.part.singleUse,
      cameFrom: from.get(item.itemId) ?? null,
    })),
    shopTools: await shopToolsIn(tx, clinicId, socketId),
    movedOn: await movedOn(tx, clinicId, socketId),
    joints: joints.map((joint) => ({
      ...joint,
      tighteningOrder:
        joint.setting === null ? [] : [...tighteningOrder(joint.setting.fastenerCount)],
      items: joint.items.map((item) => ({ position: item.position, label: item.label })),
      movesSoFar: moves[joint.kind],
    })),
    lockCheckedNow: socket.suspension === 'pin_lock' ? lock.length === 0 : null,
    lockMovesSoFar: moves.lock_check,
    openFindings: findings.map(({ id, kind, note }) => ({
      id,
      kind: FindingKindOf.parse(kind),
      note,
    })),
    version: socket.version,
  };
}
