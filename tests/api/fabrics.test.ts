/** Fabrics of the catalogue, and the rolls of them that come in (C2). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { refusedWith } from '../support/shop.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const admin = () => clinic.as('administrator');
const FABRICS = '/api/v1/fabrics';
let made = 0;
const cloth = (given: object = {}) => ({
  name: `Glass cloth ${(made += 1)}`,
  material: 'glass_cloth',
  form: 'flat',
  arealDensityGm2: 200,
  widthMm: 1000,
  fibreDensityGcm3: 2.56,
  stretchPercent: 0,
  ...given,
});
const addCloth = async (given: object = {}) => {
  const { body } = await admin().post(FABRICS, cloth(given)).expect(201);
  return body as { id: string; name: string; version: number };
};
const inUse = async (query = ''): Promise<{ id: string; name: string; material: string }[]> =>
  (await clinic.as('technician').get(`${FABRICS}${query}`).expect(200)).body.items;

describe('fabrics', () => {
  test('a new clinic finds the starting fabrics, by material and width', async () => {
    const items = await inUse();
    expect(pick(items, 'name').toSorted()).toEqual(
      STARTING_FABRICS.map(({ name }) => name).toSorted(),
    );
    expect(
      pick(
        items.filter(({ material }) => material === 'structural_braid'),
        'widthMm',
      ),
    ).toEqual([100, 150, 200, 250]);
  });

  test('an administrator enters a fabric as its sheet has it; everybody reads it', async () => {
    const { body } = await admin().post(FABRICS, cloth()).expect(201);
    expect(body).toMatchObject({ arealDensityGm2: 200, active: true, version: 1 });
    const read = await clinic.as('prosthetist').get(`${FABRICS}/${body.id}`).expect(200);
    expect(read.body).toEqual(body);
    expect(read.headers['etag']).toMatch(/^"1[-"]/);
    await clinic.as('prosthetist').post(FABRICS, cloth()).expect(403);
    await refusedWith(admin().get(`${FABRICS}/${randomUUID()}`), 'not-found');
  });

  test.each([
    ['ounces by the square yard', { arealDensityGm2: 6 }, 'value-out-of-range'],
    ['kilograms by the cubic metre', { fibreDensityGcm3: 2560 }, 'value-out-of-range'],
    ['a material in capitals', { material: 'Glass Cloth' }, 'request-invalid'],
    ['a form nobody knows', { form: 'knitted' }, 'request-invalid'],
    [
      'a material that comes as a tube',
      { material: 'structural_braid' },
      'material-has-another-form',
    ],
  ])('%s: refused', async (_title, given, code) => {
    const { status } = await refusedWith(admin().post(FABRICS, cloth(given)), code);
    expect(status).toBe(400);
  });

  test('a name is on one fabric', async () => {
    const { name } = await addCloth();
    const { status } = await refusedWith(
      admin().post(FABRICS, cloth({ name })),
      'fabric-name-taken',
    );
    expect(status).toBe(409);
    const { id } = await addCloth();
    await refusedWith(admin().patch(`${FABRICS}/${id}`, { name }, '"1"'), 'fabric-name-taken');
  });

  test('a sheet is corrected from the version that was read; the form stays', async () => {
    const { id } = await addCloth();
    const url = `${FABRICS}/${id}`;
    const { body } = await admin().patch(url, { arealDensityGm2: 195 }, '"1"').expect(200);
    expect(body).toMatchObject({ arealDensityGm2: 195, form: 'flat', version: 2 });
    await refusedWith(admin().patch(url, { arealDensityGm2: 190 }, '"1"'), 'version-is-stale');
    await refusedWith(admin().patch(url, { form: 'tube' }, '"2"'), 'request-invalid');
    await refusedWith(admin().patch(url, { widthMm: 3 }, '"2"'), 'value-out-of-range');
    await clinic.as('technician').patch(url, { widthMm: 900 }, '"2"').expect(403);
    const same = await admin().patch(url, { arealDensityGm2: 195 }, '"2"').expect(200);
    expect(same.body.version).toBe(2);
  });

  test('a withdrawn fabric leaves the list, and gives its material free for another form', async () => {
    const wrong = await addCloth({ material: 'basalt', form: 'strip', widthMm: 40 });
    const url = `${FABRICS}/${wrong.id}`;
    await admin().patch(url, { active: false }, '"1"').expect(200);
    expect(pick(await inUse(), 'id')).not.toContain(wrong.id);
    expect(pick(await inUse('?every=true'), 'id')).toContain(wrong.id);
    await addCloth({ material: 'basalt' });
    await refusedWith(admin().patch(url, { active: true }, '"2"'), 'material-has-another-form');
    await admin().patch(url, { active: true, material: 'basalt_tape' }, '"2"').expect(200);
  });
});

describe('rolls of a fabric', () => {
  const roll = (given: object = {}) => ({
    kind: 'fabric',
    name: 'Glass cloth, roll',
    lot: `G-${(made += 1)}`,
    receivedOn: '2026-02-01',
    quantity: 50,
    unit: 'm',
    ...given,
  });
  const add = (given: object) => clinic.as('technician').post('/api/v1/batches', roll(given));

  test('a batch says of which fabric it is a roll', async () => {
    const { id, name } = await addCloth();
    const { body } = await add({ fabricId: id }).expect(201);
    expect(body).toMatchObject({ fabricId: id, fabric: name });
    const read = await clinic.as('auditor').get(`/api/v1/batches/${body.id}`).expect(200);
    expect(read.body).toMatchObject({ fabricId: id, fabric: name });
    const plain = await add({}).expect(201);
    expect(plain.body).toMatchObject({ fabricId: null, fabric: null });
  });

  test('resin is no roll of cloth, and a roll is of a fabric in use', async () => {
    const { id } = await addCloth();
    await refusedWith(add({ kind: 'resin', unit: 'g', fabricId: id }), 'request-invalid');
    await refusedWith(add({ fabricId: randomUUID() }), 'not-found');
    await admin().patch(`${FABRICS}/${id}`, { active: false }, '"1"').expect(200);
    await refusedWith(add({ fabricId: id }), 'fabric-withdrawn');
    const other = await clinic.another('RL');
    const theirs = await other.as('administrator').post(FABRICS, cloth()).expect(201);
    await refusedWith(add({ fabricId: theirs.body.id }), 'not-found');
  });
});
