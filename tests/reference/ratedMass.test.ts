import { expect, it } from 'vitest';
import { RATING_LEVELS_KG } from '../../src/domain/ratedMass.ts';

it.each([
  ['P3', 60, 'ISO 10328:2016 7.2, quoted in a public actuator design note'],
  ['P4', 80, 'ISO 10328:2016 7.2, quoted in a public actuator design note'],
  ['P5', 100, 'ISO 10328:2016 7.2, quoted in a public actuator design note'],
  ['P6', 125, 'ISO 10328:2016, quoted by an engineering data base'],
  ['P7', 150, 'ISO 10328:2016 Annex, from memory'],
  ['P8', 175, 'ISO 10328:2016 Annex, from memory'],
] as const)('level %s is named for up to %d kg (R3; %s)', (level, kg, _source) => {
  expect(RATING_LEVELS_KG[level]).toBe(kg);
});
