import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CHECK_KINDS,
  earlierOpen,
  FACTS_NEEDED,
  judgeOperation,
  OPERATION_KIND_NAMES,
  OPERATION_KINDS,
  type Answer,
  type Answers,
  type Check,
  type OperationFacts,
} from '../../src/domain/operations.ts';
import { reason } from '../../src/domain/reasons/index.ts';
import { OPERATION_STATES } from '../../src/domain/words.ts';
import { codes, refusalCodes } from '../support/limbs.ts';

/** One check of each kind, as a lamination asks them. */
const CHECKS = {
  vacuum: { kind: 'yes_no', key: 'vacuum', ask: 'Does the bag hold its vacuum?' },
  mass: { kind: 'measured', key: 'mass', ask: 'Resin weighed', unit: 'g', min: 290, max: 310 },
  resin: {
    kind: 'batch',
    key: 'resin',
    ask: 'Which resin?',
    batchKind: 'resin',
    amountAsked: true,
  },
  remark: { kind: 'note', key: 'remark', ask: 'What was seen?' },
  witness: { kind: 'second_person', key: 'witness', ask: 'Who looked as well?' },
  sheet: { kind: 'scan', key: 'sheet', ask: 'Scan the traveller.', of: 'traveller' },
  picture: { kind: 'photo', key: 'picture', ask: 'Photo of the bag' },
} as const satisfies Record<string, Check>;

const GOOD = {
  vacuum: true,
  mass: 300,
  resin: { batchId: 'batch-1', amount: 300 },
  remark: 'No air in it.',
  witness: { personId: 'colleague' },
  sheet: { scan: 'KB-26-00417-I' },
  picture: { photoIds: ['photo-1'] },
} as const satisfies Record<keyof typeof CHECKS, Answer>;

const lamination = (over: Partial<OperationFacts> = {}): OperationFacts => ({
  title: 'Laminate',
  orderNumber: 'KB-26-00417-I',
  kind: 'laminate',
  state: 'waiting',
  checks: Object.values(CHECKS),
  earlierOpen: [],
  missingFacts: {},
  ...over,
});
const say = (answers: Answers, over: Partial<OperationFacts> = {}) =>
  judgeOperation(lamination(over), answers, 'technician');
/** The verdict on one check alone. */
const answering = (check: Check, answer: Answer) =>
  say({ [check.key]: answer }, { checks: [check] });

describe('saying that an operation is done', () => {
  it('is stopped by what the record says, although every answer is good', () => {
    const stops = [
      reason('cured-too-short', {
        sinceHours: 2,
        answeredHours: null,
        cureHours: 12,
        cureTemperatureC: 22,
      }),
    ];
    expect(say(GOOD, { kind: 'cure', stops })).toEqual({
      ok: true,
      value: { outcome: 'stopped', because: stops, effect: null },
    });
  });

  it('is done when its turn has come and every check has its answer', () => {
    expect(say(GOOD)).toEqual({ ok: true, value: { outcome: 'done', because: [], effect: null } });
  });

  it('waits for every earlier operation, each of which is named', () => {
    const verdict = say(GOOD, {
      earlierOpen: [
        { title: 'Lay up', state: 'waiting' },
        { title: 'Seal the model', state: 'stopped' },
      ],
    });
    expect(verdict).toMatchObject({
      ok: false,
      reasons: [
        { code: 'earlier-operation-open', rule: 'R8', facts: { earlier: 'Lay up' } },
        { code: 'earlier-operation-open', facts: { earlier: 'Seal the model', state: 'stopped' } },
      ],
    });
  });

  it('is said once; stopped by a finding or left out by a prosthetist it is not said at all', () => {
    expect(refusalCodes(say(GOOD, { state: 'done' }))).toEqual(['operation-already-done']);
    expect(refusalCodes(say(GOOD, { state: 'stopped' }))).toEqual(['operation-stopped']);
    expect(refusalCodes(say(GOOD, { state: 'left_out' }))).toEqual(['operation-left-out']);
  });

  it('is refused where the record does not bear it out: the dummy is still in', () => {
    const missing = 'the dummy is still in';
    expect(
      judgeOperation(
        lamination({ kind: 'pull_dummy', checks: [], missingFacts: { dummy_out: missing } }),
        {},
        'technician',
      ),
    ).toMatchObject({ reasons: [{ code: 'facts-do-not-bear-it-out', facts: { missing } }] });
    // What another kind of operation would need does not matter to this one.
    expect(say(GOOD, { missingFacts: { dummy_out: missing } }).ok).toBe(true);
  });

  it('curing, inspecting and breaking out change the socket or its cast, and only when done', () => {
    const effects = OPERATION_KIND_NAMES.flatMap((kind) => {
      const verdict = judgeOperation(lamination({ kind, checks: [] }), {}, 'technician');
      return verdict.ok && verdict.value.effect !== null ? [[kind, verdict.value.effect]] : [];
    });
    expect(effects).toEqual([
      ['cure', 'cured'],
      ['break_out_model', 'model_broken_out'],
      ['inspect_chamber', 'chamber_inspected'],
    ]);
    expect(say({ ...GOOD, vacuum: false }, { kind: 'cure' })).toMatchObject({
      value: { outcome: 'stopped', effect: null },
    });
  });
});

describe('the checks of an operation', () => {
  it('each needs its answer, and no other is taken', () => {
    expect(refusalCodes(say({}))).toEqual(CHECK_KINDS.map(() => 'check-unanswered'));
    expect(say({ ...GOOD, colour: 'skin' })).toMatchObject({
      reasons: [{ code: 'check-unknown', facts: { key: 'colour' }, field: '/answers/colour' }],
    });
  });

  it('a check named like a thing that every object has is still unanswered', () => {
    const check = { ...CHECKS.remark, key: 'constructor' };
    expect(refusalCodes(say({}, { checks: [check] }))).toEqual(['check-unanswered']);
  });

  it('an answer must be of the sort that its check asks for', () => {
    const fits: [Check, Answer, boolean][] = [
      [CHECKS.vacuum, 'yes', false],
      [CHECKS.mass, 300.5, true],
      [CHECKS.mass, Number.NaN, false],
      [CHECKS.mass, '300', false],
      [CHECKS.resin, { batchId: 'b', amount: 1 }, true],
      [CHECKS.resin, { batchId: 'b' }, false],
      [CHECKS.resin, { batchId: 'b', amount: 0 }, false],
      [CHECKS.resin, 'b', false],
      [CHECKS.resin, { personId: 'p' }, false],
      [{ ...CHECKS.resin, amountAsked: false }, { batchId: 'b' }, true],
      [{ ...CHECKS.resin, amountAsked: false }, { personId: 'p' }, false],
      [{ ...CHECKS.resin, amountAsked: false }, 'b', false],
      [CHECKS.remark, '   ', false],
      [CHECKS.remark, true, false],
      [CHECKS.witness, { personId: 'colleague' }, true],
      [CHECKS.witness, { batchId: 'b' }, false],
      [CHECKS.witness, 'colleague', false],
      [CHECKS.sheet, 'KB-26-00417-I', false],
      [CHECKS.sheet, { scan: ' ' }, false],
      [CHECKS.sheet, { personId: 'colleague' }, false],
      [CHECKS.picture, { photoIds: ['photo-1', 'photo-2'] }, true],
      [CHECKS.picture, { photoIds: [] }, false],
      [CHECKS.picture, { scan: 'photo-1' }, false],
      [CHECKS.picture, 'photo-1', false],
    ];
    for (const [check, answer, right] of fits) {
      expect(refusalCodes(answering(check, answer)), JSON.stringify([check.key, answer])).toEqual(
        right ? [] : ['check-answer-misfits'],
      );
    }
    expect(answering(CHECKS.witness, true)).toMatchObject({
      reasons: [{ facts: { expects: 'a person ({ personId })' }, field: '/answers/witness' }],
    });
  });

  it('a no, or a value outside its limits, stops the operation and is kept', () => {
    expect(answering(CHECKS.vacuum, false)).toMatchObject({
      ok: true,
      value: { outcome: 'stopped', because: [{ code: 'check-answered-no' }] },
    });
    const limits: [Partial<typeof CHECKS.mass> | { max: null } | { min: null }, number, string][] =
      [
        [{}, 289, '290 to 310 g'],
        [{}, 311, '290 to 310 g'],
        [{ max: null }, 289, 'at least 290 g'],
        [{ min: null }, 311, 'at most 310 g'],
      ];
    for (const [over, value, words] of limits) {
      expect(answering({ ...CHECKS.mass, ...over }, value)).toMatchObject({
        value: {
          outcome: 'stopped',
          because: [{ code: 'check-out-of-limits', facts: { value, limits: words } }],
        },
      });
    }
  });

  it('at the limit, and past the side that has none, it goes on', () => {
    for (const value of [290, 310]) {
      expect(answering(CHECKS.mass, value)).toMatchObject({ value: { outcome: 'done' } });
    }
    expect(answering({ ...CHECKS.mass, max: null }, 999)).toMatchObject({
      value: { outcome: 'done' },
    });
    expect(answering({ ...CHECKS.mass, min: null, max: null }, -5)).toMatchObject({
      value: { outcome: 'done' },
    });
  });

  it('the second person is another than the one who records it', () => {
    expect(refusalCodes(answering(CHECKS.witness, { personId: 'technician' }))).toEqual([
      'second-person-is-the-same',
    ]);
  });

  it('the traveller that is scanned is that of this order, whatever address its code was printed with', () => {
    const refused = (scan: string) => refusalCodes(answering(CHECKS.sheet, { scan }));
    for (const scan of [
      'https://elsewhere.example/book/o/KB-26-00417-I',
      'http://castbook.example/o/kb-26-00417-i',
      'kb 26 00417 i',
    ]) {
      expect(refused(scan), scan).toEqual([]);
    }
    const another = 'https://castbook.example/o/KB-26-00418-G';
    expect(answering(CHECKS.sheet, { scan: another })).toMatchObject({
      reasons: [
        {
          code: 'scan-of-another-order',
          facts: { order: 'KB-26-00417-I', scanned: 'KB-26-00418-G' },
          field: '/answers/sheet',
        },
      ],
    });
    expect(refused('+A99912345/$$52001510X3')).toEqual(['scan-of-another-order']);
    // Of anything else, what was read is kept and nothing is asked of it.
    const anything: Check = { ...CHECKS.sheet, of: 'anything' };
    expect(answering(anything, { scan: '+A99912345/$$52001510X3' }).ok).toBe(true);
  });

  it('everything against it is told at once, and then nothing is recorded', () => {
    const verdict = say(
      { vacuum: 'perhaps', mass: 500, witness: { personId: 'technician' }, colour: 'skin' },
      { earlierOpen: [{ title: 'Lay up', state: 'waiting' }] },
    );
    expect(verdict.ok ? [] : codes(verdict.reasons)).toEqual([
      'earlier-operation-open',
      'check-unknown',
      'check-answer-misfits',
      'check-unanswered',
      'check-unanswered',
      'second-person-is-the-same',
      'check-unanswered',
      'check-unanswered',
    ]);
  });
});

describe('whatever is sent', () => {
  const anyAnswer: fc.Arbitrary<Answer> = fc.oneof(
    fc.boolean(),
    fc.double(),
    fc.string(),
    fc.record({ batchId: fc.string(), amount: fc.double() }),
    fc.record({ personId: fc.constantFrom('technician', 'colleague') }),
    fc.record({ scan: fc.string() }),
    fc.record({ photoIds: fc.array(fc.string(), { maxLength: 2 }) }),
  );
  const anyAnswers = fc.oneof(
    fc.constant<Answers>(GOOD),
    fc.dictionary(fc.constantFrom(...Object.keys(CHECKS), 'colour'), anyAnswer),
  );
  const anyFacts: fc.Arbitrary<OperationFacts> = fc.record({
    title: fc.constant('Laminate'),
    orderNumber: fc.constant('KB-26-00417-I'),
    kind: fc.constantFrom(...OPERATION_KIND_NAMES),
    state: fc.constantFrom(...OPERATION_STATES, 'waiting' as const, 'waiting' as const),
    checks: fc.subarray<Check>(Object.values(CHECKS)),
    earlierOpen: fc.oneof(
      fc.constant([]),
      fc.array(
        fc.record({
          title: fc.string(),
          state: fc.constantFrom('waiting' as const, 'stopped' as const),
        }),
        { maxLength: 2 },
      ),
    ),
    missingFacts: fc.oneof(
      fc.constant({}),
      fc.dictionary(fc.constantFrom(...FACTS_NEEDED), fc.constant('it is missing')),
    ),
  });

  it('an operation is never granted out of order, twice, unproven or half answered', () => {
    fc.assert(
      fc.property(anyFacts, anyAnswers, (facts, answers) => {
        const asked = facts.checks.map((check) => check.key);
        const given = Object.fromEntries(
          Object.entries(answers).filter(([key]) =>
            answers === GOOD ? asked.includes(key) : true,
          ),
        ) as Answers;
        const verdict = judgeOperation(facts, given, 'technician');
        if (!verdict.ok) {
          expect(verdict.reasons).not.toEqual([]);
          return;
        }
        expect(facts.state).toBe('waiting');
        expect(facts.earlierOpen).toEqual([]);
        for (const need of OPERATION_KINDS[facts.kind].needs) {
          expect(facts.missingFacts[need]).toBeUndefined();
        }
        expect(Object.keys(given).toSorted()).toEqual(asked.toSorted());
        expect(verdict.value.outcome).toBe(verdict.value.because.length > 0 ? 'stopped' : 'done');
        if (verdict.value.outcome === 'stopped') expect(verdict.value.effect).toBeNull();
      }),
      { numRuns: 500 },
    );
  });
});

describe('what comes before an operation', () => {
  it('is what is neither done nor left out, in its order', () => {
    const operations = OPERATION_STATES.flatMap((state, at) => [
      { seq: at, state },
      { seq: at + 100, state },
    ]);
    expect(earlierOpen(operations, 100).map(({ state }) => state)).toEqual(
      OPERATION_STATES.filter((state) => state !== 'done' && state !== 'left_out'),
    );
    expect(earlierOpen(operations, 0)).toEqual([]);
  });
});
