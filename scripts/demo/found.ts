/** The clinic from nothing: people, catalogue, bins, tools, and what is delivered to its door. */
import { hashPassword } from '../../src/access/passwords.ts';
import { addDays } from '../../src/domain/days.ts';
import { addBatch, openBatch, quarantineBatch } from '../../src/features/batches/service.ts';
import { newCalendarVersion, readCalendar } from '../../src/features/calendar/service.ts';
import { addPart } from '../../src/features/catalogue/enter.ts';
import { PartToAdd, TorqueSettingToAdd } from '../../src/features/catalogue/schemas.ts';
import { addTorqueSetting } from '../../src/features/catalogue/service.ts';
import { changeClinic, readClinic } from '../../src/features/clinic/service.ts';
import { moveThing } from '../../src/features/hardware/custody.ts';
import { makeBin, receiveItems } from '../../src/features/hardware/stock.ts';
import { addPerson, changePerson, readPerson } from '../../src/features/people/service.ts';
import { addResinProduct } from '../../src/features/resinProducts/service.ts';
import { addCalibration, addShopTool, setService } from '../../src/features/shopTools/service.ts';
import type { ShopToolToAdd } from '../../src/features/shopTools/schemas.ts';
import type { Act, Caller } from '../../src/store/act.ts';
import { perform } from '../../src/store/act.ts';
import { foundClinic } from '../../src/store/clinics.ts';
import { listFabrics } from '../../src/store/fabrics.ts';
import type { Store } from '../../src/store/open.ts';
import {
  MATERIALS,
  MATERIAL_KINDS,
  PART_KEYS,
  PART_PRICES_MINOR,
  PARTS,
  RESIN,
  ROLL_OF,
  type MaterialKind,
  type PartKey,
} from './catalogue.ts';
import { chanceOf } from './chance.ts';
import { FORMER_LEAVES_AT, type House } from './house.ts';
import { CLINIC, DEMO_PASSWORD, emailOf, STAFF, STAFF_KEYS, type StaffKey } from './names.ts';
import { RECALL_LOT_ARRIVES_AT } from './plans.ts';
import { Lendable, Materials, Shelves, type DemoTool } from './shelves.ts';
import { act, type Story } from './timeline.ts';
import { Diary, type Workdays } from './workdays.ts';

/** Enough for all the definitive sockets that are in resin at one time. */
const DUMMIES = 10;

/** Founds the clinic under a name that says it is not complete, with its people, catalogue and tools. */
export async function foundHouse(
  store: Store,
  workdays: Workdays,
  seed: number,
  nameWhileLoading: string,
): Promise<House> {
  const at = workdays.at(0, 7 * 60);
  const passwordHash = await hashPassword(DEMO_PASSWORD);
  const { administrator: first } = STAFF;
  const { clinicId, personIds } = await foundClinic(
    store,
    { ...CLINIC, name: nameWhileLoading },
    [
      {
        email: emailOf('administrator'),
        printedName: first.printedName,
        passwordHash,
        roles: [first.role],
      },
    ],
    at,
  );
  const administrator: Caller = {
    clinicId,
    personId: personIds[0] ?? '',
    printedName: first.printedName,
    roles: [first.role],
  };
  const people: Partial<Record<StaffKey, Caller>> = { administrator };
  await perform(store, administrator, at, async (opened) => {
    for (const key of STAFF_KEYS) {
      if (key === 'administrator') continue;
      const { printedName, role } = STAFF[key];
      const person = { email: emailOf(key), printedName, roles: [role], passwordHash };
      const { id } = await addPerson(opened, person);
      people[key] = { clinicId, personId: id, printedName, roles: [role] };
    }
  });
  await perform(store, administrator, at, async (opened) => {
    const { version } = await readClinic(opened);
    await changeClinic(opened, { currency: 'GBP', labourRatePerHourMinor: 4200 }, version);
    const { version: basedOnVersion, weekdays } = await readCalendar(opened);
    await newCalendarVersion(opened, {
      basedOnVersion,
      weekdays,
      closedDays: [...workdays.closedDays],
    });
  });
  const { id: resinProductId } = await perform(store, administrator, at, (opened) =>
    addResinProduct(opened, RESIN),
  );
  const partIds: Partial<Record<PartKey, string>> = {};
  const bins: Partial<Record<PartKey | 'tools', string>> = {};
  await perform(store, administrator, at, async (opened) => {
    bins.tools = (await makeBin(opened, 'Tool cabinet')).id;
    for (const key of PART_KEYS) {
      const part = await addPart(opened, PartToAdd.parse(PARTS[key].entry));
      partIds[key] = part.id;
      bins[key] = (await makeBin(opened, `Drawer ${part.name}`)).id;
      for (const setting of PARTS[key].settings) {
        await addTorqueSetting(opened, part.id, TorqueSettingToAdd.parse(setting));
      }
    }
  });
  const house: House = {
    seed,
    workdays,
    people: people as Record<StaffKey, Caller>,
    partIds: partIds as Record<PartKey, string>,
    bins: bins as Record<PartKey | 'tools', string>,
    resinProductId,
    shelves: new Shelves(),
    materials: new Materials(),
    dummies: new Lendable(),
    wrenches: [],
    drivers: [],
  };
  await perform(store, administrator, at, async (opened) => {
    const toPlaceId = house.bins.tools;
    const enter = async (tool: ShopToolToAdd) => (await addShopTool(opened, tool)).id;
    for (let n = 1; n <= DUMMIES; n += 1) {
      house.dummies.add(
        await enter({
          kind: 'fabrication_dummy',
          name: `Dummy ${n}`,
          holePattern: '4-hole 36 mm',
          toPlaceId,
        }),
      );
    }
    await enter({ kind: 'tooling_plate', name: 'Tooling plate 1', toPlaceId });
    for (const { name, ...tool } of TORQUE_TOOLS) {
      const toolId = await enter({
        kind: 'torque_tool',
        name,
        serial: `INV-${name.replaceAll(' ', '-')}`,
        toPlaceId,
        ...tool.entry,
      });
      house[tool.among].push({ toolId, name, calibratedAt: [] });
    }
  });
  return house;
}

const TORQUE_TOOLS = [
  {
    name: 'Torque wrench 1',
    among: 'wrenches',
    entry: { toolType: 'setting', toolClass: 'A', minNm: 4, maxNm: 20 },
  },
  {
    name: 'Torque wrench 2',
    among: 'wrenches',
    entry: { toolType: 'setting', toolClass: 'A', minNm: 4, maxNm: 20 },
  },
  {
    name: 'Torque screwdriver 1',
    among: 'drivers',
    entry: { toolType: 'indicating', toolClass: 'D', minNm: 1, maxNm: 6 },
  },
  {
    name: 'Torque screwdriver 2',
    among: 'drivers',
    entry: { toolType: 'indicating', toolClass: 'E', minNm: 1, maxNm: 6 },
  },
] as const;

/** Working days of each tool's calibrations. The second wrench's last one has run out by now. */
const CALIBRATIONS: Readonly<Record<string, readonly number[]>> = {
  'Torque wrench 1': [0, 240, 480],
  'Torque wrench 2': [0, 210],
  'Torque screwdriver 1': [0, 230, 460],
  'Torque screwdriver 2': [0, 235, 465],
};

/** Everything that goes on beside the orders. */
export function houseStories(house: House): Story[] {
  return [
    restocking(house),
    recalledLot(house),
    ...MATERIAL_KINDS.map((kind) => materialReceipts(house, kind)),
    reservedBatch(house),
    ...[...house.wrenches, ...house.drivers].map((tool) => calibrations(house, tool)),
    formerTechnicianLeaves(house),
    screwdriverOutAndBack(house),
  ];
}

const RESTOCK_EVERY = 5;
/** Below the first figure so many are ordered. */
const STOCK: Readonly<Record<PartKey, readonly [least: number, order: number]>> = {
  lockOne: [6, 8],
  plateOne: [6, 10],
  valveOne: [6, 10],
  springOne: [10, 20],
  pinOne: [6, 10],
  pyramidOne: [6, 10],
  lockTwo: [5, 8],
  pinTwo: [5, 8],
  pyramidTwo: [8, 12],
  distalScrews: [16, 30],
  plateScrews: [10, 20],
};

function* restocking(house: House): Story {
  const diary = new Diary(house.workdays, chanceOf(house.seed, 'restocking'), 0);
  let receipts = 0;
  for (;;) {
    yield* act(diary.at, house.people.technician, async (opened) => {
      for (const part of PART_KEYS) {
        const [least, count] = STOCK[part];
        if (house.shelves.level(part) >= least) continue;
        receipts += 1;
        const lot = `${PARTS[part].entry.catalogueNumber.slice(4, 6)}-${String(receipts).padStart(4, '0')}`;
        const bySerial = part.startsWith('lock') || part.startsWith('pyramid');
        const { itemIds } = await receiveItems(opened, {
          partId: house.partIds[part],
          serials: bySerial ? serials(lot, count) : [],
          lot,
          ...(bySerial ? {} : { count }),
          priceMinor: PART_PRICES_MINOR[part],
          toPlaceId: house.bins[part],
        });
        house.shelves.receive(part, itemIds);
      }
    });
    diary.days(RESTOCK_EVERY);
  }
}

const serials = (lot: string, count: number): string[] =>
  Array.from({ length: count }, (_, at) => `${lot}-${String(at + 1).padStart(2, '0')}`);

/** The lot that the demo has for a recall: its pieces end up in every kind of place. */
export const RECALL_LOT = 'LK-2291';
const RECALL_PIECES = 16;

function* recalledLot(house: House): Story {
  const { people, bins, partIds, shelves } = house;
  const diary = new Diary(
    house.workdays,
    chanceOf(house.seed, 'recalled lot'),
    RECALL_LOT_ARRIVES_AT,
  );
  const received = yield* act(diary.at, people.technician, (opened) =>
    receiveItems(opened, {
      partId: partIds.lockOne,
      serials: serials(RECALL_LOT, RECALL_PIECES),
      lot: RECALL_LOT,
      udi: `(invented)${RECALL_LOT}`,
      priceMinor: PART_PRICES_MINOR.lockOne,
      toPlaceId: bins.lockOne,
    }),
  );
  const [quarantined, scrapped, ...rest] = received.itemIds;
  shelves.receiveRecalled('lockOne', rest);
  const from = { kind: 'bin', placeId: bins.lockOne } as const;
  yield* act(diary.days(60), people.secondTechnician, (opened) =>
    moveThing(opened, {
      thing: { itemId: scrapped ?? '' },
      from,
      to: { kind: 'scrap' },
      reason: 'scrapped',
      note: 'Fell on the floor, housing dented.',
    }),
  );
  yield* act(diary.days(200), people.secondTechnician, (opened) =>
    moveThing(opened, {
      thing: { itemId: quarantined ?? '' },
      from,
      to: { kind: 'quarantine' },
      reason: 'quarantined',
      note: 'Button sticks; the maker is asked.',
    }),
  );
}

function* materialReceipts(house: House, kind: MaterialKind): Story {
  const { everyDays } = MATERIALS[kind];
  const diary = new Diary(house.workdays, chanceOf(house.seed, `material ${kind}`), 0);
  for (let n = 1; ; n += 1) {
    yield* receiveBatch(house, diary, kind, `${initialsOf(kind)}-${String(n).padStart(3, '0')}`);
    diary.days(Math.round((everyDays * 5) / 7));
  }
}

const initialsOf = (kind: MaterialKind): string => kind.slice(0, 3).toUpperCase();

function* receiveBatch(
  house: House,
  diary: Diary,
  kind: MaterialKind,
  lot: string,
  reserved = false,
): Story {
  const { name, unit, quantity, priceMinor, keepsDays } = MATERIALS[kind];
  const receivedOn = diary.day;
  const expiresOn = addDays(receivedOn, keepsDays);
  const { thirdTechnician, technician } = house.people;
  const batch = yield* act(diary.at, technician, async (opened) =>
    addBatch(opened, {
      kind,
      name,
      lot,
      receivedOn,
      expiresOn,
      quantity,
      unit,
      priceMinor,
      ...(kind === 'fabric' ? { fabricId: await fabricOfRoll(opened) } : {}),
      ...(kind === 'resin' || kind === 'hardener' ? { resinProductId: house.resinProductId } : {}),
    }),
  );
  yield* act(diary.minutes(5, 20), thirdTechnician, (opened) =>
    openBatch(opened, batch.id, undefined),
  );
  house.materials.receive({
    batchId: batch.id,
    lot,
    kind,
    expiresOn,
    left: quantity,
    reserved,
    quarantined: false,
  });
}

/** The starting catalogue's fabric that the demo's rolls are of. */
async function fabricOfRoll(opened: Act): Promise<string> {
  const fabrics = await listFabrics(opened, false);
  const roll = fabrics.find(({ name }) => name === ROLL_OF);
  if (roll === undefined) throw new RangeError(`The catalogue has no ${ROLL_OF}.`);
  return roll.id;
}

/** A hardener that a few sockets got before it was found out and quarantined. */
function* reservedBatch(house: House): Story {
  const last = house.workdays.days.length - 1;
  const diary = new Diary(house.workdays, chanceOf(house.seed, 'reserved batch'), last - 190);
  yield* receiveBatch(house, diary, 'hardener', 'HAR-900', true);
  diary.days(last - 2 - diary.index);
  const batch = house.materials.reservedOne();
  yield* act(diary.at, house.people.prosthetist, (opened) =>
    quarantineBatch(opened, batch.batchId, 'Went hard in the can; the maker is asked.'),
  );
  batch.quarantined = true;
}

function* calibrations(house: House, tool: DemoTool): Story {
  for (const index of CALIBRATIONS[tool.name] ?? []) {
    const chance = chanceOf(house.seed, `calibration ${tool.name} ${index}`);
    const diary = new Diary(house.workdays, chance, index);
    const calibratedOn = diary.day;
    yield* act(diary.at, house.people.administrator, (opened) =>
      addCalibration(opened, tool.toolId, {
        calibratedOn,
        certificate: `INV-CAL-${calibratedOn}-${chance.whole(100, 999)}`,
        laboratory: 'Evenhand Torque Laboratory (invented)',
        deviationPercent: chance.whole(-20, 20) / 10,
      }),
    );
    tool.calibratedAt.push(index);
  }
}

function* formerTechnicianLeaves(house: House): Story {
  const { administrator, formerTechnician } = house.people;
  const chance = chanceOf(house.seed, 'former technician');
  const diary = new Diary(house.workdays, chance, FORMER_LEAVES_AT);
  yield* act(diary.at, administrator, async (opened) => {
    const { version } = await readPerson(opened, formerTechnician.personId);
    await changePerson(opened, formerTechnician.personId, { active: false }, version);
  });
}

/** Taken out of service after a fall, and back with a new certificate. */
function* screwdriverOutAndBack(house: House): Story {
  const { technician, administrator } = house.people;
  const diary = new Diary(house.workdays, chanceOf(house.seed, 'screwdriver'), 300);
  const tool = house.drivers[1];
  if (tool === undefined) return;
  yield* act(diary.at, technician, (opened) =>
    setService(opened, tool.toolId, true, 'Fell off the bench.'),
  );
  const before = tool.calibratedAt.splice(0);
  diary.days(8);
  const calibratedOn = diary.day;
  yield* act(diary.at, administrator, async (opened) => {
    await addCalibration(opened, tool.toolId, {
      calibratedOn,
      certificate: `INV-CAL-${calibratedOn}-after-fall`,
      laboratory: 'Evenhand Torque Laboratory (invented)',
    });
    await setService(opened, tool.toolId, false, 'Calibrated after the fall.');
  });
  tool.calibratedAt.push(...before, diary.index);
}
