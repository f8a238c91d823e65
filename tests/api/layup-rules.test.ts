/** The clinic's layup rules: read as a table, written version by version (C2). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { STARTING_LAYUP_RULES } from '../../src/domain/layupRules.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { needsManyConnections } from '../support/database.ts';
import { ok, refusedWith } from '../support/shop.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const RULES = '/api/v1/layup-rules';
type Row = (typeof STARTING_LAYUP_RULES.rows)[number];
const { version: _version, ...starting } = STARTING_LAYUP_RULES;
/** As they are sent: made from the version that was read. */
const from = (basedOnVersion: number, rules: object = starting) => ({ basedOnVersion, ...rules });
const withRows = (change: (rows: readonly Row[]) => readonly Row[]) => ({
  ...starting,
  rows: change(starting.rows),
});
const write = (body: object, in_ = clinic) => in_.as('administrator').post(RULES, body);

describe('the rules in force', () => {
  test('a new clinic starts with rules that a prosthetist reads as a table in words', async () => {
    const { body } = await clinic.as('prosthetist').get(RULES).expect(200);
    expect(body).toMatchObject({ ...starting, version: 1, createdBy: null, supersededAt: null });
    expect(body.table[0]).toEqual({
      name: 'Nearly everybody',
      who: 'up to 100 kg · K0, K1, K2, K3 · every level',
      layers: [
        'sheer nylon: 1 layer, along',
        'carbon strip: 1 layer, medial-lateral',
        'carbon strip: 1 layer, anterior-posterior',
        'structural braid: 2 layers, bias, reflected over the distal end',
        'sheer nylon: 1 layer, along',
        'tooling plate',
        'finishing stockinette: 1 layer, along',
      ],
    });
  });

  test('a new version takes their place, and every version can be read with who wrote it', async () => {
    const { body } = await write(from(1, { ...starting, fibreMassFraction: 0.55 }));
    expect(body).toMatchObject({
      version: 2,
      fibreMassFraction: 0.55,
      createdBy: 'Ada Keys of KL',
      supersededAt: null,
    });
    const inForce = await clinic.as('technician').get(RULES).expect(200);
    expect(inForce.body.id).toBe(body.id);
    const every = await clinic.as('auditor').get(`${RULES}/versions`).expect(200);
    expect(pick(every.body.items, 'version')).toEqual([2, 1]);
    expect(pick(every.body.items, 'fibreMassFraction')).toEqual([0.55, 0.5]);
    expect(every.body.items[1].supersededAt).toBe('2026-03-02T09:00:00.000Z');
  });

  test('another clinic has rules of its own', async () => {
    const other = await clinic.another('LR');
    await ok(write(from(1), other));
    const { body } = await other.as('prosthetist').get(`${RULES}/versions`);
    expect(pick(body.items, 'version')).toEqual([2, 1]);
  });

  test('only an administrator writes them', async () => {
    await clinic.as('prosthetist').post(RULES, from(2)).expect(403);
    await clinic.as('technician').post(RULES, from(2)).expect(403);
  });

  needsManyConnections(
    'of two who change the same version at once, one is told to look at what the other wrote',
    async () => {
      const other = await clinic.another('LV');
      const written = await Promise.all([write(from(1), other), write(from(1), other)]);
      expect(written.map(({ status }) => status).toSorted()).toEqual([201, 412]);
      expect(written.find(({ status }) => status === 412)?.body).toMatchObject({
        code: 'version-is-stale',
        detail: 'The change was made from version 1; the record is at 2.',
      });
      const { body } = await other.as('prosthetist').get(`${RULES}/versions`);
      expect(pick(body.items, 'version')).toEqual([2, 1]);
      expect(pick(body.items, 'supersededAt').filter((at) => at === null)).toHaveLength(1);
    },
  );
});

describe('rules that leave something open are refused, with every reason', () => {
  const line = (given: object) => ({
    kind: 'fabric',
    fabric: 'structural_braid',
    layers: 1,
    direction: 'bias',
    reflected: false,
    ...given,
  });
  const withLine = (given: object) =>
    withRows(([first, ...rest]) => [
      { ...first!, lines: [line(given)] } as unknown as Row,
      ...rest,
    ]);

  test.each<[string, () => object, string, string]>([
    [
      'patients between 90 and 100 kg without a row',
      () => withRows(([first, ...rest]) => [{ ...first!, upToKg: 90 }, ...rest]),
      'layup-rules-gap',
      '/rows',
    ],
    [
      'two rows for one patient',
      () => withRows(([first, ...rest]) => [{ ...first!, upToKg: 110 }, ...rest]),
      'layup-rules-overlap',
      '/rows',
    ],
    [
      'a row for nobody',
      () => withRows(([first, ...rest]) => [{ ...first!, functionalLevels: [] }, ...rest]),
      'layup-row-empty',
      '/rows/0',
    ],
    [
      'body masses upside down',
      () => withRows(([first, ...rest]) => [{ ...first!, aboveKg: 110 }, ...rest]),
      'layup-row-mass-upside-down',
      '/rows/0',
    ],
    [
      'a material that the catalogue lacks',
      () => withLine({ fabric: 'spider_silk' }),
      'fabric-unknown',
      '/rows/0/lines/0/fabric',
    ],
    [
      'a braid laid as a strip',
      () => withLine({ direction: 'medial_lateral' }),
      'layup-line-misfits',
      '/rows/0/lines/0/direction',
    ],
    [
      'a fraction in per cent',
      () => ({ ...starting, fibreMassFraction: 50 }),
      'value-out-of-range',
      '/fibreMassFraction',
    ],
    [
      'a tie as long as a socket',
      () => ({ ...starting, allowances: { ...starting.allowances, endTieMm: 900 } }),
      'value-out-of-range',
      '/allowances/endTieMm',
    ],
    [
      'two rows of one name',
      () =>
        withRows(([first, second, ...rest]) => [
          first!,
          { ...second!, name: first!.name },
          ...rest,
        ]),
      'request-invalid',
      '/rows',
    ],
  ])('%s', async (_title, rules, code, field) => {
    const { status, body } = await refusedWith(write(from(2, rules())), code);
    expect(status).toBe(400);
    expect(pick(body['errors'], 'pointer')).toContain(field);
  });

  test('what was refused changed nothing', async () => {
    const before = await clinic.as('prosthetist').get(RULES);
    await refusedWith(write(from(2, { ...starting, topBodyMassKg: 500 })), 'value-out-of-range');
    expect((await clinic.as('prosthetist').get(RULES)).body).toEqual(before.body);
  });

  test('a material whose last roll is withdrawn is none of the catalogue', async () => {
    const other = await clinic.another('LW');
    const { body } = await other.as('technician').get('/api/v1/fabrics');
    const strip = (body.items as { id: string; material: string }[]).find(
      ({ material }) => material === 'carbon_strip',
    );
    await ok(
      other.as('administrator').patch(`/api/v1/fabrics/${strip?.id}`, { active: false }, '"1"'),
    );
    await refusedWith(write(from(1), other), 'fabric-unknown');
  });
});
