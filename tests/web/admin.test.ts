/** What the set-up works out by itself: hours as they are typed, and two people's changes brought together. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { clampLoadOf } from '../../src/domain/clampLoad.ts';
import { STARTING_ROUTES } from '../../src/domain/startingRoutes.ts';
import { FABRIC_RANGES } from '../../src/domain/fabrics.ts';
import {
  ALLOWANCE_RANGES,
  LAYUP_RANGES,
  STARTING_LAYUP_RULES,
} from '../../src/domain/layupRules.ts';
import { RESIN_RANGES } from '../../src/domain/resin.ts';
import { METRIC } from '../../src/domain/units.ts';
import { STARTING_WEEKDAYS } from '../../src/domain/workCalendar.ts';
import '../../src/web/admin/english.ts';
import { broughtTogether, calendarChanges } from '../../src/web/admin/calendarChanges.ts';
import { hoursOf, hoursTyped } from '../../src/web/admin/hours.ts';
import { routeChanges } from '../../src/web/admin/routeChanges.ts';
import { keyOf, moved, operationTyped, type Operation } from '../../src/web/admin/routeDraft.ts';
import { routesTogether } from '../../src/web/admin/routesTogether.ts';
import { rulesChanges } from '../../src/web/admin/rulesChanges.ts';
import { bandWords, clampWords } from '../../src/web/admin/settingWords.ts';
import { saidAsRecorded } from '../../src/web/words/said.ts';
import { units } from '../../src/web/words/units.ts';
import { turnTo } from '../../src/web/words/words.ts';

describe('opening hours', () => {
  it('are read as people type them', () => {
    const whole = [
      { fromMinute: 480, toMinute: 720 },
      { fromMinute: 780, toMinute: 1020 },
    ];
    for (const typed of ['8:00-12:00, 13:00-17:00', '08.00 – 12.00; 13 to 17', '8-12,13-17']) {
      expect(hoursOf(typed), typed).toEqual(whole);
    }
    expect(hoursTyped(whole)).toBe('8:00-12:00, 13:00-17:00');
    expect(hoursOf('  ')).toEqual([]);
  });

  it.each(['eight to five', '8:00', '8:75-9:00', '8:00-12:00,', '8-12-17'])(
    'are not guessed from %s',
    (typed) => expect(hoursOf(typed)).toBeUndefined(),
  );
});

describe('two people change one calendar', () => {
  const weekdays = STARTING_WEEKDAYS.map((hours) => [...hours]);
  const base = { weekdays, closedDays: [{ on: '2026-12-25', why: 'Christmas' }] };
  const saturday = weekdays.map((hours, at) =>
    at === 5 ? [{ fromMinute: 540, toMinute: 720 }] : hours,
  );

  it('and both changes are in it; where both changed one weekday, mine stands', () => {
    const mine = { weekdays, closedDays: [{ on: '2026-12-24', why: 'Eve' }] };
    const theirs = {
      weekdays: saturday,
      closedDays: [...base.closedDays, { on: '2026-01-01', why: 'New Year' }],
    };
    expect(broughtTogether(base, mine, theirs)).toEqual({
      weekdays: saturday,
      closedDays: [
        { on: '2026-01-01', why: 'New Year' },
        { on: '2026-12-24', why: 'Eve' },
      ],
    });
    const other = weekdays.map((hours, at) =>
      at === 5 ? [{ fromMinute: 0, toMinute: 60 }] : hours,
    );
    expect(broughtTogether(base, { ...base, weekdays: other }, theirs).weekdays[5]).toEqual([
      { fromMinute: 0, toMinute: 60 },
    ]);
  });

  it('and what changed is told in sentences', () => {
    expect(calendarChanges(base, base)).toEqual([]);
    expect(calendarChanges(base, { weekdays: saturday, closedDays: [] })).toEqual([
      'Saturday: 9:00-12:00; was closed.',
      'Open on Fri, 25 Dec 2026: Christmas is out.',
    ]);
  });
});

describe('a route', () => {
  const [starting] = STARTING_ROUTES;
  const operations = (starting?.operations ?? []).map((operation, at) => ({
    ...operation,
    checks: [...operation.checks],
    seq: at + 1,
  })) as Operation[];
  const route = { name: starting?.name ?? '', operations };

  it('says what differs between two versions: moved, taken out, added, asked otherwise', () => {
    expect(routeChanges(route, route)).toEqual([]);
    const changed = moved(operations, 0, 1)
      .filter(({ kind }) => kind !== 'check_lock')
      .map((operation) =>
        operation.kind === 'thermoform'
          ? {
              ...operation,
              plannedMinutes: 60,
              checks: operation.checks.map((check) =>
                check.kind === 'measured' ? { ...check, max: 15 } : check,
              ),
            }
          : operation,
      );
    expect(routeChanges(route, { ...route, operations: changed })).toEqual([
      '“Form the check socket over the model”, planned minutes: 60; was 45.',
      '“Form the check socket over the model” asks How thick is the sheet? (9 to 15 mm); was How thick is the sheet? (9 to 16 mm)',
      'Moved from 1 to 2: “Prepare the model”.',
      'Taken out: “Check the lock with its pin”.',
    ]);
  });

  it('takes what another changed where I changed nothing, and keeps mine elsewhere', () => {
    const titled = (kind: string, title: string) =>
      operations.map((operation) =>
        operation.kind === kind ? { ...operation, title } : operation,
      );
    const mine = titled('thermoform', 'Drape it').map(operationTyped);
    const theirs = { operations: moved(titled('trim_edges', 'Trim'), 0, 1) };
    const together = routesTogether(route, mine, theirs);
    expect(together.map(({ title }) => title).slice(0, 3)).toEqual([
      'Drape it',
      'Prepare the model',
      'Trim',
    ]);
    // Where I moved something, the order is mine.
    const ordered = routesTogether(route, moved(mine, 3, 1), theirs);
    expect(ordered.map(({ kind }) => kind)).toEqual(
      moved(operations, 3, 1).map(({ kind }) => kind),
    );
    expect(ordered.map(({ title }) => title)).toContain('Trim');
  });

  it('names an answer by its question, once', () => {
    expect(keyOf('Is the vacuum tight?', [])).toBe('vacuum_tight');
    expect(keyOf('Is the vacuum tight?', ['vacuum_tight'])).toBe('vacuum_tight_2');
    expect(keyOf('¿?', [])).toBe('check');
    expect(keyOf('2 layers of Größe', [])).toMatch(/^[a-z][a-z0-9_]*$/);
    expect(keyOf('x'.repeat(200), []).length).toBeLessThanOrEqual(40);
  });
});

describe('layup rules', () => {
  it('say what differs between two versions', () => {
    const [first, ...rest] = STARTING_LAYUP_RULES.rows;
    if (first === undefined) throw new Error('no row');
    const after = {
      ...STARTING_LAYUP_RULES,
      fibreMassFraction: 0.55,
      rows: [{ ...first, upToKg: 90, lines: first.lines.slice(1) }, ...rest.slice(1)],
    };
    expect(rulesChanges(STARTING_LAYUP_RULES, STARTING_LAYUP_RULES)).toEqual([]);
    expect(rulesChanges(STARTING_LAYUP_RULES, after)).toEqual([
      'Fibre mass fraction: 0.55; was 0.5.',
      '“Nearly everybody” is for: up to 90 kg · K0, K1, K2, K3 · every level; was up to 100 kg · K0, K1, K2, K3 · every level.',
      '“Nearly everybody” had, and has no more: sheer nylon: 1 layer, along the limb.',
      'Row “Heavier” is gone: above 100 and up to 125 kg · K0, K1, K2, K3 · every level.',
    ]);
  });
});

describe('what the set-up works out itself, in German', () => {
  beforeAll(() => turnTo('de'));
  afterAll(() => turnTo('en'));

  it('says what differs between two versions of the rules', () => {
    const [first, ...rest] = STARTING_LAYUP_RULES.rows;
    if (first === undefined) throw new Error('no row');
    const lines = first.lines.filter(({ kind }) => kind !== 'tooling_plate').slice(1);
    const after = {
      ...STARTING_LAYUP_RULES,
      fibreMassFraction: 0.55,
      rows: [{ ...first, upToKg: 90.5, lines }, ...rest.slice(1)],
    };
    expect(rulesChanges(STARTING_LAYUP_RULES, after)).toEqual([
      'Fasermassenanteil: 0,55; war 0,5.',
      '„Nearly everybody“ ist für: bis 90,5 kg · K0, K1, K2, K3 · jede Amputationshöhe; war bis 100 kg · K0, K1, K2, K3 · jede Amputationshöhe.',
      '„Nearly everybody“ hatte und hat nicht mehr: sheer nylon: 1 Lage, längs.',
      '„Nearly everybody“ hatte und hat nicht mehr: Laminierplatte.',
      'Zeile „Heavier“ entfällt: über 100 bis 125 kg · K0, K1, K2, K3 · jede Amputationshöhe.',
    ]);
  });

  it('says what is usual in the units that the fields are typed in, whichever are shown', () => {
    units.value = { length: 'in', mass: 'lb', torque: 'lbf.in' };
    try {
      const ranges = [FABRIC_RANGES, RESIN_RANGES, LAYUP_RANGES, ALLOWANCE_RANGES];
      const usual = ranges.flatMap((of) => Object.values(of).map((range) => range.usual));
      expect(usual.length).toBeGreaterThan(15);
      for (const each of usual.map(saidAsRecorded)) {
        expect(each).not.toMatch(/\b(to|for|is|of|the|and|or)\b|\d\.\d|\b(in|lb)$/);
      }
      expect(saidAsRecorded(ALLOWANCE_RANGES.brimMm.usual)).toBe('40 bis 100 mm');
    } finally {
      units.value = METRIC;
    }
  });

  it('says what a screw would clamp with, and where that comes from', () => {
    const setting = {
      jointKind: 'distal',
      torqueMinNm: 12.5,
      torqueMaxNm: 15,
      fastenerCount: 4,
      fastenerSize: 'M6',
      propertyClass: '12.9',
      threadlocker: 'required',
    } as const;
    const { clampLoad } = clampLoadOf(setting, 'N.m');
    expect(bandWords(setting)).toBe('12,5 bis 15 N·m');
    expect(clampWords(clampLoad)).toMatch(
      /^Jede Schraube würde mit etwa \d+ bis \d+ N klemmen: \d+ bis \d+ % ihrer Prüfkraft von 19500 N\.$/,
    );
    expect(saidAsRecorded(clampLoad.nutFactorSource)).toMatch(/^nasse anaerobe/);
    expect(saidAsRecorded(clampLoad.limitSource)).toBe('ISO 898-1, Tabelle 5, Regelgewinde');
  });
});
