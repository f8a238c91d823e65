import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
let bin: string;
beforeAll(async () => {
  clinic = await testClinic();
  bin = (await clinic.as('technician').post('/api/v1/places', { name: 'Drawer 1' })).body.id;
});
afterAll(() => clinic.close());

const admin = () => clinic.as('administrator');
let made = 0;
const partToAdd = (given: object = {}) => ({
  kind: 'pyramid',
  name: 'Pyramid, four holes',
  catalogueNumber: `PY-${(made += 1)}`,
  holePattern: '4-hole 36 mm',
  thread: 'M6',
  ratedBodyMassKg: 100,
  ratingDocument: 'Label, revision 2',
  ...given,
});
const addPart = async (given: object = {}) => {
  const { body } = await admin().post('/api/v1/parts', partToAdd(given)).expect(201);
  return body as { id: string; catalogueNumber: string };
};
const settingToAdd = (given: object = {}) => ({
  jointKind: 'distal',
  fastenerCount: 4,
  fastenerSize: 'M6',
  propertyClass: '12.9',
  torqueMin: 14,
  torqueMax: 16,
  unit: 'N.m',
  threadlocker: 'required',
  document: 'Assembly sheet',
  revision: 'C',
  ...given,
});

describe('parts', () => {
  test('an administrator enters a part; everybody reads it', async () => {
    const { body } = await admin().post('/api/v1/parts', partToAdd()).expect(201);
    expect(body).toMatchObject({
      ratedBodyMassKg: 100,
      singleUse: false,
      pinFit: null,
      active: true,
      settings: [],
      version: 1,
    });
    const read = await clinic.as('technician').get(`/api/v1/parts/${body.id}`).expect(200);
    expect(read.body).toEqual(body);
  });

  test('what carries the wearer states its rating, and a screw set has no clicks', async () => {
    const unrated = await admin().post('/api/v1/parts', partToAdd({ ratedBodyMassKg: null }));
    expect(unrated.status).toBe(400);
    expect(unrated.body).toMatchObject({ code: 'rating-missing', rule: 'R3' });
    const clicking = await admin().post(
      '/api/v1/parts',
      partToAdd({ kind: 'screw_set', ratedBodyMassKg: null, leastClicks: 4 }),
    );
    expect(clicking.body.code).toBe('part-field-misfits');
  });

  test('a catalogue number names one part', async () => {
    const { catalogueNumber } = await addPart();
    const { status, body } = await admin().post('/api/v1/parts', partToAdd({ catalogueNumber }));
    expect(status).toBe(409);
    expect(body.code).toBe('catalogue-number-taken');
  });

  test('a change names the version it was made from, and keeps the rating stated', async () => {
    const { id } = await addPart();
    const url = `/api/v1/parts/${id}`;
    const { body } = await admin().patch(url, { active: false, thread: null }, '"1"').expect(200);
    expect(body).toMatchObject({ active: false, thread: null, version: 2 });
    const stale = await admin().patch(url, { active: true }, '"1"');
    expect(stale.status).toBe(412);
    const unrated = await admin().patch(url, { ratedBodyMassKg: null }, '"2"');
    expect(unrated.body.code).toBe('rating-missing');
    await clinic.as('technician').patch(url, { active: true }, '"2"').expect(403);
  });

  test('the list is filtered by kind and use, page by page', async () => {
    const pin = { kind: 'pin', name: 'Pin', pinFit: 'ratchet 10 mm', thread: null };
    const kept = [await addPart(pin), await addPart(pin), await addPart(pin)];
    const withdrawn = await addPart(pin);
    await admin().patch(`/api/v1/parts/${withdrawn.id}`, { active: false }, '"1"').expect(200);
    const url = '/api/v1/parts?kind=pin&active=true&limit=2';
    const first = await clinic.as('technician').get(url).expect(200);
    const second = await clinic.as('technician').get(`${url}&after=${first.body.next}`);
    const ids = [...pick(first.body.items, 'id'), ...pick(second.body.items, 'id')];
    expect(ids).toHaveLength(3);
    expect(new Set(ids)).toEqual(new Set(kept.map(({ id }) => id)));
    expect(second.body.next).toBeNull();
  });
});

interface PartBody {
  part: { settings: { revision: string; supersededAt: string | null }[] };
}

describe('torque settings', () => {
  const settings = (id: string) => `/api/v1/parts/${id}/torque-settings`;

  test('a setting typed in pound-inches is kept in newton-metres', async () => {
    const { id } = await addPart();
    const { status, body } = await admin().post(
      settings(id),
      settingToAdd({ torqueMin: 120, torqueMax: 140, unit: 'lbf.in' }),
    );
    expect(status).toBe(201);
    // 120 and 140 times 0.1129848290276167 (NIST SP 811).
    expect(body.part.settings[0].torqueMinNm).toBeCloseTo(13.558179, 6);
    expect(body.part.settings[0].torqueMaxNm).toBeCloseTo(15.817876, 6);
    expect(body.clampLoad.limitName).toBe('proof load');
  });

  test('shows with the setting what it makes of its screws, with the sources, now and later', async () => {
    const { id } = await addPart();
    const { body } = await admin().post(settings(id), settingToAdd()).expect(201);
    // 16 N·m over K = 0.2 and 0.15 and 6 mm; ISO 898-1: 19 500 N for M6, 12.9, and 20.1 mm².
    expect(body.clampLoad).toMatchObject({
      nutFactor: { from: 0.15, to: 0.2 },
      nutFactorSource: 'wet anaerobic threadlocker: common practice, no source',
      diameterMm: 6,
      limitN: 19_500,
      limitSource: 'ISO 898-1, Table 5, coarse thread',
    });
    expect(body.clampLoad.fromN).toBeCloseTo(13_333.33, 2);
    expect(body.clampLoad.toN).toBeCloseTo(17_777.78, 2);
    expect(body.clampLoad.stressAreaMm2).toBeCloseTo(20.1, 1);
    expect(body.clampLoad.percentOfLimitTo).toBeCloseTo(91.17, 2);
    expect(body.questions).toEqual([]);
    const part = await admin().get(`/api/v1/parts/${id}`);
    expect(part.body.settings[0]).toMatchObject({ clampLoad: body.clampLoad, questions: [] });
    const { body: list } = await admin().get('/api/v1/parts?limit=200');
    const listed = (list as { items: { id: string; settings: object[] }[] }).items.find(
      (each) => each.id === id,
    );
    expect(listed?.settings).toEqual(part.body.settings);
  });

  test('is saved with its question where only little friction would stretch the screws', async () => {
    const { id } = await addPart();
    const { body } = await admin()
      .post(settings(id), settingToAdd({ propertyClass: '10.9' }))
      .expect(201);
    // 17 778 N of 16 700 N.
    expect(body.clampLoad.percentOfLimitTo).toBeCloseTo(106.45, 2);
    expect(body.questions).toMatchObject([{ code: 'torque-setting-near-limit', rule: 'R5' }]);
    const part = await admin().get(`/api/v1/parts/${id}`);
    expect(pick(part.body.settings[0].questions, 'code')).toEqual(['torque-setting-near-limit']);
  });

  test('pound-inches typed as newton-metres are questioned before they are saved', async () => {
    const { id } = await addPart();
    const { status, body } = await admin().post(
      settings(id),
      settingToAdd({ torqueMin: 120, torqueMax: 140 }),
    );
    expect(status).toBe(422);
    expect(body).toMatchObject({ code: 'torque-setting-implausible', rule: 'R5' });
    expect(body.wayOut).toContain('pound-inches');
    const part = await admin().get(`/api/v1/parts/${id}`);
    expect(part.body.settings).toEqual([]);
  });

  test('a new revision supersedes the one before, which stays', async () => {
    const { id } = await addPart();
    await admin().post(settings(id), settingToAdd()).expect(201);
    const { body } = await admin()
      .post(settings(id), settingToAdd({ torqueMax: 15, revision: 'D' }))
      .expect(201);
    expect(
      (body as PartBody).part.settings.map((each) => [each.revision, each.supersededAt !== null]),
    ).toEqual([
      ['D', false],
      ['C', true],
    ]);
  });

  test.each([
    ['least above greatest', { torqueMin: 17 }, 'torque-setting-upside-down'],
    [
      'the setting of another part’s joint',
      { jointKind: 'lock_plate' },
      'setting-not-for-this-part',
    ],
    ['nine fasteners', { fastenerCount: 9 }, 'request-invalid'],
  ])('%s is refused', async (_title, given, code) => {
    const { id } = await addPart();
    const { status, body } = await admin().post(settings(id), settingToAdd(given));
    expect(status).toBe(400);
    expect(body.code).toBe(code);
  });

  test('only an administrator enters settings', async () => {
    const { id } = await addPart();
    await clinic.as('prosthetist').post(settings(id), settingToAdd()).expect(403);
  });
});

describe('routes of work', () => {
  interface Route {
    id: string;
    name: string;
    socketKind: string;
    suspension: string;
    version: number;
    operations: { seq: number; kind: string; title: string; checks: object[]; caution: string }[];
  }
  const inForce = async (socketKind: string, suspension: string): Promise<Route> => {
    const { body } = await admin().get('/api/v1/routes').expect(200);
    const route = (body as { items: Route[] }).items.find(
      (each) => each.socketKind === socketKind && each.suspension === suspension,
    );
    if (route === undefined) throw new Error(`No route for ${socketKind}, ${suspension}`);
    return route;
  };
  const asWritten = ({ name, socketKind, suspension, version, operations }: Route) => ({
    basedOnVersion: version,
    name,
    socketKind,
    suspension,
    operations: operations.map(({ kind, title, checks, caution }) => ({
      kind,
      title,
      checks,
      caution,
    })),
  });

  test('a new clinic has a route for each kind of socket and suspension', async () => {
    const { body } = await clinic.as('technician').get('/api/v1/routes').expect(200);
    expect(body.items).toHaveLength(10);
    const pinLock = await inForce('definitive', 'pin_lock');
    expect(pinLock.operations.map(({ kind }) => kind)).toEqual([
      'prepare_model',
      'seal_model',
      'mount_dummy',
      'lay_up',
      'laminate',
      'cure',
      'grind_flush',
      'pull_dummy',
      'break_out_model',
      'inspect_chamber',
      'trim_edges',
      'fit_hardware',
      'check_lock',
      'torque_joints',
      'measure_alignment',
      'finish',
    ]);
  });

  test('a new version supersedes the one in force; all versions can be read', async () => {
    const before = await inForce('check', 'suction');
    const { body } = await admin()
      .post('/api/v1/routes', { ...asWritten(before), name: 'Check socket, suction, with seal' })
      .expect(201);
    expect(body).toMatchObject({ version: 2, createdBy: 'Ada Keys of KL', supersededAt: null });
    expect((await inForce('check', 'suction')).id).toBe(body.id);
    const every = await admin().get('/api/v1/routes?everyVersion=true');
    expect(
      (every.body as { items: Route[] }).items
        .filter((route) => route.suspension === 'suction' && route.socketKind === 'check')
        .map((route) => route.version),
    ).toEqual([2, 1]);
    // A second administrator who had read version 1 does not write over it unseen.
    const stale = await admin().post('/api/v1/routes', asWritten(before));
    expect({ status: stale.status, code: stale.body.code, facts: stale.body.facts }).toEqual({
      status: 412,
      code: 'version-is-stale',
      facts: { yours: 1, current: 2 },
    });
    expect((await inForce('check', 'suction')).version).toBe(2);
  });

  test('a route that no socket could finish is refused with every reason', async () => {
    const route = asWritten(await inForce('definitive', 'pin_lock'));
    const [first, ...rest] = route.operations.filter(({ kind }) => kind !== 'cure');
    const { status, body } = await admin().post('/api/v1/routes', {
      ...route,
      operations: [
        ...rest.reverse(),
        first,
        {
          kind: 'thermoform',
          title: 'Form',
          caution: null,
          checks: [
            { kind: 'measured', key: 'a', ask: 'How thick?', unit: 'mm', min: 5, max: 3 },
            { kind: 'note', key: 'a', ask: 'Anything else?' },
          ],
        },
      ],
    });
    expect(status).toBe(400);
    expect(new Set(pick(body.errors, 'code'))).toEqual(
      new Set([
        'route-operation-misplaced',
        'route-limits-wrong',
        'route-check-twice',
        'route-lacks-operation',
        'route-order-wrong',
      ]),
    );
    expect((await inForce('definitive', 'pin_lock')).version).toBe(1);
  });

  test('only an administrator writes routes', async () => {
    const route = asWritten(await inForce('check', 'sleeve'));
    await clinic.as('technician').post('/api/v1/routes', route).expect(403);
  });
});

describe('shop tools', () => {
  const wrench = (given: object = {}) => ({
    kind: 'torque_tool',
    name: `Wrench ${(made += 1)}`,
    serial: 'W-77',
    toPlaceId: bin,
    toolType: 'setting',
    toolClass: 'A',
    minNm: 4,
    maxNm: 20,
    ...given,
  });
  const tool = (id: string) => `/api/v1/shop-tools/${id}`;

  test('a torque tool is received into a bin and knows its permissible deviation', async () => {
    const { body } = await admin().post('/api/v1/shop-tools', wrench()).expect(201);
    expect(body).toMatchObject({
      place: { id: bin, name: 'Drawer 1' },
      permissibleDeviationPercent: 4,
      calibrationDueOn: null,
      outOfService: false,
      calibrationToday: { proves: false, usesSince: 0, usesLeft: 5000, daysLeft: null },
    });
    expect(pick(body.calibrationToday.because, 'code')).toEqual(['tool-calibration-missing']);
  });

  test('a calibration says until when the tool proves a torque', async () => {
    const { body } = await admin().post('/api/v1/shop-tools', wrench()).expect(201);
    const certificate = { certificate: 'K-1', laboratory: 'Torque room' };
    const year = await admin().post(`${tool(body.id)}/calibrations`, {
      calibratedOn: '2026-02-01',
      deviationPercent: -1.2,
      ...certificate,
    });
    expect(year.body).toMatchObject({ calibrationDueOn: '2027-02-01' });
    const sooner = await admin().post(`${tool(body.id)}/calibrations`, {
      calibratedOn: '2026-03-01',
      validUntil: '2026-09-01',
      ...certificate,
      certificate: 'K-2',
    });
    expect(sooner.body.calibrationDueOn).toBe('2026-09-01');
    expect(sooner.body.calibrations).toHaveLength(2);
    // From 2 March to 1 September.
    expect(sooner.body.calibrationToday).toEqual({
      on: '2026-03-02',
      proves: true,
      because: [],
      usesSince: 0,
      usesAllowed: 5000,
      usesLeft: 5000,
      daysLeft: 183,
    });
  });

  test('a dummy has no calibration, and a certificate no future day', async () => {
    const dummy = await admin()
      .post('/api/v1/shop-tools', {
        kind: 'fabrication_dummy',
        name: 'Dummy A',
        holePattern: '4-hole 36 mm',
        toPlaceId: bin,
      })
      .expect(201);
    expect(dummy.body.calibrationToday).toBeNull();
    const { status, body } = await admin().post(`${tool(dummy.body.id)}/calibrations`, {
      calibratedOn: '2026-03-03',
      validUntil: '2026-03-01',
      certificate: 'K-2',
      laboratory: 'Torque room',
    });
    expect(status).toBe(422);
    expect(pick(body.errors, 'code')).toEqual([
      'tool-is-not-for-torque',
      'day-in-future',
      'day-order-wrong',
    ]);
  });

  test.each([
    [
      'a class that its type does not have',
      { toolType: 'indicating', toolClass: 'G' },
      422,
      'tool-class-not-of-type',
    ],
    ['a range upside down', { minNm: 20, maxNm: 4 }, 400, 'tool-range-upside-down'],
    ['a torque tool without range', { minNm: undefined }, 400, 'request-invalid'],
    ['a bin nobody knows', { toPlaceId: randomUUID() }, 404, 'not-found'],
  ])('%s is refused', async (_title, given, expected, code) => {
    const { status, body } = await admin().post('/api/v1/shop-tools', wrench(given));
    expect(status).toBe(expected);
    expect(body.code).toBe(code);
  });

  test('a name is on one tool', async () => {
    await admin()
      .post('/api/v1/shop-tools', wrench({ name: 'Old blue' }))
      .expect(201);
    const { status, body } = await admin().post('/api/v1/shop-tools', wrench({ name: 'Old blue' }));
    expect(status).toBe(409);
    expect(body.code).toBe('tool-name-taken');
  });

  test('a technician takes a dropped tool out of service; an administrator puts it back', async () => {
    const { body } = await admin().post('/api/v1/shop-tools', wrench()).expect(201);
    const bench = clinic.as('technician');
    const why = { why: 'Dropped on the floor.' };
    const out = await bench.post(`${tool(body.id)}/out-of-service`, why).expect(200);
    expect(out.body).toMatchObject({ outOfService: true, version: 2 });
    expect(pick(out.body.calibrationToday.because, 'code')).toContain('tool-out-of-service');
    const twice = await bench.post(`${tool(body.id)}/out-of-service`, why);
    expect(twice.body.code).toBe('tool-service-unchanged');
    await bench.post(`${tool(body.id)}/back-in-service`, why).expect(403);
    const back = await admin().post(`${tool(body.id)}/back-in-service`, { why: 'Calibrated.' });
    expect(back.body).toMatchObject({ outOfService: false, version: 3 });
  });

  test('the list goes by name and kind', async () => {
    const { body } = await clinic.as('technician').get('/api/v1/shop-tools?kind=fabrication_dummy');
    expect(pick(body.items, 'name')).toEqual(['Dummy A']);
  });
});
