/** Signatures read back: exactly what was signed, and what is otherwise since (21 CFR 11.50, 11.70). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { contentSha256, type Json } from '../../src/store/events.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  ALIGNMENT,
  deliveredLimb,
  limbToDeliver,
  makeSocket,
  ok,
  openedOrder,
  refusedWith,
  stockedShop,
  type Shop,
} from '../support/job.ts';

interface InShort {
  id: string;
  meaning: string;
  printedName: string;
  signedAt: string;
  contentSha256: string;
  intact: boolean;
  differencesSince: number;
}
interface Whole extends InShort {
  content: Record<string, unknown>;
  withheld: string[];
  since: { field: string; of: string | null; signed: unknown; now: unknown }[];
}

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const of = async (orderId: string): Promise<InShort[]> =>
  (await ok<{ items: InShort[] }>(clinic.as('auditor').get(`/api/v1/orders/${orderId}/signatures`)))
    .items;
const meaning = async (orderId: string, wanted: string): Promise<InShort> => {
  const found = (await of(orderId)).find((each) => each.meaning === wanted);
  if (found === undefined) throw new Error(`nobody signed ${wanted}`);
  return found;
};
const whole = (id: string, role: 'auditor' | 'technician' = 'auditor'): Promise<Whole> =>
  ok<Whole>(clinic.as(role).get(`/api/v1/signatures/${id}`));

describe('the signatures of an order', () => {
  test('say who, what, when and with which meaning, and the content is the one that was shown', async () => {
    const { orderId } = await deliveredLimb(shop);
    const given = await of(orderId);
    expect(given.map((each) => each.meaning)).toEqual([
      'fit_accepted',
      'layup_approved',
      'delivery_released',
    ]);
    for (const { id } of given) {
      const { content, contentSha256: sha256, intact, printedName, withheld } = await whole(id);
      expect(contentSha256(content as Record<string, Json>)).toBe(sha256);
      expect([intact, withheld]).toEqual([true, []]);
      expect(printedName).toBe('Paula Fitting of KL');
    }
  });

  test('a limb as it was handed over; then its wearer weighs more: the signature is of before', async () => {
    const { orderId, patientId } = await deliveredLimb(shop);
    const release = await meaning(orderId, 'delivery_released');
    expect(release.differencesSince).toBe(0);
    await ok(
      clinic.as('front_desk').post(`/api/v1/patients/${patientId}/body-masses`, {
        massKg: 84,
        measuredOn: '2026-03-02',
      }),
    );
    const { content, intact, since } = await whole(release.id);
    expect(since).toEqual([{ field: 'bodyMassKg', of: null, signed: 82, now: 84 }]);
    expect(content['bodyMassKg']).toBe(82);
    expect(intact).toBe(true);
  });

  test('a fit that was accepted on the check socket: its hardware is in the definitive one since', async () => {
    const { orderId } = await limbToDeliver(shop);
    const { id } = await meaning(orderId, 'fit_accepted');
    const { since } = await whole(id);
    expect(since.map(({ field }) => field)).toEqual(since.map(() => 'hardware'));
    const lock = since.find((each) => each.of === 'lock');
    expect(lock?.signed).toContain('serial');
    expect(lock?.now).toBeNull();
  });

  test('another measurement after a difference was accepted: the acceptance is of the one before', async () => {
    const { orderId, socketId } = await limbToDeliver(shop);
    const prosthetist = clinic.as('prosthetist');
    const measure = (lateralOffsetMm: number) =>
      ok<{ alignmentId: string }>(
        prosthetist.post(`/api/v1/sockets/${socketId}/alignments`, {
          ...ALIGNMENT,
          lateralOffsetMm,
        }),
      );
    const { alignmentId } = await measure(4);
    await ok(
      prosthetist.post(`/api/v1/sockets/${socketId}/alignment-difference-acceptance`, {
        alignmentId,
        why: 'Stands better so.',
        signature: { password: PASSWORD },
      }),
    );
    const { id, differencesSince } = await meaning(orderId, 'alignment_difference_accepted');
    expect(differencesSince).toBe(0);
    await measure(5);
    const { since } = await whole(id);
    expect(since).toMatchObject([
      { field: 'measured', signed: { lateralOffsetMm: 4 }, now: { lateralOffsetMm: 5 } },
    ]);
  });
});

describe('what is signed beside the way of a limb', () => {
  const signature = { password: PASSWORD };
  const prosthetist = () => clinic.as('prosthetist');

  test('a body mass near the rating: of the mass of that day', async () => {
    const { orderId, patientId } = await openedOrder(shop, { massKg: 115 });
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    await ok(
      prosthetist().post(`/api/v1/sockets/${socket.id}/mass-acknowledgements`, {
        partId: shop.parts.lock,
        signature,
      }),
    );
    await ok(
      prosthetist().post(`/api/v1/patients/${patientId}/body-masses`, {
        massKg: 117,
        measuredOn: '2026-03-02',
      }),
    );
    const { id } = await meaning(orderId, 'mass_near_rating_acknowledged');
    const { content, since } = await whole(id);
    expect(since).toEqual([{ field: 'bodyMassKg', of: null, signed: 115, now: 117 }]);
    expect(content['ratedBodyMassKg']).toBe(125);
  });

  test('a finding accepted as it is, and lamination without a check fitting, stand as signed', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { id: socketId } = await makeSocket(shop, orderId, { kind: 'check' });
    const { findingId } = await ok<{ findingId: string }>(
      clinic
        .as('technician')
        .post(`/api/v1/sockets/${socketId}/findings`, { kind: 'void', note: 'Near the brim.' }),
    );
    await ok(
      prosthetist().post(`/api/v1/findings/${findingId}/acceptance`, {
        why: 'Outside the loaded area.',
        signature,
      }),
    );
    const other = await openedOrder(shop);
    await acceptedCast(shop, other.orderId);
    await ok(
      prosthetist().post(`/api/v1/orders/${other.orderId}/skip-check-fitting`, {
        reason: 'The socket worn before fits.',
        signature,
      }),
    );
    for (const [order, what, field, said] of [
      [orderId, 'finding_accepted_as_is', 'note', 'Near the brim.'],
      [other.orderId, 'check_fitting_skipped', 'why', 'The socket worn before fits.'],
    ] as const) {
      const { content, since, intact } = await whole((await meaning(order, what)).id);
      expect([content[field], since, intact]).toEqual([said, [], true]);
    }
  });

  test('a service visit: its hardware stands as released', async () => {
    const limb = await deliveredLimb(shop);
    const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
      clinic.as('front_desk').post(`/api/v1/orders/${limb.orderId}/service-visits`, {
        socketId: limb.socketId,
        kind: 'follow_up',
        note: 'First look.',
      }),
    );
    await ok(
      prosthetist().post(`/api/v1/service-visits/${serviceVisitId}/closing`, {
        outcome: 'All well.',
        signature,
      }),
    );
    const { content, since } = await whole((await meaning(limb.orderId, 'service_released')).id);
    expect([content['outcome'], since]).toEqual(['All well.', []]);
  });
});

describe('who reads them', () => {
  test('the bench is not told who took the limb home; the hash stays that of all', async () => {
    const { orderId } = await deliveredLimb(shop);
    const { id } = await meaning(orderId, 'delivery_released');
    const seen = await whole(id, 'technician');
    expect(seen.withheld).toEqual(['receivedByName', 'receivedByRelation']);
    expect(JSON.stringify(seen.content)).not.toContain('receivedBy');
    expect(seen.intact).toBe(true);
    expect((await whole(id)).content).toHaveProperty('receivedByName');
  });

  test('an order without signatures has none, and what is not there is said so', async () => {
    const { orderId } = await openedOrder(shop);
    expect(await of(orderId)).toEqual([]);
    const auditor = clinic.as('auditor');
    await refusedWith(auditor.get(`/api/v1/signatures/${orderId}`), 'not-found');
    await refusedWith(auditor.get('/api/v1/signatures/none'), 'request-invalid');
  });

  test('content that was changed behind the service is not what was signed', async () => {
    const { orderId } = await deliveredLimb(shop);
    const { id } = await meaning(orderId, 'delivery_released');
    await clinic.store.ownerTransaction(async (sql) => {
      await sql.script('alter table signature disable trigger signature_not_rewritten');
      await sql.query(
        `update signature set content = jsonb_set(content, '{bodyMassKg}', '70') where id = $1`,
        [id],
      );
      await sql.script('alter table signature enable trigger signature_not_rewritten');
    });
    expect((await whole(id)).intact).toBe(false);
  });
});
