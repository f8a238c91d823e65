/**
 * What to mind at a joint whichever torque tool is taken (C4, R2, R4, R5). What the
 * tool in hand adds (its range, its deviation, its calibration) is said when it is used.
 */
import { clampLoadOf, type ClampedBy } from './clampLoad.ts';
import { figure } from './reasons/figures.ts';

export interface JointFacts {
  readonly setting: ClampedBy;
  /** Whether the screws that are in it, or belong into it, are single-use. */
  readonly singleUseScrews: boolean;
}

/** An estimate to its hundreds: more figures would promise too much. */
const hundreds = (newtons: number): number => Math.round(newtons / 100) * 100;

/** The cautions that hold, in sentences: those of this very joint first. Common practice where no rule is named. */
export function jointCautions({ setting, singleUseScrews }: JointFacts): string[] {
  const { clampLoad, questions } = clampLoadOf(setting);
  const { from, to } = clampLoad.nutFactor;
  const percent = (value: number): string => figure(value, 0);
  return [
    ...questions.map(({ detail }) => detail),
    setting.threadlocker === 'required'
      ? 'Threadlocker on clean, dry threads; its batch is named with the readings.'
      : 'No threadlocker and no grease: with less friction the same torque clamps harder.',
    ...(singleUseScrews ? ['The screws are single-use: fresh ones in each socket.'] : []),
    'Start every screw by hand; never force a thread.',
    'A screw past the band is loosened and the whole joint torqued again: turning back does not undo it.',
    'Any later move of a part of the joint opens it again.',
    `Clamp load of one screw about ${hundreds(clampLoad.fromN)} to ${hundreds(clampLoad.toN)} N: ${percent(clampLoad.percentOfLimitFrom)} to ${percent(clampLoad.percentOfLimitTo)} % of its ${clampLoad.limitName}, by nut factor ${figure(to)} to ${figure(from)}.`,
  ];
}
