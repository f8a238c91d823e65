/**
 * The job over HTTP, step by step, as the roles do it: a stocked clinic, and the
 * stretches of work that many tests begin with. Everything here is invented.
 */
import { PASSWORD } from './clinic.ts';
import { weighedResin } from './resin.ts';
import { id, ok, type PartName, type Shop } from './shop.ts';

export * from './resin.ts';
export * from './shop.ts';

const signature = { password: PASSWORD };

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
  order: { id: string; stage: string };
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

/** The layup that the rules propose, drafted by the technician, approved by the prosthetist; its id. */
export async function approvedLayup(shop: Shop, socketId: string): Promise<string> {
  const { clinic } = shop;
  const { lines } = await ok<{ lines: object[] }>(
    clinic.as('technician').get(`/api/v1/sockets/${socketId}/layup/proposal`),
  );
  const layupId = await id(
    clinic.as('technician').post(`/api/v1/sockets/${socketId}/layups`, { lines }),
  );
  await ok(clinic.as('prosthetist').post(`/api/v1/layups/${layupId}/approval`, { signature }));
  return layupId;
}

/** A definitive socket without a lock, its model sealed; no layup yet. */
export async function sealedWithoutLock(shop: Shop): Promise<string> {
  const { orderId } = await openedOrder(shop, { suspension: 'suction' });
  await acceptedCast(shop, orderId);
  await ok(
    shop.clinic
      .as('prosthetist')
      .post(`/api/v1/orders/${orderId}/skip-check-fitting`, { reason: 'A remake.', signature }),
  );
  const { id: socketId } = await makeSocket(shop, orderId, { kind: 'definitive' });
  await doOperations(shop, socketId, ['prepare_model', 'seal_model']);
  return socketId;
}

/** The same laid up by its approved layup: the lamination is next. */
export async function laidUpWithoutLock(shop: Shop): Promise<string> {
  const socketId = await sealedWithoutLock(shop);
  await approvedLayup(shop, socketId);
  await doOperations(shop, socketId, ['lay_up']);
  return socketId;
}

/** A definitive socket laminated, dummy pulled, chamber inspected: awaiting its lock. */
export async function definitiveAwaitingLock(shop: Shop, orderId: string): Promise<string> {
  const { id: socketId } = await makeSocket(shop, orderId, { kind: 'definitive' });
  await doOperations(shop, socketId, ['prepare_model', 'seal_model']);
  await approvedLayup(shop, socketId);
  await ok(
    move(
      shop,
      { shopToolId: shop.dummy },
      inBin(shop),
      inPosition(socketId, 'dummy'),
      'mounted_for_lamination',
    ),
  );
  await doOperations(shop, socketId, ['mount_dummy', 'lay_up']);
  await weighedResin(shop, socketId);
  await doOperations(shop, socketId, ['laminate', 'cure', 'grind_flush']);
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
  ok<{
    open: boolean;
    missing: { code: string; detail: string; wayOut: string; joint: string | null }[];
  }>(shop.clinic.as('prosthetist').get(`/api/v1/orders/${orderId}/delivery-gate`));

export interface MadeLimb {
  readonly orderId: string;
  readonly number: string;
  readonly patientId: string;
  readonly chartNumber: string;
  readonly checkId: string;
  readonly socketId: string;
  readonly hardware: Hardware;
}

/** Fit accepted, laminated, hardware over, torqued, checked, aligned: the gate is open. */
export async function limbToDeliver(shop: Shop): Promise<MadeLimb> {
  const { orderId, number, patientId, chartNumber } = await openedOrder(shop);
  const { checkId, socketId, check } = await laminatedAfterFit(shop, orderId);
  const hardware = await transferTo(shop, checkId, socketId, check.hardware);
  await finishDefinitive(shop, socketId);
  return { orderId, number, patientId, checkId, socketId, hardware, chartNumber };
}

/** An opened order's cast, accepted fit and definitive socket awaiting its lock. */
export async function laminatedAfterFit(shop: Shop, orderId: string) {
  await acceptedCast(shop, orderId);
  const check = await checkSocketOnTheLimb(shop, orderId);
  await ok(acceptFit(shop, check.socketId));
  const socketId = await definitiveAwaitingLock(shop, orderId);
  return { checkId: check.socketId, socketId, check };
}

/** An order all the way to the patient. */
export async function deliveredLimb(shop: Shop): Promise<MadeLimb> {
  const limb = await limbToDeliver(shop);
  await ok(deliver(shop, limb.orderId, limb.socketId));
  return limb;
}
