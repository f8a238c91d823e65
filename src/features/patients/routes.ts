import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { addBodyMass, lookAtBodyMasses } from './bodyMass.ts';
import {
  BodyMassRecorded,
  BodyMassToAdd,
  BodyMasses,
  LookAlikeQuestion,
  LookAlikes,
  PatientChange,
  PatientPage,
  PatientSearch,
  PatientToAdd,
  PatientView,
} from './schemas.ts';
import {
  addPatient,
  changePatient,
  findLookAlikes,
  findPatients,
  lookAtPatient,
} from './service.ts';

const params = z.strictObject({ patientId: idOf('Patient') });

export function patientRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/patients/search',
      name: 'searchPatients',
      tag: 'Patients',
      summary: 'Find patients, by chart number',
      description:
        'By beginnings of names, whole chart number or phone number; without any of them, all. A POST so that no name stands in an address or a log; it changes nothing and needs no Idempotency-Key. The bench searches by chart number only.',
      body: PatientSearch,
      answer: PatientPage,
    },
    (act, { body }) => findPatients(act, body),
  );
  api.read(
    {
      url: '/api/v1/patients/look-alikes',
      name: 'findLookAlikes',
      tag: 'Patients',
      summary: 'Who may be the patient about to be entered',
      description:
        'To be asked before a patient is saved. It changes nothing and needs no Idempotency-Key.',
      body: LookAlikeQuestion,
      answer: LookAlikes,
    },
    (act, { body }) => findLookAlikes(act, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/patients',
      name: 'addPatient',
      tag: 'Patients',
      summary: 'Enter a patient with the first body mass',
      description:
        'Look-alikes must each be named in notTheSameAs, else the answer is possible-duplicate.',
      body: PatientToAdd,
      answer: PatientView,
      versioned: true,
    },
    (act, { body }) => addPatient(act, body),
  );
  api.read(
    {
      url: '/api/v1/patients/:patientId',
      name: 'readPatient',
      tag: 'Patients',
      summary: 'One patient, as far as the role needs it',
      params,
      answer: PatientView,
      versioned: true,
    },
    (act, { params: { patientId } }) => lookAtPatient(act, patientId),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/patients/:patientId',
      name: 'changePatient',
      tag: 'Patients',
      summary: 'Correct what is known of a patient',
      description: 'The values before stay in the audit trail (R10).',
      params,
      body: PatientChange,
      answer: PatientView,
      versioned: true,
    },
    (act, { params: { patientId }, body, expectedVersion }) =>
      changePatient(act, patientId, body, expectedVersion),
  );
  api.read(
    {
      url: '/api/v1/patients/:patientId/body-masses',
      name: 'listBodyMasses',
      tag: 'Patients',
      summary: 'Body masses of a patient, the latest day first',
      params,
      answer: BodyMasses,
    },
    (act, { params: { patientId } }) => lookAtBodyMasses(act, patientId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/patients/:patientId/body-masses',
      name: 'addBodyMass',
      tag: 'Patients',
      summary: 'Record a body mass',
      description:
        'Judges again all that the patient wears (R3), and what is laid up for them (C2): a part over its rating, and a layup that was made for less, is answered as a warning and opens a finding on its socket.',
      params,
      body: BodyMassToAdd,
      answer: BodyMassRecorded,
    },
    (act, { params: { patientId }, body }) => addBodyMass(act, patientId, body),
  );
}
