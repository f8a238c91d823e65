/**
 * What the database says comes out in the catalogue's words, by either way that a statement
 * takes through Prisma: a model call and a raw call.
 */
import { randomUUID } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { REASONS } from '../../src/domain/reasons/index.ts';
import { inClinic, type Tx } from '../../src/store/act.ts';
import { asRefusal } from '../../src/store/failures.ts';
import { Refused } from '../../src/store/refused.ts';
import { camelKeys, rawInsert } from '../support/bothCalls.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { signInCases } from '../support/signInCases.ts';
import type { Values } from '../support/plainSql.ts';
import { ClinicRows, NOW, type Place, type SocketRow, type Thing } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let bench: Place;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
  bench = await clinic.place('bench');
});

afterAll(() => db.close());

/** So many hours after NOW. */
const later = (hours: number): Date => new Date(new Date(NOW).getTime() + hours * 3_600_000);

/** One statement in both of its forms. */
interface Attempt {
  readonly model: (tx: Tx) => Promise<unknown>;
  readonly raw: (tx: Tx) => Promise<unknown>;
  /** As the owner, outside any clinic: for what the application's role may not even try. */
  readonly asOwner?: boolean;
}

const moving = (thing: Thing['as'], from: Place | null, to: Place, over: Values = {}): Attempt => ({
  model: (tx) => tx.move.create({ data: camelKeys(clinic.moveOf(thing, from, to, over)) }),
  raw: (tx) => rawInsert(tx, 'move', clinic.moveOf(thing, from, to, over)),
});
const becoming = (socket: SocketRow, state: 'delivered' | 'retired'): Attempt => ({
  model: (tx) =>
    tx.socket.update({
      where: { clinicId_id: { clinicId: clinic.clinicId, id: socket.id } },
      data: { state },
    }),
  raw: (tx) => tx.$executeRaw`update socket set state = ${state} where id = ${socket.id}::uuid`,
});

const weighing = (values: Values): Attempt => ({
  model: (tx) => tx.resinWeighing.create({ data: camelKeys({ ...values, stops: [] }) }),
  raw: (tx) => rawInsert(tx, 'resin_weighing', values),
});

/** A lock check of a socket, recorded two hours from NOW. */
const lockChecked = (socket: SocketRow, over: Values): Attempt => {
  const values = clinic.withKeys('lock_check', {
    socket_id: socket.id,
    least_clicks: 3,
    passes: true,
    covers_move_ids: [],
    recorded_at: later(2),
    recorded_by_id: clinic.technicianId,
    ...over,
  });
  return {
    model: (tx) => tx.lockCheck.create({ data: camelKeys({ ...values, cycles: [], because: [] }) }),
    raw: (tx) => rawInsert(tx, 'lock_check', { ...values, cycles: '[]', because: '[]' }),
  };
};

const measuresOf = (order: { readonly id: string }, over: Values = {}): Values => ({
  order_id: order.id,
  occasion: 'fitting',
  taken_on: new Date('2026-03-02T00:00:00Z'),
  taken_by_id: clinic.prosthetistId,
  limb_length_mm: 140,
  recorded_at: NOW,
  ...over,
});

/** The role of an administrator, given to the prosthetist where nobody else is named. */
async function administratorGrant(personId = clinic.prosthetistId): Promise<string> {
  const [given] = await db.store.raw<{ id: string }>(
    `select id from role_grant where clinic_id = $1 and person_id = $2 and role = 'administrator' and ended_at is null`,
    [clinic.clinicId, personId],
  );
  if (given !== undefined) return given.id;
  const values = { person_id: personId, role: 'administrator', granted_at: NOW };
  return (await clinic.insert('role_grant', values)).id;
}
const endingGrant = (id: string, by: string): Attempt => ({
  model: (tx) =>
    tx.roleGrant.update({
      where: { clinicId_id: { clinicId: clinic.clinicId, id } },
      data: { endedAt: NOW, endedById: by },
    }),
  raw: (tx) =>
    tx.$executeRaw`update role_grant set ended_at = ${NOW}, ended_by_id = ${by}::uuid where id = ${id}::uuid`,
});

/** A wrench calibrated by K-1 on 12 January, and the entering of another certificate for it. */
async function calibratedWrench(): Promise<{
  wrench: Thing;
  entering: (certificate: string, on: string) => Attempt;
}> {
  const wrench = await clinic.tool('torque_tool');
  const valuesOf = (certificate: string, on: string): Values => ({
    tool_id: wrench.id,
    calibrated_on: new Date(`${on}T00:00:00Z`),
    certificate,
    laboratory: 'Invented laboratory',
    recorded_at: NOW,
    recorded_by_id: clinic.prosthetistId,
  });
  await clinic.insert('calibration', valuesOf('K-1', '2026-01-12'));
  return {
    wrench,
    entering: (certificate, on) => {
      const values = clinic.withKeys('calibration', valuesOf(certificate, on));
      return {
        model: (tx) => tx.calibration.create({ data: camelKeys(values) }),
        raw: (tx) => rawInsert(tx, 'calibration', values),
      };
    },
  };
}

interface Case {
  readonly code: string;
  readonly attempt: Attempt;
  readonly facts: Readonly<Record<string, unknown>>;
}

/** One way to break each rule, made when it is asked for. */
const CASES: Readonly<Record<string, () => Promise<Case>>> = {
  R0101: async () => {
    const lock = await clinic.piece('lock');
    return {
      code: 'item-is-elsewhere',
      attempt: moving(lock.as, bench, lock.at),
      facts: {
        item: lock.label,
        expected: bench.name,
        place: lock.at.name,
        movedBy: 'Tamás Bench of KL',
        movedAt: '2026-03-02T09:00:00Z',
      },
    };
  },
  R0102: async () => {
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    const [first, second] = [await clinic.piece('lock'), await clinic.piece('lock')];
    await clinic.move(first.as, first.at, position);
    return {
      code: 'position-is-occupied',
      attempt: moving(second.as, second.at, position),
      facts: { place: position.name, holds: first.label },
    };
  },
  R0202: async () => {
    const screws = await clinic.piece('screw_set', { single_use: true });
    const [own, other] = [
      await clinic.position(await clinic.socket('check'), 'distal_screws'),
      await clinic.position(await clinic.socket('check'), 'distal_screws'),
    ];
    await clinic.move(screws.as, screws.at, own);
    return {
      code: 'single-use-again',
      attempt: moving(screws.as, own, other),
      facts: { item: screws.label },
    };
  },
  R0203: () => {
    const ghost = randomUUID();
    return Promise.resolve({
      code: 'thing-unknown',
      attempt: moving({ item_id: ghost }, null, bench),
      facts: { thing: ghost },
    });
  },
  R0204: async () => {
    const pin = await clinic.piece('pin');
    const scrap = await clinic.place('scrap');
    await clinic.move(pin.as, pin.at, scrap);
    return {
      code: 'scrap-stays-scrap',
      attempt: moving(pin.as, scrap, bench),
      facts: { item: pin.label },
    };
  },
  R0205: async () => {
    const pin = await clinic.piece('pin');
    const quarantine = await clinic.place('quarantine');
    await clinic.move(pin.as, pin.at, quarantine);
    return {
      code: 'bin-only-from-here',
      attempt: moving(pin.as, quarantine, bench),
      facts: { item: pin.label, place: bench.name },
    };
  },
  R0206: async () => {
    const lock = await clinic.piece('lock');
    return {
      code: 'thing-moved-since',
      attempt: moving(lock.as, lock.at, bench, { moved_at: later(2), bench_at: later(-1) }),
      facts: {
        item: lock.label,
        movedBy: 'Tamás Bench of KL',
        movedAt: 'Mon 2 Mar 2026 10:00',
        recordedAt: 'Mon 2 Mar 2026 09:00',
      },
    };
  },
  R0301: async () => {
    const pin = await clinic.piece('pin');
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    return {
      code: 'position-takes-another-kind',
      attempt: moving(pin.as, pin.at, position),
      facts: { position: 'lock', takes: 'lock', kind: 'pin' },
    };
  },
  R0302: async () => {
    const part = await clinic.part('lock');
    const item = await clinic.insert('item', {
      part_id: part.id,
      lot: 'OLD',
      received_at: NOW,
      received_by_id: clinic.technicianId,
      expires_on: '2026-03-01',
    });
    const [as, bin] = [{ item_id: item.id }, await clinic.bin()];
    await clinic.move(as, null, bin, { reason: 'received' });
    const position = await clinic.position(await clinic.socket('check'), 'lock');
    return {
      code: 'item-expired',
      attempt: moving(as, bin, position),
      facts: {
        item: `${String(part['name'])} lot OLD`,
        expiresOn: '2026-03-01',
        on: '2026-03-02',
      },
    };
  },
  R0601: async () => {
    const socket = await clinic.socket('definitive');
    const lock = await clinic.piece('lock');
    return {
      code: 'definitive-not-ready',
      attempt: moving(lock.as, lock.at, await clinic.position(socket, 'lock')),
      facts: { socket: socket.number },
    };
  },
  ...signInCases(() => clinic),
  R0801: async () => {
    const socket = await clinic.definitiveAwaitingLock();
    return {
      code: 'delivery-not-signed',
      attempt: becoming(socket, 'delivered'),
      facts: { socket: socket.number },
    };
  },
  R0802: async () => {
    const socket = await clinic.definitiveAwaitingLock();
    await clinic.delivery(socket);
    await clinic.finding(socket);
    return {
      code: 'delivery-has-open-findings',
      attempt: becoming(socket, 'delivered'),
      facts: { socket: socket.number },
    };
  },
  R0803: async () => {
    const socket = await clinic.definitiveAwaitingLock();
    await clinic.delivery(socket);
    const dummy = await clinic.tool('fabrication_dummy');
    await clinic.move(dummy.as, dummy.at, await clinic.position(socket, 'dummy'));
    return {
      code: 'shop-tool-stays-here',
      attempt: becoming(socket, 'delivered'),
      facts: { socket: socket.number },
    };
  },
  R0901: async () => {
    const socket = await clinic.socket('check', { state: 'retired' });
    const lock = await clinic.piece('lock');
    return {
      code: 'socket-is-retired',
      attempt: moving(lock.as, lock.at, await clinic.position(socket, 'lock')),
      facts: { socket: socket.number, state: 'retired' },
    };
  },
  R0902: async () => {
    const { socket } = await clinic.worn();
    return {
      code: 'worn-hardware-still-in',
      attempt: becoming(socket, 'retired'),
      facts: { socket: socket.number },
    };
  },
  R1001: async () => {
    const { id } = await clinic.signature('fit_accepted');
    const where = { clinicId_id: { clinicId: clinic.clinicId, id } };
    return {
      code: 'record-is-kept',
      attempt: {
        model: (tx) => tx.signature.delete({ where }),
        raw: (tx) => tx.$executeRaw`delete from signature where id = ${id}::uuid`,
        asOwner: true,
      },
      facts: { table: 'signature', attempt: 'delete' },
    };
  },
  R1002: async () => {
    const { id } = await clinic.finding(await clinic.socket('check'), {
      disposition: 'scrap',
      disposed_at: NOW,
      disposed_by_id: clinic.prosthetistId,
    });
    const where = { clinicId_id: { clinicId: clinic.clinicId, id } };
    return {
      code: 'record-is-final',
      attempt: {
        model: (tx) => tx.finding.update({ where, data: { disposition: 'rework' } }),
        raw: (tx) =>
          tx.$executeRaw`update finding set disposition = 'rework' where id = ${id}::uuid`,
      },
      facts: { table: 'finding' },
    };
  },
  RP101: async () => {
    const grant = await administratorGrant();
    return {
      code: 'last-administrator',
      attempt: endingGrant(grant, clinic.technicianId),
      facts: {},
    };
  },
  RP102: async () => {
    const grant = await administratorGrant();
    await administratorGrant(clinic.technicianId);
    return {
      code: 'own-access-kept',
      attempt: endingGrant(grant, clinic.prosthetistId),
      facts: {},
    };
  },
  RP201: async () => {
    const order = await clinic.order();
    const opening = await clinic.insert('break_glass', {
      patient_id: order['patient_id'],
      reason: 'emergency',
      words: 'The pin does not hold.',
      fields: ['phone'],
      opened_at: NOW,
      opened_by_id: clinic.prosthetistId,
      until: later(0.5),
    });
    const values = clinic.withKeys('break_glass_review', {
      break_glass_id: opening.id,
      in_order: true,
      reviewed_at: NOW,
      reviewed_by_id: clinic.prosthetistId,
    });
    return {
      code: 'opening-is-your-own',
      attempt: {
        model: (tx) => tx.breakGlassReview.create({ data: camelKeys(values) }),
        raw: (tx) => rawInsert(tx, 'break_glass_review', values),
      },
      facts: {},
    };
  },
  R1003: async () => {
    const [order, other] = [await clinic.order(), await clinic.order()];
    const values = clinic.withKeys('appointment', {
      patient_id: other['patient_id'],
      order_id: order.id,
      prosthetist_id: clinic.prosthetistId,
      purpose: 'casting',
      starts_at: '2026-03-09T09:00:00Z',
      ends_at: '2026-03-09T10:00:00Z',
      booked_at: NOW,
      booked_by_id: clinic.prosthetistId,
    });
    return {
      code: 'order-of-another-patient',
      attempt: {
        model: (tx) => tx.appointment.create({ data: camelKeys(values) }),
        raw: (tx) => rawInsert(tx, 'appointment', values),
      },
      facts: { order: order['number'] },
    };
  },
  R0401: async () => {
    const { wrench, entering } = await calibratedWrench();
    return {
      code: 'tool-calibrated-that-day',
      attempt: entering('K-2', '2026-01-12'),
      facts: { tool: wrench.label, calibratedOn: '2026-01-12', certificate: 'K-1' },
    };
  },
  R0402: async () => {
    const { wrench, entering } = await calibratedWrench();
    return {
      code: 'certificate-already-entered',
      attempt: entering('k-1', '2026-02-20'),
      facts: { tool: wrench.label, calibratedOn: '2026-01-12', certificate: 'K-1' },
    };
  },
  R0403: async () => {
    const socket = await clinic.socket('check');
    const pin = await clinic.piece('pin');
    await clinic.move(pin.as, pin.at, await clinic.position(socket, 'pin'));
    return {
      code: 'moved-since-recorded',
      attempt: lockChecked(socket, { bench_at: later(1), based_on_move_ids: [] }),
      facts: {
        item: pin.label,
        movedBy: 'Tamás Bench of KL',
        movedAt: 'Mon 2 Mar 2026 10:00',
        recordedAt: 'Mon 2 Mar 2026 11:00',
      },
    };
  },
  R0404: async () => {
    const socket = await clinic.socket('check');
    const pin = await clinic.piece('pin');
    const { id } = await clinic.move(pin.as, pin.at, await clinic.position(socket, 'pin'));
    await clinic.insert('lock_check', {
      socket_id: socket.id,
      cycles: '[]',
      least_clicks: 3,
      passes: true,
      because: '[]',
      covers_move_ids: [id],
      recorded_at: later(1.5),
      recorded_by_id: clinic.technicianId,
    });
    return {
      code: 'evidence-newer',
      attempt: lockChecked(socket, { bench_at: later(1), based_on_move_ids: [id] }),
      facts: {
        what: 'lock',
        by: 'Tamás Bench of KL',
        at: 'Mon 2 Mar 2026 11:30',
        recordedAt: 'Mon 2 Mar 2026 11:00',
      },
    };
  },
  RC101: async () => {
    const [order, socket] = [await clinic.order(), await clinic.socket('check')];
    const values = clinic.withKeys('measure_set', measuresOf(order, { socket_id: socket.id }));
    return {
      code: 'socket-of-another-order',
      attempt: {
        model: (tx) => tx.measureSet.create({ data: camelKeys(values) }),
        raw: (tx) => rawInsert(tx, 'measure_set', values),
      },
      facts: { socket: socket.number, order: order['number'] },
    };
  },
  RC102: async () => {
    const [left, right] = [await clinic.order(), await clinic.order({ side: 'right' })];
    const [first, second] = [
      await clinic.insert('measure_set', measuresOf(left)),
      await clinic.insert('measure_set', measuresOf(right)),
    ];
    const values = clinic.withKeys('volume_decision', {
      order_id: right.id,
      first_set_id: first.id,
      second_set_id: second.id,
      difference_ml: -90,
      percent: -6.2,
      ply: 5,
      limit_percent: 5,
      decision: 'socks',
      decided_at: NOW,
      decided_by_id: clinic.prosthetistId,
    });
    return {
      code: 'measure-sets-of-two-limbs',
      attempt: {
        model: (tx) => tx.volumeDecision.create({ data: camelKeys(values) }),
        raw: (tx) => rawInsert(tx, 'volume_decision', values),
      },
      facts: {
        first: `the left trans-tibial limb of ${String(left['number'])}`,
        second: `the right trans-tibial limb of ${String(right['number'])}`,
      },
    };
  },
  RC103: async () => {
    const order = await clinic.order();
    const cast = await clinic.cast(order.id, { state: 'accepted' });
    const first = await clinic.insert('measure_set', {
      ...measuresOf(order),
      occasion: 'cast',
      cast_id: cast.id,
    });
    const second = await clinic.insert('measure_set', measuresOf(order));
    await clinic.insert('volume_decision', {
      order_id: order.id,
      first_set_id: first.id,
      second_set_id: second.id,
      difference_ml: -190,
      percent: -12.4,
      ply: 10,
      limit_percent: 5,
      decision: 'new_cast',
      decided_at: NOW,
      decided_by_id: clinic.prosthetistId,
    });
    const model = await clinic.socket('definitive');
    const values = clinic.withKeys('socket', {
      order_id: order.id,
      kind: 'definitive',
      running: 1,
      number: 'one too many',
      state: 'in_work',
      cast_id: cast.id,
      route_id: model['route_id'],
      started_at: NOW,
      started_by_id: clinic.technicianId,
    });
    return {
      code: 'new-cast-decided',
      attempt: {
        model: (tx) => tx.socket.create({ data: camelKeys(values) }),
        raw: (tx) => rawInsert(tx, 'socket', values),
      },
      facts: { socket: null, cast: cast['number'], takenOn: '2026-03-02' },
    };
  },
  RC203: async () => {
    const socket = await clinic.socket('definitive');
    await clinic.layup(socket);
    const operation = await clinic.insert('operation', {
      socket_id: socket.id,
      seq: 1,
      kind: 'lay_up',
      title: 'Lay up the fabrics',
      checks: '[]',
      state: 'waiting',
    });
    const where = { clinicId_id: { clinicId: clinic.clinicId, id: operation.id } };
    return {
      code: 'layup-not-approved',
      attempt: {
        model: (tx) => tx.operation.update({ where, data: { state: 'done' } }),
        raw: (tx) =>
          tx.$executeRaw`update operation set state = 'done' where id = ${operation.id}::uuid`,
      },
      facts: { socket: socket.number },
    };
  },
  RC201: async () => {
    const layup = await clinic.layup(await clinic.socket('definitive'));
    const other = await clinic.signature('layup_approved');
    const data = { approvedAt: NOW, signatureId: other.id };
    return {
      code: 'layup-not-signed',
      attempt: {
        model: (tx) =>
          tx.layup.update({
            where: { clinicId_id: { clinicId: clinic.clinicId, id: layup.id } },
            data,
          }),
        raw: (tx) =>
          tx.$executeRaw`update layup set approved_at = now(), signature_id = ${other.id}::uuid where id = ${layup.id}::uuid`,
      },
      facts: { layup: layup['running'] },
    };
  },
  RC202: async () => {
    const socket = await clinic.socket('check');
    const values = clinic.layupOf(socket);
    return {
      code: 'layup-of-definitive-only',
      attempt: {
        model: (tx) =>
          tx.layup.create({ data: camelKeys({ ...values, lines: [], basis: {}, figures: {} }) }),
        raw: (tx) => rawInsert(tx, 'layup', values),
      },
      facts: { socket: socket.number },
    };
  },
  RC301: async () => {
    const { recipe } = await clinic.recipe();
    const other = await clinic.socket('definitive');
    const draft = await clinic.layup(other);
    const values = clinic.recipeOf(other, {
      layup_id: draft.id,
      product_id: recipe['product_id'],
    });
    const json = { product: {}, asked: {}, recipe: {} };
    return {
      code: 'resin-needs-layup',
      attempt: {
        model: (tx) => tx.resinRecipe.create({ data: camelKeys({ ...values, ...json }) }),
        raw: (tx) => rawInsert(tx, 'resin_recipe', values),
      },
      facts: { socket: other.number },
    };
  },
  RC302: async () => {
    const { socket, recipe } = await clinic.recipe({ superseded_at: NOW });
    return {
      code: 'recipe-superseded',
      attempt: weighing(clinic.cupOf(socket, recipe)),
      facts: { recipe: recipe['running'] },
    };
  },
  RC303: async () => {
    const { recipe } = await clinic.recipe();
    const { socket: another } = await clinic.recipe();
    return {
      code: 'cup-of-another-recipe',
      attempt: weighing(clinic.cupOf(another, recipe, { pour: 2 })),
      facts: { pour: 2 },
    };
  },
  RC304: async () => {
    const { socket, recipe } = await clinic.recipe();
    const first = await clinic.insert('resin_weighing', clinic.cupOf(socket, recipe));
    return {
      code: 'cup-reading-decreases',
      attempt: weighing(
        clinic.cupOf(socket, recipe, { attempt: 2, puts_right_id: first.id, hardener_g: 75.5 }),
      ),
      facts: { component: 'hardener', beforeG: 76, nowG: 75.5 },
    };
  },
  R1501: async () => {
    const { socket, lock, position } = await clinic.worn();
    return {
      code: 'worn-moves-in-service-only',
      attempt: moving(lock.as, position, bench),
      facts: { socket: socket.number },
    };
  },
};

/** What comes out of an attempt as the store's transactions let it out. */
async function outcomeOf(
  { asOwner = false }: Attempt,
  work: (tx: Tx) => Promise<unknown>,
): Promise<unknown> {
  const transaction = asOwner
    ? db.store.prisma.$transaction(work).catch((failure: unknown) => {
        throw asRefusal(failure);
      })
    : inClinic(db.store, clinic.clinicId, work);
  return transaction.then(
    () => undefined,
    (failure: unknown) => failure,
  );
}

/** Refusals that are tried where the rest of their rule is. */
const TRIED_BESIDE: Readonly<Record<string, string>> = {
  R1011: 'store/rights.test.ts',
  R1012: 'store/rights.test.ts',
  R1013: 'store/rights.test.ts',
  R1014: 'store/rights.test.ts',
  R1015: 'store/rights.test.ts',
  R1016: 'store/rights.test.ts',
  R1101: 'store/signedHeads.test.ts',
  R1102: 'store/signedHeads.test.ts',
  RP103: 'store/accounts.test.ts',
  RP104: 'store/accounts.test.ts',
};

describe('rules that the database holds', () => {
  test('each refusal that a function can raise is tried below, or where the rest of its rule is', async () => {
    const raised = await db.store.raw<{ source: string }>(
      `select prosrc as source from pg_proc where pronamespace = 'public'::regnamespace`,
    );
    const pairs = raised.flatMap(({ source }) =>
      [...source.matchAll(/refuse\('(R[0-9A-Z]\d{3})', '([a-z-]+)'/g)].map(([, state, code]) => [
        state,
        code,
      ]),
    );
    const below = new Set(Object.keys(CASES));
    for (const [state = '', code = ''] of pairs.filter(([each = '']) => !below.has(each))) {
      const file = TRIED_BESIDE[state] ?? 'failures.test.ts';
      const text = fs.readFileSync(path.join(import.meta.dirname, '..', file), 'utf8');
      expect(text, `${state} ${code}`).toContain(`'${code}'`);
    }
    expect(new Set([...below, ...Object.keys(TRIED_BESIDE)])).toEqual(
      new Set(pairs.map(([state]) => state)),
    );
    for (const [, code] of pairs) expect(Object.keys(REASONS)).toContain(code);
  });

  test.each(Object.keys(CASES))(
    '%s comes out as its reason, with its facts, by either call',
    async (state) => {
      const { code, attempt, facts } = await (CASES[state] as () => Promise<Case>)();
      for (const way of ['model', 'raw'] as const) {
        const failure = await outcomeOf(attempt, attempt[way]);
        expect(failure, way).toBeInstanceOf(Refused);
        const { reasons, cause } = failure as Refused;
        expect(reasons, way).toHaveLength(1);
        expect(reasons[0], way).toMatchObject({
          code,
          facts,
          rule: REASONS[code as keyof typeof REASONS].rule,
        });
        expect(cause, way).toBeInstanceOf(Error);
      }
    },
  );

  test('facts with quotes, braces and line ends in them come out as they were', async () => {
    const name = 'Drawer "x" {a} } \\ \u00e9\n{';
    const drawer = await clinic.insert<Place>('place', { kind: 'bin', name });
    const lock = await clinic.piece('lock');
    await clinic.move(lock.as, lock.at, drawer);
    const attempt = moving(lock.as, lock.at, bench);
    for (const way of ['model', 'raw'] as const) {
      expect(await outcomeOf(attempt, attempt[way])).toMatchObject({
        reasons: [{ code: 'item-is-elsewhere', facts: { place: name } }],
      });
    }
  });

  test('whatever else fails stays what it was', async () => {
    for (const failure of [new Error('R0101'), 'R0101', undefined, { code: 'R0101' }]) {
      expect(asRefusal(failure)).toBe(failure);
    }
    const odd = Object.assign(new Error('no-such-code {"a":1}'), { code: 'R9999' });
    expect(asRefusal(odd)).toBe(odd);
    const bare = Object.assign(new Error('thing-unknown'), { code: 'R0203' });
    expect(asRefusal(bare)).toBe(bare);
    const broken = Object.assign(new Error('thing-unknown {"thing": }'), { code: 'R0203' });
    expect(asRefusal(broken)).toBe(broken);
    const forbidden = await outcomeOf(
      { model: never, raw: never },
      (tx) => tx.$executeRaw`delete from signature`,
    );
    expect(forbidden).not.toBeInstanceOf(Refused);
    expect(forbidden).toMatchObject({ message: expect.stringContaining('42501') });
  });
});

const never = (): Promise<never> => Promise.reject(new Error('not called'));
