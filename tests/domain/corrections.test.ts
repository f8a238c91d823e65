/** Correction by addition: who corrects, how a request is decided, and that evidence stays what it was (R10). */
import { describe, expect, test } from 'vitest';
import {
  CORRECTABLE,
  correctedWords,
  decideBy,
  doneAgainFor,
  EVIDENCE_STAYS,
  judgeAskedOn,
  judgeCorrecting,
  judgeDecision,
  judgeDisagreement,
  names,
} from '../../src/domain/corrections.ts';
import type { Day } from '../../src/domain/days.ts';
import { onWire } from '../../src/domain/patientRecord/columns.ts';
import { PATIENT_RECORD, SECTIONS } from '../../src/domain/patientRecord/index.ts';
import { isHandedToAskerOnly, mayAskFor } from '../../src/domain/longWork.ts';
import { isErased, valuesKept } from '../../src/domain/seals.ts';

const day = (text: string) => text as Day;
const codes = (reasons: readonly { code: string }[]) => reasons.map(({ code }) => code);

describe('a correction', () => {
  test('is made by a prosthetist, or by who made the record', () => {
    const tom = { personId: 'tom', roles: ['technician'] } as const;
    expect(judgeCorrecting('tom', tom)).toEqual([]);
    expect(codes(judgeCorrecting('pia', tom))).toEqual(['correction-not-yours']);
    expect(codes(judgeCorrecting(null, tom))).toEqual(['correction-not-yours']);
    expect(judgeCorrecting('tom', { personId: 'pia', roles: ['prosthetist'] })).toEqual([]);
  });

  test('is words alone: evidence stays, and what is to count is done again', () => {
    expect(EVIDENCE_STAYS).toBe(true);
    expect(doneAgainFor('torque_confirmation')).toBe('torque the joint again');
    expect(doneAgainFor('delivery')).toBeNull();
    const evidence = ['torque_confirmation', 'lock_check', 'alignment', 'fitting'] as const;
    expect(evidence.map((kind) => doneAgainFor(kind))).not.toContain(null);
    expect(new Set(CORRECTABLE).size).toBe(CORRECTABLE.length);
  });
});

describe('a correction in a sentence', () => {
  const said = {
    correctedBy: 'Pia Fitting',
    wrong: '5 N·m',
    right: '8 N·m',
    why: 'Misread.',
    unseen: null,
  };

  test('says when, by whom, and what stands for what', () => {
    expect(correctedWords(said, 'Tue 3 Mar 2026 14:05')).toBe(
      'Corrected on Tue 3 Mar 2026 14:05 by Pia Fitting: “8 N·m” stands for “5 N·m” (Misread.).',
    );
  });

  test.each([
    ['withheld', 'its words are not shown to your role'],
    ['erased', 'its words are erased'],
  ] as const)('says that there is one where its words are %s', (unseen, words) => {
    const hidden = { ...said, wrong: null, right: null, why: null, unseen };
    expect(correctedWords(hidden, 'Tue 3 Mar 2026 14:05')).toBe(
      `Corrected on Tue 3 Mar 2026 14:05 by Pia Fitting; ${words}.`,
    );
  });
});

test.each(['wrong', 'right', 'why'] as const)(
  'a correction of which %s is gone is told as erased',
  (gone) => {
    const left = { correctedBy: 'Pia', wrong: '5', right: '8', why: 'Misread.', unseen: null };
    expect(correctedWords({ ...left, [gone]: null }, 'Tue')).toBe(
      'Corrected on Tue by Pia; its words are erased.',
    );
  },
);

describe('words that name a lot', () => {
  test.each([
    ['It was lot 12, not 21.', '12', true],
    ['It was lot 123.', '12', false],
    ['It was lot 312.', '12', false],
    ['lot 123, then 12', '12', true],
    ['Charge ö12', '12', false],
    ['lot p-recalled/2', 'P-RECALLED', true],
    ['p-recalled', 'P-Recalled', true],
    ['nothing of it', '12', false],
    ['anything', '', false],
  ])('%s by %s: %s', (text, lot, named) => {
    expect(names(text, lot)).toBe(named);
  });
});

describe('a request', () => {
  test('is asked on a day that has come, and decided within sixty days', () => {
    expect(judgeAskedOn(day('2026-03-02'), day('2026-03-02'))).toEqual([]);
    expect(codes(judgeAskedOn(day('2026-03-03'), day('2026-03-02')))).toEqual(['day-in-future']);
    expect(decideBy(day('2026-03-02'))).toBe('2026-05-01');
  });

  test('is decided once; a denial has a ground, an acceptance none', () => {
    const denied = { decision: 'denied', ground: 'accurate_and_complete' } as const;
    expect(judgeDecision(null, denied)).toEqual([]);
    expect(judgeDecision(null, { decision: 'accepted', ground: undefined })).toEqual([]);
    expect(codes(judgeDecision('accepted', denied))).toEqual(['correction-decided-already']);
    expect(codes(judgeDecision(null, { decision: 'denied', ground: undefined }))).toEqual([
      'field-missing',
    ]);
    expect(codes(judgeDecision(null, { decision: 'accepted', ground: 'not_made_here' }))).toEqual([
      'denial-ground-of-nothing',
    ]);
  });

  test('that was denied takes one statement of disagreement', () => {
    expect(judgeDisagreement('denied', false)).toEqual([]);
    expect(codes(judgeDisagreement('denied', true))).toEqual(['disagreement-stands']);
    expect(codes(judgeDisagreement('accepted', false))).toEqual(['disagreement-with-nothing']);
    expect(codes(judgeDisagreement(null, false))).toEqual(['disagreement-with-nothing']);
  });
});

describe('a patient’s whole record', () => {
  test('names its columns as the wire does', () => {
    expect(onWire('mass_kg')).toBe('massKg');
    expect(onWire('recorded_by_id')).toBe('recordedById');
    expect(SECTIONS).toContain('torque_reading');
    expect(Object.keys(PATIENT_RECORD.patient.columns)).not.toContain('name_key');
  });

  test('is asked for by those who speak with patients, and handed to who asked', () => {
    expect(mayAskFor('patient_export', ['front_desk'])).toBe(true);
    expect(mayAskFor('patient_export', ['auditor', 'administrator'])).toBe(false);
    expect(isHandedToAskerOnly('patient_export')).toBe(true);
    expect(isHandedToAskerOnly('record_export')).toBe(false);
  });

  test('has no value that was erased', () => {
    const kept = { phone: { erased: 'e1' }, address: { salt: 'ab', value: 'Ring 1' } };
    expect(isErased(kept.phone)).toBe(true);
    expect(valuesKept(kept)).toEqual({ address: kept.address });
  });
});
