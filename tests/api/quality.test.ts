/** C8: what the clinic's own record says of its work, with counts and honest intervals. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  deliver,
  finishDefinitive,
  makeSocket,
  ok,
  openedOrder,
  refusedWith,
  stockedShop,
  transferTo,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  // One limb in a day, promised for later.
  const first = await limb({ promisedOn: '2026-12-10' });
  // Another refused at its first fitting, and eighteen days past its promise: Monday 16 March to Tuesday 7 April.
  clinic.clock.set('2026-03-16T09:00:00Z');
  await limb({
    promisedOn: '2026-03-20',
    refusedFirst: true,
    deliveredAt: '2026-04-07T09:00:00Z',
  });
  // The remake's check socket is none of those that the first limb took.
  clinic.clock.set('2026-04-20T09:00:00Z');
  const remake = { why: 'The limb shrank.', newCast: true };
  await ok(clinic.as('prosthetist').post(`/api/v1/orders/${first}/remake`, remake));
  await acceptedCast(shop, first);
  await makeSocket(shop, first, { kind: 'check' });
});
afterAll(() => clinic.close());

async function limb(told: {
  promisedOn: string;
  refusedFirst?: boolean;
  deliveredAt?: string;
}): Promise<string> {
  const { orderId } = await openedOrder(shop, { promisedOn: told.promisedOn });
  await acceptedCast(shop, orderId);
  const check = await checkSocketOnTheLimb(shop, orderId);
  if (told.refusedFirst === true) {
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${check.socketId}/fit-rejection`, {
        reasons: ['too_tight', 'pain'],
        areas: ['fibular_head'],
        nextStep: 'same_socket_changed',
      }),
    );
    await ok(
      clinic.as('technician').post(`/api/v1/sockets/${check.socketId}/findings`, {
        kind: 'crack',
        note: 'A crack at the trim line, shallow.',
      }),
    );
    const { body } = await clinic.as('technician').get(`/api/v1/sockets/${check.socketId}`);
    await ok(
      clinic.as('technician').post(`/api/v1/findings/${body.openFindings[0].id}/disposition`, {
        disposition: 'rework',
        why: 'Ground out.',
      }),
    );
  }
  await ok(acceptFit(shop, check.socketId));
  const socketId = await definitiveAwaitingLock(shop, orderId);
  await transferTo(shop, check.socketId, socketId, check.hardware);
  await finishDefinitive(shop, socketId);
  if (told.deliveredAt !== undefined) clinic.clock.set(told.deliveredAt);
  await ok(deliver(shop, orderId, socketId));
  return orderId;
}

const SPRING = 'from=2026-03-01&to=2026-04-30';
const quality = (who: 'prosthetist' | 'auditor', query: string) =>
  clinic.as(who).get(`/api/v1/quality?${query}`);

describe('the figures of two limbs', () => {
  test('are shares with their counts and Wilson intervals, in all and by month', async () => {
    const figures = await ok(quality('prosthetist', SPRING));
    // Newcombe, Statistics in Medicine 1998;17:857, method 3, for 1 of 2 (worked by hand): 0.0945 to 0.9055.
    const half = { count: 1, of: 2, share: 0.5 };
    expect(figures).toMatchObject({ orders: 2, firstFit: half, onTime: half });
    const { firstFit } = figures as { firstFit: { from: number; to: number } };
    expect(firstFit.from).toBeCloseTo(0.0945, 4);
    expect(firstFit.to).toBeCloseTo(0.9055, 4);
    expect(figures['months']).toMatchObject([
      { month: '2026-03', orders: 1, firstFit: { count: 1, of: 1 }, onTime: { count: 1, of: 1 } },
      { month: '2026-04', orders: 1, firstFit: { count: 0, of: 1 }, onTime: { count: 0, of: 1 } },
    ]);
    expect(figures['checkSockets']).toEqual({
      orders: 2,
      checkSockets: 2,
      perOrder: 1,
      byNumber: [
        { checkSockets: 1, orders: expect.objectContaining({ count: 2, of: 2 }) as unknown },
      ],
    });
  });

  test('count times in working days: none for the one made in a day, 16 for the late one', async () => {
    const { turnaround } = await ok<{ turnaround: Record<string, object> }>(
      quality('auditor', SPRING),
    );
    // 17 to 20 March are 4, 23 to 27 are 5, 30 March to 3 April 5, 6 and 7 April 2.
    expect(turnaround['all']).toEqual({ orders: 2, median: 8, percentile90: 14.4 });
    expect(turnaround['delivery']).toEqual({ orders: 2, median: 8, percentile90: 14.4 });
    expect(turnaround['casting']).toEqual({ orders: 2, median: 0, percentile90: 0 });
  });

  test('name causes, each with its share of all', async () => {
    const { causes } = await ok<{ causes: unknown }>(quality('prosthetist', SPRING));
    expect(causes).toMatchObject({
      findings: [{ cause: 'crack', share: { count: 1, of: 1 } }],
      refusedFits: [
        { cause: 'pain', share: { count: 1, of: 2 } },
        { cause: 'too_tight', share: { count: 1, of: 2 } },
      ],
      remakes: [],
    });
  });

  test('are told apart by technician only where the clinic allows it', async () => {
    await refusedWith(
      quality('auditor', `${SPRING}&by=technician`),
      'quality-by-person-not-allowed',
    );
    const { headers } = await clinic.as('administrator').get('/api/v1/clinic');
    await ok(
      clinic
        .as('administrator')
        .patch('/api/v1/clinic', { figuresByPerson: true }, String(headers['etag'])),
    );
    const { technicians } = await ok<{ technicians: { technician: string; stopped: object }[] }>(
      quality('auditor', `${SPRING}&by=technician`),
    );
    expect(technicians).toMatchObject([
      { technician: 'Tamás Bench of KL', stopped: { count: 0, share: 0 } },
    ]);
  });
});

describe('a window without an answer', () => {
  test('upside down, or longer than five years, is refused', async () => {
    await refusedWith(quality('auditor', 'from=2026-04-01&to=2026-03-01'), 'day-order-wrong');
    await refusedWith(quality('auditor', 'from=2016-01-01&to=2026-03-01'), 'value-out-of-range');
  });

  test('with nothing delivered counts nothing, and has no chart', async () => {
    const nothing = 'from=2025-01-01&to=2025-12-31';
    expect(await ok(quality('auditor', nothing))).toMatchObject({
      orders: 0,
      firstFit: { count: 0, of: 0, share: null, from: 0, to: 1 },
      months: [],
    });
    await refusedWith(
      clinic.as('auditor').get(`/api/v1/quality/turnaround.svg?${nothing}`),
      'too-few-to-chart',
    );
  });
});

describe('charts', () => {
  test('come as SVG that says the same in words', async () => {
    const chart = await clinic.as('auditor').get(`/api/v1/quality/turnaround.svg?${SPRING}`);
    expect(chart.headers['content-type']).toBe('image/svg+xml; charset=utf-8');
    const svg = (chart.body as Buffer).toString('utf8');
    // Mean 8; one moving range of 16: 8 + 3·16/1.128 = 50.6 (NIST/SEMATECH e-Handbook 6.3.2.2).
    expect(svg).toContain('Mean 8, natural limits 0 to 50.6 days; 0 outside.');
    expect(svg).toContain('only 2 orders: the limits are still moving');
    const shares = await clinic.as('auditor').get(`/api/v1/quality/shares.svg?${SPRING}`);
    expect((shares.body as Buffer).toString('utf8')).toContain(
      'delivered as promised first: 1 of 2, 50 %, interval 9 % to 91 %.',
    );
  });
});

test('quality is not the front desk’s to read', async () => {
  const { status } = await clinic.as('front_desk').get(`/api/v1/quality?${SPRING}`);
  expect(status).toBe(403);
});
