/**
 * A record tampered with past the service: in the database as its owner with every trigger asleep, then
 * exported, or in the exported file itself. Each is found by the file and a public key alone.
 */
import { spawnSync } from 'node:child_process';
import { createPublicKey } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CHAIN_START, chainText, leafText, type Leaf } from '../../src/domain/eventChain.ts';
import { signHead } from '../../src/features/record/signing.ts';
import { inClinic } from '../../src/store/act.ts';
import { writeEvents } from '../../src/store/events.ts';
import { headSigner } from '../../src/features/record/signer.ts';
import { rotateEverywhere } from '../../scripts/rotate-signing-key.ts';
import type { Verification } from '../../scripts/verify/found.ts';
import { main, verifyLines } from '../../scripts/verify-export.ts';
import { encryptSealed } from '../../src/store/sealedValues.ts';
import { CIPHERTEXT, testCipher } from '../support/columnKeys.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { ok } from '../support/job.ts';
import { exportedRecord } from '../support/exportedRecord.ts';
import { addPatient, openOrder } from '../support/orders.ts';
import { sha256 } from '../support/provenRecord.ts';
import { aKey, aSigner } from '../support/signedHeads.ts';

let clinic: TestClinic;
let lines: string[];
let order: { id: string; orderId: string };
let folder: string;
const key = aKey();
const { publicKey } = headSigner(key);
const saved = { seq: 0, begins: '', file: '' };

const proven = (of: readonly string[], trusted = [publicKey], since?: object) =>
  verifyLines(of, { trusted, saved: since as never });
const failing = async (of: readonly string[], since?: object) => {
  const found = await proven(of, [publicKey], since);
  expect(found.ok).toBe(false);
  return found;
};
const sign = (of = clinic) => ok<{ number: number }>(of.as('auditor').post('/api/v1/record/heads'));
type Line = { line: string; seq: number; [field: string]: unknown };
const parsed = (text: string): Line => JSON.parse(text) as Line;

async function someDays(of: TestClinic): Promise<{ id: string; orderId: string }> {
  let last = { id: '', orderId: '' };
  for (let n = 0; n < 3; n += 1) {
    const { id } = await addPatient(of, { phone: `01 555 ${n}` });
    last = { id, orderId: (await openOrder(of, { patientId: id })).id };
    await sign(of);
  }
  return last;
}

beforeAll(async () => {
  clinic = await testClinic({ headSigningKey: key });
  order = await someDays(clinic);
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-verify-'));
});
afterAll(async () => {
  fs.rmSync(folder, { recursive: true, force: true });
  await clinic.close();
});

describe('an export that nobody touched', () => {
  /** All that follows is of this export, its last head and its key. */
  test('has heads, events and an end', async () => {
    lines = await exportedRecord(clinic);
    const head = await ok<{ items: { treeSize: number; chainSha256: string }[] }>(
      clinic.as('auditor').get('/api/v1/record/heads?limit=1'),
    );
    saved.file = path.join(folder, 'head.json');
    fs.writeFileSync(saved.file, JSON.stringify(head.items[0]));
    saved.seq = head.items[0]!.treeSize;
    saved.begins = head.items[0]!.chainSha256;
    fs.writeFileSync(path.join(folder, 'export.ndjson'), `${lines.join('\n')}\n`);
    const pem = createPublicKey(key).export({ format: 'pem', type: 'spki' });
    fs.writeFileSync(path.join(folder, 'key.pem'), pem);
    expect(lines.filter((line) => parsed(line).line === 'signed_head')).toHaveLength(3);
    expect(parsed(lines.at(-1)!).line).toBe('end');
  });

  test('is well, and holds what was saved before; a stranger’s key proves nothing', async () => {
    const found = await proven(lines, [publicKey], saved);
    expect(found).toMatchObject({
      ok: true,
      of: 'clinic',
      result: { fault: null, heads: 3, keys: 1 },
    });
    expect(found.result?.savedHeadMet).toBe(true);
    const strange = await proven(lines, [aSigner().publicKey]);
    expect(strange.result?.fault).toMatchObject({ kind: 'key_not_trusted', number: 1 });
  });

  test('of one order proves each of its records under the newest head', async () => {
    const of = await exportedRecord(clinic, order.orderId);
    const found = await proven(of);
    expect(found).toMatchObject({ ok: true, of: 'order' });
    expect(found.result?.included).toBe(found.result?.events);
    expect(found.result?.included).toBeGreaterThan(0);
    const forged = of.map((line) =>
      line.replace('"kind":"order.opened"', '"kind":"order.changed"'),
    );
    expect((await failing(forged)).result?.fault).toMatchObject({ kind: 'content_changed' });
  });

  test('is proven by npx, offline, and by its words an auditor knows what was', () => {
    const run = (...args: string[]) =>
      spawnSync('npx', ['--no-install', 'castbook-verify', ...args], { encoding: 'utf8' });
    const [file, pem] = [path.join(folder, 'export.ndjson'), path.join(folder, 'key.pem')];
    const well = run(file, '--key', pem, '--since', saved.file);
    expect(well.stdout).toContain('The record is well.');
    expect(well.stdout).toContain(`held.`);
    expect(well.status).toBe(0);
    const cut = path.join(folder, 'cut.ndjson');
    fs.writeFileSync(cut, lines.slice(0, -4).join('\n'));
    const broken = run(cut, '--key', pem, '--json');
    expect(broken.status).toBe(1);
    expect(JSON.parse(broken.stdout) as Verification).toMatchObject({ ok: false });
  }, 120_000);

  test('a question that cannot be asked is told from a record that fails', async () => {
    const said: string[] = [];
    const say = (text: string): void => void said.push(text);
    const file = path.join(folder, 'export.ndjson');
    for (const args of [
      [],
      [file],
      [file, '--key', file],
      [`${file}x`, '--key', path.join(folder, 'key.pem')],
    ]) {
      expect(await main(args, say)).toBe(2);
    }
    expect(said.join(' ')).toContain('Give a public key');
  });
});

describe('the file tampered with', () => {
  const firstEvent = () => lines.findIndex((line) => parsed(line).line === 'event');
  const at = (seq: number): number => firstEvent() + seq - 1;
  const changed = (seq: number, change: (line: Line) => object): string[] =>
    lines.with(at(seq), JSON.stringify(change(parsed(lines[at(seq)]!))));

  test.each<{ how: string; of: () => string[]; fault: object }>([
    {
      how: 'a field edited',
      of: () => changed(4, (line) => ({ ...line, at: '2026-03-02T09:00:01.000Z' })),
      fault: { kind: 'content_changed', number: 4 },
    },
    {
      how: 'a record withheld that was not',
      of: () => changed(4, (line) => ({ ...line, withheld: true, leafSha256: sha256('else') })),
      fault: { kind: 'chain_broken', number: 4 },
    },
    {
      how: 'a record removed',
      of: () => lines.toSpliced(at(5), 1),
      fault: { kind: 'event_missing', number: 5 },
    },
    {
      how: 'a record said twice',
      of: () => lines.toSpliced(at(5), 0, lines[at(4)]!),
      fault: { kind: 'event_out_of_order', number: 5 },
    },
    {
      how: 'two exchanged',
      of: () => lines.with(at(5), lines[at(6)]!).with(at(6), lines[at(5)]!),
      fault: { kind: 'event_missing', number: 5 },
    },
    {
      how: 'a head removed',
      of: () =>
        lines.toSpliced(
          lines.findIndex((line) => parsed(line).line === 'signed_head'),
          1,
        ),
      fault: { kind: 'head_missing', record: 'head', number: 1 },
    },
    {
      how: 'the last head removed',
      of: () =>
        lines.toSpliced(
          lines.findLastIndex((line) => parsed(line).line === 'signed_head'),
          1,
        ),
      fault: { kind: 'head_left_out', record: 'head', number: 3 },
    },
  ])('$how: found', async ({ of, fault }) => {
    expect((await failing(of())).result?.fault).toMatchObject(fault);
  });

  test('cut off, put together of two, or no export at all: the line is named', async () => {
    const end = await failing(lines.slice(0, -1));
    expect(end.file?.why).toContain('cut off');
    const two = await failing([...lines.slice(0, 3), ...lines]);
    expect(two.file).toMatchObject({ line: 4 });
    expect((await failing(['{"line":"row"}'])).file?.line).toBe(1);
    expect((await failing(['no JSON'])).file?.line).toBe(1);
    expect((await failing([])).file?.why).toContain('nothing');
  });

  test('with another clinic’s records, or its signed head, spliced in', async () => {
    const theirs = await clinic.another('SP');
    await someDays(theirs);
    const other = await exportedRecord(theirs);
    const from = other.findIndex((line) => parsed(line).line === 'event');
    const spliced = lines.with(at(7), other[from + 6]!);
    expect((await failing(spliced)).result?.fault).toMatchObject({ number: 7, record: 'event' });
    const [ours, their] = [lines, other].map((of) =>
      of.findIndex((line) => parsed(line).line === 'signed_head'),
    );
    const head = lines.with(ours!, other[their!]!);
    expect((await failing(head)).result?.fault).toMatchObject({
      kind: 'head_of_another_clinic',
      number: 1,
    });
  });
});

describe('the database tampered with, then exported', () => {
  let own: TestClinic;
  let n = 0;
  const tamper = (sql: string): Promise<void> =>
    own.store.ownerTransaction((owner) =>
      owner.script(`set local session_replication_role = replica; ${sql}`),
    );
  const row = (seq: number) => `clinic_id = '${own.clinicId}' and seq = ${seq}`;
  const fresh = async (): Promise<void> => {
    n += 1;
    own = await clinic.another(`T${String.fromCharCode(64 + n)}`);
    await someDays(own);
  };
  const fault = async (since?: object) =>
    (await failing(await exportedRecord(own), since)).result?.fault;

  test('a field, a seal’s value, a record taken out: each named', async () => {
    await fresh();
    const [{ seq } = { seq: 0 }] = await own.store.raw<{ seq: number }>(
      `select seq::int as seq from event where clinic_id = $1 and kind = 'patient.added' order by seq desc limit 1`,
      [own.clinicId],
    );
    const [kept] = await own.store.raw<{ id: string; sealed: string }>(
      `select id, sealed::text as sealed from event where ${row(seq)}`,
    );
    // By who has the database alone, and by who has the keys too.
    const forged = encryptSealed(
      testCipher,
      { clinicId: own.clinicId, eventId: kept!.id },
      { phone: { salt: '0'.repeat(32), value: '0' } },
    )['phone']!;
    for (const phone of [CIPHERTEXT, forged]) {
      await tamper(
        `update event set sealed = jsonb_set(sealed, '{phone}', '"${phone}"') where ${row(seq)}`,
      );
      expect(await fault()).toMatchObject({ kind: 'seal_broken', number: seq });
    }
    await tamper(`update event set sealed = '${kept!.sealed}' where ${row(seq)}`);
    await tamper(`update event set data = data || '{"note": "forged"}' where ${row(5)}`);
    expect(await fault()).toMatchObject({ kind: 'content_changed', number: 5 });
    await tamper(`delete from event where ${row(3)}`);
    expect(await fault()).toMatchObject({ kind: 'event_missing', number: 3 });
  });

  /** As whoever has the whole database can: every event after it hashed and chained anew. */
  async function chainedAnew(at: number): Promise<void> {
    const events = await own.store.raw<Leaf & { seq: number }>(
      `select seq::int as seq, id, at, person_id as "personId", kind, subject_kind as "subjectKind",
         subject_id as "subjectId", order_id as "orderId", data from event where clinic_id = $1 order by seq`,
      [own.clinicId],
    );
    let chain = CHAIN_START.chainSha256;
    let script = '';
    for (const { seq, at: when, data, ...rest } of events) {
      const said = seq === at ? { ...data, note: 'forged' } : data;
      const leaf = {
        ...rest,
        at: new Date(when).toISOString(),
        clinicId: own.clinicId,
        data: said,
      };
      const leafSha256 = sha256(leafText(leaf));
      chain = sha256(chainText(chain, leafSha256));
      script += `update event set data = '${JSON.stringify(said).replaceAll("'", "''")}',
        leaf_sha256 = '${leafSha256}', chain_sha256 = '${chain}' where ${row(seq)};`;
    }
    await tamper(
      `${script} update event_head set chain_sha256 = '${chain}' where clinic_id = '${own.clinicId}'`,
    );
  }

  test('edited and chained anew from end to end: the first head over it gives it away', async () => {
    await fresh();
    await chainedAnew(2);
    expect(await fault()).toMatchObject({
      kind: 'root_differs',
      record: 'head',
      number: 1,
      firstEvent: 1,
    });
  });

  test('and with the heads thrown away and signed anew by another key: no key that is known leads there', async () => {
    await fresh();
    await chainedAnew(2);
    await tamper(`delete from signed_head where clinic_id = '${own.clinicId}'; delete from signing_key where clinic_id = '${own.clinicId}';
      delete from merkle_node where clinic_id = '${own.clinicId}'`);
    const forger = await signedByAForger(own);
    expect(forger.number).toBe(1);
    expect(await fault()).toMatchObject({ kind: 'key_not_trusted', record: 'key', number: 1 });
  });

  test('cut off at the end with its heads: a head saved earlier gives it away', async () => {
    await fresh();
    const [, second] = await own.store.raw<{ size: number; chain: string }>(
      'select tree_size::int as size, chain_sha256 as chain from signed_head where clinic_id = $1 order by number desc',
      [own.clinicId],
    );
    const [last] = await own.store.raw<{ size: number; chain: string }>(
      'select tree_size::int as size, chain_sha256 as chain from signed_head where clinic_id = $1 order by number desc limit 1',
      [own.clinicId],
    );
    const mine = `clinic_id = '${own.clinicId}'`;
    await tamper(`
      delete from event where ${mine} and seq > ${second!.size};
      delete from signed_head where ${mine} and tree_size > ${second!.size};
      update event_head set seq = ${second!.size}, chain_sha256 = '${second!.chain}' where ${mine}`);
    const found = await fault({ seq: last!.size, begins: last!.chain });
    expect(found?.number).toBeGreaterThan(second!.size);
  });

  test('a rotation forged in the database', async () => {
    await fresh();
    const young = aSigner();
    await rotateEverywhere(own.store, { at: own.clock.now(), old: headSigner(key), young });
    await tamper(
      `update signing_key set previous_signature = own_signature where clinic_id = '${own.clinicId}' and number = 2`,
    );
    expect(await fault()).toMatchObject({ kind: 'rotation_forged', record: 'key', number: 2 });
  });

  /** Somebody who can start the service with a key of their own. */
  async function signedByAForger(of: TestClinic): Promise<{ number: number }> {
    const { clinicId } = of;
    const at = of.clock.now();
    return inClinic(of.store, clinicId, async (tx) => {
      const head = await signHead(tx, {
        clinicId,
        at,
        signer: aSigner(),
        cause: 'daily',
        askedById: null,
      });
      await writeEvents(tx, { clinicId, personId: null, at }, head!.events);
      return head!.statement;
    });
  }
});
