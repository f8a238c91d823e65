/** Recipes of a socket and what was weighed by them (C3). */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { cupStates, newestReading, type StandingRecipe } from '../domain/cups.ts';
import type { RecipeAsked, ResinProduct, ResinRecipe } from '../domain/resin.ts';
import { BATCH_KINDS, BATCH_UNITS, DISPOSITIONS } from '../domain/words.ts';
import type { Act } from './act.ts';
import { asJson } from './json.ts';
import { layupStateOf } from './layups.ts';
import { ProductRow } from './resinProducts.ts';
import { parseFirst, parseRows } from './rows.ts';

/** The product as it stood when a recipe was made. */
const ProductThen = ProductRow.omit({
  active: true,
  createdAt: true,
}) satisfies z.ZodType<ResinProduct>;
export type ProductThen = z.infer<typeof ProductThen>;

const Asked = z.object({
  fabricMassG: z.number(),
  fibreMassFraction: z.number(),
  bagLossG: z.number(),
  marginPercent: z.number(),
  pigmentPercent: z.number(),
  scaleResolutionG: z.number(),
  shopTemperatureC: z.number(),
}) satisfies z.ZodType<RecipeAsked>;

const pour = {
  resinG: z.number(),
  hardenerG: z.number(),
  pigmentG: z.number(),
  totalG: z.number(),
};
const Recipe = z.object({
  ...pour,
  neededG: z.number(),
  pours: z.array(z.object(pour)),
  offRatioPercent: z.number(),
  workTime: z.union([
    z.object({ minutes: z.number(), from: z.enum(['sheet', 'halved_each_10_degrees']) }),
    z.object({ minutes: z.null(), from: z.literal('unknown') }),
  ]),
  cupFullerThanReference: z.boolean(),
}) satisfies z.ZodType<ResinRecipe>;

const RecipeRow = z.object({
  id: z.string(),
  running: z.number(),
  layupId: z.string(),
  layupRunning: z.number(),
  product: ProductThen,
  asked: Asked,
  recipe: Recipe,
  why: z.string().nullable(),
  madeAt: z.date(),
  madeBy: z.string(),
});
/** A recipe as it was worked out. */
export type RecipeRow = z.infer<typeof RecipeRow>;

/** The recipe that stands for a socket. */
const standingRecipe = async (act: Act, socketId: string): Promise<RecipeRow | undefined> =>
  parseFirst(
    RecipeRow,
    await act.tx.$queryRaw`
      select r.id, r.running, r.layup_id as "layupId", l.running as "layupRunning", r.product, r.asked, r.recipe,
        r.why, r.made_at as "madeAt", p.printed_name as "madeBy"
      from resin_recipe r
      join layup l on l.clinic_id = r.clinic_id and l.id = r.layup_id
      join person p on p.clinic_id = r.clinic_id and p.id = r.made_by_id
      where r.clinic_id = ${act.clinicId}::uuid and r.socket_id = ${socketId}::uuid and r.superseded_at is null`,
  );

/**
 * Writes a recipe; the one before is superseded and kept. The socket must be held.
 * @returns its id
 */
export async function writeRecipe(
  act: Act,
  made: {
    readonly socketId: string;
    readonly layupId: string;
    readonly product: ProductThen;
    readonly asked: RecipeAsked;
    readonly recipe: ResinRecipe;
    readonly why: string | null;
  },
): Promise<string> {
  const { tx, clinicId } = act;
  const { socketId } = made;
  await tx.resinRecipe.updateMany({
    where: { clinicId, socketId, supersededAt: null },
    data: { supersededAt: act.at },
  });
  const id = uuidv7();
  await tx.resinRecipe.create({
    data: {
      clinicId,
      id,
      socketId,
      running: 1 + (await tx.resinRecipe.count({ where: { clinicId, socketId } })),
      layupId: made.layupId,
      productId: made.product.id,
      product: asJson(ProductThen.parse(made.product)),
      asked: asJson(made.asked),
      recipe: asJson(made.recipe),
      why: made.why,
      madeAt: act.at,
      madeById: act.by.personId,
    },
  });
  return id;
}

const StopRow = z.object({ code: z.string(), detail: z.string(), wayOut: z.string() });

const ReadingRow = z.object({
  id: z.string(),
  pour: z.number(),
  attempt: z.number(),
  putsRightId: z.string().nullable(),
  resinG: z.number(),
  hardenerG: z.number(),
  pigmentG: z.number(),
  offRatioPercent: z.number(),
  stops: z.array(StopRow),
  findingId: z.string().nullable(),
  disposition: z.enum(DISPOSITIONS).nullable(),
  mixedAt: z.date(),
  shopTemperatureC: z.number(),
  workMinutes: z.number().nullable(),
  spent: z.boolean(),
  recordedAt: z.date(),
  recordedBy: z.string(),
  batches: z.array(
    z.object({
      batchId: z.string(),
      kind: z.enum(BATCH_KINDS),
      lot: z.string(),
      amount: z.number().nullable(),
      unit: z.enum(BATCH_UNITS),
    }),
  ),
});
type ReadRow = z.infer<typeof ReadingRow>;
/** One reading of a cup, with how its finding was closed and what it drew from which batches. */
export type ReadingRow = ReadRow & { readonly stopped: boolean };

/** All readings by a recipe, cup by cup, the first first. */
async function readingsBy(act: Act, recipeId: string): Promise<ReadingRow[]> {
  const rows = parseRows(
    ReadingRow,
    await act.tx.$queryRaw`
      select w.id, w.pour, w.attempt, w.puts_right_id as "putsRightId", w.resin_g as "resinG",
        w.hardener_g as "hardenerG", w.pigment_g as "pigmentG", w.off_ratio_percent as "offRatioPercent", w.stops,
        w.finding_id as "findingId", f.disposition, w.mixed_at as "mixedAt",
        w.shop_temperature_c as "shopTemperatureC", w.work_minutes as "workMinutes",
        exists (select 1 from operation_record r
          join operation o on o.clinic_id = r.clinic_id and o.id = r.operation_id
          where o.clinic_id = w.clinic_id and o.socket_id = w.socket_id and o.kind = 'laminate'
            and (r.recorded_at, r.id) > (w.recorded_at, w.id)) as spent, w.recorded_at as "recordedAt",
        p.printed_name as "recordedBy",
        coalesce((select json_agg(json_build_object('batchId', b.id, 'kind', b.kind, 'lot', b.lot, 'amount', u.amount,
            'unit', b.unit) order by u.id)
          from batch_use u join batch b on b.clinic_id = u.clinic_id and b.id = u.batch_id
          where u.clinic_id = w.clinic_id and u.resin_weighing_id = w.id), '[]'::json) as batches
      from resin_weighing w
      join person p on p.clinic_id = w.clinic_id and p.id = w.recorded_by_id
      left join finding f on f.clinic_id = w.clinic_id and f.id = w.finding_id
      where w.clinic_id = ${act.clinicId}::uuid and w.recipe_id = ${recipeId}::uuid
      order by w.pour, w.attempt`,
  );
  return rows.map((row) => ({ ...row, stopped: row.stops.length > 0 }));
}

/** A recipe as the rules ask for it: the states of its cups, and whether it is for the layup that stands. */
export interface Cups extends StandingRecipe {
  readonly recipe: RecipeRow;
  readonly readings: readonly ReadingRow[];
}

/**
 * The recipe that stands for a socket with its cups; null where there is none.
 * @param at the instant at which the states of the cups are asked
 */
export async function cupsOf(act: Act, socketId: string, at = act.at): Promise<Cups | null> {
  const recipe = await standingRecipe(act, socketId);
  if (recipe === undefined) return null;
  const layup = await layupStateOf(act, socketId);
  const readings = await readingsBy(act, recipe.id);
  return {
    recipe,
    readings,
    running: recipe.running,
    ofLayup: layup?.approved === true && layup.id === recipe.layupId,
    states: cupStates(recipe.recipe.pours.length, readings, at),
  };
}

/** A reading as it is to be kept. */
export interface NewReading {
  readonly pour: number;
  readonly putsRightId: string | null;
  readonly resinG: number;
  readonly hardenerG: number;
  readonly pigmentG: number;
  readonly offRatioPercent: number;
  readonly stops: readonly object[];
  readonly findingId: string | null;
  readonly mixedAt: Date;
  readonly shopTemperatureC: number;
  readonly workMinutes: number | null;
}

/** Writes a reading after those of its cup; the socket must be held. @returns its id */
export async function writeReading(
  act: Act,
  socketId: string,
  cups: Pick<Cups, 'recipe' | 'readings'>,
  reading: NewReading,
): Promise<string> {
  const id = uuidv7();
  await act.tx.resinWeighing.create({
    data: {
      clinicId: act.clinicId,
      id,
      recipeId: cups.recipe.id,
      socketId,
      attempt: 1 + (newestReading(cups.readings, reading.pour)?.attempt ?? 0),
      ...reading,
      stops: asJson(reading.stops),
      benchAt: act.benchAt,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  return id;
}

/** Ids of the batches that cups of a socket were weighed from. */
export async function batchesWeighed(act: Act, socketId: string): Promise<ReadonlySet<string>> {
  const rows = parseRows(
    z.object({ batchId: z.string() }),
    await act.tx.$queryRaw`
      select distinct u.batch_id as "batchId" from batch_use u
      where u.clinic_id = ${act.clinicId}::uuid and u.socket_id = ${socketId}::uuid and u.resin_weighing_id is not null`,
  );
  return new Set(rows.map(({ batchId }) => batchId));
}
