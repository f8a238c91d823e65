import { z } from 'zod';
import { LAYER_DIRECTIONS } from '../../domain/layupRules.ts';
import { FUNCTIONAL_LEVELS, LEVELS } from '../../domain/words.ts';
import type { Answer } from '../../http/api.ts';
import { instantOut, text, uuid, version } from '../../http/fields.ts';
import { material } from '../fabrics/schemas.ts';

/** Layers of one fabric, or the place of the tooling plate. @param fabric a material in rules, an id in a layup */
export const layupLine = (fabric: z.ZodType<string>) =>
  z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('fabric'),
      fabric,
      // Wide: the domain answers a slip in words.
      layers: z
        .number()
        .min(0)
        .max(1000)
        .describe('How many lie on each other, in whole numbers (usual: 1 to 3).'),
      direction: z
        .enum(LAYER_DIRECTIONS)
        .describe(
          'along: with the axis of the limb; bias: at 45° to it; medial_lateral, anterior_posterior: a strip up one side, over the distal end and down the other.',
        ),
      reflected: z
        .boolean()
        .describe('Two layers from one piece: tied at the distal end and turned back up.'),
    }),
    z.strictObject({ kind: z.literal('tooling_plate') }),
  ]);

/** Layers from the inside to the outside. */
export const LAYERS_MOST = 40;

const kilograms = z.number().min(0).max(1e4);
const millimetres = z.number().min(0).max(1e4);

const rules = {
  topBodyMassKg: kilograms.describe('Past this body mass nothing is proposed, kg.'),
  fibreMassFraction: z
    .number()
    .min(0)
    .max(100)
    .describe('Mass of fibre in the mass of the finished laminate, a fraction of 1.'),
  allowances: z
    .strictObject({
      brimMm: millimetres.describe('Past the brim, at each end that comes out there, mm.'),
      endTieMm: millimetres.describe('To tie a tube at the distal end, for each piece, mm.'),
      overlapMm: millimetres.describe('Edges of wrapped fabric over each other, mm.'),
      stepMm: millimetres.describe('Lengths are rounded up to whole steps of this, mm.'),
    })
    .meta({ id: 'CutAllowances' }),
  rows: z
    .array(
      z
        .strictObject({
          name: text(80),
          aboveKg: kilograms.describe('For body masses above this, kg.'),
          upToKg: kilograms.describe('Up to and including this, kg.'),
          functionalLevels: z.array(z.enum(FUNCTIONAL_LEVELS)).max(FUNCTIONAL_LEVELS.length),
          levels: z.array(z.enum(LEVELS)).max(LEVELS.length),
          lines: z
            .array(layupLine(material).meta({ id: 'LayupRuleLine' }))
            .max(LAYERS_MOST)
            .describe('From the inside to the outside.'),
        })
        .meta({ id: 'LayupRuleRow' }),
    )
    .min(1)
    .max(60)
    .refine((rows) => new Set(rows.map(({ name }) => name)).size === rows.length, {
      message: 'each row has a name of its own',
    }),
};

export const LayupRulesToWrite = z
  .strictObject({
    basedOnVersion: version().describe(
      'The version in force that was read and changed; refused where another is in force by now.',
    ),
    ...rules,
  })
  .meta({ id: 'LayupRulesToWrite' });
export type LayupRulesToWrite = z.output<typeof LayupRulesToWrite>;

export const LayupRulesView = z
  .object({
    id: uuid(),
    version: version(),
    ...rules,
    table: z
      .array(
        z.object({
          name: z.string(),
          who: z.string().describe('Body mass, functional levels, levels of amputation.'),
          layers: z.array(z.string()).describe('From the inside to the outside.'),
        }),
      )
      .describe('The rows in words.'),
    createdAt: instantOut(),
    createdBy: z.string().nullable().describe('Printed name; null for the starting rules.'),
    supersededAt: instantOut().nullable().describe('Null for those in force.'),
  })
  .meta({ id: 'LayupRules' });
export type LayupRulesView = Answer<typeof LayupRulesView>;
export const LayupRulesVersions = z
  .object({ items: z.array(LayupRulesView) })
  .meta({ id: 'LayupRulesVersions' });
