/** The chain is recomputed from nothing but its events, and the first one that is wrong is named. */
import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import {
  CHAIN_START,
  chainText,
  endsEarly,
  leafText,
  notedWords,
  readNotedHead,
  verifyEvents,
  type ChainedEvent,
  type ChainHead,
  type Leaf,
  type Sha256,
} from '../../src/domain/eventChain.ts';
import { sealedText, sealOf } from '../../src/domain/seals.ts';

const hash = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');
const sha256: Sha256 = (text) => Promise.resolve(hash(text));

const leafOf = (n: number, data: Leaf['data'] = { n }): Leaf => ({
  at: '2026-03-02T09:00:00.000Z',
  clinicId: '0190a000-0000-7000-8000-000000000001',
  data,
  id: `0190a000-0000-7000-8000-00000000010${n}`,
  kind: 'order.changed',
  orderId: null,
  personId: null,
  subjectId: '0190a000-0000-7000-8000-000000000002',
  subjectKind: 'order',
});

/** A chain as the database makes it. */
function chained(leaves: readonly Leaf[]): ChainedEvent[] {
  let head: ChainHead = CHAIN_START;
  return leaves.map((leaf) => {
    const leafSha256 = hash(leafText(leaf));
    head = { seq: head.seq + 1, chainSha256: hash(chainText(head.chainSha256, leafSha256)) };
    return { ...head, leaf, leafSha256, opened: {} };
  });
}

const five = chained([1, 2, 3, 4, 5].map((n) => leafOf(n)));
const [one, two, three, four, last] = five as [
  ChainedEvent,
  ChainedEvent,
  ChainedEvent,
  ChainedEvent,
  ChainedEvent,
];
const verify = (events: readonly ChainedEvent[], from = CHAIN_START) =>
  verifyEvents(sha256, from, events);

describe('a record that nobody touched', () => {
  test('is well up to its head, at once or run by run', async () => {
    const whole = { head: { seq: 5, chainSha256: last.chainSha256 }, fault: null, withheld: 0 };
    expect(await verify(five)).toEqual(whole);
    const { head } = await verify(five.slice(0, 2));
    expect(await verify(five.slice(2), head)).toEqual(whole);
    expect(endsEarly(whole.head, 5)).toBeNull();
  });

  test('an event whose content is not shown is chained all the same, and counted', async () => {
    const hidden = five.map((event) => (event === two ? { ...event, leaf: null } : event));
    expect(await verify(hidden)).toMatchObject({ head: { seq: 5 }, fault: null, withheld: 1 });
  });
});

describe('a record that was tampered with', () => {
  test('an edited event is not what was hashed', async () => {
    const edited = five.map((event) => (event === three ? { ...event, leaf: leafOf(9) } : event));
    expect(await verify(edited)).toEqual({
      head: { seq: 2, chainSha256: two.chainSha256 },
      fault: {
        seq: 3,
        kind: 'content_changed',
        expected: three.leafSha256,
        found: hash(leafText(leafOf(9))),
      },
      withheld: 0,
    });
  });

  test('edited and hashed anew, it does not follow its forerunner', async () => {
    const leaf = leafOf(9);
    const edited = { ...three, leaf, leafSha256: hash(leafText(leaf)) };
    const { fault } = await verify([one, two, edited, four, last]);
    expect(fault).toMatchObject({ seq: 3, kind: 'chain_broken', found: three.chainSha256 });
  });

  test('a removed event is missing', async () => {
    const { fault } = await verify([one, two, four, last]);
    expect(fault).toEqual({ seq: 3, kind: 'missing', expected: '3', found: '4' });
  });

  test('removed with the numbers closed up, the next one does not follow', async () => {
    const closed = [one, two, { ...four, seq: 3 }, { ...last, seq: 4 }];
    expect((await verify(closed)).fault).toMatchObject({ seq: 3, kind: 'chain_broken' });
  });

  test('two events that changed places: the first of them does not follow', async () => {
    const swapped = [one, two, { ...four, seq: 3 }, { ...three, seq: 4 }, last];
    expect((await verify(swapped)).fault).toMatchObject({ seq: 3, kind: 'chain_broken' });
  });

  test('an event that comes a second time is out of order', async () => {
    const { fault } = await verify([one, two, two, three]);
    expect(fault).toEqual({ seq: 3, kind: 'out_of_order', expected: '3', found: '2' });
  });

  test('the end that was cut off is missing, while the head says that it was there', async () => {
    const { head } = await verify(five.slice(0, 3));
    expect(endsEarly(head, 5)).toEqual({ seq: 4, kind: 'missing', expected: '5', found: '3' });
  });

  test('a whole new chain is well in itself; only the head that was noted tells', async () => {
    const forged = chained([1, 2, 9, 4, 5].map((n) => leafOf(n)));
    expect((await verify(forged)).fault).toBeNull();
    const noted = readNotedHead(notedWords(four));
    expect(noted).not.toBeNull();
    const against = await verifyEvents(sha256, CHAIN_START, forged, noted ?? undefined);
    expect(against.fault).toMatchObject({
      seq: 4,
      kind: 'noted_head_differs',
      expected: four.chainSha256.slice(0, 32),
    });
    expect(await verifyEvents(sha256, CHAIN_START, five, noted ?? undefined)).toMatchObject({
      fault: null,
    });
  });
});

describe('sealed personal values', () => {
  const kept = { salt: 'ab'.repeat(16), value: '01 555 777' };
  const seal = sealOf(hash(sealedText(kept)));
  const [event] = chained([leafOf(1, { after: { phone: seal }, before: { phone: null } })]);
  const withOpened = (opened: ChainedEvent['opened']): ChainedEvent[] =>
    event === undefined ? [] : [{ ...event, opened }];

  test('the value that was sealed fits', async () => {
    expect((await verify(withOpened({ 'after.phone': kept }))).fault).toBeNull();
  });

  test('another value, or one where none was sealed, breaks the seal', async () => {
    const other = { ...kept, value: '01 555 778' };
    for (const opened of [{ 'after.phone': other }, { 'before.phone': kept }]) {
      expect((await verify(withOpened(opened))).fault).toMatchObject({
        seq: 1,
        kind: 'seal_broken',
      });
    }
  });
});

describe('the head on paper', () => {
  test('is the number and eight groups of four', () => {
    expect(notedWords({ seq: 3012, chainSha256: '0123456789abcdef'.repeat(4) })).toBe(
      '3012: 0123 4567 89ab cdef 0123 4567 89ab cdef',
    );
  });

  test.each([
    ['as printed', '3012: 0123 4567 89ab cdef 0123 4567 89ab cdef'],
    ['in capitals, without a colon', '3012 0123 4567 89AB CDEF 0123 4567 89AB CDEF'],
    ['with letters for figures', 'No. 3012: Ol23-4567-89ab-cdef-OI23-4567-89ab-cdef'],
  ])('is read %s', (_how, typed) => {
    expect(readNotedHead(typed)).toEqual({ seq: 3012, begins: '0123456789abcdef0123456789abcdef' });
  });

  test.each([
    '',
    '3012',
    '0: 0123 4567 89ab cdef 0123 4567 89ab cdef',
    '99999999999999999999: 0123 4567 89ab cdef 0123 4567 89ab cdef',
    '3012: 0123 4567',
    '3012: 0123 4567 89ab cdef 0123 4567 89ab cdeg',
  ])('%j is none', (typed) => {
    expect(readNotedHead(typed)).toBeNull();
  });
});
