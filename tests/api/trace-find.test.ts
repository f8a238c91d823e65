/** One field for everything: what a typed or scanned text could be, and nothing beyond the role. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { parseOrderNumber } from '../../src/domain/orderNumber.ts';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  deliveredLimb,
  ok,
  refusedWith,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';

interface Found {
  items: { by: string; key: string; name: string; about: string; exact: boolean }[];
  more: string[];
  notLookedFor: string[];
  mistyped: string | null;
}

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;
let serial: string;
let lot: string;
let familyName: string;

const find = (text: string, role: Role = 'auditor') =>
  ok<Found>(clinic.as(role).post('/api/v1/trace/find', { text }, { key: null }));
const kinds = ({ items }: Found) => [...new Set(items.map(({ by }) => by))];

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  const read = await ok<{ item: { serial: string } }>(
    clinic.as('auditor').get(`/api/v1/items/${limb.hardware.lock}`),
  );
  ({ serial } = read.item);
  const [row] = await clinic.store.raw<{ lot: string; name: string }>(
    `select (select lot from item where lot is not null order by id limit 1) as lot, family_name as name from patient limit 1`,
  );
  lot = row?.lot ?? '';
  familyName = row?.name ?? '';
});
afterAll(() => clinic.close());

describe('whatever is known is found', () => {
  test('an order by its number, as printed, as typed, or from the code of its traveller', async () => {
    const order = { by: 'order', key: limb.number, name: limb.number, exact: true };
    for (const text of [
      limb.number,
      limb.number.toLowerCase().replaceAll('-', ' '),
      `https://castbook.test/o/${limb.number}`,
    ]) {
      expect((await find(text)).items[0]).toMatchObject(order);
    }
  });

  test('the beginning of a number finds what begins so', async () => {
    const found = await find(limb.number.slice(0, 6));
    expect(found.items.map(({ key }) => key)).toContain(limb.number);
    expect(found.items.every(({ exact }) => !exact)).toBe(true);
  });

  test.each([
    ['socket', () => `${limb.number}/d1`],
    ['serial', () => serial.toLowerCase()],
    ['lot', () => lot],
    ['patient', () => limb.chartNumber.toLowerCase()],
    ['patient', () => familyName],
    ['person', () => 'tamás bench'],
  ])('%s', async (by, text) => {
    const { items } = await find(text());
    const [first] = items.filter((each) => each.by === by);
    expect(first).toBeDefined();
    // What is found can be traced as it is.
    const query = new URLSearchParams({ [by]: first?.key ?? '' }).toString();
    await ok(clinic.as('auditor').get(`/api/v1/trace?${query}`));
  });

  test('a batch by its lot or its name, a tool by its name or its serial', async () => {
    const { raw } = clinic.store;
    const [batch] = await raw<{ lot: string; name: string }>('select lot, name from batch limit 1');
    expect(kinds(await find(batch?.lot ?? ''))).toContain('batch');
    expect(kinds(await find((batch?.name ?? '').slice(0, 5)))).toContain('batch');
    await raw(`update shop_tool set serial = 'TW-0815' where id = $1`, [shop.wrench]);
    const [tool] = await raw<{ name: string }>('select name from shop_tool where id = $1', [
      shop.wrench,
    ]);
    expect(kinds(await find((tool?.name ?? '').slice(0, 6)))).toContain('tool');
    expect((await find('tw-0815')).items[0]).toMatchObject({ by: 'tool', key: tool?.name });
  });

  test('the code of a label is read for its serial', async () => {
    // GS1: GTIN with its check digit, then the serial (21).
    const found = await find(`(01)09501101020917(21)${serial}`);
    expect(found.items[0]).toMatchObject({ by: 'serial', key: serial, exact: true });
  });

  test('a number of ours with a wrong sign is told as mistyped; what is none is nothing', async () => {
    const wrong = `${limb.number.slice(0, -1)}${limb.number.endsWith('A') ? 'B' : 'A'}`;
    expect(parseOrderNumber(wrong).ok).toBe(false);
    expect(await find(wrong)).toMatchObject({ items: [], mistyped: expect.any(String) as string });
    expect(await find('zzzz-nothing')).toMatchObject({ items: [], mistyped: null });
    expect(await find('x')).toMatchObject({ items: [], mistyped: null });
    // Signs that mean something to a database are only signs.
    expect((await find('%_\\')).items).toEqual([]);
  });
});

describe('nobody finds more than the role traces by', () => {
  test('the desk finds patients and orders, the bench things without patients’ names', async () => {
    const desk = await find(limb.number.slice(0, 6), 'front_desk');
    expect(kinds(desk)).toEqual(['order']);
    expect(desk.notLookedFor).toEqual(['socket', 'serial', 'lot', 'batch', 'tool', 'person']);
    const bench = await find(familyName, 'technician');
    expect(bench.items).toEqual([]);
    expect(bench.notLookedFor).toEqual(['patient', 'order', 'person']);
  });

  test('an administrator finds patients by chart number, as initials', async () => {
    expect(kinds(await find(familyName, 'administrator'))).not.toContain('patient');
    const { items } = await find(limb.chartNumber, 'administrator');
    expect(items[0]).toMatchObject({ by: 'patient', name: limb.chartNumber });
    expect(items[0]?.about).not.toContain(familyName);
  });

  test('a prosthetist finds and traces by person the own work only', async () => {
    const { items } = await find(' of KL', 'prosthetist');
    expect(items.filter(({ by }) => by === 'person').map(({ key }) => key)).toEqual([
      clinic.people.prosthetist.id,
    ]);
    const own = clinic.people.prosthetist.id;
    await ok(clinic.as('prosthetist').get(`/api/v1/trace?person=${own}`));
    const another = clinic.people.technician.id;
    const refused = clinic.as('prosthetist').get(`/api/v1/trace?person=${another}`);
    expect((await refusedWith(refused, 'trace-person-not-you')).status).toBe(403);
  });

  test('another clinic’s things are not found', async () => {
    const other = await clinic.another('BY');
    const { items } = await ok<Found>(
      other.as('auditor').post('/api/v1/trace/find', { text: serial }, { key: null }),
    );
    expect(items).toEqual([]);
  });
});
