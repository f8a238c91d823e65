/** One field for patients and orders, as far as each role sees them. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { addPatient, openOrder } from '../support/orders.ts';

let clinic: TestClinic;
let patient: { id: string; chartNumber: string };
let number: string;

beforeAll(async () => {
  clinic = await testClinic();
  patient = await addPatient(clinic, {
    chartNumber: 'CH-7001',
    givenName: 'Belmira',
    familyName: 'Quendlin-Årup',
    phone: '+43 1 555 0142',
  });
  await addPatient(clinic, { chartNumber: 'CH-8002', givenName: 'Odo', familyName: 'Vandermolen' });
  number = (await openOrder(clinic, { patientId: patient.id })).number;
});
afterAll(() => clinic.close());

interface Found {
  readonly items: readonly {
    readonly kind: string;
    readonly by: string;
    readonly order?: { readonly number: string };
    readonly patient?: { readonly chartNumber: string };
  }[];
  readonly notes: readonly { readonly code: string }[];
}
async function search(text: string, role: Role = 'front_desk') {
  const { body } = await clinic
    .as(role)
    .post('/api/v1/search', { text }, { key: null })
    .expect(200);
  const { items, notes } = body as Found;
  return {
    found: items.map((item) => [item.by, item.order?.number ?? item.patient?.chartNumber]),
    notes: notes.map(({ code }) => code),
  };
}
const theirs = (by: string) => [
  [by, 'CH-7001'],
  ['patient', number],
];

describe('search as you type', () => {
  test.each([
    ['a name as it begins', 'quend', 'name'],
    ['both names, accents or not', 'arup bel', 'name'],
    ['a chart number as it begins', 'ch-70', 'chart_number'],
    ['the end of a phone number', '555 0142', 'phone'],
  ])('finds by %s', async (_what, text, by) => {
    expect(await search(text)).toEqual({ found: theirs(by), notes: [] });
  });

  test('finds an order by its number, by its beginning and by its running part', async () => {
    const running = String(Number(number.split('-')[2]));
    for (const text of [
      number,
      number.toLowerCase().replaceAll('-', ''),
      number.slice(0, 8),
      running,
    ]) {
      expect((await search(text)).found[0], text).toEqual(['order_number', number]);
    }
  });

  test('says at once that a character of a whole number is wrong', async () => {
    const wrong = number.replace(/\d(?=-\w$)/, (digit) => String((Number(digit) + 1) % 10));
    expect(await search(wrong)).toEqual({ found: [], notes: ['order-number-mistyped'] });
    // Not yet whole, it is not wrong yet.
    expect((await search(wrong.slice(0, -2))).notes).toEqual([]);
  });

  test('the bench finds by chart and order number only, and is told so', async () => {
    expect(await search('quendlin', 'technician')).toEqual({
      found: [],
      notes: ['search-beyond-role'],
    });
    expect((await search('555 0142', 'technician')).found).toEqual([]);
    expect((await search('CH-7001', 'technician')).found).toEqual(theirs('chart_number'));
    const { text } = await clinic
      .as('technician')
      .post('/api/v1/search', { text: 'CH-7001' }, { key: null });
    expect(text).not.toMatch(/Quendlin|555 0142/);
    // An auditor sees who it is, but not how to reach them.
    expect((await search('555 0142', 'auditor')).found).toEqual([]);
    expect((await search('quendlin', 'auditor')).found).toEqual(theirs('name'));
  });

  test('finds nothing of another clinic, and nothing by nothing', async () => {
    const other = await clinic.another('OT');
    const { body } = await other.as('front_desk').post('/api/v1/search', { text: 'quend' });
    expect(body).toEqual({ items: [], notes: [] });
    for (const text of ['', '   ', 'x'.repeat(101)]) {
      await clinic.as('front_desk').post('/api/v1/search', { text }).expect(400);
    }
    // Signs that mean something to SQL mean nothing here.
    for (const text of ["o'%_", '%', '_', 'KL26%', ','])
      expect((await search(text)).found).toEqual([]);
  });
});
