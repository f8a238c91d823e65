/** The invented catalogue: no part, number, rating or sheet here is any maker's. */
import type { z } from 'zod';
import type { PartToAdd, TorqueSettingToAdd } from '../../src/features/catalogue/schemas.ts';
import type { ResinProductToAdd } from '../../src/features/resinProducts/schemas.ts';
import type { BatchKind, BatchUnit, Position } from '../../src/domain/words.ts';

type PartEntry = z.input<typeof PartToAdd>;
type SettingEntry = z.input<typeof TorqueSettingToAdd>;

const HOLES = '4-hole 36 mm';
const sheet = (name: string) => `Sheet of ${name} (invented)`;

interface DemoPart {
  readonly entry: PartEntry;
  readonly settings: readonly SettingEntry[];
}

const distal = (name: string, threadlocker: 'none' | 'required'): SettingEntry => ({
  jointKind: 'distal',
  fastenerCount: 4,
  fastenerSize: 'M6',
  propertyClass: '8.8',
  torqueMin: 9,
  torqueMax: 11,
  unit: 'N.m',
  threadlocker,
  document: sheet(name),
  revision: '2',
});

export const PARTS = {
  lockOne: {
    entry: {
      kind: 'lock',
      catalogueNumber: 'INV-LK-100',
      name: 'Pin lock One',
      holePattern: HOLES,
      thread: 'M4',
      pinFit: 'fit one',
      ratedBodyMassKg: 100,
      ratingDocument: sheet('Pin lock One'),
      leastClicks: 4,
      serviceIntervalDays: 365,
      // A number of GS1's own range for examples (prefix 952).
      udiIssuer: 'GS1',
      udiDeviceIdentifier: '09520000010072',
    },
    settings: [],
  },
  plateOne: {
    entry: {
      kind: 'lock_plate',
      catalogueNumber: 'INV-LP-100',
      name: 'Lock plate One',
      holePattern: HOLES,
      thread: 'M6',
      ratedBodyMassKg: 125,
      ratingDocument: sheet('Lock plate One'),
    },
    settings: [
      {
        jointKind: 'lock_plate',
        fastenerCount: 4,
        fastenerSize: 'M4',
        propertyClass: '8.8',
        torqueMin: 22,
        torqueMax: 31,
        unit: 'lbf.in',
        threadlocker: 'none',
        document: sheet('Lock plate One'),
        revision: '1',
      },
    ],
  },
  valveOne: {
    entry: {
      kind: 'release_valve',
      catalogueNumber: 'INV-RV-100',
      name: 'Push-button valve One',
    },
    settings: [
      {
        jointKind: 'release_valve',
        fastenerCount: 1,
        fastenerSize: 'M5',
        propertyClass: 'A2-70',
        torqueMin: 2,
        torqueMax: 3,
        unit: 'N.m',
        threadlocker: 'none',
        document: sheet('Push-button valve One'),
        revision: '1',
      },
    ],
  },
  springOne: {
    entry: {
      kind: 'spring',
      catalogueNumber: 'INV-SP-100',
      name: 'Lock spring One',
      singleUse: true,
    },
    settings: [],
  },
  pinOne: {
    entry: {
      kind: 'pin',
      catalogueNumber: 'INV-PN-100',
      name: 'Pin One',
      pinFit: 'fit one',
      ratedBodyMassKg: 125,
      ratingDocument: sheet('Pin One'),
      leastClicks: 5,
      serviceIntervalDays: 365,
    },
    settings: [],
  },
  pyramidOne: {
    entry: {
      kind: 'pyramid',
      catalogueNumber: 'INV-PY-100',
      name: 'Pyramid One',
      holePattern: HOLES,
      thread: 'M6',
      ratedBodyMassKg: 125,
      ratingDocument: sheet('Pyramid One'),
    },
    settings: [distal('Pyramid One', 'required')],
  },
  lockTwo: {
    entry: {
      kind: 'lock',
      catalogueNumber: 'INV-LK-200',
      name: 'Pin lock Two',
      holePattern: HOLES,
      pinFit: 'fit two',
      ratedBodyMassKg: 160,
      ratingDocument: sheet('Pin lock Two'),
      leastClicks: 3,
      serviceIntervalDays: 365,
    },
    settings: [],
  },
  pinTwo: {
    entry: {
      kind: 'pin',
      catalogueNumber: 'INV-PN-200',
      name: 'Pin Two',
      pinFit: 'fit two',
      ratedBodyMassKg: 160,
      ratingDocument: sheet('Pin Two'),
    },
    settings: [],
  },
  pyramidTwo: {
    entry: {
      kind: 'pyramid',
      catalogueNumber: 'INV-PY-200',
      name: 'Pyramid Two',
      holePattern: HOLES,
      thread: 'M6',
      ratedBodyMassKg: 160,
      ratingDocument: sheet('Pyramid Two'),
      serviceIntervalDays: 365,
    },
    settings: [distal('Pyramid Two', 'none')],
  },
  distalScrews: {
    entry: {
      kind: 'screw_set',
      catalogueNumber: 'INV-SC-604',
      name: 'Four screws M6, pre-coated',
      thread: 'M6',
      singleUse: true,
    },
    settings: [],
  },
  plateScrews: {
    entry: {
      kind: 'screw_set',
      catalogueNumber: 'INV-SC-404',
      name: 'Four screws M4, pre-coated',
      thread: 'M4',
      singleUse: true,
    },
    settings: [],
  },
} as const satisfies Record<string, DemoPart>;
export type PartKey = keyof typeof PARTS;
export const PART_KEYS = Object.keys(PARTS) as PartKey[];

/** What goes into a socket together, by position; single-use parts stay behind at a transfer. */
export type Hardware = Readonly<Partial<Record<Position, PartKey>>>;
export const HARDWARE = {
  lockOne: {
    lock: 'lockOne',
    lock_plate: 'plateOne',
    release_valve: 'valveOne',
    lock_spring: 'springOne',
    pin: 'pinOne',
    pyramid: 'pyramidOne',
    distal_screws: 'distalScrews',
    plate_screws: 'plateScrews',
  },
  lockTwo: {
    lock: 'lockTwo',
    pin: 'pinTwo',
    pyramid: 'pyramidTwo',
    distal_screws: 'distalScrews',
  },
  noLock: { pyramid: 'pyramidTwo', distal_screws: 'distalScrews' },
} as const satisfies Record<string, Hardware>;
export type HardwareKey = keyof typeof HARDWARE;

export const isSingleUse = (key: PartKey): boolean => {
  const { entry } = PARTS[key] as DemoPart;
  return entry.singleUse === true;
};

/** The fabric of the starting catalogue that the rolls of fabric are of: every layup of the rules has it. */
export const ROLL_OF = 'Carbon strip 50 mm';

/** The resin that batches of resin and hardener are of. */
export const RESIN: ResinProductToAdd = {
  name: 'Lamination resin R with hardener H',
  chemistry: 'epoxy',
  partsResin: 100,
  partsHardener: 38,
  ratioTolerancePercent: 3,
  densityGcm3: 1.12,
  potLifeMinutes: 35,
  potLifeMassG: 200,
  potLifeTemperatureC: 22,
  cupLimitG: 300,
  cureHours: 10,
  cureTemperatureC: 22,
  document: sheet('Lamination resin R'),
  revision: '4',
};

/** What is weighed out and cut off: how much comes, how often, and how long it keeps. */
export const MATERIALS = {
  thermoplastic_sheet: {
    name: 'Clear sheet, 12 mm',
    unit: 'piece',
    quantity: 60,
    priceMinor: 54000,
    everyDays: 60,
    keepsDays: 3650,
  },
  parting_agent: {
    name: 'Parting agent P',
    unit: 'mL',
    quantity: 2000,
    priceMinor: 3600,
    everyDays: 170,
    keepsDays: 500,
  },
  fabric: {
    name: 'Carbon strip roll C',
    unit: 'm',
    quantity: 80,
    priceMinor: 28000,
    everyDays: 120,
    keepsDays: 1500,
  },
  resin: {
    name: 'Lamination resin R',
    unit: 'g',
    quantity: 9000,
    priceMinor: 31500,
    everyDays: 90,
    keepsDays: 330,
  },
  hardener: {
    name: 'Hardener H',
    unit: 'g',
    quantity: 3600,
    priceMinor: 18700,
    everyDays: 90,
    keepsDays: 330,
  },
  pigment: {
    name: 'Pigment, sand',
    unit: 'g',
    quantity: 250,
    priceMinor: 2200,
    everyDays: 170,
    keepsDays: 900,
  },
  threadlocker: {
    name: 'Threadlocker T, medium',
    unit: 'mL',
    quantity: 50,
    priceMinor: 2900,
    everyDays: 170,
    keepsDays: 450,
  },
} as const satisfies Partial<
  Record<
    BatchKind,
    {
      name: string;
      unit: BatchUnit;
      quantity: number;
      /** What the batch costs, in pence. */
      priceMinor: number;
      everyDays: number;
      keepsDays: number;
    }
  >
>;
export type MaterialKind = keyof typeof MATERIALS;
export const MATERIAL_KINDS = Object.keys(MATERIALS) as MaterialKind[];

/** What a piece of each part costs, in pence. Invented, as everything here. */
export const PART_PRICES_MINOR: Readonly<Record<PartKey, number>> = {
  lockOne: 21500,
  plateOne: 4800,
  valveOne: 2600,
  springOne: 350,
  pinOne: 3900,
  pyramidOne: 9800,
  lockTwo: 18900,
  pinTwo: 3400,
  pyramidTwo: 8700,
  distalScrews: 620,
  plateScrews: 480,
};
