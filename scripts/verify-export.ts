/**
 * Proves an export of the record away from the service: no server, no database, no network.
 *
 *   npx castbook-verify export.ndjson --key key.pem [--key newer.pem] [--since head.json] [--noted "3012: 9f3a 22c1 …"] [--json]
 *   npx tsx scripts/verify-export.ts export.ndjson --key key.pem
 *
 * --key    a public signing key that you got from elsewhere than this export (PEM; a private one will
 *          do as well). One is enough, as long as each later key was signed in by the one before
 * --since  a head that was saved earlier, as the API or the code on a printed notice gives it
 * --noted  a head that was noted from paper
 * --json   the outcome as one JSON value
 *
 * Reads the file once, in bounded memory. Exit code 0: all is well; 1: something fails, and the
 * first record that does is named; 2: the question cannot be answered (a file or key that cannot be read).
 */
import { createHash, createPublicKey, verify, type KeyObject } from 'node:crypto';
import fs from 'node:fs';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { readNotedHead } from '../src/domain/eventChain.ts';
import {
  proveRecord,
  type ExportedEvent,
  type Means,
  type RecordProof,
  type SavedHead,
} from '../src/domain/recordProof.ts';
import { HEAD_CAUSES, HEAD_PURPOSE, KEY_ENTRIES, KEY_PURPOSE } from '../src/domain/signedHeads.ts';
import { isMain } from './isMain.ts';
import type { Verification } from './verify/found.ts';
import { inWords } from './verify/words.ts';

const sha = (text: string) => createHash('sha256').update(text, 'utf8');
const keyOf = new Map<string, KeyObject | null>();

/** A key that is none verifies nothing. */
function publicKey(x: string): KeyObject | null {
  const known = keyOf.get(x);
  if (known !== undefined) return known;
  let made: KeyObject | null = null;
  try {
    made = createPublicKey({ format: 'jwk', key: { kty: 'OKP', crv: 'Ed25519', x } });
  } catch {
    // Not 32 bytes: said by the failing signature.
  }
  keyOf.set(x, made);
  return made;
}

export const NODE_MEANS: Means = {
  sha256: (text) => sha(text).digest('hex'),
  hash: (bytes) => createHash('sha256').update(bytes).digest(),
  thumbprint: (text) => sha(text).digest('base64url'),
  verifies: (x, text, signature) => {
    const key = publicKey(x);
    return (
      key !== null && verify(null, Buffer.from(text, 'utf8'), key, Buffer.from(signature, 'base64'))
    );
  },
};

const SHA256 = z.string().regex(/^[0-9a-f]{64}$/);
const statementOf = <S extends z.ZodType>(schema: S) =>
  z.string().transform((text, context): z.output<S> => {
    const read = schema.safeParse(jsonOf(text));
    if (read.success) return read.data;
    context.addIssue({ code: 'custom', message: 'no statement that this program knows' });
    return z.NEVER;
  });
const HeadStatement = z.strictObject({
  purpose: z.literal(HEAD_PURPOSE),
  clinicId: z.string(),
  number: z.int(),
  treeSize: z.int(),
  rootSha256: SHA256,
  chainSha256: SHA256,
  signedAt: z.string(),
  day: z.string(),
  cause: z.enum(HEAD_CAUSES),
  keyId: z.string(),
  previousHeadSha256: SHA256.nullable(),
});
const KeyStatement = z.strictObject({
  purpose: z.literal(KEY_PURPOSE),
  clinicId: z.string(),
  number: z.int(),
  keyId: z.string(),
  publicKey: z.string(),
  validFrom: z.string(),
  afterHead: z.int(),
  entry: z.enum(KEY_ENTRIES),
  previousKeyId: z.string().nullable(),
});
const Line = z.discriminatedUnion('line', [
  z.object({
    line: z.literal('head'),
    format: z.literal(2),
    of: z.enum(['clinic', 'order']),
    clinicId: z.string(),
    upToEvent: z.int(),
  }),
  z.object({ line: z.literal('row') }),
  z.object({
    line: z.literal('signing_key'),
    statement: statementOf(KeyStatement),
    ownSignature: z.string(),
    previousSignature: z.string().nullable(),
  }),
  z.object({
    line: z.literal('signed_head'),
    statement: statementOf(HeadStatement),
    signature: z.string(),
  }),
  z.object({
    line: z.literal('event'),
    seq: z.int(),
    id: z.string(),
    at: z.string(),
    personId: z.string().nullable(),
    kind: z.string(),
    subjectKind: z.string(),
    subjectId: z.string(),
    orderId: z.string().nullable(),
    data: z.record(z.string(), z.json()),
    leafSha256: SHA256,
    chainSha256: SHA256,
    withheld: z.boolean(),
    withheldFits: z.boolean(),
    erased: z.record(z.string(), z.string()).optional(),
    opened: z.record(z.string(), z.object({ salt: z.string(), value: z.json() })).optional(),
    proof: z.array(SHA256).optional(),
  }),
  z.object({ line: z.literal('end'), rows: z.int(), events: z.int() }),
]);
type Line = z.output<typeof Line>;
type EventLine = Extract<Line, { line: 'event' }>;

export interface Question {
  /** Public keys, base64url. */
  readonly trusted: readonly string[];
  readonly saved?: SavedHead | undefined;
}

/** Proves an export line by line. */
export async function verifyLines(
  lines: AsyncIterable<string> | Iterable<string>,
  { trusted, saved }: Question,
  means: Means = NODE_MEANS,
): Promise<Verification> {
  let proof: RecordProof | undefined;
  let head: Extract<Line, { line: 'head' }> | undefined;
  let ended = false;
  let rows = 0;
  let events = 0;
  let number = 0;
  const failed = (why: string): Verification => ({
    ok: false,
    of: head?.of ?? null,
    file: { line: number, why },
    rows,
    result: proof?.end() ?? null,
  });
  for await (const text of lines) {
    number += 1;
    const read = Line.safeParse(jsonOf(text));
    if (!read.success) return failed(unreadable(read.error));
    const line = read.data;
    if (ended) return failed('something follows the end');
    if (line.line === 'head') {
      if (head !== undefined) return failed('a second head: two exports were put together');
      head = line;
      const { clinicId, upToEvent, of } = line;
      const partial = of === 'order';
      proof = proveRecord(means, { clinicId, trusted, saved, upToEvent, partial });
      continue;
    }
    if (head === undefined || proof === undefined) return failed('the export does not begin here');
    if (line.line === 'row') rows += 1;
    else if (line.line === 'signing_key') proof.key(line);
    else if (line.line === 'signed_head') proof.head(line);
    else if (line.line === 'event') {
      events += 1;
      proof.event(eventOf(line, head.clinicId));
    } else {
      ended = true;
      // Said before the counts: a record that is missing is named by its number.
      const result = proof.end();
      if (result.fault === null && (line.rows !== rows || line.events !== events)) {
        return failed(
          `it says ${line.rows} rows and ${line.events} events; ${rows} and ${events} are there`,
        );
      }
    }
    if (proof.fault !== null) break;
  }
  const result = proof?.end();
  if (head === undefined || result === undefined) return failed('there is nothing in it');
  if (result.fault === null && !ended) return failed('it is cut off: its last line is missing');
  return { ok: result.fault === null, of: head.of, file: null, rows, result };
}

function eventOf(line: EventLine, clinicId: string): ExportedEvent {
  const { at, data, id, kind, orderId, personId, subjectId, subjectKind } = line;
  const leaf = { at, clinicId, data, id, kind, orderId, personId, subjectId, subjectKind };
  return {
    seq: line.seq,
    leaf: line.withheld ? null : leaf,
    leafSha256: line.leafSha256,
    chainSha256: line.chainSha256,
    opened: line.opened ?? {},
    withheldFits: line.withheldFits,
    proof: line.proof,
  };
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

const unreadable = ({ issues: [issue] }: z.ZodError): string =>
  issue === undefined ? 'unreadable' : `${issue.path.join('.') || 'the line'}: ${issue.message}`;

/** A question that cannot be asked; the message says why. */
class CannotAsk extends Error {
  override readonly name = 'CannotAsk';
}

function trustedKey(file: string): string {
  try {
    const { x, crv } = createPublicKey(fs.readFileSync(file, 'utf8')).export({ format: 'jwk' });
    if (crv === 'Ed25519' && x !== undefined) return x;
  } catch (cause) {
    throw new CannotAsk(`${file} cannot be read as a key.`, { cause });
  }
  throw new CannotAsk(`${file} is no Ed25519 key.`);
}

const Saved = z.object({ statement: z.union([statementOf(HeadStatement), HeadStatement]) });

function savedHead(file: string): SavedHead {
  const read = Saved.safeParse(jsonOf(textOf(file)));
  if (!read.success) throw new CannotAsk(`${file} holds no signed head.`);
  const { treeSize: seq, chainSha256: begins, rootSha256 } = read.data.statement;
  return { seq, begins, rootSha256 };
}

function textOf(file: string): string {
  try {
    return fs.readFileSync(file, 'utf8');
  } catch (cause) {
    throw new CannotAsk(`${file} cannot be read.`, { cause });
  }
}

/** Runs the command. @returns the exit code */
export async function main(args: readonly string[], say: (text: string) => void): Promise<number> {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        key: { type: 'string', multiple: true, default: [] },
        since: { type: 'string' },
        noted: { type: 'string' },
        json: { type: 'boolean', default: false },
      },
    });
    const [file, ...more] = positionals;
    if (file === undefined || more.length > 0) {
      throw new CannotAsk('Give one export: castbook-verify export.ndjson --key key.pem');
    }
    if (values.key.length === 0) {
      throw new CannotAsk(
        'Give a public key with --key, got from elsewhere than the export: without one, whoever wrote the export could have written everything in it.',
      );
    }
    const noted = values.noted === undefined ? undefined : readNotedHead(values.noted);
    if (noted === null) throw new CannotAsk('What --noted gives is no head.');
    if (noted !== undefined && values.since !== undefined) {
      throw new CannotAsk('Give --since or --noted, not both.');
    }
    const saved = values.since === undefined ? noted : savedHead(values.since);
    const trusted = values.key.map(trustedKey);
    if (!fs.existsSync(file)) throw new CannotAsk(`${file} is not there.`);
    const lines = createInterface({ input: fs.createReadStream(file), crlfDelay: Infinity });
    const found = await verifyLines(lines, { trusted, saved });
    say(values.json ? JSON.stringify(found) : inWords(found, saved).join('\n'));
    return found.ok ? 0 : 1;
  } catch (failure) {
    if (!(failure instanceof Error)) throw failure;
    say(failure.message);
    return 2;
  }
}

if (isMain(import.meta)) {
  process.exitCode = await main(process.argv.slice(2), (text) => process.stdout.write(`${text}\n`));
}
