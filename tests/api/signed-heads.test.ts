/** Heads of the record are signed each day of the clinic, read, and proven; by whom and when. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bytesOf, leafHash } from '../../src/domain/merkle.ts';
import { provesConsistency, provesInclusion } from '../../src/domain/merkleProofs.ts';
import { runHeadSigning, signDueHeads } from '../../src/features/record/headRunner.ts';
import { signHead } from '../../src/features/record/signing.ts';
import { headSigner } from '../../src/features/record/signer.ts';
import { rootFromEvents } from '../../src/store/merkleNodes.ts';
import { inClinic } from '../../src/store/act.ts';
import { checkNodes, rebuildNodes } from '../../scripts/merkle-nodes.ts';
import { rotateEverywhere } from '../../scripts/rotate-signing-key.ts';
import { NODE_MEANS } from '../../scripts/verify-export.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { needsManyConnections } from '../support/database.ts';
import { ok, refusedWith } from '../support/job.ts';
import { manyEvents } from '../support/manyEvents.ts';
import { addPatient } from '../support/orders.ts';
import { readPdf } from '../support/pdf.ts';
import { hash } from '../support/provenRecord.ts';
import { aKey, aSigner } from '../support/signedHeads.ts';

interface Head {
  number: number;
  treeSize: number;
  rootSha256: string;
  chainSha256: string;
  day: string;
  cause: string;
  askedBy: string | null;
  keyId: string;
  statement: string;
  signature: string;
}

let clinic: TestClinic;
const key = aKey();
const signer = headSigner(key);

const heads = async (of = clinic) =>
  (await ok<{ items: Head[] }>(of.as('auditor').get('/api/v1/record/heads'))).items;
const signDue = (by = signer) =>
  signDueHeads({ store: clinic.store, signer: by, at: clinic.clock.now() }, (_clinic, failure) => {
    throw failure;
  });
const tree = ({ treeSize, rootSha256 }: Head) => ({ size: treeSize, root: bytesOf(rootSha256) });
/** As the database's owner, with every trigger asleep. */
const tamper = (sql: string): Promise<void> =>
  clinic.store.ownerTransaction((owner) =>
    owner.script(`set local session_replication_role = replica; ${sql}`),
  );

beforeAll(async () => {
  clinic = await testClinic({ headSigningKey: key });
});
afterAll(() => clinic.close());

describe('the daily head', () => {
  test('is signed once a day of the clinic, by whichever process looks first', async () => {
    expect(await signDue()).toEqual([]);
    await refusedWith(clinic.as('auditor').post('/api/v1/record/heads'), 'record-empty');
    await addPatient(clinic);
    const [head] = await signDue();
    expect(head?.statement).toMatchObject({ number: 1, treeSize: 2, day: '2026-03-02' });
    expect(await signDue()).toEqual([]);
    // Half past eleven in the evening at London is another day in Vienna.
    clinic.clock.set('2026-03-02T23:30:00Z');
    await addPatient(clinic);
    const [next] = await signDue();
    expect(next?.statement).toMatchObject({ number: 2, day: '2026-03-03', cause: 'daily' });
    const [newest, first] = await heads();
    expect(newest).toMatchObject({ number: 2, askedBy: null, keyId: signer.keyId });
    expect(NODE_MEANS.verifies(signer.publicKey, newest!.statement, newest!.signature)).toBe(true);
    expect(NODE_MEANS.verifies(signer.publicKey, newest!.statement, first!.signature)).toBe(false);
  });

  test('of days on which the service was down is caught up by one, over all there is', async () => {
    clinic.clock.set('2026-03-09T09:00:00Z');
    await addPatient(clinic);
    const [head] = await signDue();
    expect(head?.statement).toMatchObject({ number: 3, day: '2026-03-09' });
    const [told] = await clinic.store.raw<{ data: object; by: string | null }>(
      `select data, person_id as by from event where clinic_id = $1 and kind = 'record.head_signed' order by seq desc limit 1`,
      [clinic.clinicId],
    );
    expect(told).toMatchObject({ by: null, data: { number: 3, headSha256: head!.headSha256 } });
  });

  needsManyConnections('of many processes at once is one', async () => {
    clinic.clock.set('2026-03-10T09:00:00Z');
    const signed = await Promise.all(Array.from({ length: 5 }, () => signDue()));
    expect(signed.flat().map(({ statement }) => statement.day)).toEqual(['2026-03-10']);
  });

  test('is looked for as soon as the service runs', async () => {
    clinic.clock.set('2026-03-11T09:00:00Z');
    const log = { warn: () => undefined, info: () => undefined, error: () => undefined };
    const runner = runHeadSigning({ store: clinic.store, log, now: clinic.clock.now, signer });
    await runner.stop();
    expect((await heads())[0]).toMatchObject({ day: '2026-03-11', cause: 'daily' });
  });
});

describe('on request', () => {
  test('auditor and administrator have a head signed; nobody else reads or signs any', async () => {
    const signed = await ok<Head>(clinic.as('administrator').post('/api/v1/record/heads'));
    expect(signed).toMatchObject({ cause: 'asked', askedBy: 'Ada Keys of KL' });
    for (const role of ['front_desk', 'technician', 'prosthetist'] as const) {
      await clinic.as(role).get('/api/v1/record/heads').expect(403);
      await clinic.as(role).post('/api/v1/record/heads').expect(403);
    }
  });

  test('another clinic sees none of ours, and has its own first head', async () => {
    const theirs = await clinic.another('TH');
    await addPatient(theirs);
    expect(await heads(theirs)).toEqual([]);
    const at = '/api/v1/record/heads/1/consistency?from=1';
    await refusedWith(theirs.as('auditor').get(at), 'not-found');
    // The last number that there is.
    const last = '/api/v1/record/heads/2147483647/inclusion?event=1';
    await refusedWith(theirs.as('auditor').get(last), 'not-found');
    await ok(theirs.as('auditor').post('/api/v1/record/heads'));
    expect((await heads(theirs)).map(({ number }) => number)).toEqual([1]);
  });

  test('without a key the service reads heads and signs none', async () => {
    const without = await testClinic();
    try {
      await refusedWith(without.as('auditor').post('/api/v1/record/heads'), 'head-signing-off');
      const page = await ok<{ signing: boolean }>(
        without.as('auditor').get('/api/v1/record/heads'),
      );
      expect(page.signing).toBe(false);
    } finally {
      await without.close();
    }
  });

  test('a head is printed, with what is to be noted', async () => {
    const [head] = await heads();
    const answer = await clinic
      .as('auditor')
      .get(`/api/v1/record/heads/${head!.number}/notice.pdf`)
      .buffer()
      .expect(200);
    const { words: text } = await readPdf(answer.body as Buffer);
    expect(text).toContain(`Head ${head!.number}: ${head!.treeSize} records`);
    expect(text).toContain(head!.chainSha256.slice(0, 4));
  });
});

describe('proofs of a long record', () => {
  let own: TestClinic;
  beforeAll(async () => {
    own = await clinic.another('LO');
    await manyEvents(own, 300);
    await ok(own.as('auditor').post('/api/v1/record/heads'));
    await manyEvents(own, 4000);
    await ok(own.as('auditor').post('/api/v1/record/heads'));
    await manyEvents(own, 200);
    await ok(own.as('auditor').post('/api/v1/record/heads'));
  });

  test('the root is the one that the events alone make', async () => {
    for (const head of await heads(own)) {
      const root = await inClinic(own.store, own.clinicId, (tx) =>
        rootFromEvents(tx, own.clinicId, head.treeSize),
      );
      expect(Buffer.from(root).toString('hex')).toBe(head.rootSha256);
    }
  });

  test('each head holds all that each earlier one held', async () => {
    const all = (await heads(own)).toReversed();
    for (const [at, from] of all.entries()) {
      for (const to of all.slice(at)) {
        const { proof } = await ok<{ proof: string[] }>(
          own
            .as('auditor')
            .get(`/api/v1/record/heads/${to.number}/consistency?from=${from.number}`),
        );
        expect(provesConsistency(hash, tree(from), tree(to), proof.map(bytesOf))).toBe(true);
        expect(proof.length).toBeLessThanOrEqual(20);
      }
    }
  });

  test.each([1, 64, 65, 4096, 4301])('event %i is under the newest head', async (event) => {
    const [head] = await heads(own);
    const { leafSha256, proof } = await ok<{ leafSha256: string; proof: string[] }>(
      own.as('auditor').get(`/api/v1/record/heads/${head!.number}/inclusion?event=${event}`),
    );
    const { size, root } = tree(head!);
    const of = { leaf: leafHash(hash, bytesOf(leafSha256)), index: event - 1, size };
    expect(provesInclusion(hash, of, proof.map(bytesOf), root)).toBe(true);
  });

  test('an earlier head holds nothing of a later one', async () => {
    const at = '/api/v1/record/heads/1/consistency?from=2';
    await refusedWith(own.as('auditor').get(at), 'head-is-no-earlier-one');
  });

  test('an event after a head is not under it', async () => {
    const at = '/api/v1/record/heads/1/inclusion?event=301';
    await refusedWith(own.as('auditor').get(at), 'event-not-under-head');
  });

  test('a node that was tampered with is noticed, and made again from the events', async () => {
    expect((await checkNodes(clinic.store)).ok).toBe(true);
    const node = `clinic_id = '${own.clinicId}' and level = 6 and index = 3`;
    await tamper(`update merkle_node set sha256 = repeat('0', 64) where ${node}`);
    const proof = own.as('auditor').get('/api/v1/record/heads/2/inclusion?event=1');
    await refusedWith(proof, 'record-tree-damaged');
    const { ok: isRight, lines } = await checkNodes(clinic.store);
    expect(isRight).toBe(false);
    expect(lines).toContain('Clinic LO: node 3 of level 6 is wrong');
    await rebuildNodes(clinic.store);
    expect((await checkNodes(clinic.store)).ok).toBe(true);
    await ok(own.as('auditor').get('/api/v1/record/heads/2/inclusion?event=1'));
  });

  test('no head is signed over events, or nodes, that are not those of the head before', async () => {
    const [head] = await heads(own);
    const last = `clinic_id = '${own.clinicId}' and seq = ${head!.treeSize}`;
    const [kept] = await own.store.raw<{ leaf: string }>(
      `select leaf_sha256 as leaf from event where ${last}`,
    );
    await tamper(`update event set leaf_sha256 = repeat('0', 64) where ${last}`);
    await refusedWith(own.as('auditor').post('/api/v1/record/heads'), 'record-tree-damaged');
    await tamper(`update event set leaf_sha256 = '${kept!.leaf}' where ${last}`);
    await tamper(
      `update merkle_node set sha256 = repeat('0', 64) where clinic_id = '${own.clinicId}' and level = 12`,
    );
    await refusedWith(own.as('auditor').post('/api/v1/record/heads'), 'record-tree-damaged');
    await rebuildNodes(clinic.store);
    await ok(own.as('auditor').post('/api/v1/record/heads'));
  });

  test('a tree far behind is made by the daily signing, not by a request', async () => {
    const far = await clinic.another('FA');
    await manyEvents(far, 300);
    const asked = {
      clinicId: far.clinicId,
      at: clinic.clock.now(),
      signer,
      cause: 'asked',
      askedById: far.people.auditor.id,
      mostBlocks: 1,
    } as const;
    const attempt = inClinic(far.store, far.clinicId, (tx) => signHead(tx, asked));
    await expect(attempt).rejects.toMatchObject({ message: 'record-tree-behind' });
    clinic.clock.set('2026-03-12T09:00:00Z');
    await signDue();
    expect((await heads(far))[0]).toMatchObject({ treeSize: 300, day: '2026-03-12' });
  });
});

describe('another key', () => {
  const young = aSigner();
  const keys = async () =>
    (
      await ok<{ items: { number: number; entry: string; pem: string; jwk: object }[] }>(
        clinic.as('auditor').get('/api/v1/record/keys'),
      )
    ).items;

  test('that the service was merely given signs nothing', async () => {
    clinic.clock.set('2026-03-13T09:00:00Z');
    await addPatient(clinic);
    await expect(signDue(young)).rejects.toMatchObject({ message: 'signing-key-replaced' });
  });

  test('is signed in by the old one, in every clinic; the old then signs nothing more', async () => {
    const at = clinic.clock.now();
    const wrong = await rotateEverywhere(clinic.store, { at, old: aSigner(), young });
    expect(wrong.ok).toBe(false);
    const done = await rotateEverywhere(clinic.store, { at, old: signer, young });
    expect(done).toMatchObject({ ok: true });
    expect(done.lines).toContain('Clinic KL: rotated');
    const again = await rotateEverywhere(clinic.store, { at, old: signer, young });
    expect(again.lines).toContain('Clinic KL: new already');
    expect((await keys()).map(({ number, entry }) => [number, entry])).toEqual([
      [1, 'first'],
      [2, 'rotation'],
    ]);
    await refusedWith(clinic.as('auditor').post('/api/v1/record/heads'), 'signing-key-replaced');
    const signed = await signDue(young);
    expect(signed.map(({ statement }) => statement.keyId)).toContain(young.keyId);
  });

  test('in place of a lost one is marked for ever', async () => {
    const newest = aSigner();
    await rotateEverywhere(clinic.store, { at: clinic.clock.now(), old: null, young: newest });
    expect((await keys()).at(-1)).toMatchObject({
      number: 3,
      entry: 'lost',
      jwk: { x: newest.publicKey },
    });
  });
});
