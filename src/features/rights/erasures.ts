/**
 * Erasure: asked for by an administrator with reason and legal basis, confirmed by the signature
 * of a second person, and carried out by the database in that very act (R10).
 */
import { v7 as uuidv7 } from 'uuid';
import { sign, type Signer } from '../../access/signatures.ts';
import { reason } from '../../domain/reasons/index.ts';
import {
  judgeConfirming,
  judgeErasure,
  retentionOf,
  type Erasable,
} from '../../domain/retention.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic, todayAtClinic } from '../../store/clinic.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { loadPatient } from '../../store/patients.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { activityOf, holdErasure, holdsOn, standing, type ErasureRow } from '../../store/rights.ts';
import type { ErasureToAsk } from './schemas.ts';

/** How long a patient's record is kept, and why. @throws Refused 'not-found' */
export async function readRetention(act: Act, patientId: string) {
  const facts = found(await activityOf(act, patientId), () =>
    reason('not-found', { what: 'patient', id: patientId }),
  );
  return retentionOf(facts, await loadClinic(act.tx, act.clinicId));
}

async function judge(act: Act, patientId: string, what: readonly Erasable[]): Promise<void> {
  const holds = await holdsOn(act, patientId);
  refuseIfAny(
    judgeErasure(what, {
      retention: await readRetention(act, patientId),
      today: await todayAtClinic(act),
      holds: holds.map(({ reference }) => reference),
    }),
  );
}

/**
 * @throws Refused 'not-found', 'record-on-hold', 'retention-not-over', 'erasure-of-nothing',
 *   'erasure-open-already'
 */
export async function askErasure(act: Act, patientId: string, ask: ErasureToAsk) {
  const { chartNumber } = await loadPatient(act, patientId);
  const { what, why, legalBasis } = ask;
  await judge(act, patientId, what);
  const there = await standing(act, patientId);
  if (!what.some((each) => there.has(each)))
    refuseIfAny([reason('erasure-of-nothing', {}, '/what')]);
  const id = uuidv7();
  try {
    await act.tx.$executeRaw`
      insert into erasure (clinic_id, id, patient_id, what, why, legal_basis, asked_at, asked_by_id)
      values (${act.clinicId}::uuid, ${id}::uuid, ${patientId}::uuid, ${what}::text[], ${why}, ${legalBasis},
        ${act.at}, ${act.by.personId}::uuid)`;
  } catch (failure) {
    if (!isUniqueClash(failure, 'one')) throw failure;
    throw new Refused([reason('erasure-open-already', {})], { cause: failure });
  }
  act.record({
    kind: 'erasure.asked',
    subjectKind: 'erasure',
    subjectId: id,
    data: { patientId, chartNumber, what, why, legalBasis },
  });
  return readErasure(act, id);
}

/** Reads and signs it: what it names is gone then. */
export async function confirmErasure(act: Act, id: string, signer: Signer) {
  const asked = await openErasure(act, id);
  refuseIfAny(judgeConfirming(asked.askedById, act.by.personId));
  await judge(act, asked.patientId, asked.what);
  const { chartNumber, what, why, legalBasis, askedBy } = asked;
  const signature = await sign(act, {
    signer,
    meaning: 'erasure_confirmed',
    subjectKind: 'erasure',
    subjectId: id,
    content: { chartNumber, toErase: what, why, legalBasis, askedBy },
  });
  await act.tx.$executeRaw`
    update erasure set state = 'carried_out', settled_at = ${act.at}, settled_by_id = ${act.by.personId}::uuid,
      signature_id = ${signature.id}::uuid
    where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid`;
  const done = await readErasure(act, id);
  act.record({
    kind: 'erasure.carried_out',
    subjectKind: 'erasure',
    subjectId: id,
    data: {
      patientId: asked.patientId,
      chartNumber,
      what,
      why,
      legalBasis,
      askedBy,
      erased: done.erased,
    },
  });
  return done;
}

/** @throws Refused 'not-found', 'erasure-settled' */
export async function withdrawErasure(act: Act, id: string) {
  const { patientId, chartNumber } = await openErasure(act, id);
  await act.tx.$executeRaw`
    update erasure set state = 'withdrawn', settled_at = ${act.at}, settled_by_id = ${act.by.personId}::uuid
    where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid`;
  act.record({
    kind: 'erasure.withdrawn',
    subjectKind: 'erasure',
    subjectId: id,
    data: { patientId, chartNumber },
  });
  return readErasure(act, id);
}

const readErasure = async (act: Act, id: string): Promise<ErasureRow> =>
  found(await holdErasure(act, id), () => reason('not-found', { what: 'erasure', id }));

async function openErasure(act: Act, id: string): Promise<ErasureRow> {
  const row = await readErasure(act, id);
  if (row.state !== 'asked') refuseIfAny([reason('erasure-settled', { state: row.state })]);
  return row;
}
