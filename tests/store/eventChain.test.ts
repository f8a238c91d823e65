/** R11: the events of a clinic are numbered without a gap and chained by the database itself. */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { needsManyConnections, testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, expectRefused, insertInto, type Values } from '../support/plainSql.ts';
import { ClinicRows } from '../support/rows.ts';

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

let db: TestDatabase;
let clinics: [ClinicRows, ClinicRows];

beforeAll(async () => {
  db = await testDatabase();
  clinics = [await ClinicRows.found(db.store, 'KL'), await ClinicRows.found(db.store, 'BY')];
});

afterAll(() => db.close());

const note = (clinic: ClinicRows, over: Values = {}): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (app) => insertInto(app, 'event', clinic.eventOf(over)));

/** The chain as anyone with the events can make it anew. */
async function expectWholeChain({ clinicId }: ClinicRows, length: number): Promise<void> {
  const events = await db.store.raw<{ seq: number; leaf: string; chain: string }>(
    'select seq, leaf_sha256 as leaf, chain_sha256 as chain from event where clinic_id = $1 order by seq',
    [clinicId],
  );
  expect(events).toHaveLength(length);
  let head = '0'.repeat(64);
  for (const [at, event] of events.entries()) {
    head = sha256(head + event.leaf);
    expect(event).toMatchObject({ seq: at + 1, chain: head });
  }
  const kept = await db.store.raw('select seq, chain_sha256 from event_head where clinic_id = $1', [
    clinicId,
  ]);
  expect(kept).toEqual(length === 0 ? [] : [{ seq: length, chain_sha256: head }]);
}

describe('the audit trail (R11)', () => {
  test('each clinic’s events are numbered and chained for themselves, whatever was sent', async () => {
    const [ours, theirs] = clinics;
    await expectWholeChain(ours, 0);
    for (let n = 1; n <= 4; n += 1) {
      await note(ours, {
        leaf_sha256: sha256(`ours ${n}`),
        seq: 1000,
        chain_sha256: 'f'.repeat(64),
      });
      await note(theirs, { leaf_sha256: sha256(`theirs ${n}`), seq: 1 });
    }
    await expectWholeChain(ours, 4);
    await expectWholeChain(theirs, 4);
  });

  test('what is rolled back leaves no gap', async () => {
    const [ours] = clinics;
    const undone = new Error('undone');
    await expect(
      asApp(db.store, ours.clinicId, async (app) => {
        await insertInto(app, 'event', ours.eventOf());
        throw undone;
      }),
    ).rejects.toBe(undone);
    await note(ours);
    await expectWholeChain(ours, 5);
  });

  test('several events in one statement are chained one by one', async () => {
    const [ours] = clinics;
    await asApp(db.store, ours.clinicId, (app) =>
      app.query(
        `insert into event (clinic_id, seq, id, at, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
         select $1, 7, gen_random_uuid(), now(), 'thing.noted', 'thing', gen_random_uuid(), '{}', repeat(n::text, 64), ''
         from generate_series(1, 3) n`,
        [ours.clinicId],
      ),
    );
    await expectWholeChain(ours, 8);
  });

  test('no event and no head is rewritten, and a leaf that is no hash is not taken', async () => {
    const [ours] = clinics;
    const app = (sql: string) => () => asApp(db.store, ours.clinicId, (as) => as.query(sql));
    for (const sql of [
      `update event set data = '{"forged": true}'`,
      'update event set seq = 3 where seq = 2',
      `update event_head set chain_sha256 = repeat('0', 64)`,
      `insert into event_head (clinic_id, seq, chain_sha256) values ('${ours.clinicId}', 0, '')`,
      'delete from event where seq = 1',
    ]) {
      await expectRefused(db.store, app(sql), { state: '42501' });
    }
    for (const leaf_sha256 of ['', 'A'.repeat(64), 'a'.repeat(63)]) {
      await expectRefused(db.store, () => note(ours, { leaf_sha256 }), { state: '23514' });
    }
    await expectWholeChain(ours, 8);
  });

  needsManyConnections('thirty at once: no number is given twice, none is left out', async () => {
    const [, theirs] = clinics;
    await Promise.all(
      Array.from({ length: 30 }, (_, n) => note(theirs, { leaf_sha256: sha256(`${n}`) })),
    );
    await expectWholeChain(theirs, 34);
  });
});
