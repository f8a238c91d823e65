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
};
