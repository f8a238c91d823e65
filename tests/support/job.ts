/**
 * The job over HTTP, step by step, as the roles do it: a stocked clinic, and the
 * stretches of work that many tests begin with. Everything here is invented.
 */
import { expect } from 'vitest';
import { PASSWORD, spokenToAt, type Client, type TestClinic } from './clinic.ts';

const signature = { password: PASSWORD };

/** The setting of the distal joint in this shop, N·m. */
export const DISTAL_BAND_NM = { min: 13.5, max: 16.5 };

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

const id = async (test: ReturnType<Client['post']>): Promise<string> =>
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
  const batch = (kind: string, quantity: number, unit: string, expiresOn?: string) =>
    id(
      tech.post('/api/v1/batches', {
        kind,
        name: `Invented ${kind.replace('_', ' ')}`,
        lot: `${kind.slice(0, 3).toUpperCase()}-${String((lots += 1))}`,
        receivedOn: day('2026-01-05'),
        quantity,
        unit,
        ...(expiresOn === undefined ? {} : { expiresOn: day(expiresOn) }),
      }),
    );
  const batches = {
    sheet: await batch('thermoplastic_sheet', 20, 'piece'),
    fabric: await batch('fabric', 50, 'm'),
    resin: await batch('resin', 5000, 'g', '2026-12-31'),
    expiredResin: await batch('resin', 5000, 'g', '2026-02-01'),
    hardener: await batch('hardener', 2000, 'g', '2026-12-31'),
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

let charts = 0;

/** Front desk enters a patient and opens a pin-lock trans-tibial order for the left side. */
export async function openedOrder(
  shop: Shop,
  {
    massKg = 82,
    suspension = 'pin_lock',
    promisedOn = '2026-12-10',
  }: { massKg?: number; suspension?: string; promisedOn?: string } = {},
): Promise<{ patientId: string; orderId: string; number: string; chartNumber: string }> {
  const desk = shop.clinic.as('front_desk');
  charts += 1;
  const chartNumber = `CH-${String(charts).padStart(4, '0')}`;
  const patientId = await id(
    desk.post('/api/v1/patients', {
      chartNumber,
      givenName: `Nomen${String(charts)}`,
      familyName: `Inventum${String.fromCharCode(65 + (charts % 26)).repeat((charts % 7) + 1)}`,
      birthDate: `19${String(40 + (charts % 50))}-0${String((charts % 9) + 1)}-1${String(charts % 9)}`,
      bodyMass: { massKg, measuredOn: '2026-03-01' },
    }),
  );
  const order = await ok<{ id: string; number: string }>(
    desk.post('/api/v1/orders', {
      patientId,
      side: 'left',
      level: 'trans_tibial',
      suspension,
      functionalLevel: 'K3',
      promisedOn,
    }),
  );
  return { patientId, orderId: order.id, number: order.number, chartNumber };
}

export const MEASURES = [
  { heightMm: 0, circumferenceMm: 232 },
  { heightMm: 40, circumferenceMm: 268 },
  { heightMm: 80, circumferenceMm: 297 },
  { heightMm: 120, circumferenceMm: 321 },
  { heightMm: 160, circumferenceMm: 338 },
];

/** The prosthetist takes a cast with its measures and accepts it. */
export async function acceptedCast(shop: Shop, orderId: string): Promise<string> {
  const prosthetist = shop.clinic.as('prosthetist');
  const castId = await id(
    prosthetist.post(`/api/v1/orders/${orderId}/casts`, {
      method: 'plaster',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: MEASURES,
    }),
  );
  await ok(prosthetist.post(`/api/v1/casts/${castId}/accept`));
  return castId;
}

export interface SocketBody {
  id: string;
  number: string;
  state: string;
  order: { stage: string };
  nextOperationId: string | null;
  operations: {
    id: string;
    kind: string;
    title: string;
    state: string;
    checks: { kind: string; key: string; batchKind?: string; amountAsked?: boolean }[];
  }[];
  hardware: { itemId: string; label: string; position: string; cameFrom: string | null }[];
  joints: { kind: string; confirmed: boolean; openBecause: string | null }[];
  movedOn: { itemId: string; nowAt: string }[];
  lockCheckedNow: boolean | null;
  openFindings: { id: string; kind: string }[];
}

export const readSocket = (shop: Shop, socketId: string): Promise<SocketBody> =>
  ok<SocketBody>(shop.clinic.as('technician').get(`/api/v1/sockets/${socketId}`));

export const makeSocket = (
  shop: Shop,
  orderId: string,
  body: Record<string, unknown>,
): Promise<SocketBody> =>
  ok<SocketBody>(shop.clinic.as('technician').post(`/api/v1/orders/${orderId}/sockets`, body));

/** Good answers to every check of an operation. */
export function goodAnswers(
  shop: Shop,
  operation: SocketBody['operations'][number],
): Record<string, unknown> {
  const measured: Record<string, number> = {
    sheet_thickness_mm: 12,
    vacuum_kpa: 80,
    cure_hours: 12,
    cure_temperature_c: 23,
  };
  const batches: Record<string, string | undefined> = {
    thermoplastic_sheet: shop.batches['sheet'],
    fabric: shop.batches['fabric'],
    resin: shop.batches['resin'],
    hardener: shop.batches['hardener'],
    parting_agent: shop.batches['parting'],
  };
  return Object.fromEntries(
    operation.checks.map((check) => {
      if (check.kind === 'yes_no') return [check.key, true];
      if (check.kind === 'measured') return [check.key, measured[check.key]];
      return [
        check.key,
        {
          batchId: batches[check.batchKind ?? ''],
          ...(check.amountAsked === true ? { amount: check.batchKind === 'resin' ? 300 : 12 } : {}),
        },
      ];
    }),
  );
}

/** Records one operation of a socket by its kind, with good answers. */
export async function doOperation(shop: Shop, socketId: string, kind: string): Promise<void> {
  const socket = await readSocket(shop, socketId);
  const operation = socket.operations.find((each) => each.kind === kind);
  if (operation === undefined) throw new Error(`${socket.number} has no ${kind}`);
  await ok(
    shop.clinic.as('technician').post(`/api/v1/operations/${operation.id}/records`, {
      answers: goodAnswers(shop, operation),
    }),
  );
}

/** Records the operations of these kinds, in this order. */
export async function doOperations(
  shop: Shop,
  socketId: string,
  kinds: readonly string[],
): Promise<void> {
  for (const kind of kinds) await doOperation(shop, socketId, kind);
}

export const inBin = (shop: Shop) => ({ kind: 'bin', placeId: shop.bin });
export const inPosition = (socketId: string, position: string) => ({
  kind: 'socket_position',
  socketId,
  position,
});
export const onBench = { kind: 'bench' };

export const move = (
  shop: Shop,
  thing: Record<string, string>,
  from: object,
  to: object,
  reason = 'issued',
  more: object = {},
) => shop.clinic.as('technician').post('/api/v1/moves', { thing, from, to, reason, ...more });

export interface Hardware {
  readonly lock: string;
  readonly lock_plate: string;
  readonly release_valve: string;
  readonly lock_spring: string;
  readonly pin: string;
  readonly pyramid: string;
  readonly distal_screws: string;
}

/** Issues fresh hardware from the bin into a socket. */
export async function issueHardware(shop: Shop, socketId: string): Promise<Hardware> {
  const made: Record<string, string> = {};
  const places: [keyof Hardware, PartName][] = [
    ['lock', 'lock'],
    ['lock_plate', 'lock_plate'],
    ['release_valve', 'release_valve'],
    ['lock_spring', 'spring'],
    ['pin', 'pin'],
    ['pyramid', 'pyramid'],
    ['distal_screws', 'distal_screws'],
  ];
  for (const [position, part] of places) {
    const [itemId = ''] = await shop.receive(part, 1);
    await ok(move(shop, { itemId }, inBin(shop), inPosition(socketId, position)));
    made[position] = itemId;
  }
  return made as unknown as Hardware;
}

/** Readings in band: three passes, four fasteners, crosswise. */
export const goodReadings = [1, 2, 3].flatMap((pass) =>
  [1, 3, 2, 4].map((fastener) => ({
    fastener,
    pass,
    value: [5, 8, 15][pass - 1] ?? 15,
    unit: 'N.m',
  })),
);

export const torque = (
  shop: Shop,
  socketId: string,
  body: Record<string, unknown> = {},
  joint = 'distal',
) =>
  shop.clinic.as('technician').post(`/api/v1/sockets/${socketId}/joints/${joint}/confirmations`, {
    toolId: shop.wrench,
    threadlockerBatchId: shop.batches['threadlocker'],
    readings: goodReadings,
    ...body,
  });

export const goodCycles = [
  { clicks: 6, heldUnderPull: true, releasedByButton: true },
  { clicks: 6, heldUnderPull: true, pullN: 120, releasedByButton: true },
];

export const checkLock = (shop: Shop, socketId: string, cycles: object[] = goodCycles) =>
  shop.clinic.as('technician').post(`/api/v1/sockets/${socketId}/lock-checks`, { cycles });

export const ALIGNMENT = {
  flexionDeg: 5,
  adductionDeg: 3,
  anteriorOffsetMm: 12,
  lateralOffsetMm: -4,
  toeOutDeg: 6,
  heightToFloorMm: 312,
};

/** A check socket made by its route, hardware in, torqued and checked: ready for the limb. */
export async function checkSocketOnTheLimb(
  shop: Shop,
  orderId: string,
): Promise<{ socketId: string; hardware: Hardware }> {
  const { id: socketId } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
  await doOperations(shop, socketId, ['prepare_model', 'thermoform', 'trim_edges']);
  const hardware = await issueHardware(shop, socketId);
  await ok(checkLock(shop, socketId));
  await ok(torque(shop, socketId));
  await doOperations(shop, socketId, ['fit_hardware', 'check_lock', 'torque_joints']);
  return { socketId, hardware };
}

export const acceptFit = (shop: Shop, socketId: string, body: object = {}) =>
  shop.clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/fit-acceptance`, {
    alignment: ALIGNMENT,
    signature,
    ...body,
  });

/** A definitive socket laminated, dummy pulled, chamber inspected: awaiting its lock. */
export async function definitiveAwaitingLock(shop: Shop, orderId: string): Promise<string> {
  const { id: socketId } = await makeSocket(shop, orderId, { kind: 'definitive' });
  await doOperations(shop, socketId, ['prepare_model', 'seal_model']);
  await ok(
    move(
      shop,
      { shopToolId: shop.dummy },
      inBin(shop),
      inPosition(socketId, 'dummy'),
      'mounted_for_lamination',
    ),
  );
  await doOperations(shop, socketId, ['mount_dummy', 'lay_up', 'laminate', 'cure', 'grind_flush']);
  await ok(
    move(
      shop,
      { shopToolId: shop.dummy },
      inPosition(socketId, 'dummy'),
      inBin(shop),
      'pulled_after_cure',
    ),
  );
  await doOperations(shop, socketId, ['pull_dummy', 'break_out_model', 'inspect_chamber']);
  return socketId;
}

const MOVES_ON = ['lock', 'lock_plate', 'release_valve', 'pin', 'pyramid'] as const;

/** Everything reusable moves on in one transfer, with fresh screws and a fresh spring. */
export async function transferTo(
  shop: Shop,
  fromSocketId: string,
  toSocketId: string,
  hardware: Hardware,
): Promise<Hardware> {
  const [screws = ''] = await shop.receive('distal_screws', 1);
  const [spring = ''] = await shop.receive('spring', 1);
  await ok(
    shop.clinic.as('technician').post('/api/v1/transfers', {
      fromSocketId,
      toSocketId,
      itemIds: MOVES_ON.map((position) => hardware[position]),
      fresh: [
        { itemId: screws, fromPlaceId: shop.bin, position: 'distal_screws' },
        { itemId: spring, fromPlaceId: shop.bin, position: 'lock_spring' },
      ],
    }),
  );
  return { ...hardware, distal_screws: screws, lock_spring: spring };
}

/** Lock check, torque, alignment and the operations to the end. */
export async function finishDefinitive(shop: Shop, socketId: string): Promise<void> {
  await doOperations(shop, socketId, ['trim_edges', 'fit_hardware']);
  await ok(checkLock(shop, socketId));
  await ok(torque(shop, socketId));
  await ok(shop.clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/alignments`, ALIGNMENT));
  await doOperations(shop, socketId, [
    'check_lock',
    'torque_joints',
    'measure_alignment',
    'finish',
  ]);
}

export const deliver = (shop: Shop, orderId: string, socketId: string, body: object = {}) =>
  shop.clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/delivery`, {
    socketId,
    receivedByName: 'Nomen Inventum',
    receivedByRelation: 'patient',
    signature,
    ...body,
  });

export const gate = (shop: Shop, orderId: string) =>
  ok<{ open: boolean; missing: { code: string; detail: string; wayOut: string }[] }>(
    shop.clinic.as('prosthetist').get(`/api/v1/orders/${orderId}/delivery-gate`),
  );

/** An order all the way to the patient. */
export async function deliveredLimb(shop: Shop): Promise<{
  orderId: string;
  number: string;
  patientId: string;
  checkId: string;
  socketId: string;
  hardware: Hardware;
  chartNumber: string;
}> {
  const { orderId, number, patientId, chartNumber } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const check = await checkSocketOnTheLimb(shop, orderId);
  await ok(acceptFit(shop, check.socketId));
  const socketId = await definitiveAwaitingLock(shop, orderId);
  const hardware = await transferTo(shop, check.socketId, socketId, check.hardware);
  await finishDefinitive(shop, socketId);
  await ok(deliver(shop, orderId, socketId));
  return { orderId, number, patientId, checkId: check.socketId, socketId, hardware, chartNumber };
}
