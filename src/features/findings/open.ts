import { v7 as uuidv7 } from 'uuid';
import type { FindingKind } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { writePhotos } from '../../store/photos.ts';
import { photosInEvent, type NewPhoto } from '../photos/service.ts';

/** Opens a finding on a socket. What is open blocks the gates it concerns. */
export async function openFinding(
  act: Act,
  socket: { readonly id: string; readonly number: string; readonly orderId: string },
  finding: {
    readonly kind: FindingKind;
    readonly note: string;
    readonly operationId?: string | undefined;
    /** The batch to blame, where one is. */
    readonly batchId?: string | undefined;
    readonly photos?: readonly NewPhoto[];
  },
): Promise<string> {
  const id = uuidv7();
  await act.tx.finding.create({
    data: {
      clinicId: act.clinicId,
      id,
      socketId: socket.id,
      operationId: finding.operationId ?? null,
      batchId: finding.batchId ?? null,
      kind: finding.kind,
      note: finding.note,
      openedAt: act.at,
      benchAt: act.benchAt,
      openedById: act.by.personId,
    },
  });
  const { photos = [] } = finding;
  await writePhotos(act, { findingId: id }, photos);
  act.record({
    kind: 'finding.opened',
    subjectKind: 'finding',
    subjectId: id,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      kind: finding.kind,
      note: finding.note,
      operationId: finding.operationId ?? null,
      batchId: finding.batchId ?? null,
      ...photosInEvent(photos),
    },
  });
  return id;
}
