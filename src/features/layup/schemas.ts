import { z } from 'zod';
import { FABRIC_FORMS } from '../../domain/fabrics.ts';
import { LAYER_DIRECTIONS } from '../../domain/layupRules.ts';
import { FUNCTIONAL_LEVELS, LEVELS } from '../../domain/words.ts';
import type { Answer } from '../../http/api.ts';
import { day, idOf, instantOut, note, signatureGiven, uuid } from '../../http/fields.ts';
import { layupLine, LAYERS_MOST } from '../layupRules/schemas.ts';

export const SocketParams = z.strictObject({ socketId: idOf('Socket') });
export const LayupParams = z.strictObject({ layupId: idOf('Layup') });

const resinProductId = uuid()
  .optional()
  .describe(
    'The product whose density is taken. Left out: the only one in use, else a typical 1.15 g/cm³ (common practice, no source).',
  );
export const ProposalQuery = z.strictObject({ resinProductId });

const lines = z
  .array(layupLine(uuid()).meta({ id: 'LayupLine' }))
  .min(1)
  .max(LAYERS_MOST)
  .describe('Layers from the inside to the outside; `fabric` is the id of a fabric in use.');

export const LayupToDraft = z
  .strictObject({
    lines,
    resinProductId,
    fibreMassFraction: z
      .number()
      .min(0)
      .max(100)
      .optional()
      .describe(
        'Mass of fibre in the mass of laminate, a fraction of 1 (usual: 0.45 to 0.65); left out: as in the rules.',
      ),
    why: note(1000)
      .optional()
      .describe(
        'Asked for where it is not what the rules propose, and where it supersedes an approved one.',
      ),
  })
  .meta({ id: 'LayupToDraft' });
export type LayupToDraft = z.output<typeof LayupToDraft>;

export const ApproveLayup = z
  .strictObject({ signature: signatureGiven })
  .meta({ id: 'ApproveLayup' });

const direction = z.enum(LAYER_DIRECTIONS);
const place = z.int().describe('The line of the layup, from 1.');

const Cut = z
  .object({
    line: place,
    fabricId: uuid(),
    what: z.string().describe('Name of the fabric.'),
    form: z.enum(FABRIC_FORMS).describe('As it comes from the roll.'),
    direction: direction.describe('How the fibres run.'),
    reflected: z.boolean().describe('Two layers from each piece.'),
    widthMm: z.number().describe('mm; of a tube laid flat.'),
    lengthMm: z
      .number()
      .describe(
        'mm; with allowances, rounded up to the step of the rules. A tube that is drawn over a wider limb loses in length what it gains in girth.',
      ),
    count: z.int().describe('Equal pieces.'),
    massG: z.number().describe('Of all of them, g.'),
  })
  .meta({ id: 'Cut' });

const SectionLayer = z
  .object({
    line: place,
    what: z.string().describe('Name of the fabric, or tooling plate.'),
    layers: z.int().describe('How many of this fabric lie on each other; 1 for the tooling plate.'),
    direction: direction.nullable().describe('How the fibres run; null for the tooling plate.'),
    thicknessMm: z
      .number()
      .nullable()
      .describe('Of all its layers in the laminate, mm; null for the tooling plate.'),
    where: z
      .enum(['all', 'strip', 'end'])
      .describe('all: over the whole wall; strip: where it runs; end: at the tooling plate.'),
  })
  .meta({ id: 'SectionLayer' });

const Figures = z
  .object({
    cutList: z.array(Cut),
    section: z.array(SectionLayer).describe('From the inside to the outside.'),
    fabricMassG: z.number().describe('Dry fabric as cut, with allowances, g.'),
    laidFabricMassG: z.number().describe('Fabric that stays in the wall, g.'),
    fibreVolumeFraction: z.number().describe('Of the whole shell, a fraction of 1.'),
    wallThicknessMm: z.number().describe('Where no strip runs, mm.'),
    stripThicknessMm: z.number().describe('Where the thickest strip runs, mm.'),
    distalEndThicknessMm: z
      .number()
      .describe('Where all strips cross, without the tooling plate, mm.'),
    shellMassG: z.number().describe('Before the trim line is cut, without the tooling plate, g.'),
  })
  .meta({ id: 'LayupFigures' });

const FormulaView = z
  .object({ formula: z.string(), units: z.string(), source: z.string() })
  .meta({ id: 'FormulaView' });

const Formulas = z
  .object({
    fabricMassG: FormulaView,
    laidFabricMassG: FormulaView,
    fibreVolumeFraction: FormulaView,
    wallThicknessMm: FormulaView,
    stripThicknessMm: FormulaView,
    distalEndThicknessMm: FormulaView,
    shellMassG: FormulaView,
  })
  .describe('For each figure how it is reckoned, and where that stands.')
  .meta({ id: 'LayupFormulas' });

const Basis = z
  .object({
    patient: z.object({
      bodyMassKg: z.number().describe('With the prosthesis, as the clinic weighs, kg.'),
      bodyMassOn: day().describe('The day of weighing.'),
      functionalLevel: z
        .enum(FUNCTIONAL_LEVELS)
        .describe(
          'Of the order then, a Medicare functional classification level: K0 (no ambulation) to K4.',
        ),
      level: z.enum(LEVELS).describe('Of the amputation.'),
    }),
    row: z
      .object({
        version: z.int().describe('Of the rules, from 1.'),
        name: z.string().describe('Of the row.'),
        upToKg: z
          .number()
          .describe('The body mass at which the row ends: the layup is for no greater one, kg.'),
      })
      .nullable()
      .describe(
        'The row of the rules for the patient; null where none was: then the layup is for no more than the body mass above.',
      ),
    limb: z.object({
      measureSetId: uuid(),
      castNumber: z.int().describe('Counted within the order, from 1.'),
      takenOn: day().describe('The day of measuring.'),
      measures: z.array(
        z.object({
          heightMm: z.number().describe('Above the distal end, mm.'),
          circumferenceMm: z.number().describe('Of the limb at that height, mm.'),
        }),
      ),
      cap: z
        .object({
          depthMm: z.number().describe('From the lowest measure to the tip, mm.'),
          source: z
            .enum(['given', 'lowest_height', 'assumed'])
            .describe(
              'given: measured; lowest_height: the lowest measure stands that far above the tip; assumed: half the radius at the lowest measure.',
            ),
        })
        .describe('The distal end below the lowest measure, and where its depth comes from.'),
    }),
    shape: z
      .object({
        wallLengthMm: z
          .number()
          .describe('Along the wall from the lowest measure to the highest, mm.'),
        capArcMm: z.number().describe('Over the cap from the lowest measure to the tip, mm.'),
        areaMm2: z.number().describe('Of wall and cap together, mm².'),
        greatestCircumferenceMm: z.number().describe('Of all measures, mm.'),
        meanCircumferenceMm: z.number().describe('Lateral area by length of the wall, mm.'),
      })
      .describe('Of the limb, from the distal end to the highest measure (C1).'),
    fabrics: z
      .array(
        z.object({
          id: uuid(),
          name: z.string(),
          material: z.string(),
          form: z.enum(FABRIC_FORMS),
          arealDensityGm2: z
            .number()
            .describe('Of the dry fabric as it lies on the model, one layer, g/m².'),
          widthMm: z.number().describe('mm; of a tube laid flat.'),
          fibreDensityGcm3: z.number().describe('Of the fibre itself, not of the cloth, g/cm³.'),
          stretchPercent: z
            .number()
            .describe('By which the girth of a tube may grow, %; 0 for what does not give.'),
        }),
      )
      .describe('As their sheets were then.'),
    allowances: z.object({
      brimMm: z.number().describe('Past the brim, at each end that comes out there, mm.'),
      endTieMm: z.number().describe('To tie a tube at the distal end, for each piece, mm.'),
      overlapMm: z.number().describe('Edges of wrapped fabric over each other, mm.'),
      stepMm: z.number().describe('Lengths are rounded up to whole steps of this, mm.'),
    }),
    fibreMassFraction: z
      .number()
      .describe('Mass of fibre in the mass of laminate, a fraction of 1.'),
    resin: z.object({
      productId: uuid().nullable().describe('Null where a typical density was taken.'),
      name: z.string(),
      densityGcm3: z.number().describe('Of the cured resin, g/cm³.'),
      source: z.string().describe('The sheet and its revision, or that it is a typical value.'),
    }),
  })
  .describe('All that the figures were worked out from.')
  .meta({ id: 'LayupBasis' });

const worked = {
  socketId: uuid(),
  socketNumber: z.string(),
  lines,
  inWords: z.array(z.string()).describe('The lines as they are said at the bench.'),
  figures: Figures.describe('Expected values for a laminate without voids.'),
  formulas: Formulas,
  basis: Basis,
};

export const ProposalView = z
  .object({
    ...worked,
    row: z
      .object({
        version: z.int().describe('Of the rules, from 1.'),
        name: z.string().describe('Of the row.'),
      })
      .describe('Where it comes from.'),
  })
  .meta({ id: 'LayupProposal' });
export type ProposalView = Answer<typeof ProposalView>;

export const LayupView = z
  .object({
    id: uuid(),
    ...worked,
    running: z.int().describe('Counted within the socket.'),
    earlier: z.int().describe('How many there were before, 0 or more.'),
    ruleRow: z
      .string()
      .nullable()
      .describe('The row whose proposal it is; null where it is not what the rules propose.'),
    why: z.string().nullable(),
    draftedAt: instantOut(),
    draftedBy: z.string().describe('Printed name.'),
    approvedAt: instantOut().nullable(),
    approvedBy: z.string().nullable().describe('Printed name of who signed.'),
    signatureId: uuid().nullable(),
    supersededAt: instantOut().nullable(),
  })
  .meta({ id: 'Layup' });
export type LayupView = Answer<typeof LayupView>;
