/** Who may ask the trace by which key: each role by what its work is about. */
import { describe, expect, test } from 'vitest';
import { mayTraceBy, mayTracePerson, TRACE_KEYS, type TraceKey } from '../../src/domain/trace.ts';
import { ROLES, type Role } from '../../src/domain/words.ts';

const THINGS = ['socket', 'serial', 'lot', 'batch', 'tool'] as const;

const ASKED_BY: Readonly<Record<Role, readonly TraceKey[]>> = {
  front_desk: ['patient', 'order'],
  technician: THINGS,
  prosthetist: TRACE_KEYS,
  auditor: TRACE_KEYS,
  administrator: TRACE_KEYS,
};

describe('asking the trace', () => {
  test.each(ROLES)('a %s asks by what the work is about, and by nothing else', (role) => {
    for (const by of TRACE_KEYS) {
      expect([by, mayTraceBy(by, [role]).ok]).toEqual([by, ASKED_BY[role].includes(by)]);
    }
  });

  test('who does both jobs asks by both', () => {
    expect(mayTraceBy('patient', ['technician', 'front_desk'])).toEqual({
      ok: true,
      value: 'patient',
    });
  });

  test('who may not is told who may, at the key asked by', () => {
    expect(mayTraceBy('person', ['technician', 'front_desk'])).toMatchObject({
      ok: false,
      reasons: [
        {
          code: 'trace-key-not-yours',
          field: '/person',
          facts: { by: 'person', roles: ['prosthetist', 'auditor', 'administrator'] },
        },
      ],
    });
    expect(mayTraceBy('order', []).ok).toBe(false);
  });

  test('everybody who may ask by person asks by oneself; by another one only who oversees', () => {
    const asked = (role: Role, personId: string) =>
      mayTracePerson(personId, { personId: 'me', roles: [role] });
    expect(asked('prosthetist', 'me').ok).toBe(true);
    expect(asked('prosthetist', 'another')).toMatchObject({
      ok: false,
      reasons: [{ code: 'trace-person-not-you', field: '/person' }],
    });
    for (const role of ['auditor', 'administrator'] as const) {
      expect(asked(role, 'another').ok).toBe(true);
    }
  });
});
