/** A torque setting in words: its band, and what it makes of its fasteners (R5). */
import type { ClampLoad } from '../../domain/clampLoad.ts';
import { inFigures } from '../words/figures.ts';
import { saidAsRecorded } from '../words/said.ts';
import { words } from '../words/words.ts';

const newtonMetres = (torqueNm: number): string => inFigures(torqueNm);

/** As `6 to 8 N·m`. */
export const bandWords = (setting: {
  readonly torqueMinNm: number;
  readonly torqueMaxNm: number;
}): string => {
  const { parts: say } = words.value.admin;
  const [from, to] = [newtonMetres(setting.torqueMinNm), newtonMetres(setting.torqueMaxNm)];
  return from === to ? say.oneTorque(from) : say.band(from, to);
};

const round = (value: number): string => String(Math.round(value));

/** The clamp load of one fastener beside what it carries. */
export const clampWords = (
  load: Pick<
    ClampLoad,
    'fromN' | 'toN' | 'limitN' | 'limitName' | 'percentOfLimitFrom' | 'percentOfLimitTo'
  >,
): string =>
  words.value.admin.parts.clamp({
    from: round(load.fromN / 10) + '0',
    to: round(load.toN / 10) + '0',
    limit: round(load.limitN),
    name: saidAsRecorded(load.limitName),
    percentFrom: round(load.percentOfLimitFrom),
    percentTo: round(load.percentOfLimitTo),
  });
