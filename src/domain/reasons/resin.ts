import { figure } from './figures.ts';
import { entry } from './reason.ts';

const grams = (value: number): string => `${figure(value, 2)} g`;

/** Refusals about resin: recipe, weighing and the clock (C3). */
export const RESIN_REASONS = {
  'scale-too-coarse': entry<{
    component: string;
    neededG: number;
    scaleResolutionG: number;
    tolerancePercent: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'The scale is too coarse for this mix',
    words: (f) =>
      `A cup asks for ${figure(f.neededG, 3)} g of ${f.component}; a scale in steps of ${figure(f.scaleResolutionG)} g cannot weigh that to ${figure(f.tolerancePercent)} %.`,
    wayOut: () => 'Weigh it on a finer scale, or mix more in one cup where its limit allows.',
  }),
  'resin-too-many-pours': entry<{ mixG: number; cupLimitG: number; most: number }>({
    rule: null,
    kind: 'rule',
    title: 'The mix would take too many cups',
    words: (f) =>
      `${grams(f.mixG)} in cups of at most ${grams(f.cupLimitG)} are more than ${f.most} pours.`,
    wayOut: () => 'Check the fabric mass and its unit, or take a resin with a larger cup limit.',
  }),
  'resin-off-ratio': entry<{
    resinG: number;
    hardenerG: number;
    offPercent: number;
    tolerancePercent: number;
    addTo: string;
    addG: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'Resin and hardener are off their ratio',
    words: (f) =>
      `${grams(f.hardenerG)} of hardener to ${grams(f.resinG)} of resin is ${figure(Math.abs(f.offPercent), 1)} % too ${f.offPercent < 0 ? 'little' : 'much'}; ${figure(f.tolerancePercent)} % is allowed.`,
    wayOut: (f) =>
      `Not stirred yet: ${grams(f.addG)} more of ${f.addTo} puts it right, if the cup limit allows. Stirred: do not use it; dispose of the finding.`,
  }),
  'resin-too-little': entry<{ mixG: number; neededG: number }>({
    rule: null,
    kind: 'rule',
    title: 'Too little was mixed',
    words: (f) =>
      `${grams(f.mixG)} were weighed; fabric and losses of this pour ask for ${grams(f.neededG)}.`,
    wayOut: () => 'Weigh more of both in their ratio before it is stirred; dry fibre is a finding.',
  }),
  'pigment-over-share': entry<{
    pigmentG: number;
    resinG: number;
    shareG: number;
    toleranceG: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'More pigment than the recipe has',
    words: (f) =>
      `${grams(f.pigmentG)} of pigment to ${grams(f.resinG)} of resin; the recipe has ${grams(f.shareG)}, and ${grams(f.toleranceG)} more is allowed.`,
    wayOut: () =>
      'Pigment does not cure with the resin: throw the cup away and weigh it afresh; another share is another recipe.',
  }),
  'pigment-batch-missing': entry<{ pigmentG: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Pigment without its batch',
    words: (f) => `${grams(f.pigmentG)} of pigment were weighed, from no batch.`,
    wayOut: () => 'Name the batch in pigmentBatchId; where none was taken, pigmentG is 0.',
  }),
  'cured-too-short': entry<{
    sinceHours: number;
    answeredHours: number | null;
    cureHours: number;
    cureTemperatureC: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'Cured for less than the sheet asks',
    words: (f) =>
      `Laminated ${figure(f.sinceHours, 1)} h ago${f.answeredHours === null ? '' : `, cured for ${figure(f.answeredHours, 1)} h as answered`}; the sheet asks for ${figure(f.cureHours, 1)} h at ${figure(f.cureTemperatureC, 1)} °C.`,
    wayOut: () =>
      'Leave it until its hours are over, close the finding by rework and record it again. Warmer it may take less: where the maker says so, a prosthetist accepts it as it is.',
  }),
  'cup-over-limit': entry<{ mixG: number; cupLimitG: number }>({
    rule: null,
    kind: 'rule',
    title: 'More in one cup than the product allows',
    words: (f) =>
      `${grams(f.mixG)} in one cup; its limit is ${grams(f.cupLimitG)}. A full cup heats by itself.`,
    wayOut: () => 'Share it between cups before it is stirred.',
  }),
  'mixed-in-future': entry<{ minutesAhead: number }>({
    rule: null,
    kind: 'invalid',
    title: 'The moment of mixing lies ahead',
    words: (f) => `The mix is dated ${figure(f.minutesAhead, 1)} minutes from now.`,
    wayOut: () => 'Record the moment at which resin and hardener met; check the clock.',
  }),
  'mixed-long-ago': entry<{ minutesAgo: number; greatestMinutes: number }>({
    rule: null,
    kind: 'invalid',
    title: 'The moment of mixing lies too far back',
    words: (f) =>
      `The mix is dated ${figure(f.minutesAgo, 0)} minutes back; a cup is recorded within ${figure(f.greatestMinutes, 0)}.`,
    wayOut: () => 'Check the day and the hour of mixing; leave them out where it is now.',
  }),
  'resin-product-name-taken': entry<{ name: string }>({
    rule: null,
    kind: 'conflict',
    title: 'Name of the resin product already used',
    words: (f) => `The catalogue has a resin product ${f.name} already.`,
    wayOut: () => 'Open that product, or name this one so that the two can be told apart.',
  }),
  'resin-product-withdrawn': entry<{ product: string }>({
    rule: null,
    kind: 'rule',
    title: 'The resin product is withdrawn',
    words: (f) => `${f.product} is no longer used here.`,
    wayOut: () => 'Take another product, or have an administrator put this one back in use.',
  }),
  'resin-needs-layup': entry<{ socket: string }>({
    rule: null,
    kind: 'rule',
    title: 'No approved layup to work the resin out from',
    words: (f) => `${f.socket} has no layup approved by a prosthetist.`,
    wayOut: () => 'Have the layup approved first: its fabric mass is what the resin has to wet.',
  }),
  'resin-recipe-missing': entry<{ socket: string }>({
    rule: null,
    kind: 'rule',
    title: 'No recipe to weigh by',
    words: (f) => `${f.socket} has no resin recipe.`,
    wayOut: () => 'Work the recipe out first.',
  }),
  'recipe-superseded': entry<{ recipe: number }>({
    rule: null,
    kind: 'conflict',
    title: 'The recipe was superseded',
    words: (f) => `Recipe ${f.recipe} no longer stands.`,
    wayOut: () => 'Read the recipe again and weigh by the one that stands.',
  }),
  'recipe-of-older-layup': entry<{ recipe: number; layup: number }>({
    rule: null,
    kind: 'rule',
    title: 'The recipe is for an older layup',
    words: (f) =>
      `Recipe ${f.recipe} was worked out from layup ${f.layup}, which no longer stands.`,
    wayOut: () => 'Work the recipe out again from the layup that stands.',
  }),
  'recipe-in-use': entry<{ recipe: number; cups: readonly string[] }>({
    rule: null,
    kind: 'rule',
    title: 'Cups of the recipe are weighed',
    words: (f) => `Of recipe ${f.recipe} these are weighed and not rejected: ${f.cups.join(', ')}.`,
    wayOut: () =>
      'Weigh this recipe to its end; a cup that was spilt is weighed afresh by the same recipe. Where every cup is rejected, set or spent another recipe takes its place.',
  }),
  'recipe-of-older-sheet': entry<{
    recipe: number;
    product: string;
    changed: readonly string[];
  }>({
    rule: null,
    kind: 'rule',
    title: 'The sheet of the product was changed since',
    words: (f) =>
      `Recipe ${f.recipe} was worked out before the entry of ${f.product} was changed: ${f.changed.join(', ')}.`,
    wayOut: () => 'Work the recipe out again by the sheet as it now stands.',
  }),
  'recipe-why-missing': entry<{ below: readonly string[] }>({
    rule: null,
    kind: 'invalid',
    title: 'Less resin than the clinic takes, without the reason',
    words: (f) => `Below what the clinic has set: ${f.below.join('; ')}.`,
    wayOut: () => "Say why in `why`, or leave them out and take the clinic's.",
  }),
  'cup-unknown': entry<{ pour: number; pours: number }>({
    rule: null,
    kind: 'invalid',
    title: 'The recipe has no such cup',
    words: (f) => `Cup ${f.pour} was named; the recipe has ${f.pours}.`,
    wayOut: () => 'Count the cups from 1, in the order in which they are poured.',
  }),
  'cup-already-weighed': entry<{ pour: number }>({
    rule: null,
    kind: 'conflict',
    title: 'The cup is weighed and good',
    words: (f) => `Cup ${f.pour} has a reading that may be poured.`,
    wayOut: () =>
      'Weigh the next cup. Where this one set before its time or was spilt, say so in freshBecause; it is then drawn from the batches again.',
  }),
  'cup-not-weighed': entry<{ pour: number }>({
    rule: null,
    kind: 'rule',
    title: 'No reading to put right',
    words: (f) => `Cup ${f.pour} has not been weighed yet.`,
    wayOut: () => 'Record it as a fresh cup.',
  }),
  'cup-no-longer-flows': entry<{ pour: number; spent: boolean }>({
    rule: null,
    kind: 'rule',
    title: 'Nothing is added to a cup that is over',
    words: (f) =>
      f.spent
        ? `Cup ${f.pour} was weighed before the lamination was last recorded: it is spent.`
        : `The work time of cup ${f.pour} is over.`,
    wayOut: () => 'Weigh it afresh, with putsRight left out.',
  }),
  'cup-of-another-recipe': entry<{ pour: number }>({
    rule: null,
    kind: 'invalid',
    title: 'The reading belongs to another cup',
    words: (f) => `The reading of cup ${f.pour} names a socket or a reading of another recipe.`,
    wayOut: () => 'Weigh by the recipe of this very socket; a reading puts right its own cup.',
  }),
  'cup-reading-decreases': entry<{ component: string; beforeG: number; nowG: number }>({
    rule: null,
    kind: 'rule',
    title: 'A cup does not get lighter',
    words: (f) =>
      `There were ${grams(f.beforeG)} of ${f.component} in the cup; the new reading has ${grams(f.nowG)}.`,
    wayOut: () =>
      'Read the scale again: to a cup that is put right something is added. Otherwise discard it and weigh a fresh one.',
  }),
  'batch-of-another-product': entry<{ lot: string; product: string; expected: string }>({
    rule: null,
    kind: 'rule',
    title: 'Batch of another resin product',
    words: (f) => `Batch ${f.lot} is of ${f.product}; the recipe is for ${f.expected}.`,
    wayOut: () => 'Scan a batch of the product that the recipe names, or make a recipe for this.',
  }),
  'batch-without-product': entry<{ lot: string; expected: string }>({
    rule: null,
    kind: 'rule',
    title: 'Batch of no resin product',
    words: (f) => `Nothing says which product batch ${f.lot} is; the recipe is for ${f.expected}.`,
    wayOut: () =>
      'Read its label; a technician or administrator enters which product it is, once for all.',
  }),
  'batch-product-stands': entry<{ lot: string; product: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The batch is of a product already',
    words: (f) => `Batch ${f.lot} is entered as ${f.product}; that stays.`,
    wayOut: () => 'Put a batch that was entered wrongly into quarantine, and enter it again.',
  }),
};
