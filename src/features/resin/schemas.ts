import { z } from 'zod';
import { CUP_STATES } from '../../domain/cups.ts';
import type { Range } from '../../domain/ranges.ts';
import { RECIPE_RANGES, RESIN_CHEMISTRIES } from '../../domain/resin.ts';
import { WEIGHED_RANGES } from '../../domain/weighing.ts';
import { BATCH_KINDS, BATCH_UNITS, DISPOSITIONS } from '../../domain/words.ts';
import { instantOut, note, uuid } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';

export const SocketParams = z.strictObject({ socketId: uuid() });

/** A figure that is asked for; its range is answered in words by the domain. */
const asked = ({ what, least, greatest, unit, usual }: Range) =>
  z
    .number()
    .min(-100_000)
    .max(100_000)
    .describe(
      `${what}${unit === '' ? '' : `, ${unit}`}, ${least} to ${greatest}; usual: ${usual}.`,
    );

export const RecipeToMake = z
  .strictObject({
    productId: uuid().describe('Of a resin product that is in use.'),
    pigmentPercent: asked(RECIPE_RANGES.pigmentPercent).describe(
      'Pigment in per cent of the resin, on top of the mix; 0 to 15.',
    ),
    shopTemperatureC: asked(RECIPE_RANGES.shopTemperatureC),
    fibreMassFraction: asked(RECIPE_RANGES.fibreMassFraction)
      .optional()
      .describe('Mass of fibre in the mass of laminate, 0 to 1; left out: that of the layup.'),
    bagLossG: asked(RECIPE_RANGES.bagLossG)
      .optional()
      .describe("What stays in bag, tube and cup, g; left out: the clinic's."),
    marginPercent: asked(RECIPE_RANGES.marginPercent)
      .optional()
      .describe("On top of what is needed, %; left out: the clinic's."),
    scaleResolutionG: asked(RECIPE_RANGES.scaleResolutionG)
      .optional()
      .describe("Step of the scale, g; left out: the clinic's."),
  })
  .meta({ id: 'RecipeToMake' });
export type RecipeToMake = z.output<typeof RecipeToMake>;

const grams = {
  resinG: z.number().describe('g'),
  hardenerG: z.number().describe('g'),
  pigmentG: z.number().describe('g'),
  totalG: z.number().describe('g'),
};

const FormulaView = z
  .object({ formula: z.string(), units: z.string(), source: z.string() })
  .meta({ id: 'FormulaOfFigure' });

const WorkTimeView = z.object({
  minutes: z.number().nullable().describe('Null where nothing says how long it can be worked.'),
  from: z
    .enum(['sheet', 'halved_each_10_degrees', 'unknown'])
    .describe(
      'sheet: the pot life as it stands there · halved_each_10_degrees: t₀·2^((T₀ − T)/10), a rule of thumb for epoxy · unknown: a peroxide cure away from the sheet’s temperature.',
    ),
});

export const RecipeView = z
  .object({
    id: uuid(),
    running: z.int().describe('Counted within the socket.'),
    layupId: uuid(),
    layupRunning: z.int(),
    ofLayup: z.boolean().describe('Whether that layup is the one that stands.'),
    product: z
      .object({
        id: uuid(),
        name: z.string(),
        chemistry: z.enum(RESIN_CHEMISTRIES),
        partsResin: z.number(),
        partsHardener: z.number(),
        ratioTolerancePercent: z.number(),
        cupLimitG: z.number(),
        potLifeMinutes: z.number(),
        potLifeMassG: z.number(),
        potLifeTemperatureC: z.number(),
        cureHours: z.number(),
        cureTemperatureC: z.number(),
        document: z.string(),
        revision: z.string(),
      })
      .describe('As it stood when the recipe was made.'),
    asked: z
      .object({
        fabricMassG: z.number().describe('Dry fabric of the layup as cut, g.'),
        fibreMassFraction: z.number(),
        bagLossG: z.number(),
        marginPercent: z.number(),
        pigmentPercent: z.number(),
        scaleResolutionG: z.number(),
        shopTemperatureC: z.number(),
      })
      .describe('What it was worked out from.'),
    neededG: z
      .number()
      .describe('What fabric and losses ask for, of resin with hardener, before the margin, g.'),
    ...grams,
    pours: z
      .array(z.object({ pour: z.int().describe('The cup, from 1.'), ...grams }))
      .describe('What goes into each cup, as the scale shows it.'),
    offRatioPercent: z.number().describe('By how much rounding to the scale moves the ratio, %.'),
    workTime: WorkTimeView,
    cautions: z.array(z.string()).describe("What to mind; the maker's instructions first."),
    formulas: z.object({ neededG: FormulaView, pours: FormulaView, workTime: FormulaView }),
    madeAt: instantOut(),
    madeBy: z.string().describe('Printed name.'),
  })
  .meta({ id: 'ResinRecipe' });
export type RecipeView = z.input<typeof RecipeView>;

const ReadingView = z
  .object({
    id: uuid(),
    attempt: z.int(),
    putsRightId: uuid().nullable().describe('The reading of the same cup that it puts right.'),
    resinG: grams.resinG,
    hardenerG: grams.hardenerG,
    pigmentG: grams.pigmentG,
    offRatioPercent: z
      .number()
      .describe('By how much the hardener is more (or less) than asked, %.'),
    stops: z.array(z.object({ code: z.string(), detail: z.string(), wayOut: z.string() })),
    findingId: uuid().nullable(),
    disposition: z.enum(DISPOSITIONS).nullable().describe('How its finding was closed.'),
    mixedAt: instantOut(),
    shopTemperatureC: z.number(),
    workMinutes: z.number().nullable(),
    recordedAt: instantOut(),
    recordedBy: z.string().describe('Printed name.'),
    batches: z.array(
      z.object({
        batchId: uuid(),
        kind: z.enum(BATCH_KINDS),
        lot: z.string(),
        amount: z.number().nullable().describe('Null where the batch is not kept in grams.'),
        unit: z.enum(BATCH_UNITS),
      }),
    ),
  })
  .meta({ id: 'CupReading' });

export const ResinView = z
  .object({
    socketId: uuid(),
    socketNumber: z.string(),
    recipe: RecipeView.nullable().describe('The recipe that stands; null where there is none.'),
    cups: z.array(
      z
        .object({
          pour: z.int().describe('From 1.'),
          state: z
            .enum(CUP_STATES)
            .describe(
              'to_weigh · good: may be poured · stopped: a finding is open on it · accepted: poured as it is, by signature · rejected: to be put right or weighed afresh.',
            ),
          readings: z.array(ReadingView).describe('The newest last.'),
          clock: z
            .object({
              mixedAt: instantOut(),
              setsAt: instantOut(),
              minutesLeft: z.number().describe('At the time of this answer; 0 when it is over.'),
              minutesOver: z.number(),
            })
            .nullable()
            .describe(
              'Null where nothing is mixed, how long it can be worked is not known, or it is poured.',
            ),
        })
        .meta({ id: 'Cup' }),
    ),
    stillToWeigh: z.array(z.int()).describe('Cups that may not be poured yet.'),
    lacking: z
      .string()
      .nullable()
      .describe(
        'What of the resin keeps the socket from being laminated; null where nothing does.',
      ),
    laminatedAt: instantOut().nullable(),
    curedNotBefore: instantOut()
      .nullable()
      .describe(
        'Lamination with the cure hours of the sheet, at its temperature; colder takes longer.',
      ),
    asOf: instantOut(),
  })
  .meta({ id: 'ResinOfSocket' });
export type ResinView = z.input<typeof ResinView>;

export const CupToRecord = z
  .strictObject({
    pour: z.int().min(1).max(100).describe('The cup, from 1.'),
    resinG: asked(WEIGHED_RANGES.resinG).describe(
      'The scale’s reading, all that is in the cup, g.',
    ),
    hardenerG: asked(WEIGHED_RANGES.hardenerG).describe('All that is in the cup, g.'),
    pigmentG: asked(WEIGHED_RANGES.pigmentG).describe('All that is in the cup, g; 0 for none.'),
    resinBatchId: uuid(),
    hardenerBatchId: uuid(),
    pigmentBatchId: uuid().optional(),
    mixedAt: z.iso
      .datetime({ offset: true })
      .transform((at) => new Date(at))
      .optional()
      .describe('When resin and hardener met, at most 12 hours ago; left out: now.')
      .meta({ type: 'string', format: 'date-time' }),
    shopTemperatureC: asked(RECIPE_RANGES.shopTemperatureC)
      .optional()
      .describe('Left out: that of the recipe, °C.'),
    putsRight: z
      .boolean()
      .default(false)
      .describe(
        'The same cup with something added: only the difference is drawn, and its clock runs on.',
      ),
    freshBecause: note(500)
      .optional()
      .describe('Why a cup that could have been poured is weighed afresh: it set, it was spilt.'),
  })
  .refine(({ putsRight, mixedAt }) => !putsRight || mixedAt === undefined, {
    message: 'the clock of a cup that is put right runs on from its first mixing',
    path: ['mixedAt'],
  })
  .refine(({ pigmentG, pigmentBatchId }) => pigmentG > 0 || pigmentBatchId === undefined, {
    message: 'no pigment was weighed',
    path: ['pigmentBatchId'],
  })
  .meta({ id: 'CupToRecord' });
export type CupToRecord = z.output<typeof CupToRecord>;

export const CupRecorded = z
  .object({
    weighingId: uuid(),
    outcome: z.enum(['good', 'stopped']),
    because: z.array(ReasonView).describe('What stopped the work.'),
    findingId: uuid().nullable(),
    resin: ResinView,
  })
  .meta({ id: 'CupRecorded' });
export type CupRecorded = z.input<typeof CupRecorded>;
