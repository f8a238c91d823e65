/** What stands in the JSON columns of layup rules and layups. The wire's schemas are stricter; these read what was stored. */
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { FABRIC_FORMS } from '../domain/fabrics.ts';
import type { LayupFigures } from '../domain/layup.ts';
import type { DraftBasis } from '../domain/layupDraft.ts';
import { LAYER_DIRECTIONS, type LayupLine, type LayupRules } from '../domain/layupRules.ts';
import { FUNCTIONAL_LEVELS, LEVELS } from '../domain/words.ts';

const number = z.number();
const string = z.string();
export const storedDay = z.string().transform((text) => text as Day);
const direction = z.enum(LAYER_DIRECTIONS);

export const StoredLine: z.ZodType<LayupLine> = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('fabric'),
    fabric: string,
    layers: number,
    direction,
    reflected: z.boolean(),
  }),
  z.object({ kind: z.literal('tooling_plate') }),
]);
const lines = z.array(StoredLine);

const allowances = z.object({
  brimMm: number,
  endTieMm: number,
  overlapMm: number,
  stepMm: number,
});

export const StoredRules: z.ZodType<LayupRules> = z.object({
  version: number,
  topBodyMassKg: number,
  fibreMassFraction: number,
  allowances,
  rows: z.array(
    z.object({
      name: string,
      aboveKg: number,
      upToKg: number,
      functionalLevels: z.array(z.enum(FUNCTIONAL_LEVELS)),
      levels: z.array(z.enum(LEVELS)),
      lines,
    }),
  ),
});

export const StoredBasis: z.ZodType<DraftBasis> = z.object({
  patient: z.object({
    bodyMassKg: number,
    bodyMassOn: storedDay,
    functionalLevel: z.enum(FUNCTIONAL_LEVELS),
    level: z.enum(LEVELS),
  }),
  row: z
    .object({ version: number, name: string, upToKg: number, lines, fibreMassFraction: number })
    .nullable(),
  limb: z.object({
    measureSetId: string,
    castNumber: number,
    takenOn: storedDay,
    measures: z.array(z.object({ heightMm: number, circumferenceMm: number })),
    cap: z.object({ depthMm: number, source: z.enum(['given', 'lowest_height', 'assumed']) }),
  }),
  shape: z.object({
    wallLengthMm: number,
    capArcMm: number,
    areaMm2: number,
    greatestCircumferenceMm: number,
    meanCircumferenceMm: number,
  }),
  fabrics: z.array(
    z.object({
      id: string,
      name: string,
      material: string,
      form: z.enum(FABRIC_FORMS),
      arealDensityGm2: number,
      widthMm: number,
      fibreDensityGcm3: number,
      stretchPercent: number,
    }),
  ),
  allowances,
  fibreMassFraction: number,
  resinDensityGcm3: number,
  resin: z.object({
    productId: string.nullable(),
    name: string,
    densityGcm3: number,
    source: string,
  }),
});

export const StoredFigures: z.ZodType<LayupFigures> = z.object({
  cutList: z.array(
    z.object({
      line: number,
      fabricId: string,
      what: string,
      form: z.enum(FABRIC_FORMS),
      direction,
      reflected: z.boolean(),
      widthMm: number,
      lengthMm: number,
      count: number,
      massG: number,
    }),
  ),
  section: z.array(
    z.object({
      line: number,
      what: string,
      layers: number,
      direction: direction.nullable(),
      thicknessMm: number.nullable(),
      where: z.enum(['all', 'strip', 'end']),
    }),
  ),
  fabricMassG: number,
  laidFabricMassG: number,
  fibreVolumeFraction: number,
  wallThicknessMm: number,
  stripThicknessMm: number,
  distalEndThicknessMm: number,
  shellMassG: number,
});
