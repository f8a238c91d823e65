/** Layup and recipe of a definitive socket, as the traveller shows them (C2, C3). */
import { newestReading } from '../../domain/cups.ts';
import { recipeCautions } from '../../domain/recipeNotes.ts';
import type {
  TravellerCup,
  TravellerLayup,
  TravellerResin,
} from '../../documents/traveller/record.ts';
import type { Act } from '../../store/act.ts';
import { newestLayup } from '../../store/layups.ts';
import type { CorrectedOf } from './corrected.ts';
import { cupsOf, type Cups } from '../../store/resin.ts';

/** The newest layup of a socket; null where none was drafted. */
export async function layupOf(
  act: Act,
  socketId: string,
  corrected: CorrectedOf,
): Promise<TravellerLayup | null> {
  const layup = await newestLayup(act, socketId);
  if (layup === null) return null;
  const { running, ruleRow, why, draftedBy, basis, lines, figures, approvedAt, approvedBy } = layup;
  return {
    running,
    ruleRow,
    why,
    draftedBy,
    bodyMassKg: basis.patient.bodyMassKg,
    lines,
    figures,
    approved:
      approvedAt === null || approvedBy === null
        ? null
        : { by: approvedBy, at: approvedAt.toISOString() },
    ...corrected(layup.id),
  };
}

/** The newest recipe of a socket, and whether its layup still stands, with the newest reading of each cup; null where there is none. */
export async function resinOf(
  act: Act,
  socketId: string,
  corrected: CorrectedOf,
): Promise<TravellerResin | null> {
  const cups = await cupsOf(act, socketId);
  if (cups === null) return null;
  const { product, asked, recipe, layupRunning } = cups.recipe;
  return {
    forLayup: { running: layupRunning, stands: cups.ofLayup },
    fabricMassG: asked.fabricMassG,
    product: product.name,
    document: product.document,
    revision: product.revision,
    partsResin: product.partsResin,
    partsHardener: product.partsHardener,
    shopTemperatureC: asked.shopTemperatureC,
    workMinutes: recipe.workTime.minutes,
    cureHours: product.cureHours,
    cureTemperatureC: product.cureTemperatureC,
    cautions: recipeCautions(recipe, product),
    cups: recipe.pours.map(({ resinG, hardenerG, pigmentG }, at) => ({
      pour: at + 1,
      weigh: { resinG, hardenerG, pigmentG },
      weighed: weighedOf(cups.readings, at + 1, corrected),
    })),
  };
}

function weighedOf(
  readings: Cups['readings'],
  pour: number,
  corrected: CorrectedOf,
): TravellerCup['weighed'] {
  const newest = newestReading(readings, pour);
  if (newest === undefined) return null;
  const { resinG, hardenerG, pigmentG, mixedAt, recordedBy, stops } = newest;
  return {
    resinG,
    hardenerG,
    pigmentG,
    mixedAt: mixedAt.toISOString(),
    by: recordedBy,
    stops: stops.map(({ detail }) => detail),
    ...corrected(newest.id),
  };
}
