/** The calls of a recall: who called, when, whether the wearer was reached, and who is left. */
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { contentSha256 } from '../../src/store/events.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  deliveredLimb,
  makeSocket,
  ok,
  openedOrder,
  refusedWith,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { readPdf } from '../support/pdf.ts';

interface Recall {
  wearers: {
    socketId: string;
    calls: { outcome: string; note: string | null; calledAt: string; calledBy: string }[];
  }[];
  calls: { reached: number; left: number };
}

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;
let lot: string;

const recall = (query = `lot=${encodeURIComponent(lot)}`) =>
  ok<Recall>(clinic.as('auditor').get(`/api/v1/recall?${query}`));
const call = (body: object, role: 'front_desk' | 'technician' = 'front_desk') =>
  clinic.as(role).post('/api/v1/recall/calls', { socketId: limb.socketId, ...body });

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  // Of a lot that the patient wears.
  const [row] = await clinic.store.raw<{ lot: string }>(
    `select i.lot from item i join custody c on c.thing_id = i.id join place p on p.id = c.place_id
     where p.socket_id = $1 and i.lot is not null order by i.id limit 1`,
    [limb.socketId],
  );
  lot = row?.lot ?? '';
});
afterAll(() => clinic.close());

describe('the calls of a recall', () => {
  test('each is a record; who is reached is left no more', async () => {
    expect((await recall()).calls).toEqual({ reached: 0, left: 1 });
    await ok(call({ lot, outcome: 'not_reached' }));
    clinic.clock.pass(30);
    const noted = await ok<{ call: object }>(
      call({ lot, outcome: 'reached', note: 'Comes on Monday.' }),
    );
    expect(noted.call).toMatchObject({ outcome: 'reached', calledBy: 'Fanni Desk of KL' });
    const { wearers, calls } = await recall();
    expect(calls).toEqual({ reached: 1, left: 0 });
    expect(wearers[0]?.calls).toMatchObject([
      { outcome: 'reached', note: 'Comes on Monday.', calledAt: '2026-03-02T09:30:00.000Z' },
      { outcome: 'not_reached', note: null, calledAt: '2026-03-02T09:00:00.000Z' },
    ]);
    const [event] = await clinic.store.raw<{ data: object }>(
      `select data from event where kind = 'recall.called' order by seq desc limit 1`,
    );
    expect(event?.data).toMatchObject({ lot, outcome: 'reached' });
  });

  test('sent twice, the call is noted once', async () => {
    const send = () =>
      clinic
        .as('front_desk')
        .post(
          '/api/v1/recall/calls',
          { lot, socketId: limb.socketId, outcome: 'message_left' },
          { key: 'a-call-sent-twice' },
        );
    await ok(send());
    await ok(send());
    expect((await recall()).wearers[0]?.calls).toHaveLength(3);
  });

  test('what was agreed is read by who may ask for a recall, and not by the bench', async () => {
    for (const [role, sees] of [
      ['front_desk', true],
      ['administrator', true],
      ['technician', false],
    ] as const) {
      for (const [of, tellsSealed] of [
        [`history/socket/${limb.socketId}`, true],
        [`history/order/${limb.orderId}/file.csv`, true],
        // What is sealed is told by the two above alone.
        [`orders/${limb.orderId}/history`, false],
      ] as const) {
        const { text } = await clinic.as(role).get(`/api/v1/${of}`).buffer(true).expect(200);
        expect(text, of).toContain('recall');
        expect(text.includes('Comes on Monday.'), `${of} as ${role}`).toBe(sees && tellsSealed);
      }
    }
  });

  test('of a batch, by its id', async () => {
    const [use] = await clinic.store.raw<{ id: string }>(
      `select batch_id as id from batch_use where socket_id = $1 limit 1`,
      [limb.socketId],
    );
    const batchId = use?.id ?? '';
    await ok(call({ batchId, outcome: 'number_wrong' }));
    const { calls } = await recall(`batch=${batchId}`);
    expect(calls.left).toBe(1);
  });

  test('who wears nothing of it is not called; the bench does not call; neither or both is no recall', async () => {
    await refusedWith(call({ lot: 'ANOTHER', outcome: 'reached' }), 'recall-not-a-wearer');
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { id } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
    await refusedWith(call({ lot, socketId: id, outcome: 'reached' }), 'recall-not-a-wearer');
    await call({ lot, outcome: 'reached' }, 'technician').expect(403);
    await refusedWith(call({ outcome: 'reached' }), 'request-invalid');
    await refusedWith(call({ lot, batchId: limb.socketId, outcome: 'reached' }), 'request-invalid');
    await refusedWith(call({ lot, outcome: 'hung up' }), 'request-invalid');
  });
});

describe('the answer as files', () => {
  const file = (ending: string) =>
    clinic.as('front_desk').get(`/api/v1/recall.${ending}?lot=${encodeURIComponent(lot)}`);

  test('CSV and paper have the calls', async () => {
    const rows = parse<Record<string, string>>((await file('csv').expect(200)).text, {
      columns: true,
      record_delimiter: '\r\n',
    });
    expect(rows.find(({ section }) => section === 'worn')?.['called']).toContain(
      'Fanni Desk of KL: reached, Comes on Monday.',
    );
    expect(rows.map(({ what }) => what)).toContain('wearers still to be reached: 0');
    const { body } = await file('pdf').buffer(true).expect(200);
    expect((await readPdf(body as Buffer)).words).toContain('message left, Fanni Desk of KL');
  });

  test('JSON is the answer of the wire with its hash; so is a trace', async () => {
    const { body } = await file('json').expect(200);
    const { castbook, answer, answerSha256 } = body as {
      castbook: string;
      answer: Recall;
      answerSha256: string;
    };
    expect(castbook).toBe('recall');
    expect(answerSha256).toBe(contentSha256(answer as never));
    expect(answer.calls).toEqual({ reached: 1, left: 0 });
    const trace = await clinic.as('auditor').get(`/api/v1/trace.json?order=${limb.number}`);
    const told = trace.body as { answer: { rows: object[] }; answerSha256: string };
    expect(told.answerSha256).toBe(contentSha256(told.answer as never));
    const wire = await ok<{ rows: object[] }>(
      clinic.as('auditor').get(`/api/v1/trace?order=${limb.number}&limit=1000`),
    );
    expect(told.answer.rows).toEqual(wire.rows);
  });
});
