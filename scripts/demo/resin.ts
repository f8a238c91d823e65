/** Resin in the stories: the recipe, its cups on the scale, and a cup that had to be put right. */
import type { Day } from '../../src/domain/days.ts';
import { disposeOfFinding } from '../../src/features/findings/service.ts';
import { makeRecipe } from '../../src/features/resin/recipe.ts';
import { CupToRecord, type RecipeView } from '../../src/features/resin/schemas.ts';
import { recordCup } from '../../src/features/resin/weighing.ts';
import type { Act, Caller } from '../../src/store/act.ts';
import { chanceOf, type Chance } from './chance.ts';
import { takes, type Limb } from './limb.ts';
import { act, type Story } from './timeline.ts';

type Cup = RecipeView['pours'][number];
type Grams = Pick<Cup, 'resinG' | 'hardenerG' | 'pigmentG'>;

/** Works the recipe out and weighs every cup of it. @param technician who will laminate with it */
export function* resinWeighed(limb: Limb, technician: Caller): Story {
  const { bench, diary, house } = limb;
  // Draws of its own, so that what follows in the order stays as it is.
  const chance = chanceOf(house.seed, `${limb.plan.key} resin ${diary.index}`);
  const recipe = yield* act(diary.minutes(60, 150), technician, (opened) =>
    makeRecipe(opened, bench.socketId, {
      productId: house.resinProductId,
      pigmentPercent: chance.one([0, 0, 3]),
      shopTemperatureC: chance.whole(19, 25),
    }),
  );
  for (const cup of recipe.pours) {
    if (cup.pour === 1 && takes(limb, 'cup_put_right')) {
      yield* putRight(limb, technician, cup);
      continue;
    }
    yield* act(diary.minutes(3, 6), technician, (opened) => weigh(opened, limb, cup, chance));
  }
}

/** Short of hardener: the lamination stops, more is added before it is stirred, the same cup goes on. */
function* putRight(limb: Limb, technician: Caller, cup: Cup): Story {
  const { diary } = limb;
  const short = Math.round(cup.hardenerG * 0.85);
  const { findingId } = yield* act(diary.minutes(3, 6), technician, (opened) =>
    record(opened, limb, cup.pour, { ...cup, hardenerG: short }, cup),
  );
  yield* act(diary.minutes(2, 4), technician, async (opened) => {
    await disposeOfFinding(opened, findingId ?? '', {
      disposition: 'rework',
      why: 'Not stirred yet; the missing hardener is added.',
    });
    const added = { resinG: 0, hardenerG: cup.hardenerG - short, pigmentG: 0 };
    await record(opened, limb, cup.pour, cup, added, true);
  });
}

/** As the recipe has it, a gram of resin more or less where the hand was not that steady. */
async function weigh(opened: Act, limb: Limb, cup: Cup, chance: Chance): Promise<void> {
  const poured = { ...cup, resinG: cup.resinG + chance.whole(0, 1) };
  await record(opened, limb, cup.pour, poured, poured);
}

/** @param drawn what of it comes from the batches: all, or what is added */
async function record(
  opened: Act,
  { bench, house }: Limb,
  pour: number,
  { resinG, hardenerG, pigmentG }: Grams,
  drawn: Grams,
  putsRight = false,
) {
  const day = opened.at.toISOString().slice(0, 10) as Day;
  const from = (kind: 'resin' | 'hardener' | 'pigment', amountG: number) =>
    house.materials.use(kind, day, amountG, bench.reservedBatch).batchId;
  return recordCup(
    opened,
    bench.socketId,
    CupToRecord.parse({
      pour,
      resinG,
      hardenerG,
      pigmentG,
      resinBatchId: from('resin', drawn.resinG),
      hardenerBatchId: from('hardener', drawn.hardenerG),
      ...(drawn.pigmentG === 0 ? {} : { pigmentBatchId: from('pigment', drawn.pigmentG) }),
      putsRight,
    }),
  );
}
