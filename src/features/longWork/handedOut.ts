/** A patient's whole record that was made ready, read back: as the document itself, and as a paper. */
import { lookedUp } from '../../access/lookUp.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { loadLongWork, nextPiece } from '../../store/longWorks.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { readDocument } from '../rights/patientRecord.ts';
import { refuseOthers } from './service.ts';

/**
 * The document of a work of the caller's own; that it was read is noted.
 * @throws Refused 'not-found', 'role-may-not', 'long-work-not-done', 'result-erased'
 */
export async function readPatientRecord(
  act: Act,
  id: string,
  route: 'readPatientRecord' | 'readPatientRecordPaper' = 'readPatientRecord',
) {
  refuseOthers('patient_export', act.by.roles);
  const work = await loadLongWork(act, id, act.by.personId);
  if (work.kind !== 'patient_export') {
    refuseIfAny([reason('not-found', { what: 'patient’s record', id })]);
  }
  if (work.erasureId !== null) refuseIfAny([reason('result-erased', {})]);
  if (work.state !== 'done') refuseIfAny([reason('long-work-not-done', { state: work.state })]);
  let text = '';
  for (let seq = 0; seq < work.pieces;) {
    const piece = await nextPiece(act, id, seq, true);
    if (piece === undefined) break;
    seq = piece.seq;
    text += piece.body;
  }
  const data = { kind: work.kind, pieces: work.pieces };
  act.record({ kind: 'long_work.read', subjectKind: 'long_work', subjectId: id, data });
  const document = readDocument(text);
  await lookedUp(act, { route, shown: 'contact', patientIds: [document.patientId], told: true });
  return document;
}

export async function patientRecordForPaper(act: Act, id: string) {
  const file = await readPatientRecord(act, id, 'readPatientRecordPaper');
  return { file, paper: (await loadClinic(act.tx, act.clinicId)).paper };
}
