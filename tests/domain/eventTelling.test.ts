/** What events tell: every field that changed with the values before and after, and the rest. */
import { describe, expect, test } from 'vitest';
import { EVENT_KINDS, EVENT_WORDS, LOOKS, SUBJECT_KINDS } from '../../src/domain/eventKinds.ts';
import { tellEvent } from '../../src/domain/eventTelling.ts';
import { fieldWords } from '../../src/domain/fieldWords.ts';

describe('an event', () => {
  test('of an entry that was changed tells each field, also one that came or went', () => {
    const data = {
      label: 'Lock 7',
      before: { phone: '01', note: 'x' },
      after: { phone: '02', liner: 'gel' },
    };
    expect(tellEvent('item.changed', data)).toEqual({
      changes: [
        { field: 'phone', before: '01', after: '02' },
        { field: 'note', before: 'x', after: null },
        { field: 'liner', before: null, after: 'gel' },
      ],
      facts: [{ field: 'label', value: 'Lock 7' }],
    });
  });

  test.each([
    [
      'order.stage_changed',
      { before: 'casting', after: 'check_fitting' },
      'stage',
      'casting',
      'check_fitting',
    ],
    [
      'order.put_on_hold',
      { before: null, after: 'parts_awaited' },
      'holdReason',
      null,
      'parts_awaited',
    ],
    [
      'order.resumed',
      { before: 'parts_awaited', after: null },
      'holdReason',
      'parts_awaited',
      null,
    ],
    ['batch.opened', { before: null, after: '2026-03-02' }, 'openedOn', null, '2026-03-02'],
    ['socket.scrapped', { before: 'in_work' }, 'state', 'in_work', 'scrapped'],
    ['cast.accepted', { before: 'taken', after: 'accepted' }, 'state', 'taken', 'accepted'],
    ['part.from_the_future', { before: 'old' }, 'state', 'old', null],
  ])('%s: %o', (kind, data, field, before, after) => {
    expect(tellEvent(kind, data)).toEqual({ changes: [{ field, before, after }], facts: [] });
  });

  test('of a body mass tells the one before under the same names', () => {
    const data = {
      massKg: 84,
      measuredOn: '2026-03-02',
      bodyMassId: 'b',
      before: { massKg: 82, measuredOn: '2026-01-02', scale: 'x' },
    };
    expect(tellEvent('body_mass.recorded', data)).toEqual({
      changes: [
        { field: 'massKg', before: 82, after: 84 },
        { field: 'measuredOn', before: '2026-01-02', after: '2026-03-02' },
        { field: 'scale', before: 'x', after: null },
      ],
      facts: [{ field: 'bodyMassId', value: 'b' }],
    });
    // The first mass has none before it, and nothing is said of that.
    expect(tellEvent('body_mass.recorded', { massKg: 84, before: null })).toEqual({
      changes: [],
      facts: [{ field: 'massKg', value: 84 }],
    });
  });

  test('of a move tells the place it left and the place it came to', () => {
    const data = { moveId: 'm', from: 'a', to: 'b', note: null };
    expect(tellEvent('custody.moved', data)).toEqual({
      changes: [{ field: 'place', before: 'a', after: 'b' }],
      facts: [{ field: 'moveId', value: 'm' }],
    });
    expect(tellEvent('custody.moved', {}).changes).toEqual([
      { field: 'place', before: null, after: null },
    ]);
  });

  test('a field with its own before and after is a change, and no other object is', () => {
    const data = {
      before: 'delivered',
      after: 'lamination',
      promisedOn: { before: '2026-03-02', after: null },
      deliveredAt: { before: null, after: '2026-03-03T09:00:00.000Z' },
      typed: { unit: 'N.m' },
      list: [1, 2],
    };
    expect(tellEvent('order.stage_changed', data)).toEqual({
      changes: [
        { field: 'stage', before: 'delivered', after: 'lamination' },
        { field: 'promisedOn', before: '2026-03-02', after: null },
        { field: 'deliveredAt', before: null, after: '2026-03-03T09:00:00.000Z' },
      ],
      facts: [
        { field: 'typed', value: { unit: 'N.m' } },
        { field: 'list', value: [1, 2] },
      ],
    });
  });
});

describe('the list of kinds', () => {
  test('each is said in words of its own, subject first', () => {
    const words = EVENT_KINDS.map((kind) => EVENT_WORDS[kind]);
    expect(words.filter((said) => said.trim() === '')).toEqual([]);
    expect(new Set(words).size).toBe(EVENT_KINDS.length);
    for (const kind of EVENT_KINDS) expect(kind).toMatch(/^[a-z_]+\.[a-z_]+$/);
  });

  test('those that only look are in the list', () => {
    expect(LOOKS.filter((kind) => !EVENT_KINDS.includes(kind))).toEqual([]);
    expect(SUBJECT_KINDS).toContain('order');
  });
});

describe('a field in words', () => {
  test.each([
    ['promisedOn', 'promised day'],
    ['ratedBodyMassKg', 'rated body mass (kg)'],
    ['torqueMinNm', 'torque min (N·m)'],
    ['batchId', 'batch'],
    ['alignmentToleranceDeg', 'alignment tolerance (°)'],
    ['catalogue_number', 'catalogue number'],
    ['id', 'id'],
  ])('%s is %s', (field, words) => {
    expect(fieldWords(field)).toBe(words);
  });
});
