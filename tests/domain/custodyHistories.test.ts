/**
 * R1, R2, R4, R7 as histories: whatever is moved, torqued and checked in whatever order, a
 * joint is confirmed only while nothing in it has moved since.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  jointStates,
  judgeLock,
  LOCK_POSITIONS,
  moveIdsAt,
  type Evidence,
  type HeldItem,
} from '../../src/domain/assembly.ts';
import { JOINT_KINDS, JOINTS, type JointKind, type Position } from '../../src/domain/words.ts';
import { itemIn, PIN_LOCK_POSITIONS } from '../support/limbs.ts';

type Act =
  | { readonly act: 'put_in' | 'take_out'; readonly position: (typeof PIN_LOCK_POSITIONS)[number] }
  | { readonly act: 'torque'; readonly joint: JointKind; readonly good: boolean }
  | { readonly act: 'check_lock'; readonly good: boolean };

const anyAct: fc.Arbitrary<Act> = fc.oneof(
  fc.record({
    act: fc.constantFrom('put_in' as const, 'put_in' as const, 'take_out' as const),
    position: fc.constantFrom(...PIN_LOCK_POSITIONS),
  }),
  fc.record({
    act: fc.constant('torque' as const),
    joint: fc.constantFrom(...JOINT_KINDS),
    good: fc.boolean(),
  }),
  fc.record({ act: fc.constant('check_lock' as const), good: fc.boolean() }),
);

/** The bench's own book: for each joint and the lock, whether anything moved since it was proven. */
class Bench {
  readonly #held = new Map<Position, HeldItem>();
  readonly #torqued: Partial<Record<JointKind, Evidence & { readonly departures: number }>> = {};
  #checked: Evidence | null = null;
  #moves = 0;
  readonly #left: Position[] = [];
  /** What was proven good, and has not been touched since. */
  readonly proven = new Set<JointKind | 'lock'>();

  do(act: Act): void {
    switch (act.act) {
      case 'put_in':
        if (!this.#held.has(act.position)) this.#move(act.position);
        break;
      case 'take_out':
        if (this.#held.has(act.position)) this.#move(act.position);
        break;
      case 'torque': {
        const coversMoveIds = moveIdsAt(this.held, JOINTS[act.joint].positions);
        this.#torqued[act.joint] = {
          id: 'torque',
          good: act.good,
          coversMoveIds,
          departures: this.#departures(JOINTS[act.joint].positions),
        };
        this.#prove(act.joint, act.good && coversMoveIds.length > 0);
        break;
      }
      case 'check_lock': {
        const coversMoveIds = moveIdsAt(this.held, LOCK_POSITIONS);
        // The lock is checked with its pin in, or not at all.
        if (coversMoveIds.length < LOCK_POSITIONS.length) break;
        this.#checked = { id: 'check', good: act.good, coversMoveIds };
        this.#prove('lock', act.good);
      }
    }
  }

  get held(): readonly HeldItem[] {
    return [...this.#held.values()];
  }

  get confirmed(): JointKind[] {
    return jointStates(this.held, this.#newest())
      .filter((joint) => joint.confirmed)
      .map(({ kind }) => kind);
  }

  get lockStands(): boolean {
    const facts = { socket: 'S', suspension: 'pin_lock', held: this.held } as const;
    return judgeLock({ ...facts, newest: this.#checked }).length === 0;
  }

  /** As the ledger tells it: evidence after which anything has left the joint covers nothing. */
  #newest(): Partial<Record<JointKind, Evidence>> {
    return Object.fromEntries(
      Object.entries(this.#torqued).map(([kind, evidence]) => [
        kind,
        evidence.departures === this.#departures(JOINTS[kind as JointKind].positions)
          ? evidence
          : { ...evidence, coversMoveIds: [] },
      ]),
    );
  }

  #departures(positions: readonly Position[]): number {
    return this.#left.filter((position) => positions.includes(position)).length;
  }

  #move(position: (typeof PIN_LOCK_POSITIONS)[number]): void {
    this.#moves += 1;
    if (this.#held.delete(position)) {
      this.#left.push(position);
    } else {
      this.#held.set(position, { ...itemIn(position), lastMoveId: `move ${this.#moves}` });
    }
    for (const kind of JOINT_KINDS) {
      const positions: readonly Position[] = JOINTS[kind].positions;
      if (positions.includes(position)) this.proven.delete(kind);
    }
    if (LOCK_POSITIONS.includes(position)) this.proven.delete('lock');
  }

  #prove(what: JointKind | 'lock', good: boolean): void {
    if (good) this.proven.add(what);
    else this.proven.delete(what);
  }
}

describe('histories of a socket’s hardware', () => {
  it('no order of moves leaves a joint confirmed, or a lock check standing, after a later move (R4, R7)', () => {
    fc.assert(
      fc.property(fc.array(anyAct, { maxLength: 60 }), (acts) => {
        const bench = new Bench();
        for (const act of acts) {
          bench.do(act);
          for (const kind of bench.confirmed) expect(bench.proven).toContain(kind);
          expect(bench.lockStands).toBe(bench.proven.has('lock'));
        }
      }),
      { numRuns: 300 },
    );
  });

  it('whatever happened before, all put in, torqued and checked last is confirmed', () => {
    fc.assert(
      fc.property(fc.array(anyAct, { maxLength: 30 }), (acts) => {
        const bench = new Bench();
        acts.forEach((act) => bench.do(act));
        PIN_LOCK_POSITIONS.forEach((position) => bench.do({ act: 'put_in', position }));
        JOINT_KINDS.forEach((joint) => bench.do({ act: 'torque', joint, good: true }));
        bench.do({ act: 'check_lock', good: true });
        expect(bench.confirmed).toEqual([...JOINT_KINDS]);
        expect(bench.lockStands).toBe(true);
      }),
    );
  });

  it('after that, any one piece taken out and put back opens exactly what it is part of', () => {
    for (const position of PIN_LOCK_POSITIONS) {
      const bench = new Bench();
      PIN_LOCK_POSITIONS.forEach((each) => bench.do({ act: 'put_in', position: each }));
      JOINT_KINDS.forEach((joint) => bench.do({ act: 'torque', joint, good: true }));
      bench.do({ act: 'check_lock', good: true });
      bench.do({ act: 'take_out', position });
      bench.do({ act: 'put_in', position });
      const untouched = JOINT_KINDS.filter((kind) => {
        const positions: readonly Position[] = JOINTS[kind].positions;
        return !positions.includes(position);
      });
      expect(bench.confirmed, position).toEqual(untouched);
      expect(bench.lockStands, position).toBe(!LOCK_POSITIONS.includes(position));
    }
  });
});
