/** Every way to tamper with an export is found, and the first record that fails is named. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bytesOf, hexOf, leafHash, treeHash } from '../../src/domain/merkle.ts';
import { inclusionPath } from '../../src/domain/merkleProofs.ts';
import { proveRecord, type ProofResult, type SavedHead } from '../../src/domain/recordProof.ts';
import { signedHeadText, statementText, type SignedHead } from '../../src/domain/signedHeads.ts';
import { NODE_MEANS } from '../../scripts/verify-export.ts';
import {
  chained,
  CLINIC,
  eventOf,
  hash,
  headBy,
  keyBy,
  leafOf,
  provenRecord,
  rootOfEvents,
  sealedLeaf,
  sha256,
  type Record,
} from '../support/provenRecord.ts';
import { aSigner } from '../support/signedHeads.ts';

const [old, young, stranger] = [aSigner(), aSigner(), aSigner()];

interface Asked {
  readonly trusted?: readonly string[];
  readonly saved?: SavedHead;
  readonly upToEvent?: number;
  readonly partial?: boolean;
}
function prove(record: Record, asked: Asked = {}): ProofResult {
  const proof = proveRecord(NODE_MEANS, {
    clinicId: CLINIC,
    trusted: asked.trusted ?? [old.publicKey],
    saved: asked.saved,
    upToEvent: asked.upToEvent ?? record.events.length,
    partial: asked.partial ?? false,
  });
  record.keys.forEach(proof.key);
  record.heads.forEach(proof.head);
  record.events.forEach(proof.event);
  return proof.end();
}

/** Fourteen events, three heads, the second key after the first head. */
const made = (): Record => provenRecord(14, [4, 8, 12], [old, young]);
const whole = made();

describe('a record that nobody touched', () => {
  test('is well, with keys, heads, seals and all', () => {
    const result = prove(whole);
    expect(result).toMatchObject({
      fault: null,
      keys: 2,
      heads: 3,
      events: 14,
      withheld: 0,
      savedHeadMet: false,
      upTo: { seq: 14, chainSha256: whole.events[13]!.chainSha256 },
      cautions: [{ kind: 'events_after_last_head', number: 13 }],
    });
    expect(result.opened).toBeGreaterThan(1);
    expect(result.newestHead?.statement.number).toBe(3);
  });

  test('is well for who holds the newer key, or both; and with the head that was saved before', () => {
    expect(prove(whole, { trusted: [young.publicKey] }).fault).toBeNull();
    expect(prove(whole, { trusted: [old.publicKey, young.publicKey] }).fault).toBeNull();
    const { treeSize: seq, rootSha256, chainSha256: begins } = whole.heads[1]!.statement;
    expect(prove(whole, { saved: { seq, begins, rootSha256 } })).toMatchObject({
      fault: null,
      savedHeadMet: true,
    });
    expect(prove(whole, { saved: { seq, begins: begins.slice(0, 32) } }).fault).toBeNull();
  });

  test('without heads is chained and no more, and it is said', () => {
    const bare = { ...made(), heads: [], keys: [] };
    bare.events = chained(bare.events.map((event, n) => eventOf(leafOf(n), event.opened && {})));
    expect(prove(bare)).toMatchObject({ fault: null, cautions: [{ kind: 'no_head', number: 14 }] });
    expect(prove(bare, { upToEvent: 14 }).newestHead).toBeNull();
  });

  test('ends with a head over its last event: nothing is to be cautioned', () => {
    expect(prove(provenRecord(8, [4, 8], [old])).cautions).toEqual([]);
  });

  test('whose content is withheld is proven in its place, unless the service found it unfit', () => {
    const record = made();
    record.events[2] = { ...record.events[2]!, leaf: null };
    expect(prove(record)).toMatchObject({ fault: null, withheld: 1 });
    record.events[2] = { ...record.events[2], withheldFits: false };
    expect(prove(record).fault).toMatchObject({ kind: 'seal_broken', record: 'event', number: 3 });
  });
});

/** The heads over events that were written anew, by whoever holds these keys. */
function resigned(record: Record, signer = stranger): SignedHead[] {
  const heads: SignedHead[] = [];
  for (const { statement } of record.heads) {
    heads.push(headBy(signer, record.events, statement.treeSize, heads.at(-1)));
  }
  return heads;
}
const edited = (record: Record, at: number): void => {
  const event = record.events[at]!;
  record.events[at] = { ...event, leaf: { ...event.leaf!, data: { n: 'forged' } }, opened: {} };
};

describe('what is tampered with', () => {
  test.each<{
    how: string;
    // eslint-disable-next-line @typescript-eslint/no-invalid-void-type -- most change the record and ask as ever
    tamper: (record: Record) => Asked | void;
    fault: object;
  }>([
    {
      how: 'a field edited',
      tamper: (r) => edited(r, 6),
      fault: { kind: 'content_changed', record: 'event', number: 7 },
    },
    {
      how: 'edited, and its own hash made anew',
      tamper: (r) => {
        edited(r, 6);
        r.events[6] = { ...chained(r.events)[6]!, chainSha256: r.events[6]!.chainSha256 };
      },
      fault: { kind: 'chain_broken', number: 7 },
    },
    {
      how: 'a personal value exchanged beside its seal',
      tamper: (r) => {
        const [, opened] = sealedLeaf(2, 'Somebody else');
        r.events[1] = { ...r.events[1]!, opened };
      },
      fault: { kind: 'seal_broken', number: 2 },
    },
    {
      how: 'a value opened that no seal stands for',
      tamper: (r) => {
        const [, { familyName }] = sealedLeaf(2, 'Invented 2');
        r.events[1] = { ...r.events[1]!, opened: { givenName: familyName! } };
      },
      fault: { kind: 'seal_broken', number: 2 },
    },
    {
      how: 'a record removed',
      tamper: (r) => void r.events.splice(9, 1),
      fault: { kind: 'event_missing', number: 10 },
    },
    {
      how: 'a record said twice',
      tamper: (r) => void r.events.splice(5, 0, r.events[4]!),
      fault: { kind: 'event_out_of_order', number: 6 },
    },
    {
      how: 'a record put in, the rest numbered on',
      tamper: (r) => {
        r.events.splice(5, 0, { ...chained([eventOf(leafOf(99))])[0]! });
        r.events = r.events.map((event, at) => ({ ...event, seq: at + 1 }));
        return { upToEvent: 15 };
      },
      fault: { kind: 'chain_broken', number: 6 },
    },
    {
      how: 'two records exchanged',
      tamper: (r) => {
        const [one, other] = [r.events[5]!, r.events[6]!];
        r.events.splice(5, 2, { ...other, seq: 6 }, { ...one, seq: 7 });
      },
      fault: { kind: 'chain_broken', number: 6 },
    },
    {
      how: 'the end cut off under a signed head, the export none the wiser',
      tamper: (r) => {
        r.events.length = 10;
        return { upToEvent: 10 };
      },
      fault: { kind: 'event_missing', number: 11 },
    },
    {
      how: 'the end cut off with its head, against a head that was saved',
      tamper: (r) => {
        r.events.length = 8;
        r.heads.length = 2;
        const saved = { seq: 12, begins: whole.heads[2]!.statement.chainSha256 };
        return { upToEvent: 8, saved };
      },
      fault: { kind: 'event_missing', number: 9 },
    },
    {
      how: 'edited and chained anew, without a key',
      tamper: (r) => {
        edited(r, 6);
        r.events = chained(r.events);
      },
      // The fifth to the eighth are under the second head.
      fault: { kind: 'root_differs', record: 'head', number: 2, firstEvent: 5 },
    },
    {
      how: 'edited, chained and signed anew with another key',
      tamper: (r) => {
        edited(r, 6);
        r.events = chained(r.events);
        r.keys = [keyBy(stranger, null)];
        r.heads = resigned(r);
      },
      fault: { kind: 'key_not_trusted', record: 'key', number: 1 },
    },
    {
      how: 'signed anew with another key, the clinic’s keys left',
      tamper: (r) => {
        r.heads = resigned(r);
      },
      fault: { kind: 'head_key_unknown', record: 'head', number: 1 },
    },
    {
      how: 'signed anew with another key under the name of the clinic’s',
      tamper: (r) => {
        const { treeSize } = r.heads[0]!.statement;
        r.heads[0] = headBy(stranger, r.events, treeSize, undefined, { keyId: old.keyId });
      },
      fault: { kind: 'head_signature_wrong', record: 'head', number: 1 },
    },
    {
      how: 'signed anew with the clinic’s own key, against a head that was saved',
      tamper: (r) => {
        edited(r, 2);
        r.events = chained(r.events).slice(0, 4);
        r.heads = [headBy(old, r.events, 4, undefined)];
        const { chainSha256: begins } = whole.heads[0]!.statement;
        return { upToEvent: 4, saved: { seq: 4, begins } };
      },
      fault: { kind: 'saved_head_differs', record: 'event', number: 4 },
    },
    {
      how: 'a saved head with another root',
      tamper: () => {
        const { chainSha256: begins } = whole.heads[0]!.statement;
        return { saved: { seq: 4, begins, rootSha256: sha256('else') } };
      },
      fault: { kind: 'saved_head_differs', number: 4 },
    },
    {
      how: 'a head of another clinic put in',
      tamper: (r) => {
        const other = { clinicId: '0190a000-0000-7000-8000-000000000002' };
        r.heads[1] = headBy(young, r.events, 8, r.heads[0], other);
      },
      fault: { kind: 'head_of_another_clinic', record: 'head', number: 2 },
    },
    {
      how: 'the signature of another head put under it',
      tamper: (r) => {
        r.heads[2] = { ...r.heads[2]!, signature: r.heads[1]!.signature };
      },
      fault: { kind: 'head_signature_wrong', record: 'head', number: 3 },
    },
    {
      how: 'a head changed',
      tamper: (r) => {
        const { statement, signature } = r.heads[1]!;
        r.heads[1] = { statement: { ...statement, treeSize: 7 }, signature };
      },
      fault: { kind: 'head_signature_wrong', record: 'head', number: 2 },
    },
    {
      how: 'a head removed',
      tamper: (r) => void r.heads.splice(1, 1),
      fault: { kind: 'head_missing', record: 'head', number: 2 },
    },
    {
      how: 'the last head removed: the record tells of it',
      tamper: (r) => void r.heads.pop(),
      fault: { kind: 'head_left_out', record: 'head', number: 3 },
    },
    {
      how: 'a head that does not name the one before, by the key itself',
      tamper: (r) => {
        const none = { previousHeadSha256: null };
        r.heads[1] = headBy(young, r.events, 8, r.heads[0], none);
      },
      fault: { kind: 'head_not_following', record: 'head', number: 2 },
    },
    {
      how: 'a head that does not grow, by the key itself',
      tamper: (r) => {
        r.heads[1] = headBy(young, r.events, 4, r.heads[0]);
      },
      fault: { kind: 'head_not_following', record: 'head', number: 2 },
    },
    {
      how: 'a head over another chain value, by the key itself',
      tamper: (r) => {
        r.heads = [headBy(old, r.events, 4, undefined, { chainSha256: sha256('else') })];
      },
      fault: { kind: 'head_chain_differs', record: 'head', number: 1, firstEvent: 1 },
    },
    {
      how: 'the rotation forged: signed in by a stranger',
      tamper: (r) => {
        const before = { key: r.keys[0]!, signer: stranger };
        r.keys[1] = keyBy(young, before, { afterHead: 1 });
      },
      fault: { kind: 'rotation_forged', record: 'key', number: 2 },
    },
    {
      how: 'the rotation without the old key’s signature',
      tamper: (r) => {
        r.keys[1] = { ...r.keys[1]!, previousSignature: null };
      },
      fault: { kind: 'rotation_forged', record: 'key', number: 2 },
    },
    {
      how: 'a key exchanged under its name',
      tamper: (r) => {
        r.keys[0] = keyBy(old, null, { keyId: stranger.keyId });
      },
      fault: { kind: 'key_signature_wrong', record: 'key', number: 1 },
    },
    {
      how: 'a key that is none',
      tamper: (r) => {
        const keyId = NODE_MEANS.thumbprint('{"crv":"Ed25519","kty":"OKP","x":"short"}');
        r.keys[0] = keyBy(old, null, { publicKey: 'short', keyId });
      },
      fault: { kind: 'key_signature_wrong', record: 'key', number: 1 },
    },
    {
      how: 'a key of another clinic',
      tamper: (r) => {
        r.keys[0] = keyBy(old, null, { clinicId: 'another' });
      },
      fault: { kind: 'key_of_another_clinic', record: 'key', number: 1 },
    },
    {
      how: 'a key left out',
      tamper: (r) => void r.keys.shift(),
      fault: { kind: 'key_out_of_order', record: 'key', number: 2 },
    },
    {
      how: 'a key that follows another than the one before',
      tamper: (r) => {
        const before = { key: r.keys[0]!, signer: old };
        r.keys[1] = keyBy(young, before, { afterHead: 1, previousKeyId: stranger.keyId });
      },
      fault: { kind: 'key_out_of_order', record: 'key', number: 2 },
    },
    {
      how: 'a second first key',
      tamper: (r) => {
        const before = { key: r.keys[0]!, signer: old };
        r.keys[1] = keyBy(young, before, { afterHead: 1, entry: 'first' });
      },
      fault: { kind: 'key_out_of_order', record: 'key', number: 2 },
    },
    {
      how: 'a key that reaches back over heads of the one before',
      tamper: (r) => {
        const before = { key: r.keys[1]!, signer: young };
        r.keys.push(keyBy(stranger, before, { afterHead: 0 }));
      },
      fault: { kind: 'key_out_of_order', record: 'key', number: 3 },
    },
    {
      how: 'every key left out',
      tamper: (r) => {
        r.keys = [];
      },
      fault: { kind: 'head_key_unknown', record: 'head', number: 1 },
    },
    {
      how: 'another record spliced in',
      tamper: (r) => {
        const other = provenRecord(14, [], [stranger]);
        other.events = chained([eventOf(leafOf(77)), ...other.events.slice(1)]);
        r.events = [...r.events.slice(0, 7), ...other.events.slice(7)];
      },
      fault: { kind: 'chain_broken', record: 'event', number: 8 },
    },
  ])('$how: found', ({ tamper, fault }) => {
    const record = made();
    const asked = tamper(record) ?? {};
    expect(prove(record, asked).fault).toMatchObject(fault);
  });

  test('after the first fault nothing is looked at: it stays the first', () => {
    const record = made();
    edited(record, 3);
    edited(record, 8);
    record.events.pop();
    expect(prove(record)).toMatchObject({ fault: { number: 4 }, upTo: { seq: 3 } });
    const keys = made();
    keys.keys = [keyBy(old, null, { clinicId: 'another' }), ...keys.keys];
    expect(prove(keys)).toMatchObject({ fault: { record: 'key', number: 1 }, keys: 0, heads: 0 });
  });
});

describe('a key that was lost', () => {
  const lost = provenRecord(14, [4, 8, 12], [old, young], { entry: 'lost' });

  test('the old key vouches for nothing that came after', () => {
    expect(prove(lost).fault).toMatchObject({ kind: 'key_not_trusted', number: 2 });
  });

  test('who got the new one from elsewhere may go on, and is told loudly all the same', () => {
    for (const trusted of [[young.publicKey], [old.publicKey, young.publicKey]]) {
      expect(prove(lost, { trusted })).toMatchObject({
        fault: null,
        cautions: [{ kind: 'key_was_lost', number: 2 }, { kind: 'events_after_last_head' }],
      });
    }
  });
});

describe('an export of one order', () => {
  function ofOrder(record: Record, seqs: readonly number[]): Record {
    const { treeSize } = record.heads.at(-1)!.statement;
    const leaves = record.events.map(({ leafSha256 }) => leafHash(hash, bytesOf(leafSha256)));
    const events = seqs.map((seq) => ({
      ...record.events[seq - 1]!,
      ...(seq <= treeSize
        ? {
            proof: inclusionPath(seq - 1, treeSize).map(({ begin, end }) =>
              hexOf(treeHash(hash, leaves.slice(begin, end))),
            ),
          }
        : {}),
    }));
    return { ...record, events };
  }
  const asked = { partial: true, upToEvent: 14 };

  test('has each record proven under the newest head, for itself', () => {
    const order = ofOrder(whole, [2, 3, 7, 13]);
    expect(prove(order, asked)).toMatchObject({ fault: null, events: 4, included: 3 });
    expect(prove({ ...order, heads: [], keys: [] }, asked)).toMatchObject({ included: 0 });
  });

  test('edited, out of order, of another tree or without its proof is found', () => {
    const order = ofOrder(whole, [2, 3, 7, 13]);
    const of = (change: (r: Record) => void): ProofResult => {
      const record = { ...order, events: [...order.events] };
      change(record);
      return prove(record, asked);
    };
    expect(of((r) => edited(r, 2)).fault).toMatchObject({ kind: 'content_changed', number: 7 });
    expect(of((r) => r.events.reverse()).fault).toMatchObject({ kind: 'event_out_of_order' });
    const none = { kind: 'inclusion_not_proven', number: 3 };
    expect(of((r) => (r.events[1] = { ...r.events[1]!, proof: undefined })).fault).toMatchObject(
      none,
    );
    const forged = (r: Record): void => {
      edited(r, 1);
      const [leaf] = chained([r.events[1]!]);
      r.events[1] = { ...r.events[1]!, leafSha256: leaf!.leafSha256 };
    };
    expect(of(forged).fault).toMatchObject(none);
  });
});

describe('any record', () => {
  const records = fc.integer({ min: 2, max: 24 }).chain((size) =>
    fc.record({
      size: fc.constant(size),
      heads: fc
        .uniqueArray(fc.integer({ min: 1, max: size }), { maxLength: 4 })
        .map((list) => list.toSorted((a, b) => a - b)),
      at: fc.nat(size - 1),
      bit: fc.nat(255),
    }),
  );

  test('is well as it is; with any hash bit turned anywhere it is not, and no earlier record is blamed', () => {
    fc.assert(
      fc.property(records, ({ size, heads, at, bit }) => {
        const record = provenRecord(size, heads, [old, young]);
        expect(prove(record).fault).toBeNull();
        const turned = (hex: string): string => {
          const bytes = bytesOf(hex);
          bytes[bit >> 3]! ^= 1 << (bit & 7);
          return hexOf(bytes);
        };
        const event = record.events[at]!;
        for (const part of ['leafSha256', 'chainSha256'] as const) {
          const forged = record.events.with(at, { ...event, [part]: turned(event[part]) });
          const { fault } = prove({ ...record, events: forged });
          expect(fault).toMatchObject({ record: 'event', number: at + 1 });
        }
        const edits = { ...event, leaf: { ...event.leaf!, at: '2026-03-02T09:00:00.001Z' } };
        expect(prove({ ...record, events: record.events.with(at, edits) }).fault).toMatchObject({
          kind: 'content_changed',
          number: at + 1,
        });
        // Chained anew from there: the first head that covers it tells, and from which record on.
        const anew = chained(record.events.with(at, edits));
        const covering = record.heads.find(({ statement }) => statement.treeSize > at);
        const { fault } = prove({ ...record, events: anew });
        if (covering === undefined) expect(fault).toBeNull();
        else {
          expect(fault).toMatchObject({ kind: 'root_differs', number: covering.statement.number });
          expect(fault!.firstEvent).toBeLessThanOrEqual(at + 1);
        }
        // One taken out.
        const less = record.events.toSpliced(at, 1);
        expect(prove({ ...record, events: less }, { upToEvent: size }).fault).toMatchObject({
          kind: 'event_missing',
          number: at + 1,
        });
      }),
      { numRuns: 40 },
    );
  });
});

describe('what is signed', () => {
  test('is canonical JSON with its purpose, and the next head names statement and signature together', () => {
    const [head] = whole.heads;
    expect(statementText(head!.statement)).toContain('"purpose":"castbook signed head v1"');
    expect(signedHeadText(head!)).toBe(
      `{"signature":"${head!.signature}","statement":${statementText(head!.statement)}}`,
    );
    expect(head!.statement.rootSha256).toBe(rootOfEvents(whole.events.slice(0, 4)));
  });
});
