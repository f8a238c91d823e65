import { describe, expect, it } from 'vitest';
import * as words from '../../src/domain/words.ts';

const LISTS = Object.entries(words as Readonly<Record<string, unknown>>).filter(
  (entry): entry is [string, readonly string[]] => Array.isArray(entry[1]),
);

describe('the words of the trade', () => {
  it.each(LISTS)('%s names each thing once', (_name, list) => {
    expect(list.length).toBeGreaterThan(1);
    expect(new Set(list).size).toBe(list.length);
  });

  it('every position takes a part or a shop tool, and every part has a position', () => {
    const things: readonly string[] = [...words.PART_KINDS, ...words.SHOP_TOOL_KINDS];
    expect(Object.keys(words.POSITION_TAKES)).toEqual([...words.POSITIONS]);
    const taken = Object.values(words.POSITION_TAKES);
    expect(taken.filter((kind) => !things.includes(kind))).toEqual([]);
    expect(words.PART_KINDS.filter((kind) => !taken.includes(kind))).toEqual([]);
    // Torque tools stay in the hand: no socket has a place for one.
    expect(taken).not.toContain('torque_tool');
  });

  it('a joint’s screws and the parts that carry its setting are among its parts', () => {
    expect(Object.keys(words.JOINTS)).toEqual([...words.JOINT_KINDS]);
    for (const joint of Object.values(words.JOINTS)) {
      const positions: readonly words.Position[] = joint.positions;
      expect(joint.carriers.length).toBeGreaterThan(0);
      for (const carrier of joint.carriers) expect(positions).toContain(carrier);
      if (joint.needsScrews !== null) {
        expect(positions).toContain(joint.needsScrews);
        expect(words.POSITION_TAKES[joint.needsScrews]).toBe('screw_set');
      }
    }
  });

  it('load-bearing parts are kinds of part', () => {
    for (const kind of words.LOAD_BEARING_KINDS) expect(words.PART_KINDS).toContain(kind);
  });
});
