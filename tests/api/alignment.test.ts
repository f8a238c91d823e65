/** Alignments of a socket: listed, compared with the accepted one, range left, drawn (R14, C6). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  ALIGNMENT,
  checkSocketOnTheLimb,
  gate,
  inBin,
  inPosition,
  laminatedAfterFit,
  limbToDeliver,
  move,
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
});
afterAll(() => clinic.close());

interface Against {
  readonly alignmentId: string;
  readonly warnings: readonly { readonly code: string; readonly detail: string }[];
  readonly differences:
    readonly { component: string; difference: number; within: boolean }[] | null;
  readonly correction: Record<string, unknown> | null;
}
interface Listed {
  readonly side: string;
  readonly accepted: { readonly socketNumber: string; readonly alignment: object } | null;
  readonly items: readonly (Against & {
    readonly occasion: string;
    readonly covers: boolean;
    readonly tiltDeg: number;
    readonly towards: string | null;
  })[];
  readonly ranges: readonly {
    readonly position: string;
    readonly rangeDeg: number | null;
    readonly left: Record<string, number> | null;
    readonly unknownBecause: string | null;
  }[];
}

const listed = (socketId: string) =>
  ok<Listed>(clinic.as('auditor').get(`/api/v1/sockets/${socketId}/alignments`));
const drawn = (socketId: string) =>
  clinic.as('technician').get(`/api/v1/sockets/${socketId}/alignment.svg`);
const measure = (socketId: string, over: object = {}) =>
  ok<Against>(
    clinic
      .as('technician')
      .post(`/api/v1/sockets/${socketId}/alignments`, { ...ALIGNMENT, ...over }),
  );
/** What the administrator enters of the shop's pyramid. */
const statesRange = async (rangeDeg: number | null): Promise<void> => {
  const admin = clinic.as('administrator');
  const url = `/api/v1/parts/${shop.parts.pyramid}`;
  const { headers } = await admin.get(url);
  await admin.patch(url, { rangeDeg }, headers['etag'] ?? '').expect(200);
};

/** An accepted check socket whose hardware has moved on into the definitive one. */
async function transferred() {
  const { orderId, number } = await openedOrder(shop);
  const { checkId, socketId, check } = await laminatedAfterFit(shop, orderId);
  const hardware = await transferTo(shop, checkId, socketId, check.hardware);
  return { number, checkId, socketId, hardware };
}

describe('the alignments of a socket', () => {
  test('after the transfer are told against the accepted one, with what the set screws must undo', async () => {
    const { number, socketId } = await transferred();
    const answer = await measure(socketId, {
      flexionDeg: 7,
      adductionDeg: 2.5,
      anteriorOffsetMm: 8,
    });
    // Flexed 2° too much: the posterior screw pushes, the anterior one gives way.
    expect(answer.correction).toMatchObject({
      screws: [
        { plane: 'flexion', changeDeg: -2, loosen: 'anterior', tighten: 'posterior' },
        { plane: 'adduction', changeDeg: 0.5, loosen: 'medial', tighten: 'lateral' },
      ],
      shiftMm: 4,
      shiftTowards: 'anterior',
      toeOutDeg: 0,
      heightMm: 0,
    });
    const { items, accepted, side } = await listed(socketId);
    expect(side).toBe('left');
    expect(accepted).toMatchObject({ socketNumber: `${number}/C1`, alignment: ALIGNMENT });
    expect(items).toMatchObject([
      { occasion: 'after_transfer', covers: true, measuredBy: 'Tamás Bench of KL' },
    ]);
    expect(items[0]).toMatchObject({
      differences: answer.differences,
      correction: answer.correction,
    });
    const outside = items[0]?.differences?.filter(({ within }) => !within);
    expect(outside?.map(({ component }) => component)).toEqual(['flexionDeg', 'anteriorOffsetMm']);
    // tan²τ = tan²7° + tan²2.5°
    const tan = (degrees: number) => Math.tan((degrees * Math.PI) / 180);
    expect(items[0]?.tiltDeg).toBeCloseTo(
      (Math.atan(Math.hypot(tan(7), tan(2.5))) * 180) / Math.PI,
      9,
    );
    expect(items[0]?.towards).toBe('anterior');
  });

  test('are all kept, and those from before a move no longer cover it', async () => {
    const { socketId, checkId, hardware } = await transferred();
    await measure(socketId);
    const pyramid = { itemId: hardware.pyramid };
    const position = inPosition(socketId, 'pyramid');
    await ok(move(shop, pyramid, position, inBin(shop), 'returned_to_bin'));
    await ok(move(shop, pyramid, inBin(shop), position));
    await measure(socketId, { flexionDeg: 4 });
    const { items } = await listed(socketId);
    expect(items.map(({ covers }) => covers)).toEqual([false, true]);
    // The check socket's own, accepted, went with its pyramid.
    const check = await listed(checkId);
    expect(check.items).toMatchObject([{ occasion: 'fitting', covers: false }]);
    expect(check.ranges).toEqual([]);
  });

  test('before any fit was accepted are compared with nothing', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    expect(await measure(socketId)).toMatchObject({ differences: null, correction: null });
    expect(await listed(socketId)).toMatchObject({ accepted: null });
    await ok(acceptFit(shop, socketId));
    const { items, accepted } = await listed(socketId);
    expect(items).toHaveLength(2);
    expect(accepted?.alignment).toEqual(ALIGNMENT);
  });
});

describe('the range of the pyramid', () => {
  test('is unknown until its part states one, then told each way', async () => {
    const { socketId } = await transferred();
    await measure(socketId, { flexionDeg: 6, adductionDeg: 0 });
    const [unstated] = (await listed(socketId)).ranges;
    expect(unstated).toMatchObject({ position: 'pyramid', rangeDeg: null, left: null });
    expect(unstated?.unknownBecause).toContain('states no range');

    await statesRange(10);
    const [range] = (await listed(socketId)).ranges;
    expect(range?.unknownBecause).toBeNull();
    expect(range?.left?.['moreFlexionDeg']).toBeCloseTo(4, 9);
    expect(range?.left?.['moreExtensionDeg']).toBeCloseTo(16, 9);

    await measure(socketId, { flexionDeg: 11, adductionDeg: 0 });
    const [past] = (await listed(socketId)).ranges;
    expect(past?.left).toBeNull();
    // The words of 'adapter-range-exceeded'.
    expect(past?.unknownBecause).toContain('needs a tilt of 11°; the adapter reaches 10°');
    await statesRange(null);
  });

  test('is unknown while nobody has measured since the pyramid moved', async () => {
    const { socketId, hardware } = await transferred();
    await statesRange(10);
    await measure(socketId);
    await ok(
      move(
        shop,
        { itemId: hardware.pyramid },
        inPosition(socketId, 'pyramid'),
        inBin(shop),
        'returned_to_bin',
      ),
    );
    await ok(
      move(shop, { itemId: hardware.pyramid }, inBin(shop), inPosition(socketId, 'pyramid')),
    );
    const [range] = (await listed(socketId)).ranges;
    expect(range).toMatchObject({ rangeDeg: 10, left: null });
    expect(range?.unknownBecause).toContain('not measured since');
    await statesRange(null);
  });

  test('belongs to pyramids and adapters, and lies within what any tilts', async () => {
    const admin = clinic.as('administrator');
    const adapter = {
      kind: 'four_hole_adapter',
      name: 'Adapter, four-hole',
      catalogueNumber: 'INV-adapter',
      ratedBodyMassKg: 125,
      rangeDeg: 8,
    };
    const { rangeDeg } = await ok<{ rangeDeg: number }>(admin.post('/api/v1/parts', adapter));
    expect(rangeDeg).toBe(8);
    const more = { catalogueNumber: 'INV-other' };
    const { body } = await refusedWith(
      admin.post('/api/v1/parts', { ...adapter, ...more, rangeDeg: 80 }),
      'value-out-of-range',
    );
    expect(body['detail']).toContain('Usual: 8 to 12° either way');
    await refusedWith(
      admin.post('/api/v1/parts', { ...adapter, ...more, kind: 'lock_plate' }),
      'part-field-misfits',
    );
  });
});

describe('a signature for a difference', () => {
  const accept = (socketId: string, body: object) =>
    clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/alignment-difference-acceptance`, {
      why: 'More flexion is wanted: a contracture by now.',
      signature: { password: PASSWORD },
      ...body,
    });
  const codes = async (orderId: string): Promise<string[]> =>
    (await gate(shop, orderId)).missing.map(({ code }) => code);

  test('is for the alignment that was seen, not for one measured meanwhile', async () => {
    const { orderId, socketId } = await limbToDeliver(shop);
    const seen = await measure(socketId, { flexionDeg: 7 });
    const worse = await measure(socketId, { flexionDeg: 25, adductionDeg: 20 });
    const { status, body } = await refusedWith(
      accept(socketId, { alignmentId: seen.alignmentId }),
      'alignment-superseded',
    );
    expect([status, body['errors']]).toMatchObject([409, [{ pointer: '/alignmentId' }]]);
    await refusedWith(accept(socketId, {}), 'request-invalid');
    expect(await codes(orderId)).toEqual(['alignment-out-of-tolerance']);
    await ok(accept(socketId, { alignmentId: worse.alignmentId }));
    expect(await codes(orderId)).toEqual([]);
  });

  test('vouches for every figure that was seen, and is given once', async () => {
    const { socketId } = await limbToDeliver(shop);
    const { alignmentId, differences } = await measure(socketId, { flexionDeg: 7 });
    const { signatureId } = await ok<{ signatureId: string }>(accept(socketId, { alignmentId }));
    const [signed] = await clinic.store.raw<{ content: unknown }>(
      'select content from signature where id = $1',
      [signatureId],
    );
    expect(signed?.content).toMatchObject({
      measured: { ...ALIGNMENT, flexionDeg: 7 },
      accepted: ALIGNMENT,
      tolerance: { angleDeg: 1, lengthMm: 3 },
      pastRange: [],
      differences: differences?.map(({ component, difference, within }) => ({
        component,
        difference,
        within,
      })),
    });
    const { body } = await refusedWith(
      accept(socketId, { alignmentId }),
      'alignment-difference-signed',
    );
    expect(body['detail']).toContain('Paula Fitting of KL accepted this very alignment');
  });

  test('is not given where nothing differs, after a move, or on another socket’s', async () => {
    const { socketId, checkId, hardware } = await transferred();
    const { alignmentId } = await measure(socketId);
    await refusedWith(accept(socketId, { alignmentId }), 'alignment-difference-none');
    const turned = await measure(socketId, { toeOutDeg: 12 });
    await refusedWith(accept(checkId, { alignmentId: turned.alignmentId }), 'not-found');
    const [pyramid, position] = [{ itemId: hardware.pyramid }, inPosition(socketId, 'pyramid')];
    await ok(move(shop, pyramid, position, inBin(shop), 'returned_to_bin'));
    await ok(move(shop, pyramid, inBin(shop), position));
    await refusedWith(accept(socketId, { alignmentId: turned.alignmentId }), 'alignment-missing');
  });

  test('covers a tilt past the pyramid’s range, which is told at once and stands in the gate', async () => {
    await statesRange(8);
    const { orderId, socketId } = await limbToDeliver(shop);
    expect((await measure(socketId)).warnings).toEqual([]);
    // Within 1° and 3 mm of the accepted one, whose own tilt is 5.8°: only the range is passed.
    await statesRange(5);
    const { alignmentId, warnings } = await measure(socketId);
    expect(warnings).toMatchObject([{ code: 'adapter-range-exceeded' }]);
    expect(warnings[0]?.detail).toContain('needs a tilt of 5.8°; the adapter reaches 5°');
    expect(await codes(orderId)).toEqual(['adapter-range-exceeded']);
    await ok(accept(socketId, { alignmentId }));
    expect(await codes(orderId)).toEqual([]);
    // A narrower range than was signed for is another difference.
    await statesRange(4);
    expect(await codes(orderId)).toEqual(['adapter-range-exceeded']);
    await ok(accept(socketId, { alignmentId }));
    expect(await codes(orderId)).toEqual([]);
    await statesRange(null);
  });
});

describe('an alignment as it is typed', () => {
  test('in centimetres to the floor is questioned in words, at the fitting too', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    const alignment = { ...ALIGNMENT, heightToFloorMm: 31.2 };
    const { body } = await refusedWith(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/alignments`, alignment),
      'value-out-of-range',
    );
    expect(body['detail']).toContain('Usual: 120 to 550 mm');
    const atFit = await refusedWith(acceptFit(shop, socketId, { alignment }), 'value-out-of-range');
    expect(atFit.body['errors']).toMatchObject([{ pointer: '/alignment/heightToFloorMm' }]);
    expect((await listed(socketId)).items).toEqual([]);
  });

  test('past the range of the pyramid is told with the accepted fit', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    await statesRange(5);
    const { warnings } = await ok<Against>(acceptFit(shop, socketId));
    expect(warnings).toMatchObject([{ code: 'adapter-range-exceeded' }]);
    await statesRange(null);
  });
});

describe('the drawn alignment', () => {
  test('shows the side, both views, and the accepted one dashed against the measured', async () => {
    const { number, socketId } = await transferred();
    await measure(socketId, { flexionDeg: 7 });
    const { headers, body } = await drawn(socketId).expect(200);
    expect(headers['content-type']).toBe('image/svg+xml; charset=utf-8');
    const svg = String(body);
    expect(svg).toContain(`<title>Alignment of socket ${number}/D1, left leg</title>`);
    for (const said of ['LEFT', 'seen from the front', 'flexion 7°', 'outside ± 1°']) {
      expect(svg).toContain(`>${said}</text>`);
    }
    expect(svg).toContain('stroke-dasharray');
  });

  test('before the transfer is measured shows the accepted one, and says so', async () => {
    const { socketId } = await transferred();
    const svg = String((await drawn(socketId).expect(200)).body);
    expect(svg).toContain('/D1 yet.</text>');
    expect(svg).toContain('flexion 5°');
    expect(svg).not.toContain('stroke-dasharray');
  });

  test('says when the hardware has moved since', async () => {
    const { checkId } = await transferred();
    const svg = String((await drawn(checkId).expect(200)).body);
    expect(svg).toContain('Pyramid or adapter has moved since it was measured.');
  });

  test('of a socket that never had one is not there', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    const { status } = await refusedWith(drawn(socketId), 'not-found');
    expect(status).toBe(404);
  });
});
