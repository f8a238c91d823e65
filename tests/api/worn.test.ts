/** R3 after delivery: a new body mass judges again all that the patient wears. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { deliveredLimb, stockedShop } from '../support/job.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

describe('a patient who wears a delivered limb', () => {
  test('grows heavier than its layup was made for, then than its parts are rated for: a finding on each', async () => {
    const limb = await deliveredLimb(await stockedShop(clinic));
    const weigh = (massKg: number, confirmed = false) =>
      clinic.as('prosthetist').post(`/api/v1/patients/${limb.patientId}/body-masses`, {
        massKg,
        measuredOn: '2026-03-02',
        confirmed,
      });

    const light = await weigh(95);
    expect(light.body.warnings).toEqual([]);

    const near = await weigh(113);
    expect(near.status).toBe(201);
    expect(new Set(pick(near.body.warnings, 'code'))).toEqual(
      new Set(['mass-near-rating', 'layup-outgrown']),
    );
    expect(near.body.warnings[0].findingId).toBeNull();
    const [layup] = (near.body.warnings as { code: string; findingId: string }[]).filter(
      ({ code }) => code === 'layup-outgrown',
    );
    expect(layup).toMatchObject({
      code: 'layup-outgrown',
      detail: expect.stringContaining('was made for up to 100 kg; the patient has 113 kg.'),
      findingId: expect.any(String),
    });

    const over = await weigh(130);
    const [warning] = over.body.warnings;
    expect(warning).toMatchObject({ code: 'mass-over-rating', rule: 'R3' });
    expect(warning.findingId).not.toBeNull();
    const socket = await clinic.as('prosthetist').get(`/api/v1/sockets/${limb.socketId}`);
    expect(socket.body.openFindings).toHaveLength(2);
    expect(socket.body.openFindings).toMatchObject(
      expect.arrayContaining([
        expect.objectContaining({ id: warning.findingId, kind: 'over_rated_mass' }),
        expect.objectContaining({ id: layup?.findingId, kind: 'over_rated_mass' }),
      ]),
    );

    const heavier = await weigh(132);
    expect(heavier.body.warnings[0].findingId).toBe(warning.findingId);
    const again = await clinic.as('prosthetist').get(`/api/v1/sockets/${limb.socketId}`);
    expect(again.body.openFindings).toHaveLength(2);
  });
});
