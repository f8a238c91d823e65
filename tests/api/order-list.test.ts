/** The list of orders: what presses stands first, and each line says how it stands with its day (C5). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { steadyPast, wentThrough } from '../support/history.ts';
import { openOrder } from '../support/orders.ts';

let clinic: TestClinic;
/** By what each is. */
const numbers: Record<string, string> = {};

beforeAll(async () => {
  clinic = await testClinic();
  await wentThrough(clinic, steadyPast(40));
  const days = {
    late: '2026-03-03',
    tight: '2026-03-09',
    far: '2026-12-01',
    farther: '2026-12-02',
    none: undefined,
  };
  for (const [what, promisedOn] of Object.entries(days)) {
    numbers[what] = (await openOrder(clinic, { promisedOn })).number;
  }
  clinic.clock.set('2026-03-04T09:00:00Z');
});
afterAll(() => clinic.close());

interface Line {
  readonly number: string;
  readonly late: boolean;
  readonly atRisk: boolean;
  readonly chance: number | null;
}
async function list(query: string): Promise<Line[]> {
  const lines: Line[] = [];
  let after = '';
  do {
    const { body } = await clinic
      .as('front_desk')
      .get(`/api/v1/orders?stage=under_way&limit=2&${query}${after}`)
      .expect(200);
    const page = body as { items: Line[]; next: string | null };
    lines.push(...page.items);
    after = page.next === null ? '' : `&after=${page.next}`;
  } while (after !== '');
  return lines;
}
const named = async (query: string) =>
  (await list(query)).map(({ number }) =>
    Object.keys(numbers).find((what) => numbers[what] === number),
  );

describe('the list of orders', () => {
  test('begins with what presses, page by page, and goes on by promised day', async () => {
    expect(await named('sort=pressing')).toEqual(['late', 'tight', 'far', 'farther', 'none']);
  });

  test('says of each line whether it is at risk, with its chance, in any order', async () => {
    for (const query of ['sort=pressing', 'sort=promised', 'sort=opened']) {
      const lines = await list(query);
      const of = (what: string) => lines.find(({ number }) => number === numbers[what]);
      expect(of('late')).toMatchObject({ late: true, atRisk: false, chance: 0 });
      expect(of('tight')).toMatchObject({ late: false, atRisk: true });
      expect(of('tight')?.chance).toBeLessThan(0.5);
      expect(of('far')).toMatchObject({ late: false, atRisk: false, chance: null });
    }
  });

  test('shows those at risk only, or all others', async () => {
    expect(await named('sort=promised&atRisk=true')).toEqual(['tight']);
    expect(await named('sort=promised&atRisk=false')).toEqual(['late', 'far', 'farther', 'none']);
  });

  test('agrees with the orders to watch', async () => {
    const { body } = await clinic.as('front_desk').get('/api/v1/dates/watch').expect(200);
    const watched = (body as { items: { order: Line; chance: number }[] }).items;
    const pressing = (await list('sort=pressing')).filter(({ late, atRisk }) => late || atRisk);
    expect(pressing.map(({ number, chance }) => [number, chance])).toEqual(
      watched.map(({ order, chance }) => [order.number, chance]),
    );
  });

  test('a page of one order is no page of another', async () => {
    const { body } = await clinic
      .as('front_desk')
      .get('/api/v1/orders?stage=under_way&limit=2&sort=pressing');
    await clinic
      .as('front_desk')
      .get(`/api/v1/orders?stage=under_way&limit=2&sort=promised&after=${String(body.next)}`)
      .expect(400);
  });
});
