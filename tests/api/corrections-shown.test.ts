/** Where a corrected record is read its correction is read too: trace, recall, papers, signatures (R10). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { PASSWORD } from '../support/clinic.ts';
import { deliveredLimb, ok, stockedShop, type MadeLimb, type Shop } from '../support/job.ts';
import { readPdf } from '../support/pdf.ts';
import { readCsv } from '../support/readCsv.ts';

interface Said {
  id: string;
  subjectKind: string;
  subjectId: string;
  wrong: string | null;
  right: string | null;
  unseen: string | null;
  correctedBy: string;
}
interface Row {
  kind: string;
  recordId: string;
  what: string;
  details: Record<string, unknown>;
  corrections: Said[];
}
interface OnList {
  socketNumber: string;
  corrections: Said[];
}
interface Recall {
  wearers: OnList[];
  named: { orderNumber: string | null; correction: Said }[];
}

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;
let untouched: MadeLimb;
/** Ids of the records that are corrected, by their kind. */
let record: Record<string, string>;
let resinLot: string;

const WRONG = 'Wrong lot read from the can';
const correct = (subjectKind: string, subjectId: string, right: string, patientId?: string) =>
  ok<{ id: string }>(
    clinic.as('prosthetist').post(`/api/v1/patients/${patientId ?? limb.patientId}/corrections`, {
      subjectKind,
      subjectId,
      wrong: WRONG,
      right,
      why: 'Misread.',
      signature: { password: PASSWORD },
    }),
  );
const trace = async (query: string, role: Role = 'auditor'): Promise<Row[]> =>
  (await ok<{ rows: Row[] }>(clinic.as(role).get(`/api/v1/trace?${query}&limit=1000`))).rows;
const rightsBeside = (rows: readonly Row[], kind: string, recordId: string) =>
  rows
    .filter((row) => row.kind === kind && row.recordId === recordId)
    .flatMap(({ corrections }) => corrections.map(({ right }) => right));

async function pdf(role: Role, url: string): Promise<string> {
  const { body, status } = await clinic
    .as(role)
    .get(url)
    .buffer(true)
    .parse((answer, done) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () => done(null, Buffer.concat(parts)));
    });
  expect(status, url).toBe(200);
  return (await readPdf(body as Buffer)).words;
}
const sentence = (right: string): string =>
  `Corrected on Mon 2 Mar 2026 10:01 by Paula Fitting of KL: “${right}” stands for “${WRONG}” (Misread.).`;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  untouched = await deliveredLimb(shop);
  const one = async (sql: string): Promise<string> => {
    const [row] = await clinic.store.raw<{ id: string }>(sql, [limb.orderId]);
    if (row === undefined) throw new Error(sql);
    return row.id;
  };
  const ofSocket = (table: string) =>
    one(`select x.id::text from ${table} x join socket s on s.id = x.socket_id
      where s.order_id = $1 and s.kind = 'definitive' order by x.id limit 1`);
  record = {
    resin_weighing: await ofSocket('resin_weighing'),
    lock_check: await ofSocket('lock_check'),
    delivery: await ofSocket('delivery'),
    torque_confirmation: await one(
      `select x.id::text from torque_confirmation x join joint j on j.id = x.joint_id join socket s on s.id = j.socket_id
       where s.order_id = $1 and s.kind = 'definitive' order by x.id limit 1`,
    ),
    fitting: await one(
      `select x.id::text from fitting x join socket s on s.id = x.socket_id where s.order_id = $1`,
    ),
    measure_set: await one(
      'select m.id::text from measure_set m where m.order_id = $1 and m.cast_id is not null',
    ),
    cast: await one('select id::text from limb_cast where order_id = $1'),
    body_mass: await one(
      `select b.id::text from body_mass b join fabrication_order o on o.patient_id = b.patient_id where o.id = $1`,
    ),
  };
  const [resin] = await clinic.store.raw<{ lot: string }>('select lot from batch where id = $1', [
    shop.batches['resin'],
  ]);
  resinLot = resin?.lot ?? '';
  // The clock stands until all is signed: what was corrected came after it.
  clinic.clock.pass(1);
  for (const kind of Object.keys(record)) {
    if (kind !== 'cast') await correct(kind, record[kind] ?? '', `right ${kind}`);
  }
}, 300_000);
afterAll(() => clinic.close());

describe('the trace', () => {
  test('says a correction beside its record, which stays, and beside what hangs on it', async () => {
    const rows = await trace(`order=${limb.number}`);
    const at = (kind: string, id = record[kind] ?? '') => rightsBeside(rows, kind, id);
    expect(at('lock_check')).toEqual(['right lock_check']);
    expect(at('weighing', record['resin_weighing'])).toEqual(['right resin_weighing']);
    expect(at('torque', record['torque_confirmation'])).toEqual(['right torque_confirmation']);
    expect(at('delivery')).toEqual(['right delivery']);
    // The measures that a cast was taken with are told by the cast.
    expect(at('cast')).toEqual(['right measure_set']);
    const uses = rows.filter(({ kind }) => kind === 'batch_use');
    expect(uses.some(({ corrections }) => corrections[0]?.right === 'right resin_weighing')).toBe(
      true,
    );
    const signed = rows.filter(({ kind }) => kind === 'signature');
    const fit = signed.find(({ details }) => details['meaning'] === 'fit_accepted');
    expect(fit?.corrections.map(({ right }) => right)).toEqual(['right fitting']);
    // The correction is an act of its own, at its time, with its words.
    const made = signed.filter(({ details }) => details['meaning'] === 'correction_made');
    expect(made).toHaveLength(Object.keys(record).length - 2);
    for (const { corrections } of made) expect(corrections).toHaveLength(1);
  });

  test('of the patient tells of a body mass that was corrected, which is of no order', async () => {
    const of = async (query: string) =>
      (await trace(query)).flatMap(({ corrections }) => corrections.map(({ right }) => right));
    expect(await of(`patient=${limb.chartNumber}`)).toContain('right body_mass');
    expect(await of(`order=${limb.number}`)).not.toContain('right body_mass');
  });

  test('of another limb has none of it', async () => {
    const rows = await trace(`order=${untouched.number}`);
    expect(rows.length).toBeGreaterThan(20);
    expect(rows.flatMap(({ corrections }) => corrections)).toEqual([]);
  });

  test('as CSV and on paper says it in a sentence', async () => {
    const { text } = await clinic
      .as('auditor')
      .get(`/api/v1/trace.csv?order=${limb.number}`)
      .buffer(true);
    const checked = readCsv(text).find(({ recordId }) => recordId === record['lock_check']);
    expect(checked?.['corrected']).toContain('“right lock_check” stands for');
    const words = await pdf('auditor', `/api/v1/trace.pdf?order=${limb.number}`);
    expect(words).toContain(sentence('right lock_check'));
  });

  test('gives the words to those alone who see what is corrected', async () => {
    const of = async (role: Role) => {
      const rows = await trace(`socket=${limb.number}/D1`, role);
      return rows.find(({ kind }) => kind === 'delivery')?.corrections;
    };
    // Who received the limb is no concern of the bench.
    expect(await of('technician')).toMatchObject([
      { unseen: 'withheld', right: null, wrong: null },
    ]);
    expect(await of('administrator')).toMatchObject([{ unseen: 'withheld' }]);
    expect(await of('prosthetist')).toMatchObject([{ unseen: null, right: 'right delivery' }]);
    const { items } = await ok<{ items: Said[] }>(
      clinic.as('technician').get(`/api/v1/orders/${limb.orderId}/corrections`),
    );
    const unseen = Object.fromEntries(items.map((each) => [each.subjectKind, each.unseen]));
    expect(unseen).toMatchObject({ delivery: 'withheld', lock_check: null, fitting: null });
  });
});

describe('a recall', () => {
  const recall = (query: string, role: Role = 'prosthetist') =>
    ok<Recall>(clinic.as(role).get(`/api/v1/recall?${query}`));

  test('of a batch says that the cup it was used for was corrected; the list stays', async () => {
    const { wearers, named } = await recall(`batch=${shop.batches['resin'] ?? ''}`);
    const by = new Map(wearers.map((each) => [each.socketNumber, each.corrections]));
    expect(
      by
        .get(`${limb.number}/D1`)
        ?.map(({ right }) => right)
        .sort(),
    ).toEqual(['right delivery', 'right resin_weighing']);
    expect(by.get(`${untouched.number}/D1`)).toEqual([]);
    expect(named).toEqual([]);
  });

  test('tells of a correction elsewhere that names the lot, and of none that only looks like it', async () => {
    const [other] = await clinic.store.raw<{ id: string }>(
      `select x.id::text from torque_confirmation x join joint j on j.id = x.joint_id join socket s on s.id = j.socket_id
       where s.order_id = $1 limit 1`,
      [untouched.orderId],
    );
    const id = other?.id ?? '';
    await correct('torque_confirmation', id, `from lot ${resinLot}9`, untouched.patientId);
    await correct(
      'torque_confirmation',
      id,
      `from lot ${resinLot.toLowerCase()}.`,
      untouched.patientId,
    );
    const { named } = await recall(`batch=${shop.batches['resin'] ?? ''}`);
    expect(named).toMatchObject([
      {
        orderNumber: untouched.number,
        correction: { right: `from lot ${resinLot.toLowerCase()}.`, unseen: null },
      },
    ]);
    const query = `batch=${shop.batches['resin'] ?? ''}`;
    const paper = await pdf('prosthetist', `/api/v1/recall.pdf?${query}`);
    expect(paper).toContain('Named in corrections: to be looked at');
    expect(paper).toContain(sentence('right resin_weighing'));
    const { text } = await clinic.as('prosthetist').get(`/api/v1/recall.csv?${query}`).buffer(true);
    const lines = readCsv(text);
    expect(lines.filter(({ section }) => section === 'namedInCorrection')).toHaveLength(1);
    expect(
      lines.some(
        ({ section, corrected }) =>
          section === 'worn' && corrected?.includes('right resin_weighing'),
      ),
    ).toBe(true);
  });
});

describe('on paper', () => {
  test('the traveller says it where the bench reads the record, and nothing of who received the limb', async () => {
    const words = await pdf('front_desk', `/api/v1/orders/${limb.orderId}/traveller.pdf`);
    for (const kind of ['lock_check', 'torque_confirmation', 'measure_set', 'body_mass']) {
      expect(words, kind).toContain(sentence(`right ${kind}`));
    }
    expect(words).toContain('It changes no evidence: torque the joint again for it to count.');
    expect(words).not.toContain('right delivery');
  });

  test('the delivery record says it of what was released, and of what that rested on', async () => {
    const url = `/api/v1/sockets/${limb.socketId}/delivery-record.pdf`;
    const words = await pdf('front_desk', url);
    for (const kind of ['delivery', 'lock_check', 'torque_confirmation', 'body_mass']) {
      expect(words, kind).toContain(sentence(`right ${kind}`));
    }
    const without = await pdf(
      'front_desk',
      `/api/v1/sockets/${untouched.socketId}/delivery-record.pdf`,
    );
    expect(without).not.toMatch(/right [a-z]+_/);
  });
});

describe('a signature read back', () => {
  interface Signature {
    id: string;
    meaning: string;
    correctedSince: number;
    differencesSince: number;
    intact: boolean;
    content: Record<string, unknown>;
    withheld: string[];
    corrections: Said[];
  }
  const list = async () =>
    (
      await ok<{ items: Signature[] }>(
        clinic.as('auditor').get(`/api/v1/orders/${limb.orderId}/signatures`),
      )
    ).items;
  const read = (id: string, role: Role = 'auditor') =>
    ok<Signature>(clinic.as(role).get(`/api/v1/signatures/${id}`));

  test('says what was corrected since, of what it vouches for; what was signed is intact', async () => {
    const all = await list();
    const of = async (meaning: string) => {
      const { id = '', correctedSince } = all.find((each) => each.meaning === meaning) ?? {};
      const signature = await read(id);
      expect(signature).toMatchObject({ intact: true, differencesSince: 0, correctedSince });
      return signature.corrections.map(({ subjectKind }) => subjectKind).sort();
    };
    expect(await of('delivery_released')).toEqual([
      'body_mass',
      'delivery',
      'lock_check',
      'resin_weighing',
      'torque_confirmation',
    ]);
    expect(await of('layup_approved')).toEqual(['body_mass']);
    const fit = all.find(({ meaning }) => meaning === 'fit_accepted');
    // The alignment and the hardware have moved on; the fit itself was corrected.
    expect((await read(fit?.id ?? '')).corrections).toMatchObject([{ right: 'right fitting' }]);
  });

  test('of a correction gives its words to those alone who see what is corrected', async () => {
    const all = await list();
    const signatures = await Promise.all(
      all.filter(({ meaning }) => meaning === 'correction_made').map(({ id }) => read(id)),
    );
    const { id = '' } =
      signatures.find(({ content }) => content['subjectKind'] === 'delivery') ?? {};
    const asBench = await read(id, 'technician');
    expect(asBench.withheld).toEqual(['wrong', 'right', 'why']);
    expect(JSON.stringify(asBench)).not.toContain('right delivery');
    expect((await read(id, 'front_desk')).content).toMatchObject({ right: 'right delivery' });
  });
});
