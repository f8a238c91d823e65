/** The check that the other tests here rest on sees what it is there to see. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { breaches } from '../support/integrity.ts';
import { deliveredLimb, stockedShop } from '../support/job.ts';

let clinic: TestClinic;

beforeAll(async () => {
  clinic = await testClinic();
  await deliveredLimb(await stockedShop(clinic));
});
afterAll(() => clinic.close());

test('a limb followed to its delivery leaves a record without a breach', async () => {
  expect(await breaches(clinic.store.raw)).toEqual([]);
});

test.each([
  ['a move lost from the middle of its ledger', 'R1, R2', 'delete from move where seq = 2'],
  [
    'custody elsewhere than the last move',
    'R1, R2',
    `update custody set place_id = (select id from place where kind = 'scrap')
     where exclusive_place_id is null`,
  ],
  [
    'a move from where the thing was not',
    'R2: a move begins',
    `update move set from_place_id = (select id from place where kind = 'quarantine') where seq = 2`,
  ],
  [
    'two things in one position',
    'R1: two things',
    `update custody c set place_id = d.place_id from (
       select place_id, thing_id from custody where exclusive_place_id is not null limit 1) d
     where c.thing_id <> d.thing_id`,
  ],
  ['an answered request without its event', 'R13', `delete from event where kind = 'lock.checked'`],
  ['a move without its event', 'R11: move', `delete from event where kind = 'custody.moved'`],
  ['a torque confirmation half written', 'a torque', 'delete from torque_reading'],
  ['a cast without its measures', 'a cast', 'delete from measure'],
  ['an operation done without a record', 'an operation', 'delete from operation_record'],
  [
    'a stage that was never stepped to',
    'a stage',
    `update fabrication_order set stage = 'casting'`,
  ],
  [
    'an order number given out and not used',
    'numbers',
    'update number_counter set last = last + 1',
  ],
  ['a delivery that is gone', 'R8', 'delete from delivery'],
  ['an event that is gone', 'R11: event', 'delete from event where seq = 5'],
  [
    'an event rewritten',
    'R11: event',
    `update event set data = data || '{"note": "never happened"}' where seq = 5`,
  ],
  [
    'an event rewritten with its hash',
    'R11: the chain',
    `update event set chain_sha256 = repeat('a', 64) where seq = 5`,
  ],
  ['a chain with its end cut off', 'R11: the head', 'update event_head set seq = seq + 1'],
])('%s is found', async (_what, found, tampering) => {
  const undo = new Error('undo');
  let told: string[] = [];
  const attempt = clinic.store.ownerTransaction(async (sql) => {
    await sql.script(`set local session_replication_role = replica; ${tampering}`);
    told = await breaches(sql.query);
    throw undo;
  });
  await expect(attempt).rejects.toBe(undo);
  expect(told.filter((breach) => breach.startsWith(found))).not.toEqual([]);
});
