/** A cup on the scale: judged, kept, drawn from its batches; a finding where it stops the work. */
import { judgeBatchUse } from '../../domain/batches.ts';
import { judgeAttempt, judgeProductOf, newestReading } from '../../domain/cups.ts';
import { notItsTurn } from '../../domain/operations.ts';
import { questionRange } from '../../domain/ranges.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { RECIPE_RANGES, workTime } from '../../domain/resin.ts';
import {
  judgeWeighing,
  questionMixedAt,
  workTimePutRight,
  type Weighed,
  type Weighing,
} from '../../domain/weighing.ts';
import type { BatchKind } from '../../domain/words.ts';
import { workedAt, type Act } from '../../store/act.ts';
import { loadBatches, writeBatchUses, type BatchRow } from '../../store/batches.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { cupsOf, writeReading, type Cups, type ProductThen } from '../../store/resin.ts';
import { loadResinProduct } from '../../store/resinProducts.ts';
import { loadSocket } from '../../store/sockets.ts';
import { openFinding } from '../findings/open.ts';
import { refuseUnlessInWork, setState } from '../sockets/operations.ts';
import { refuseIfWeighedSince } from '../sockets/since.ts';
import { laminationOf } from './recipe.ts';
import type { CupRecorded, CupToRecord } from './schemas.ts';
import { readResin } from './view.ts';

/**
 * Records one cup when the lamination is next. A reading that stops the work is
 * kept too: the lamination is stopped, and a finding opened.
 * @throws Refused with everything against the reading: its turn, its cup, its figures, its batches
 */
export async function recordCup(
  act: Act,
  socketId: string,
  input: CupToRecord,
): Promise<CupRecorded> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId, true);
  refuseUnlessInWork(socket);
  const cups = found(await cupsOf(act, socketId), () =>
    reason('resin-recipe-missing', { socket: socket.number }),
  );
  const lamination = await laminationOf(act, socket);
  const productNow = await loadResinProduct(act, cups.recipe.product.id);
  refuseIfAny([
    ...notItsTurn(lamination),
    ...againstRecipe(cups),
    ...judgeProductOf(cups, cups.recipe.product, productNow),
  ]);

  await refuseIfWeighedSince(act, cups.recipe.id, input.pour);
  const newest = newestReading(cups.readings, input.pour);
  const attempt = judgeAttempt(
    { ...input, freshBecause: input.freshBecause ?? null },
    cups.recipe.recipe.pours.length,
    newest,
    input,
    workedAt(act),
  );
  const sameCup = input.putsRight ? newest : undefined;
  const shopTemperatureC =
    input.shopTemperatureC ?? sameCup?.shopTemperatureC ?? cups.recipe.asked.shopTemperatureC;
  // What was in the cup has been setting since it was mixed first.
  const mixedAt = sameCup?.mixedAt ?? input.mixedAt ?? workedAt(act);
  const { product, recipe, asked } = cups.recipe;
  const weighed = judgeWeighing(product, recipe, input, asked.scaleResolutionG);
  const batches = await judgeBatches(act, cups, input, attempt.drawn);
  refuseIfAny([
    ...attempt.against,
    ...(weighed.ok ? [] : weighed.reasons),
    ...(input.putsRight ? [] : questionMixedAt(mixedAt, workedAt(act))),
    ...questionRange(shopTemperatureC, RECIPE_RANGES.shopTemperatureC, '/shopTemperatureC'),
    ...batches.against,
  ]);
  if (!weighed.ok) throw new Refused(weighed.reasons);
  const { stops, offRatioPercent } = weighed.value;

  let findingId: string | null = null;
  if (stops.length > 0) {
    findingId = await openFinding(act, socket, {
      kind: stops.some(({ code }) => code === 'resin-off-ratio') ? 'off_ratio' : 'out_of_limits',
      note: `Cup ${input.pour}: ${stops.map(({ detail }) => detail).join(' ')}`,
      operationId: lamination.id,
    });
    await setState(act, lamination, 'stopped');
    act.record({
      kind: 'operation.held_up',
      subjectKind: 'operation',
      subjectId: lamination.id,
      orderId: socket.orderId,
      data: {
        socket: socket.number,
        operation: lamination.title,
        before: lamination.state,
        after: 'stopped',
      },
    });
  }
  const { minutes } = workTime(product, shopTemperatureC);
  const weighingId = await writeReading(act, socketId, cups, {
    ...readingOf(weighed.value),
    pour: input.pour,
    putsRightId: sameCup?.id ?? null,
    findingId,
    mixedAt,
    shopTemperatureC,
    workMinutes: sameCup === undefined ? minutes : workTimePutRight(sameCup.workMinutes, minutes),
  });
  await writeBatchUses(act, socketId, { resinWeighingId: weighingId }, batches.uses);
  act.record({
    kind: stops.length === 0 ? 'cup.weighed' : 'cup.stopped',
    subjectKind: 'resin_weighing',
    subjectId: weighingId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      recipe: cups.running,
      cup: input.pour,
      putsRight: sameCup?.id ?? null,
      freshBecause: input.freshBecause ?? null,
      resinG: input.resinG,
      hardenerG: input.hardenerG,
      pigmentG: input.pigmentG,
      offRatioPercent,
      mixedAt: mixedAt.toISOString(),
      findingId,
    },
  });
  return {
    weighingId,
    outcome: stops.length === 0 ? 'good' : 'stopped',
    because: [...stops],
    findingId,
    resin: await readResin(act, socketId),
  };
}

function againstRecipe({ ofLayup, recipe }: Cups): Reason[] {
  if (ofLayup) return [];
  return [reason('recipe-of-older-layup', { recipe: recipe.running, layup: recipe.layupRunning })];
}

const readingOf = ({ resinG, hardenerG, pigmentG, offRatioPercent, stops }: Weighing) => ({
  resinG,
  hardenerG,
  pigmentG,
  offRatioPercent,
  stops,
});

interface Draw {
  readonly kind: BatchKind;
  readonly batchId: string;
  readonly amountG: number;
  readonly field: string;
}

/** The batches of a cup, held: right kind and product, usable today, enough left. Nothing is asked of what is not drawn from. */
async function judgeBatches(
  act: Act,
  { recipe: { product } }: Cups,
  input: CupToRecord,
  { resinG, hardenerG, pigmentG }: Weighed,
): Promise<{
  readonly against: readonly Reason[];
  readonly uses: readonly { readonly batchId: string; readonly amount: number | null }[];
}> {
  const { resinBatchId, hardenerBatchId, pigmentBatchId } = input;
  const draws: Draw[] = [
    { kind: 'resin', batchId: resinBatchId, amountG: resinG, field: '/resinBatchId' },
    { kind: 'hardener', batchId: hardenerBatchId, amountG: hardenerG, field: '/hardenerBatchId' },
    ...(pigmentBatchId === undefined
      ? []
      : [
          {
            kind: 'pigment' as const,
            batchId: pigmentBatchId,
            amountG: pigmentG,
            field: '/pigmentBatchId',
          },
        ]),
  ];
  const on = await todayAtClinic(act);
  const batches = await loadBatches(
    act.tx,
    act.clinicId,
    draws.map(({ batchId }) => batchId),
    true,
  );
  const against: Reason[] =
    pigmentG > 0 && pigmentBatchId === undefined
      ? [reason('pigment-batch-missing', { pigmentG }, '/pigmentBatchId')]
      : [];
  const uses: { batchId: string; amount: number | null }[] = [];
  for (const { kind, batchId, amountG, field } of draws) {
    const batch = batches.find(({ id }) => id === batchId);
    if (batch === undefined) {
      against.push(reason('not-found', { what: 'batch', id: batchId }, field));
      continue;
    }
    if (amountG <= 0) continue;
    // A batch that is kept in another unit is traced, and not drawn down: nothing says what a gram of it is.
    const amount = batch.unit === 'g' ? amountG : null;
    against.push(...judgeBatchUse(batch, { kind, amount, on }, field));
    if (kind !== 'pigment') against.push(...againstProduct(batch, product, field));
    uses.push({ batchId, amount });
  }
  return { against, uses };
}

/** Resin and hardener are of the recipe's product, and said to be. What is of another kind is told so already. */
function againstProduct(
  { kind, lot, resinProductId, resinProduct }: BatchRow,
  product: ProductThen,
  field: string,
): Reason[] {
  const expected = product.name;
  if ((kind !== 'resin' && kind !== 'hardener') || resinProductId === product.id) return [];
  return resinProductId === null
    ? [reason('batch-without-product', { lot, expected }, field)]
    : [
        reason(
          'batch-of-another-product',
          { lot, product: resinProduct ?? resinProductId, expected },
          field,
        ),
      ];
}
