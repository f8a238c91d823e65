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
        'Mass of fibre in the mass of laminate, a fraction of 1; left out: as in the rules.',
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
    form: z.enum(FABRIC_FORMS),
    direction,
    reflected: z.boolean().describe('Two layers from each piece.'),
    widthMm: z.number().describe('Of a tube laid flat.'),
    lengthMm: z
      .number()
      .describe(
        'With allowances, rounded up to the step of the rules. A tube that is drawn over a wider limb loses in length what it gains in girth.',
      ),
    count: z.int().describe('Equal pieces.'),
    massG: z.number().describe('Of all of them, g.'),
  })
  .meta({ id: 'Cut' });

const SectionLayer = z
  .object({
    line: place,
    what: z.string(),
    layers: z.int(),
    direction: direction.nullable(),
    thicknessMm: z.number().nullable().describe('Null for the tooling plate.'),
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
    wallThicknessMm: z.number(),
    stripThicknessMm: z.number().describe('Where the thickest strip runs.'),
    distalEndThicknessMm: z.number().describe('Where all strips cross.'),
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
      bodyMassKg: z.number(),
      bodyMassOn: day().describe('The day of weighing.'),
      functionalLevel: z.enum(FUNCTIONAL_LEVELS),
      level: z.enum(LEVELS),
    }),
    row: z
      .object({ version: z.int(), name: z.string() })
      .nullable()
      .describe('The row of the rules for the patient; null where none was.'),
    limb: z.object({
      measureSetId: uuid(),
      castNumber: z.int(),
      takenOn: day(),
      measures: z.array(z.object({ heightMm: z.number(), circumferenceMm: z.number() })),
      cap: z
        .object({ depthMm: z.number(), source: z.enum(['given', 'lowest_height', 'assumed']) })
        .describe('The distal end below the lowest measure, and where its depth comes from.'),
    }),
    shape: z
      .object({
        wallLengthMm: z.number(),
        capArcMm: z.number(),
        areaMm2: z.number(),
        greatestCircumferenceMm: z.number(),
        meanCircumferenceMm: z.number(),
      })
      .describe('Of the limb, from the distal end to the highest measure (C1).'),
    fabrics: z
      .array(
        z.object({
          id: uuid(),
          name: z.string(),
          material: z.string(),
          form: z.enum(FABRIC_FORMS),
          arealDensityGm2: z.number(),
          widthMm: z.number(),
          fibreDensityGcm3: z.number(),
          stretchPercent: z.number(),
        }),
      )
      .describe('As their sheets were then.'),
    allowances: z.object({
      brimMm: z.number(),
      endTieMm: z.number(),
      overlapMm: z.number(),
      stepMm: z.number(),
    }),
    fibreMassFraction: z.number(),
    resin: z.object({
      productId: uuid().nullable(),
      name: z.string(),
      densityGcm3: z.number(),
      source: z.string(),
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
    row: z.object({ version: z.int(), name: z.string() }).describe('Where it comes from.'),
  })
  .meta({ id: 'LayupProposal' });
export type ProposalView = Answer<typeof ProposalView>;

export const LayupView = z
  .object({
    id: uuid(),
    ...worked,
    running: z.int().describe('Counted within the socket.'),
    earlier: z.int().describe('How many there were before.'),
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
