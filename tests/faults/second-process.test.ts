/** One process to a data folder; as many as are wanted to a database server. */
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { databaseKind, needsManyConnections } from '../support/database.ts';
import { foundedGrounds, type Grounds } from '../support/grounds.ts';
import { breaches } from '../support/integrity.ts';
import { inBin, move, ok, shopAt, type Shop } from '../support/job.ts';
import { endServices, launchService, startService } from '../support/service.ts';

// Whole services start in here, on machines that may be busy.
vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 });

const HANDS = 50;

let grounds: Grounds<Awaited<ReturnType<typeof prepared>>>;

beforeAll(async () => {
  grounds = await foundedGrounds(prepared);
});
afterEach(endServices);
afterAll(() => grounds.remove());

/** A lock that everybody wants, and a drawer for each of them. */
async function prepared(shop: Shop): Promise<{ lock: string; drawers: string[] }> {
  const [lock = ''] = await shop.receive('lock', 1);
  const drawers: string[] = [];
  for (let n = 1; n <= HANDS; n += 1) {
    const made = shop.clinic.as('technician').post('/api/v1/places', { name: `Race ${n}` });
    drawers.push((await ok<{ id: string }>(made)).id);
  }
  return { lock, drawers };
}

test.skipIf(databaseKind === 'server')(
  'a second service on the same folder is refused and told which process has it; the first does not notice [embedded only: a server takes many]',
  async () => {
    const first = await startService(grounds.env);
    const second = await launchService(grounds.env).ended;
    expect(second.code).toBe(1);
    expect(second.stderr).toContain(grounds.folder);
    expect(second.stderr).toContain(`process ${first.pid} `);
    // Words for whoever starts it, no stack.
    expect(second.stderr.trim().split('\n')).toHaveLength(1);

    const { clinic } = shopAt(grounds.shop, first.address);
    expect((await clinic.stranger.get('/readyz')).status).toBe(200);
    await ok(clinic.as('technician').post('/api/v1/places', { name: 'Drawer for the first' }));
    first.signal('SIGTERM');
    expect(await first.ended).toMatchObject({ code: 0, stderr: '' });

    const third = await startService(grounds.env);
    const places = await ok<{ items: { name: string }[] }>(
      shopAt(grounds.shop, third.address).clinic.as('technician').get('/api/v1/places'),
    );
    expect(places.items.map(({ name }) => name)).toContain('Drawer for the first');
  },
);

needsManyConnections(
  'three services on one server: of fifty moves of one lock, spread over them, one wins',
  async () => {
    const services = await Promise.all([1, 2, 3].map(() => startService(grounds.env)));
    const shops = services.map(({ address }) => shopAt(grounds.shop, address));
    const { lock, drawers } = grounds.prepared;
    const answers = await Promise.all(
      drawers.map((placeId, n) => {
        const shop = shops[n % shops.length]!;
        return move(shop, { itemId: lock }, inBin(shop), { kind: 'bin', placeId }, 'stock_taken');
      }),
    );
    const lost = answers.filter(({ status }) => status !== 201);
    expect(lost).toHaveLength(HANDS - 1);
    // Each service tells where it went, whichever of them moved it.
    const { item, moves } = await ok<{ item: { placeName: string }; moves: unknown[] }>(
      shops[0]!.clinic.as('technician').get(`/api/v1/items/${lock}`),
    );
    expect(moves).toHaveLength(2);
    for (const { status, body } of lost) {
      expect({ status, code: body.code }).toEqual({ status: 409, code: 'item-is-elsewhere' });
      expect(body.detail).toContain(item.placeName);
    }
    expect(await grounds.look(({ query }) => breaches(query))).toEqual([]);
  },
);
