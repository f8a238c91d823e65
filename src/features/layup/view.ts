import { LAYUP_FORMULAS } from '../../domain/layup.ts';
import type { DraftBasis } from '../../domain/layupDraft.ts';
import { lineWords, type LayupLine } from '../../domain/layupRules.ts';
import type { LayupRecord } from '../../store/layups.ts';
import type { LayupView } from './schemas.ts';

const { thicknessMm, ...OTHERS } = LAYUP_FORMULAS;

/** Figure by figure. */
export const FORMULAS = {
  ...OTHERS,
  wallThicknessMm: thicknessMm,
  stripThicknessMm: thicknessMm,
  distalEndThicknessMm: thicknessMm,
};

/** The layers in words, with the fabrics' names as they were when it was worked out. */
export const layersInWords = (
  lines: readonly LayupLine[],
  { fabrics }: Pick<DraftBasis, 'fabrics'>,
): string[] => {
  const names = new Map(fabrics.map(({ id, name }) => [id, name]));
  return lines.map((line) => lineWords(line, (id) => names.get(id) ?? id));
};

export const layupView = ({ ruleSetId: _setId, ...layup }: LayupRecord): LayupView => ({
  ...layup,
  earlier: layup.running - 1,
  inWords: layersInWords(layup.lines, layup.basis),
  formulas: FORMULAS,
});
