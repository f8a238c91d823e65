/** Travellers as records, all invented: one in the middle of the work, one just opened, one very long. */
import type { Day } from '../../src/domain/days.ts';
import type {
  SocketWork,
  TravellerItem,
  TravellerJoint,
  TravellerLayup,
  TravellerOperation,
  TravellerRecord,
  TravellerResin,
} from '../../src/documents/traveller/record.ts';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import { proposeLayup, workOutLayup } from '../../src/domain/layup.ts';
import { STARTING_LAYUP_RULES } from '../../src/domain/layupRules.ts';
import { recipeCautions } from '../../src/domain/recipeNotes.ts';
import { resinRecipe } from '../../src/domain/resin.ts';
import { STARTING_ROUTES } from '../../src/domain/startingRoutes.ts';
import type { Verdict } from '../../src/domain/verdict.ts';
import type { SocketKind, Suspension } from '../../src/domain/words.ts';
import { ASKED, basisOn, EPOXY } from './layups.ts';

const day = (text: string): Day => text as Day;

const at = (hour: number): string => `2026-03-10T${String(hour).padStart(2, '0')}:15:00.000Z`;

/** What a technician might answer, one answer for every kind of check. */
const ANSWERS = {
  yes_no: 'yes',
  measured: '12.5',
  batch: 'lot TP-2231, 640 g',
  note: 'edge relieved at the fibular head',
  second_person: 'Lena Brandtner',
  scan: 'read: https://castbook.example/o/KB-26-00417-I',
  photo: '2 photos',
} as const;

/** A route's operations with the first `done` of them done. */
export function operationsOf(
  kind: SocketKind,
  suspension: Suspension,
  done: number,
): TravellerOperation[] {
  const route = STARTING_ROUTES.find(
    (each) => each.socketKind === kind && each.suspension === suspension,
  );
  if (route === undefined) throw new Error(`no route for ${kind}, ${suspension}`);
  return route.operations.map((operation, index): TravellerOperation => {
    const isDone = index < done;
    return {
      seq: index + 1,
      title: operation.title,
      caution: operation.caution,
      state: isDone ? 'done' : 'waiting',
      checks: operation.checks,
      last: isDone
        ? {
            outcome: 'done',
            by: 'Jonas Petrescu',
            at: at(6 + index),
            answers: Object.fromEntries(
              operation.checks.map((check) => [check.key, ANSWERS[check.kind]]),
            ),
          }
        : null,
    };
  });
}

export const distalJoint: TravellerJoint = {
  kind: 'distal',
  parts: [
    'Shuttle lock SL-4',
    'Lock plate LP-4',
    'Pyramid with four holes',
    'Distal screws M6 × 20',
  ],
  setting: {
    jointKind: 'distal',
    fastenerCount: 4,
    fastenerSize: 'M6',
    propertyClass: '12.9',
    torqueMinNm: 12,
    torqueMaxNm: 15,
    threadlocker: 'required',
    document: 'IFU-2209 Pyramid',
    revision: 'C',
  },
  settingFrom: 'Pyramid with four holes',
  openBecause: 'a part of it moved after the last torque confirmation',
  confirmation: null,
};

export const plateJoint: TravellerJoint = {
  kind: 'lock_plate',
  parts: ['Shuttle lock SL-4', 'Lock plate LP-4', 'Plate screws M5 × 12'],
  setting: {
    jointKind: 'lock_plate',
    fastenerCount: 3,
    fastenerSize: 'M5',
    propertyClass: 'A4-80',
    torqueMinNm: 4,
    torqueMaxNm: 5,
    threadlocker: 'required',
    document: 'IFU-2207 Lock plate',
    revision: 'A',
  },
  settingFrom: 'Lock plate LP-4',
  openBecause: null,
  confirmation: {
    by: 'Jonas Petrescu',
    at: at(13),
    tool: 'TD-2',
    threadlockerLot: 'TL-0771',
    readings: [1, 2, 3].flatMap((fastener) => [
      { fastener, pass: 1, torqueNm: 1.4, final: false },
      { fastener, pass: 2, torqueNm: 4.5, final: true },
    ]),
  },
};

const item = (
  over: Partial<TravellerItem> & Pick<TravellerItem, 'position' | 'part'>,
): TravellerItem => ({
  catalogueNumber: 'SL-4-36',
  serial: null,
  lot: null,
  singleUse: false,
  ratedBodyMassKg: null,
  from: 'bin: Drawer 3',
  ...over,
});

export const hardware: readonly TravellerItem[] = [
  item({
    position: 'lock',
    part: 'Shuttle lock SL-4',
    serial: 'L0O1I7-0042',
    ratedBodyMassKg: 125,
    from: 'socket: KB-26-00417-I/C2',
  }),
  item({
    position: 'lock_plate',
    part: 'Lock plate LP-4',
    lot: 'LP-2601',
    catalogueNumber: 'LP-4-36',
    ratedBodyMassKg: 125,
    from: 'socket: KB-26-00417-I/C2',
  }),
  item({
    position: 'pyramid',
    part: 'Pyramid with four holes',
    lot: 'PY-1187',
    catalogueNumber: 'PY-36',
    ratedBodyMassKg: 125,
    from: 'socket: KB-26-00417-I/C2',
  }),
  item({
    position: 'distal_screws',
    part: 'Distal screws M6 × 20, set of four',
    lot: 'DS-0903',
    catalogueNumber: 'DS-M6-20',
    singleUse: true,
  }),
];

const granted = <T>(verdict: Verdict<T>): T => {
  if (!verdict.ok) throw new Error(verdict.reasons.map(({ detail }) => detail).join(' '));
  return verdict.value;
};

/** The starting rules' layup for the limb on the bench, approved. */
function approvedLayup(): TravellerLayup {
  const patient = { bodyMassKg: 82.4, functionalLevel: 'K3', level: 'trans_tibial' } as const;
  const basis = basisOn();
  const proposal = granted(
    proposeLayup(patient, basis.shape, STARTING_LAYUP_RULES, STARTING_FABRICS),
  );
  return {
    running: 1,
    ruleRow: proposal.row,
    why: null,
    draftedBy: 'Jonas Petrescu',
    bodyMassKg: patient.bodyMassKg,
    lines: proposal.lines,
    figures: granted(workOutLayup(proposal.lines, basis)),
    approved: { by: 'Dr Mara Hollweg', at: at(6) },
  };
}

/** Two cups of the bench's epoxy for that layup, the first weighed. */
function recipeFor({ running, figures }: TravellerLayup): TravellerResin {
  const sheet = { document: 'Invented sheet 12', revision: 'B' };
  const product = { ...EPOXY, ...sheet, cupLimitG: 100, potLifeMassG: 60 };
  const recipe = granted(resinRecipe(product, { ...ASKED, fabricMassG: figures.fabricMassG }));
  return {
    forLayup: { running, stands: true },
    fabricMassG: figures.fabricMassG,
    product: product.name,
    ...sheet,
    partsResin: product.partsResin,
    partsHardener: product.partsHardener,
    shopTemperatureC: ASKED.shopTemperatureC,
    workMinutes: recipe.workTime.minutes,
    cureHours: product.cureHours,
    cureTemperatureC: product.cureTemperatureC,
    cautions: recipeCautions(recipe, product),
    cups: recipe.pours.map((weigh, index) => ({
      pour: index + 1,
      weigh,
      weighed: index === 0 ? { ...weigh, mixedAt: at(8), by: 'Jonas Petrescu', stops: [] } : null,
    })),
  };
}

const layup = approvedLayup();

export const definitiveWork: SocketWork = {
  layup,
  resin: recipeFor(layup),
  number: 'KB-26-00417-I/D1',
  kind: 'definitive',
  operations: operationsOf('definitive', 'pin_lock', 8),
  hardware,
  missing: ['pin'],
  shopTools: [],
  joints: [distalJoint, plateJoint],
  lockCheck: {
    leastClicks: 4,
    openBecause: 'never checked on this socket',
    passed: null,
  },
  alignment: {
    tolerance: { angleDeg: 1, lengthMm: 3 },
    accepted: {
      socket: 'KB-26-00417-I/C2',
      by: 'Dr Mara Hollweg',
      at: '2026-03-06T09:40:00.000Z',
      values: {
        flexionDeg: 5,
        adductionDeg: 3,
        anteriorOffsetMm: 6,
        lateralOffsetMm: -4,
        toeOutDeg: 7,
        heightToFloorMm: 412,
      },
    },
    measured: null,
  },
};

export const inTheMiddle: TravellerRecord = {
  clinic: { name: 'Kettlebrook Limb Clinic', timeZone: 'Europe/Vienna' },
  order: {
    number: 'KB-26-00417-I',
    version: 7,
    side: 'left',
    level: 'trans_tibial',
    suspension: 'pin_lock',
    functionalLevel: 'K3',
    stage: 'delivery',
    hold: null,
    liner: 'Silicone liner with pin, size 26',
    openedAt: '2026-02-16T08:05:00.000Z',
    promisedOn: day('2026-03-17'),
    deliveredAt: null,
  },
  patient: {
    chartNumber: 'A-10427',
    initials: 'M.K.',
    bodyMass: { massKg: 82.4, measuredOn: day('2026-03-02') },
  },
  cast: {
    number: 2,
    method: 'plaster',
    takenOn: day('2026-02-27'),
    state: 'accepted',
    limbLengthMm: 165,
    capDepthMm: null,
    measures: [
      [20, 232],
      [40, 262],
      [60, 288],
      [80, 305],
      [100, 318],
      [120, 330],
      [140, 338],
      [160, 342],
      [180, 351],
    ].map(([heightMm = 0, circumferenceMm = 0]) => ({ heightMm, circumferenceMm })),
  },
  sockets: [
    {
      number: 'KB-26-00417-I/C1',
      kind: 'check',
      state: 'rejected',
      castNumber: 1,
      replaces: null,
      sheetThicknessMm: 12,
    },
    {
      number: 'KB-26-00417-I/C2',
      kind: 'check',
      state: 'accepted',
      castNumber: 2,
      replaces: 'KB-26-00417-I/C1',
      sheetThicknessMm: 12,
    },
    {
      number: 'KB-26-00417-I/D1',
      kind: 'definitive',
      state: 'in_work',
      castNumber: 2,
      replaces: null,
      sheetThicknessMm: null,
    },
  ],
  works: [definitiveWork],
  openFindings: [
    {
      socket: 'KB-26-00417-I/D1',
      kind: 'rattle',
      note: 'The button rattles in its channel when the socket is shaken.',
      operation: null,
      openedAt: at(12),
      photos: 2,
    },
  ],
  massWarnings: [],
};

export const justOpened: TravellerRecord = {
  ...inTheMiddle,
  order: {
    ...inTheMiddle.order,
    version: 1,
    side: 'right',
    level: 'trans_femoral',
    suspension: 'suction',
    stage: 'casting',
    hold: { reason: 'authorization_awaited', since: '2026-02-17T10:00:00.000Z' },
    liner: null,
    promisedOn: null,
  },
  patient: { chartNumber: 'A-10427', initials: 'M.K.', bodyMass: null },
  cast: null,
  sockets: [],
  works: [],
  openFindings: [],
};

/** Forty operations and twelve pieces of hardware: more than any page holds. */
export const veryLong: TravellerRecord = {
  ...inTheMiddle,
  works: [
    {
      ...definitiveWork,
      operations: Array.from({ length: 40 }, (_, index): TravellerOperation => {
        const model = definitiveWork.operations[index % definitiveWork.operations.length];
        if (model === undefined) throw new Error('the route is empty');
        return {
          ...model,
          seq: index + 1,
          title: `Step ${index + 1} of forty: ${model.title}`,
          checks: model.checks.map((check, at) => ({
            ...check,
            ask: `Question ${index + 1}.${at + 1}: ${check.ask}`,
          })),
        };
      }),
      hardware: Array.from({ length: 12 }, (_, index) =>
        item({
          position: 'lock',
          part: `Part number ${index + 1} of twelve`,
          serial: `SN-${1000 + index}`,
        }),
      ),
    },
  ],
};
