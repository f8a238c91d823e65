/** The list of a patient's whole record is put together from its subjects. */
import { expect, test } from 'vitest';
import { CAST_AND_SOCKETS } from '../../src/domain/patientRecord/castAndSockets.ts';
import { FITTINGS_AND_DELIVERY } from '../../src/domain/patientRecord/fittingsAndDelivery.ts';
import { HARDWARE_AND_TORQUE } from '../../src/domain/patientRecord/hardwareAndTorque.ts';
import { SECTIONS } from '../../src/domain/patientRecord/index.ts';
import { LAYUP_AND_RESIN } from '../../src/domain/patientRecord/layupAndResin.ts';
import { NOT_IN_PATIENT_RECORD } from '../../src/domain/patientRecord/leftOut.ts';
import { PATIENT_AND_ORDER } from '../../src/domain/patientRecord/patientAndOrder.ts';
import { SIGNATURES_AND_RIGHTS } from '../../src/domain/patientRecord/signaturesAndRights.ts';

test('each table stands in one subject, or among those left out: none hides another', () => {
  const named = [
    PATIENT_AND_ORDER,
    CAST_AND_SOCKETS,
    LAYUP_AND_RESIN,
    HARDWARE_AND_TORQUE,
    FITTINGS_AND_DELIVERY,
    SIGNATURES_AND_RIGHTS,
  ].flatMap((subject) => Object.keys(subject));
  expect(named).toEqual([...SECTIONS]);
  const all = [...named, ...Object.keys(NOT_IN_PATIENT_RECORD)];
  expect(all.filter((table, at) => all.indexOf(table) !== at)).toEqual([]);
});
