/** What the bench chooses from: pieces that lie free, and who may be named as the second person. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  inBin,
  inPosition,
  makeSocket,
  move,
  ok,
  onBench,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

describe('pieces that lie free', () => {
  it('are those in bins and on the bench, not those in a socket or in quarantine', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    const [kept = '', out = '', inside = '', held = ''] = await shop.receive('pin', 4);
    await ok(move(shop, { itemId: out }, inBin(shop), onBench));
    await ok(move(shop, { itemId: inside }, inBin(shop), inPosition(socket.id, 'pin')));
    await ok(move(shop, { itemId: held }, inBin(shop), { kind: 'quarantine' }, 'quarantined'));
    const listed = async (query: string): Promise<string[]> =>
      (
        await ok<{ items: { id: string }[] }>(clinic.as('technician').get(`/api/v1/items${query}`))
      ).items.map(({ id }) => id);
    expect(await listed('?kind=pin&free=true')).toEqual([kept, out].sort());
    expect(await listed('?kind=pin')).toEqual([kept, out, inside, held].sort());
  });
});

describe('the second person of an operation', () => {
  it('is chosen from the technicians and prosthetists who work here, and from nobody else', async () => {
    const { items } = await ok<{ items: { id: string }[] }>(
      clinic.as('technician').get('/api/v1/bench-people'),
    );
    const { technician, prosthetist } = clinic.people;
    expect(items.map(({ id }) => id).sort()).toEqual([technician.id, prosthetist.id].sort());
    expect(Object.keys(items[0] ?? {}).sort()).toEqual(['id', 'printedName']);
    await clinic.as('front_desk').get('/api/v1/bench-people').expect(403);
  });
});
