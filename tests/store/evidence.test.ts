/** R4, R14: evidence counts while nothing of what it was taken on has moved, be it out and in again or in and out again. */
import { v7 as uuidv7 } from 'uuid';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { ALIGNMENT_POSITIONS } from '../../src/domain/alignment.ts';
import { moveIdsAt } from '../../src/domain/assembly.ts';
import { coversLastMoves } from '../../src/domain/lastMoves.ts';
import type { PartKind, Position } from '../../src/domain/words.ts';
import { inClinic } from '../../src/store/act.ts';
import { loadAssembly, newestAlignment } from '../../src/store/socketFacts.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, insertInto, type Values } from '../support/plainSql.ts';
import { ClinicRows, NOW, type Place, type SocketRow, type Thing } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let limb: Limb;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
});
beforeEach(async () => {
  limb = await limbWithPyramid();
});
afterAll(() => db.close());

interface Limb {
  readonly socket: SocketRow;
  readonly settingId: string;
  readonly jointId: string;
  readonly places: Map<Position, Place>;
  readonly things: Map<Position, Thing>;
}

/** A check socket with lock, pin, pyramid and screws in it; nothing torqued, nothing measured. */
async function limbWithPyramid(): Promise<Limb> {
  const socket = await clinic.socket('check');
  const joint = await clinic.insert('joint', { socket_id: socket.id, kind: 'distal' });
  const made: Limb = {
    socket,
    places: new Map(),
    things: new Map(),
    settingId: '',
    jointId: joint.id,
  };
  for (const [position, kind] of [
    ['lock', 'lock'],
    ['pin', 'pin'],
    ['pyramid', 'pyramid'],
    ['distal_screws', 'screw_set'],
  ] as const) {
    await putIn(made, position, kind);
  }
  const setting = await clinic.insert('torque_setting', {
    part_id: made.things.get('pyramid')?.['part_id'],
    joint_kind: 'distal',
    fastener_count: 4,
    fastener_size: 'M6',
    property_class: '12.9',
    torque_min_nm: 13.5,
    torque_max_nm: 16.5,
    threadlocker: 'none',
    document: 'Invented sheet 7',
    revision: 'C',
    recorded_at: NOW,
    recorded_by_id: clinic.technicianId,
  });
  return { ...made, settingId: setting.id };
}

async function putIn(into: Limb, position: Position, kind: PartKind): Promise<void> {
  const thing = await clinic.piece(kind);
  const place = into.places.get(position) ?? (await clinic.position(into.socket, position));
  into.places.set(position, place);
  into.things.set(position, thing);
  await clinic.move(thing.as, thing.at, place);
}

async function takeOut(position: Position): Promise<void> {
  const [thing, place] = [limb.things.get(position), limb.places.get(position)];
  if (thing === undefined || place === undefined) throw new Error(`nothing at ${position}`);
  await clinic.move(thing.as, place, thing.at, { reason: 'taken_out_for_trimming' });
}
async function putBack(position: Position): Promise<void> {
  const [thing, place] = [limb.things.get(position), limb.places.get(position)];
  if (thing === undefined || place === undefined) throw new Error(`nothing at ${position}`);
  await clinic.move(thing.as, thing.at, place, { reason: 'put_back' });
}

const assembly = () =>
  inClinic(db.store, clinic.clinicId, (tx) => loadAssembly(tx, clinic.clinicId, limb.socket.id));
const whyDistalIsOpen = async () =>
  (await assembly()).joints.find(({ kind }) => kind === 'distal')?.openBecause;

/** Writes evidence as the application's role does; the count of what has left is forged, and overruled. */
const record = (table: string, values: Values): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (app) =>
    insertInto(
      app,
      table,
      clinic.withKeys(table, { id: uuidv7(), ...values, departures_before: 99 }),
    ),
  );

/** The distal joint is torqued as it is now. */
async function torque(): Promise<void> {
  const distal = (await assembly()).joints.find(({ kind }) => kind === 'distal');
  const recorded = { recorded_at: NOW, recorded_by_id: clinic.technicianId };
  const wrench = await clinic.tool('torque_tool');
  const calibration = await clinic.insert('calibration', {
    tool_id: wrench.id,
    calibrated_on: '2026-03-02',
    certificate: 'C-1',
    laboratory: 'Invented laboratory',
    ...recorded,
  });
  await record('torque_confirmation', {
    joint_id: limb.jointId,
    torque_setting_id: limb.settingId,
    tool_id: wrench.id,
    calibration_id: calibration.id,
    confirms: true,
    because: '[]',
    accepted_from_nm: 14,
    accepted_to_nm: 16,
    deviation_percent: 4,
    covers_move_ids: [...(distal?.moveIds ?? [])],
    ...recorded,
  });
}

/** The alignment is measured with the hardware as it is now. */
const measure = async (): Promise<unknown> =>
  record('alignment', {
    socket_id: limb.socket.id,
    occasion: 'fitting',
    flexion_deg: 5,
    adduction_deg: 3,
    anterior_offset_mm: 10,
    lateral_offset_mm: -4,
    toe_out_deg: 6,
    height_to_floor_mm: 452,
    covers_move_ids: [...moveIdsAt((await assembly()).held, ALIGNMENT_POSITIONS)],
    measured_at: NOW,
    measured_by_id: clinic.prosthetistId,
  });

async function isAlignmentCovered(): Promise<boolean> {
  const { held } = await assembly();
  const newest = await inClinic(db.store, clinic.clinicId, (tx) =>
    newestAlignment(tx, clinic.clinicId, limb.socket.id),
  );
  return coversLastMoves(newest?.coversMoveIds ?? [], moveIdsAt(held, ALIGNMENT_POSITIONS));
}

const MOVED = 'a part of it moved after the last torque confirmation';

describe('a torqued joint (R4)', () => {
  test('is confirmed until one of its parts comes out, and stays open when it is put back', async () => {
    expect(await whyDistalIsOpen()).toBe('never torqued on this socket');
    await torque();
    expect(await whyDistalIsOpen()).toBeNull();
    await takeOut('lock');
    expect(await whyDistalIsOpen()).toBe(MOVED);
    await putBack('lock');
    expect(await whyDistalIsOpen()).toBe(MOVED);
    await torque();
    expect(await whyDistalIsOpen()).toBeNull();
  });

  test('is open after a plate went between and came out again, though the same parts are left', async () => {
    await torque();
    await putIn(limb, 'lock_plate', 'lock_plate');
    expect(await whyDistalIsOpen()).toBe(MOVED);
    await takeOut('lock_plate');
    expect(await whyDistalIsOpen()).toBe(MOVED);
    await torque();
    expect(await whyDistalIsOpen()).toBeNull();
  });

  test('is not opened by the pin, nor by anything that happens in another socket', async () => {
    await torque();
    await takeOut('pin');
    await putBack('pin');
    const torqued = limb;
    limb = await limbWithPyramid();
    await takeOut('pyramid');
    limb = torqued;
    expect(await whyDistalIsOpen()).toBeNull();
  });
});

describe('a measured alignment (R14)', () => {
  test('counts until the pyramid moves, or an adapter comes and goes', async () => {
    expect(await isAlignmentCovered()).toBe(false);
    await measure();
    expect(await isAlignmentCovered()).toBe(true);
    await takeOut('lock');
    await putBack('lock');
    expect(await isAlignmentCovered()).toBe(true);
    await putIn(limb, 'adapter', 'four_hole_adapter');
    await takeOut('adapter');
    expect(await isAlignmentCovered()).toBe(false);
    await measure();
    expect(await isAlignmentCovered()).toBe(true);
    await takeOut('pyramid');
    await putBack('pyramid');
    expect(await isAlignmentCovered()).toBe(false);
  });
});
