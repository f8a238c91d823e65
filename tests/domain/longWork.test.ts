/** Who may ask for which long work, and who sees whose. */
import { describe, expect, test } from 'vitest';
import {
  hasEnded,
  LONG_WORK_KINDS,
  LONG_WORK_STATES,
  mayAskFor,
  rolesFor,
  seesAllLongWork,
} from '../../src/domain/longWork.ts';
import { ROLES } from '../../src/domain/words.ts';

describe('long work', () => {
  test('is asked for by those whose work it is', () => {
    const asks = (kind: (typeof LONG_WORK_KINDS)[number]) =>
      ROLES.filter((role) => mayAskFor(kind, [role]));
    expect(asks('recall_of_many')).toEqual([
      'front_desk',
      'prosthetist',
      'auditor',
      'administrator',
    ]);
    expect(asks('record_export')).toEqual(['auditor', 'administrator']);
    expect(asks('parts_import')).toEqual(['administrator']);
    expect(asks('patient_export')).toEqual(['front_desk', 'prosthetist']);
    expect(mayAskFor('parts_import', ['technician', 'administrator'])).toBe(true);
    expect(mayAskFor('parts_import', [])).toBe(false);
    for (const kind of LONG_WORK_KINDS) expect(rolesFor(kind)).not.toContain('technician');
  });

  test('of everybody is seen by those who answer for all of it', () => {
    expect(ROLES.filter((role) => seesAllLongWork([role]))).toEqual(['auditor', 'administrator']);
    expect(seesAllLongWork(['front_desk', 'prosthetist'])).toBe(false);
  });

  test('ends once: done, cancelled or failed', () => {
    expect(LONG_WORK_STATES.filter(hasEnded)).toEqual(['done', 'cancelled', 'failed']);
  });
});
