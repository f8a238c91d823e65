/** The count of a recalled lot closes, or says that it does not. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  callsLeft,
  RECALL_STATIONS,
  reckonBatch,
  reckonLot,
  stationOf,
  type LotAccounts,
  type PresentPlace,
} from '../../src/domain/recall.ts';
import { PLACE_KINDS, SOCKET_STATES } from '../../src/domain/words.ts';

const place: fc.Arbitrary<PresentPlace> = fc
  .tuple(fc.constantFrom(...PLACE_KINDS), fc.constantFrom(...SOCKET_STATES))
  .map(([placeKind, socketState]) => ({
    placeKind,
    socketState: placeKind === 'socket_position' ? socketState : null,
  }));

/** A lot whose every piece was entered, received and placed once. */
const soundLot = fc
  .uniqueArray(fc.uuid(), { minLength: 1, maxLength: 30 })
  .chain((ids) =>
    fc.tuple(fc.constant(ids), fc.array(place, { minLength: ids.length, maxLength: ids.length })),
  )
  .map(([ids, places]): LotAccounts => ({
    enteredIds: ids,
    receiptIds: [...ids].reverse(),
    placed: ids.flatMap((itemId, at) => {
      const where = places[at];
      return where === undefined ? [] : [{ itemId, ...where }];
    }),
  }));

const sum = (counts: Readonly<Record<string, number>>): number =>
  Object.values(counts).reduce((total, count) => total + count, 0);

describe('the pieces of a lot', () => {
  test('are counted where they are, and the counts add up to what was received', () => {
    fc.assert(
      fc.property(soundLot, (lot) => {
        const reckoning = reckonLot(lot);
        expect(reckoning).toMatchObject({ reconciles: true, unclear: [] });
        expect(sum(reckoning.counts)).toBe(lot.receiptIds.length);
        expect(reckoning.accountedFor).toBe(reckoning.received);
        for (const station of RECALL_STATIONS) {
          const there = lot.placed.filter((piece) => stationOf(piece) === station);
          expect(reckoning.counts[station]).toBe(there.length);
        }
      }),
    );
  });

  test('do not reconcile when one was lost from any of the three accounts, and it is named', () => {
    fc.assert(
      fc.property(
        soundLot,
        fc.nat(),
        fc.constantFrom('enteredIds', 'receiptIds', 'placed'),
        (lot, which, account) => {
          const lost = which % lot.enteredIds.length;
          const id = lot.enteredIds[lost] ?? '';
          const short: LotAccounts = {
            ...lot,
            ...(account === 'placed'
              ? { placed: lot.placed.filter((piece) => piece.itemId !== id) }
              : { [account]: lot[account].filter((each) => each !== id) }),
          };
          expect(reckonLot(short)).toMatchObject({ reconciles: false, unclear: [id] });
        },
      ),
    );
  });

  test('do not reconcile when one was received twice, though another is lost and the sums agree', () => {
    const bin = { placeKind: 'bin', socketState: null } as const;
    const reckoning = reckonLot({
      enteredIds: ['a', 'b'],
      receiptIds: ['a', 'a'],
      placed: [
        { itemId: 'a', ...bin },
        { itemId: 'b', ...bin },
      ],
    });
    expect(reckoning.received).toBe(reckoning.accountedFor);
    expect(reckoning).toMatchObject({ reconciles: false, unclear: ['a', 'b'] });
  });

  test('name what is unclear in its order', () => {
    const nowhere = { enteredIds: ['c', 'a', 'b'], receiptIds: ['b', 'c', 'a'], placed: [] };
    expect(reckonLot(nowhere).unclear).toEqual(['a', 'b', 'c']);
  });

  test('count a piece in a socket that nobody knows as not placed', () => {
    const reckoning = reckonLot({
      enteredIds: ['a'],
      receiptIds: ['a'],
      placed: [{ itemId: 'a', placeKind: 'socket_position', socketState: null }],
    });
    expect(reckoning).toMatchObject({ accountedFor: 0, reconciles: false, unclear: ['a'] });
  });
});

describe('a batch', () => {
  const use = (socketId: string, amount: number | null, socketState = 'delivered') => ({
    socketId,
    socketState: socketState as (typeof SOCKET_STATES)[number],
    amount,
  });

  test('has left what was not used, and counts a socket once however often it was used on it', () => {
    const reckoning = reckonBatch(1000, [use('a', 300), use('a', 0.1), use('b', 0.2, 'in_work')]);
    expect(reckoning.used).toBeCloseTo(300.3, 6);
    expect(reckoning.leftByBook).toBeCloseTo(699.7, 6);
    expect(reckoning).toMatchObject({
      reconciles: true,
      usesWithoutAmount: 0,
      counts: { worn: 1, inWork: 1, inRetired: 0 },
    });
  });

  test('cannot be told to reconcile where a use was not weighed', () => {
    expect(reckonBatch(50, [use('a', null)])).toMatchObject({
      reconciles: null,
      usesWithoutAmount: 1,
    });
  });

  test('does not reconcile where more was used than received, weighed or not', () => {
    expect(reckonBatch(50, [use('a', 51), use('b', null)]).reconciles).toBe(false);
    expect(reckonBatch(0.3, [use('a', 0.1), use('b', 0.2)]).reconciles).toBe(true);
  });
});

describe('the calls of a recall', () => {
  test('who was reached is told; a message or a wrong number leaves the wearer to be called', () => {
    expect(
      callsLeft([
        { calls: [{ outcome: 'message_left' }, { outcome: 'reached' }] },
        { calls: [{ outcome: 'number_wrong' }] },
        { calls: [] },
      ]),
    ).toEqual({ reached: 1, left: 2 });
  });
});
