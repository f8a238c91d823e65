/**
 * Set up before each file of domain tests: every refusal that any of them provokes is read as
 * it is made. No fact is missing from it, no word of it says so, and a field is a JSON Pointer.
 */
import { vi } from 'vitest';
import type { Reason } from '../../src/domain/reasons/index.ts';

const unreadable = ({ detail, wayOut, facts, field }: Reason): boolean =>
  /\bundefined\b|\[object/.test(`${detail} ${wayOut}`) ||
  Object.values(facts).includes(undefined as never) ||
  (field !== undefined && !/^(\/[^/]+)+$/.test(field));

vi.mock(import('../../src/domain/reasons/index.ts'), async (original) => {
  const real = await original();
  return {
    ...real,
    reason: (...told) => {
      const made = real.reason(...told);
      if (unreadable(made)) throw new Error(`Nobody can read ${JSON.stringify(made)}`);
      return made;
    },
  };
});
