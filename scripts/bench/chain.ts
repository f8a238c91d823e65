/**
 * What tamper evidence costs (R11): the chain at each write, with 1, 2, 8 and 16 writers of one clinic,
 * beside the same writes without it; the daily head, a proof, and an export verified away from the service.
 *
 *   DATABASE_URL=postgres://… npx tsx scripts/bench/chain.ts [--seconds 5] [--events 100000]
 *
 * The server must be one on which databases may be made. A write is a transaction of four statements,
 * as an act is: three reads, then its events, then commit. Without the chain the trigger is off and the
 * numbers come from a sequence.
 */
import { createHash, randomUUID } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import { parseArgs } from 'node:util';
import pg from 'pg';
import { signDueHeads } from '../../src/features/record/headRunner.ts';
import { inclusionPath } from '../../src/domain/merkleProofs.ts';
import { inClinic } from '../../src/store/act.ts';
import { columnCipher } from '../../src/store/columnCipher.ts';
import { silentLog } from '../../src/store/database.ts';
import { migrate } from '../../src/store/migrate.ts';
import { withPrisma } from '../../src/store/open.ts';
import { runHash } from '../../src/store/merkleNodes.ts';
import { exportedEvents } from '../../src/store/recordExport.ts';
import { openServer } from '../../src/store/server.ts';
import { headsAfter, signingKeys } from '../../src/store/signedHeads.ts';
import { manyEvents } from '../../tests/support/manyEvents.ts';
import { ClinicRows } from '../../tests/support/rows.ts';
import { aSigner } from '../../tests/support/signedHeads.ts';
import { databaseOn, onServer } from '../../tests/support/template.ts';
import { statementText } from '../../src/domain/signedHeads.ts';
import { verifyLines } from '../verify-export.ts';

const { values } = parseArgs({
  options: {
    seconds: { type: 'string', default: '5' },
    events: { type: 'string', default: '100000' },
  },
});
const [seconds, count] = [Number(values.seconds), Number(values.events)];
const serverUrl = process.env['DATABASE_URL'];
if (serverUrl === undefined) throw new Error('Give a server by DATABASE_URL.');

const say = (line: string): void => void process.stdout.write(`${line}\n`);
const sha = createHash('sha256').update('a leaf').digest('hex');

/** Writers at once for some seconds, each act a transaction of its own. */
async function writers(url: string, clinicId: string, many: number, withChain: boolean) {
  const clients = Array.from({ length: many }, () => new pg.Client(url));
  await Promise.all(clients.map((client) => client.connect()));
  const seq = withChain ? '0' : `nextval('bench_seq')`;
  const took: number[] = [];
  const until = performance.now() + seconds * 1000;
  await Promise.all(
    clients.map(async (client) => {
      while (performance.now() < until) {
        const began = performance.now();
        await client.query('begin');
        await client.query(
          `select set_config('role', 'castbook_app', true), set_config('app.clinic', $1, true)`,
          [clinicId],
        );
        await client.query('select * from clinic where id = $1', [clinicId]);
        await client.query('select count(*) from place where clinic_id = $1', [clinicId]);
        await client.query(
          `insert into event (clinic_id, seq, id, at, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
           values ($1, ${seq}, $2, now(), 'order.changed', 'order', $2, '{}', $3, '')`,
          [clinicId, randomUUID(), sha],
        );
        await client.query('commit');
        took.push(performance.now() - began);
      }
    }),
  );
  await Promise.all(clients.map((client) => client.end()));
  took.sort((a, b) => a - b);
  const at = (share: number): string => (took[Math.floor(took.length * share)] ?? 0).toFixed(1);
  return `${(took.length / seconds).toFixed(0)}/s  p50 ${at(0.5)}  p95 ${at(0.95)}  p99 ${at(0.99)} ms`;
}

const name = `castbook_chain_${randomUUID().slice(0, 8)}`;
await onServer(serverUrl, `create database ${name} template template0`);
const url = databaseOn(serverUrl, name);
const store = withPrisma(openServer(url, { log: silentLog, poolMax: 4 }), columnCipher([]));
try {
  await migrate(store);
  await store.raw('create sequence bench_seq');
  await store.raw('grant usage on sequence bench_seq to castbook_app');
  for (const many of [1, 2, 8, 16]) {
    const chained = await ClinicRows.found(store, `C${String.fromCharCode(64 + many)}`);
    const bare = await ClinicRows.found(store, `B${String.fromCharCode(64 + many)}`);
    say(`${many} writers, chained    ${await writers(url, chained.clinicId, many, true)}`);
    await store.raw('alter table event disable trigger event_100_joins_chain');
    say(`${many} writers, no chain   ${await writers(url, bare.clinicId, many, false)}`);
    await store.raw('alter table event enable trigger event_100_joins_chain');
  }
  // The writers' clinics have made-up leaves and numbers: they are not signed here.
  await store.ownerTransaction((owner) =>
    owner.script(
      'set local session_replication_role = replica; delete from event; delete from event_head',
    ),
  );
  const { clinicId } = await ClinicRows.found(store, 'LONG');
  const clock = { now: () => new Date('2026-03-02T09:00:00Z') };
  await manyEvents({ store, clinicId, clock }, count);
  const signer = aSigner();
  const timed = async <T>(what: string, work: () => Promise<T>): Promise<T> => {
    const began = performance.now();
    const done = await work();
    say(`${what}: ${(performance.now() - began).toFixed(0)} ms`);
    return done;
  };
  const signDay = (day: string) =>
    signDueHeads(
      { store, signer, at: new Date(`2026-03-${day}T09:00:00Z`) },
      (_clinic, failure) => {
        throw failure;
      },
    );
  await timed(`the first head over ${count} events, with all nodes`, () => signDay('02'));
  await manyEvents({ store, clinicId, clock }, 400);
  await timed('the next day’s head over 400 more', () => signDay('03'));
  await timed('one inclusion proof', () =>
    inClinic(store, clinicId, async (tx) => {
      for (const run of inclusionPath(count / 2, count)) await runHash(tx, clinicId, run);
    }),
  );
  const lines = await inClinic(store, clinicId, async (tx) => {
    const keys = await signingKeys(tx, clinicId);
    const heads = await headsAfter(tx, clinicId, { after: 0, upToEvent: count + 401, limit: 10 });
    return [
      { line: 'head', format: 2, of: 'clinic', clinicId, upToEvent: count },
      ...keys.map(({ statement, ...key }) => ({
        line: 'signing_key',
        statement: statementText(statement),
        ...key,
      })),
      ...heads
        .filter(({ statement }) => statement.treeSize <= count)
        .map(({ statementText: statement, signature }) => ({
          line: 'signed_head',
          statement,
          signature,
        })),
    ].map((line) => JSON.stringify(line));
  });
  for (let after = 0; after < count; after += 5000) {
    const act = (tx: never) => ({ tx, clinicId, cipher: store.cipher }) as never;
    const page = await inClinic(store, clinicId, (tx) =>
      exportedEvents(act(tx as never), null, { after, upTo: count, limit: 5000 }),
    );
    for (const { at, kept: _kept, ...event } of page) {
      const said = { withheld: false, withheldFits: true };
      lines.push(JSON.stringify({ line: 'event', ...event, at: at.toISOString(), ...said }));
    }
  }
  lines.push(JSON.stringify({ line: 'end', rows: 0, events: count }));
  const before = process.memoryUsage().heapUsed;
  const began = performance.now();
  const found = await verifyLines(lines, { trusted: [signer.publicKey] });
  const took = (performance.now() - began) / 1000;
  if (!found.ok) throw new Error(JSON.stringify(found));
  const grown = (process.memoryUsage().heapUsed - before) / 2 ** 20;
  say(
    `verified ${count} events in ${took.toFixed(1)} s: ${(count / took).toFixed(0)} events/s, heap ${grown.toFixed(0)} MiB more`,
  );
} finally {
  await store.close();
  await onServer(serverUrl, `drop database if exists ${name} with (force)`);
}
