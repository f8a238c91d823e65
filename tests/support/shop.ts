/** A stocked shop to do the job in, and how a test speaks to it. Everything here is invented. */
import { expect } from 'vitest';
import { spokenToAt, type Client, type TestClinic } from './clinic.ts';

/** The setting of the distal joint in this shop, N·m. */
export const DISTAL_BAND_NM = { min: 13.5, max: 16.5 };

/** The resin that this shop laminates with, as its sheet has it. */
export const RESIN_PRODUCT = {
  name: 'Invented laminating epoxy',
  chemistry: 'epoxy',
  partsResin: 100,
  partsHardener: 38,
  ratioTolerancePercent: 2,
  densityGcm3: 1.15,
  potLifeMinutes: 30,
  potLifeMassG: 100,
  potLifeTemperatureC: 22,
  cupLimitG: 400,
  cureHours: 12,
  cureTemperatureC: 22,
  document: 'Invented sheet 3',
  revision: 'A',
};

interface PartSpec {
  readonly kind: string;
  readonly [field: string]: unknown;
}

const PARTS = {
  lock: {
    kind: 'lock',
    name: 'Shuttle lock, four-hole',
    holePattern: '4-hole 36 mm',
    thread: 'M4',
    pinFit: 'ratchet pin 10 mm',
    ratedBodyMassKg: 125,
    leastClicks: 3,
    serviceIntervalDays: 180,
  },
  lock_plate: {
    kind: 'lock_plate',
    name: 'Lock plate',
    holePattern: '4-hole 36 mm',
    thread: 'M6',
    ratedBodyMassKg: 125,
  },
  release_valve: { kind: 'release_valve', name: 'Push-button release valve' },
  spring: { kind: 'spring', name: 'Lock spring', singleUse: true },
  pin: {
    kind: 'pin',
    name: 'Ratchet pin',
    pinFit: 'ratchet pin 10 mm',
    ratedBodyMassKg: 125,
    leastClicks: 4,
  },
  pyramid: {
    kind: 'pyramid',
    name: 'Pyramid, four-hole',
    holePattern: '4-hole 36 mm',
    thread: 'M6',
    ratedBodyMassKg: 125,
    serviceIntervalDays: 365,
  },
  distal_screws: {
    kind: 'screw_set',
    name: 'Screw set M6, four',
    thread: 'M6',
    singleUse: true,
  },
  foreign_pyramid: {
    kind: 'pyramid',
    name: 'Pyramid, three-prong',
    holePattern: '3-prong 48 mm',
    thread: 'M6',
    ratedBodyMassKg: 125,
  },
  light_pyramid: {
    kind: 'pyramid',
    name: 'Pyramid, light',
    holePattern: '4-hole 36 mm',
    thread: 'M6',
    ratedBodyMassKg: 60,
  },
  foreign_pin: {
    kind: 'pin',
    name: 'Smooth pin',
    pinFit: 'clutch pin 8 mm',
    ratedBodyMassKg: 125,
    leastClicks: 1,
  },
} as const satisfies Record<string, PartSpec>;
export type PartName = keyof typeof PARTS;

/** Ids of everything a stocked clinic has. */
export interface Shop {
  readonly clinic: TestClinic;
  readonly bin: string;
  readonly parts: Readonly<Record<PartName, string>>;
  readonly wrench: string;
  readonly expiredWrench: string;
  readonly dummy: string;
  /** An epoxy of 100A:38B; `batches.resin` and `batches.hardener` are of it. */
  readonly resinProduct: string;
  readonly batches: Readonly<Record<string, string>>;
  /** Receives pieces of a part and names them. */
  receive(part: PartName, count: number): Promise<string[]>;
}

/** Sends and expects 2xx; the body otherwise stands in the failure. */
export async function ok<Body = Record<string, unknown>>(
  test: ReturnType<Client['post']>,
): Promise<Body> {
  const answer = await test;
  expect(answer.status, JSON.stringify(answer.body)).toBeLessThan(300);
  return answer.body as Body;
}

/** Sends and expects a refusal with this code among its reasons; gives all codes. */
export async function refusedWith(
  test: ReturnType<Client['post']>,
  code: string,
): Promise<{ status: number; codes: string[]; body: Record<string, unknown> }> {
  const answer = await test;
  const body = answer.body as { code: string; errors?: { code: string }[] };
  const codes = [body.code, ...(body.errors ?? []).map((each) => each.code)];
  expect(answer.status, JSON.stringify(answer.body)).toBeGreaterThanOrEqual(400);
  expect(answer.headers['content-type']).toContain('application/problem+json');
  expect(codes).toContain(code);
  return { status: answer.status, codes, body: answer.body as Record<string, unknown> };
}

export const id = async (test: ReturnType<Client['post']>): Promise<string> =>
  (await ok<{ id: string }>(test)).id;

let lots = 0;

/** The day on which the shop's story is told; clinics begin on it unless they say otherwise. */
const TOLD_ON = '2026-03-02';

/**
 * A clinic with bins, parts and their settings, pieces, tools and batches.
 * @param today where the clinic's clock stands elsewhere: calibrations and expiries move along
 */
export async function stockedShop(
  clinic: TestClinic,
  { today = TOLD_ON }: { today?: string } = {},
): Promise<Shop> {
  const day = (told: string): string =>
    new Date(Date.parse(told) + Date.parse(today) - Date.parse(TOLD_ON)).toISOString().slice(0, 10);
  const admin = clinic.as('administrator');
  const tech = clinic.as('technician');
  const bin = await id(tech.post('/api/v1/places', { name: 'Drawer 1' }));
  const parts: Partial<Record<PartName, string>> = {};
  for (const [name, spec] of Object.entries(PARTS) as [PartName, PartSpec][]) {
    parts[name] = await id(
      admin.post('/api/v1/parts', { ...spec, catalogueNumber: `INV-${name}` }),
    );
  }
  const known = parts as Record<PartName, string>;
  for (const pyramid of ['pyramid', 'foreign_pyramid', 'light_pyramid'] as const) {
    await ok(
      admin.post(`/api/v1/parts/${known[pyramid]}/torque-settings`, {
        jointKind: 'distal',
        fastenerCount: 4,
        fastenerSize: 'M6',
        propertyClass: '12.9',
        torqueMin: DISTAL_BAND_NM.min,
        torqueMax: DISTAL_BAND_NM.max,
        unit: 'N.m',
        threadlocker: 'required',
        document: 'Invented sheet 7',
        revision: 'C',
      }),
    );
  }
  const tool = async (name: string): Promise<string> =>
    id(
      admin.post('/api/v1/shop-tools', {
        kind: 'torque_tool',
        name,
        toPlaceId: bin,
        toolType: 'indicating',
        toolClass: 'C',
        minNm: 4,
        maxNm: 40,
      }),
    );
  const wrench = await tool('Torque wrench 1');
  const expiredWrench = await tool('Torque wrench 2');
  const calibrate = (toolId: string, calibratedOn: string) =>
    ok(
      admin.post(`/api/v1/shop-tools/${toolId}/calibrations`, {
        calibratedOn,
        certificate: `INV-CAL-${calibratedOn}`,
        laboratory: 'Invented calibration room',
      }),
    );
  await calibrate(wrench, day('2026-01-10'));
  await calibrate(expiredWrench, day('2024-11-01'));
  const dummy = await id(
    admin.post('/api/v1/shop-tools', {
      kind: 'fabrication_dummy',
      name: 'Dummy 1',
      toPlaceId: bin,
      holePattern: '4-hole 36 mm',
    }),
  );
  const resinProduct = await id(admin.post('/api/v1/resin-products', RESIN_PRODUCT));
  const batch = (
    kind: string,
    quantity: number,
    unit: string,
    expiresOn?: string,
    of: object = {},
  ) =>
    id(
      tech.post('/api/v1/batches', {
        kind,
        name: `Invented ${kind.replace('_', ' ')}`,
        lot: `${kind.slice(0, 3).toUpperCase()}-${String((lots += 1))}`,
        receivedOn: day('2026-01-05'),
        quantity,
        unit,
        ...(expiresOn === undefined ? {} : { expiresOn: day(expiresOn) }),
        ...of,
      }),
    );
  const ofProduct = { resinProductId: resinProduct };
  const batches = {
    sheet: await batch('thermoplastic_sheet', 20, 'piece'),
    fabric: await batch('fabric', 50, 'm'),
    resin: await batch('resin', 20_000, 'g', '2026-12-31', ofProduct),
    expiredResin: await batch('resin', 5000, 'g', '2026-02-01', ofProduct),
    hardener: await batch('hardener', 8000, 'g', '2026-12-31', ofProduct),
    parting: await batch('parting_agent', 900, 'mL'),
    threadlocker: await batch('threadlocker', 50, 'mL', '2026-12-31'),
    expiredThreadlocker: await batch('threadlocker', 50, 'mL', '2026-02-01'),
  };
  const shop: Shop = {
    clinic,
    bin,
    parts: known,
    wrench,
    expiredWrench,
    dummy,
    resinProduct,
    batches,
    receive: (part, count) => receivePieces(shop, part, count),
  };
  return shop;
}

async function receivePieces(shop: Shop, part: PartName, count: number): Promise<string[]> {
  lots += 1;
  const byLot = part === 'distal_screws' || part === 'spring';
  const { itemIds } = await ok<{ itemIds: string[] }>(
    shop.clinic.as('technician').post('/api/v1/items', {
      partId: shop.parts[part],
      serials: byLot
        ? []
        : Array.from({ length: count }, (_, n) => `S${String(lots)}-${String(n + 1)}`),
      lot: `L${String(lots)}`,
      ...(byLot ? { count } : {}),
      toPlaceId: shop.bin,
    }),
  );
  return itemIds;
}

/** The same shop, spoken to at another service on its database. */
export function shopAt(shop: Shop, address: string): Shop {
  const there: Shop = {
    ...shop,
    clinic: spokenToAt(shop.clinic, address),
    receive: (part, count) => receivePieces(there, part, count),
  };
  return there;
}
