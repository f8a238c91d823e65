import { z } from 'zod';
import { CUP_STATES } from '../../domain/cups.ts';
import type { Range } from '../../domain/ranges.ts';
import { RECIPE_RANGES, RESIN_CHEMISTRIES } from '../../domain/resin.ts';
import { PIGMENT_TOLERANCE_PERCENT, WEIGHED_RANGES } from '../../domain/weighing.ts';
import { BATCH_KINDS, BATCH_UNITS, DISPOSITIONS } from '../../domain/words.ts';
import { instantOut, note, recordedAt, uuid } from '../../http/fields.ts';
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
    bagLossG: asked(RECIPE_RANGES.bagLossG)
      .optional()
      .describe("What stays in bag, tube and cup, g; left out: the clinic's."),
    marginPercent: asked(RECIPE_RANGES.marginPercent)
      .optional()
      .describe("On top of what is needed, %; left out: the clinic's."),
    scaleResolutionG: asked(RECIPE_RANGES.scaleResolutionG)
      .optional()
      .describe("Step of the scale that is used, g; left out: the clinic's."),
    why: note(500)
      .optional()
      .describe("Why loss or margin are less than the clinic's; asked for where they are."),
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
        partsResin: z.number().describe('By mass.'),
        partsHardener: z.number().describe('By mass, to the parts of resin.'),
        ratioTolerancePercent: z
          .number()
          .describe('By how many per cent the hardener may be off; more stops the work.'),
        cupLimitG: z.number().describe('More than this in one cup heats by itself, g.'),
        potLifeMinutes: z
          .number()
          .describe('Of `potLifeMassG` in a cup at `potLifeTemperatureC`, min.'),
        potLifeMassG: z.number().describe('g'),
        potLifeTemperatureC: z.number().describe('°C'),
        cureHours: z.number().describe('At `cureTemperatureC`, h.'),
        cureTemperatureC: z.number().describe('°C'),
        document: z.string().describe('The sheet that says so.'),
        revision: z.string().describe('Of that sheet.'),
      })
      .describe('As it stood when the recipe was made.'),
    asked: z
      .object({
        fabricMassG: z.number().describe('Dry fabric of the layup as cut, g.'),
        fibreMassFraction: z
          .number()
          .describe('Mass of fibre in the mass of laminate, 0 to 1; of the signed layup.'),
        bagLossG: z.number().describe('What stays in bag, tube and cup, g.'),
        marginPercent: z.number().describe('On top of fabric and losses, %.'),
        pigmentPercent: z.number().describe('Of the resin, on top of the mix, %.'),
        scaleResolutionG: z.number().describe('Step of the scale, g.'),
        shopTemperatureC: z.number().describe('°C'),
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
    why: z.string().nullable().describe("Why loss or margin are less than the clinic's."),
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
    mixedAt: instantOut().describe('When resin and hardener first met.'),
    shopTemperatureC: z.number().describe('°C'),
    workMinutes: z
      .number()
      .nullable()
      .describe(
        'From `mixedAt` on, min, by the product’s pot life at `shopTemperatureC`; a cup that is put right gets no more than it had. Null where nothing says how long.',
      ),
    spent: z.boolean().describe('The lamination was recorded after it: it is not poured again.'),
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
              'to_weigh · good: may be poured · stopped: a finding is open on it · accepted: poured as it is, by signature · rejected: to be put right or weighed afresh · set: its work time is over at the time of this answer, weighed afresh unless it was poured · spent: the lamination was recorded since, weighed afresh if that is done again.',
            ),
          readings: z.array(ReadingView).describe('The newest last.'),
          caution: z.string().nullable().describe('What to mind before it is poured.'),
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
    pigmentG: asked(WEIGHED_RANGES.pigmentG).describe(
      `All that is in the cup, g; 0 for none. More than ${PIGMENT_TOLERANCE_PERCENT} % (at least one step of the scale) past the recipe’s share stops the work: common practice, no source.`,
    ),
    resinBatchId: uuid(),
    hardenerBatchId: uuid(),
    pigmentBatchId: uuid().optional().describe('Asked for where pigment is drawn.'),
    mixedAt: z.iso
      .datetime({ offset: true })
      .transform((at) => new Date(at))
      .optional()
      .describe(
        'When resin and hardener met, at most 12 hours before it was recorded; left out: when it was recorded.',
      )
      .meta({ type: 'string', format: 'date-time' }),
    recordedAt: recordedAt(),
    shopTemperatureC: asked(RECIPE_RANGES.shopTemperatureC)
      .optional()
      .describe('Left out: that of the recipe, or of the cup that is put right, °C.'),
    putsRight: z
      .boolean()
      .default(false)
      .describe(
        'The same cup with something added while it flows: only the difference is drawn, and its clock runs on, never longer.',
      ),
    freshBecause: note(500)
      .optional()
      .describe(
        'Why a cup that could be poured is weighed afresh: it set before its time, it was spilt.',
      ),
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
